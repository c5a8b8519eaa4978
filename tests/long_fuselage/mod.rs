//! Generated fuselages of any number of bays, as model files: for benches and for laws that need size.
//!
//! Ten parts and some thirty unknowns a bay, a fifth of the parts with a turn to be found. Two statements in a hundred are spare,
//! and every fiftieth bay has a figure that contradicts the others. A chain of bays is nearly triangular and flatters a solver
//! that works by blocks, so there are two families more: one large block, and both in equal parts.

mod chain;
mod closed_loop;

use std::fmt::{self, Display};

/// How the bays hang together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Family {
    /// Each bay on the one before.
    Chain,
    /// All of them in one loop, closed by two straight rails.
    Loop,
    /// The first half a chain, the rest a loop that begins at its last frame.
    Mixed,
}

impl Family {
    /// All of them.
    #[allow(dead_code, reason = "not every user needs it")]
    pub const ALL: [Family; 3] = [Family::Chain, Family::Loop, Family::Mixed];

    /// How many of the bays are a loop; they are the last ones.
    pub fn looped(self, bays: usize) -> usize {
        match self {
            Family::Chain => 0,
            Family::Loop => bays,
            Family::Mixed => bays - bays / 2,
        }
    }
}

impl Display for Family {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Family::Chain => "chain",
            Family::Loop => "loop",
            Family::Mixed => "mixed",
        })
    }
}

/// What is planted in a generated fuselage.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Planted {
    /// Statements that follow from others and agree.
    pub spare: usize,
    /// Statements that don't agree, by their names.
    pub at_odds: Vec<String>,
    /// Ways left to move.
    pub freedoms: usize,
    /// Where the frames of a loop lie, as the generator laid them out.
    pub laid: Vec<Laid>,
}

/// A frame as the generator laid it out; its height is written to a ten-thousandth of an inch.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// Its name.
    pub frame: String,
    /// Station and waterline of its origin, in inches.
    pub at: [f64; 2],
    /// Its cant in degrees.
    pub cant: f64,
}

/// How often something is amiss.
#[derive(Clone, Copy, Debug)]
pub struct Every {
    /// Of so many bays one has a figure that contradicts the others.
    pub at_odds: usize,
    /// Of so many bays one has a part of which nothing says how long it is.
    pub loose: usize,
}

impl Every {
    fn is_at_odds(self, bay: usize) -> bool {
        bay % self.at_odds == self.at_odds / 2
    }

    fn is_loose(self, bay: usize) -> bool {
        bay % self.loose == self.loose / 2
    }
}

/// The parts and relations written so far, and what was planted in them.
#[derive(Debug, Default)]
struct Draft {
    parts: String,
    relations: String,
    planted: Planted,
}

/// The model text of `bays` bays that are all settled, and what is planted in it.
#[allow(dead_code, reason = "not every user needs it")]
pub fn model(family: Family, bays: usize) -> (String, Planted) {
    model_with(
        family,
        bays,
        Every {
            at_odds: 50,
            loose: usize::MAX,
        },
    )
}

/// The model text of `bays` bays, and what is planted in it.
pub fn model_with(family: Family, bays: usize, every: Every) -> (String, Planted) {
    let mut draft = Draft::default();
    // writing into a String can't fail
    let _ = write(&mut draft, family, bays, every);
    let Draft {
        parts,
        relations,
        planted,
    } = draft;
    let text = format!(
        r#"(
    format: 1,
    title: "Teasel, {bays} bays",
    unit: Inch,
    fit: "1/32 in",
    dimensions: {{ "half width": "15 in", "rail height": "3 in" }},
    parts: {{
{parts}    }},
    relations: {{
{relations}    }},
)
"#
    );
    (text, planted)
}

fn write(draft: &mut Draft, family: Family, bays: usize, every: Every) -> fmt::Result {
    let looped = family.looped(bays);
    let chained = bays - looped;
    if chained > 0 || looped == 0 {
        chain::first(draft)?;
    }
    for k in 0..chained {
        chain::bay(draft, k, every)?;
    }
    closed_loop::bays(draft, chained..bays, every)
}
