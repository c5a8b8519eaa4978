//! Blanks: what is cut from flat sheet so that, bent, it is the part. In: a solved assembly. Out: for each part of sheet its flat
//! pattern, its bends as a builder marks them, and whether its radius is one that its alloy and thickness can be bent to.
//!
//! A pattern is seen from a fixed side: across the fuselage from aft, along it from the left, flat from above, a channel from its
//! inside, a stringer from the skin; *up* is towards the one who looks. Each of a pair has its own pattern.

mod bent;
mod corner;
pub mod develop;
mod make;
mod not_drawn;
mod plane;
mod radius;
mod reach;
mod skin;
mod stated;
#[cfg(test)]
mod tests;
mod unfold;

pub use not_drawn::NotDrawn;
pub use skin::{Development, SPRINGS};
pub use stated::{Bends, Own, OwnRadius, Rules};

use schemars::JsonSchema;
use serde::Serialize;

use crate::assembly::Solved;
use crate::pattern::Pattern;

/// The blanks of all parts of sheet.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Blanks {
    /// The rules that they are made by.
    pub rules: Rules,
    /// The blanks, in the order of the file.
    pub blanks: Vec<Blank>,
    /// Parts of sheet for which none could be made.
    pub unmade: Vec<Unmade>,
}

/// A blank.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Blank {
    /// The part.
    pub part: String,
    /// Its kind, as the file calls it.
    pub kind: String,
    /// Its alloy, if it is stated.
    pub alloy: Option<String>,
    /// Thickness of the sheet.
    pub gauge_mm: f64,
    /// From where the pattern is seen: `aft`, `the left`, `above`, `inside`, `the skin`.
    pub seen_from: String,
    /// Its bend radius; none of a flat part.
    pub radius: Option<Radius>,
    /// The rectangle that holds the pattern: along its first and its second axis.
    pub size_mm: [f64; 2],
    /// The same, with metal left on to be trimmed.
    pub with_trim_mm: [f64; 2],
    /// Its bends, with the leg beyond each.
    pub bends: Vec<Bend>,
    /// All legs of a strip in order; none of a web.
    pub legs: Vec<Leg>,
    /// Relief holes, if it has any: how many, and their diameter.
    pub reliefs: Option<Reliefs>,
    /// Flanges that are left out of the blank.
    pub left_out: Vec<LeftOut>,
    /// How a skin was developed; none of other parts.
    pub development: Option<Development>,
    /// Holes that lie in a bend or beyond the web, and are not marked.
    pub unmarked: Vec<String>,
    /// Openings, by number, and holes that run over a tangent line, into a bend or beyond it.
    pub into_bends: Vec<String>,
    /// What the pattern doesn't show.
    pub not_drawn: NotDrawn,
    /// The flat pattern.
    pub pattern: Pattern,
}

/// The bend radius of a part, checked.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Radius {
    /// Inside radius that the blank is made for.
    pub radius_mm: f64,
    /// Whether the part states it; if not, it is the least one.
    pub stated: bool,
    /// The least inside radius of its alloy and thickness, if that is known.
    pub least_mm: Option<f64>,
    /// Whether the least one is the file's own and not the table's.
    pub own: bool,
    /// What the check came to.
    pub verdict: RadiusVerdict,
}

/// What the check of a radius came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum RadiusVerdict {
    /// No smaller than the least.
    Holds,
    /// Smaller than the least.
    TooTight,
    /// The part states no alloy.
    NoAlloy,
    /// The table has no such alloy, or no sheet of it so thick.
    NotInTable,
}

/// A bend as a builder marks it; distances run from the edge of the leg beyond it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Bend {
    /// What it is called, as in the pattern.
    pub name: String,
    /// Degrees bent from flat.
    pub angle_deg: f64,
    /// Whether it is bent up.
    pub up: bool,
    /// The leg beyond it, from the mold line to its edge.
    pub leg_mm: f64,
    /// The flat of that leg.
    pub flat_mm: f64,
    /// K = tan(N/2).
    pub setback_number: f64,
    /// From the mold line to the tangent line.
    pub setback_mm: f64,
    /// The bend allowance.
    pub allowance_mm: f64,
    /// The bend deduction.
    pub deduction_mm: f64,
    /// Length along the bend.
    pub length_mm: f64,
    /// From the edge of the blank at that leg to the nearer tangent line, to the farther one, and to the sight line of a brake that
    /// holds the other side.
    pub from_edge_mm: [f64; 3],
}

/// A leg of a strip.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Leg {
    /// What it is.
    pub name: String,
    /// To the mold lines at its ends.
    pub leg_mm: f64,
    /// Its flat.
    pub flat_mm: f64,
}

/// Relief holes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Reliefs {
    /// How many.
    pub count: usize,
    /// Their diameter.
    pub diameter_mm: f64,
}

/// A flange that the blank doesn't have.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LeftOut {
    /// The flange.
    pub flange: String,
    /// Why.
    pub why: String,
}

/// A part of sheet without a blank.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Unmade {
    /// The part.
    pub part: String,
    /// Why.
    pub why: String,
    /// What would help.
    pub help: String,
}

impl Solved<'_> {
    /// The blanks of all parts that are made of sheet.
    pub fn blanks(&self) -> Blanks {
        let mut blanks = Blanks {
            rules: self.assembly.bending.clone(),
            blanks: Vec::new(),
            unmade: Vec::new(),
        };
        for part in &self.assembly.parts {
            match self.blank(part) {
                None => {}
                Some(Ok(blank)) => blanks.blanks.push(blank),
                Some(Err(unmade)) => blanks.unmade.push(unmade),
            }
        }
        blanks
    }
}

impl Blanks {
    /// A blank by its part.
    pub fn of(&self, part: &str) -> Option<&Blank> {
        self.blanks.iter().find(|blank| blank.part == part)
    }

    /// Whether every part of sheet has a blank that can be bent.
    pub fn holds(&self) -> bool {
        self.unmade.is_empty() && self.blanks.iter().all(Blank::holds)
    }
}

impl Blank {
    /// Whether its radius is not known to be too tight, and a skin can be developed. A flange that is left out is told, and counts for nothing here: a file
    /// can't say that a side has none.
    pub fn holds(&self) -> bool {
        let too_tight = |radius: &Radius| radius.verdict == RadiusVerdict::TooTight;
        let developed = self
            .development
            .is_none_or(|development| development.holds());
        !self.radius.as_ref().is_some_and(too_tight) && developed
    }
}
