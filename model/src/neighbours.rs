//! Other layouts close to the one found, which keep the same statements, and how to have them instead.
//!
//! In: a document, its solution and its layout. Out: each other layout with the figures that differ, in millimetres and degrees,
//! and the start that leads to it; and what stands at a dead centre. The solver finds them block by block; each is then solved
//! anew, from the start as a builder would state it, so that what is told of it is tried.

mod tried;

use schemars::JsonSchema;
use serde::Serialize;
use strongback_solver::{Measure, Root, Var};

use crate::assembly::{AssembledPart, Solved};
use crate::document::Document;
use crate::layout::Layout;
use crate::relation::Hand;
use crate::words::Axis;
use tried::Beside;

/// What lies close to a layout.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Neighbours {
    /// Other layouts that keep the same statements, each tried. What was not found may exist all the same.
    pub others: Vec<OtherLayout>,
    /// Where two layouts meet in the one found.
    pub dead_centres: Vec<DeadCentre>,
    /// Groups of parts that are placed together and were not looked beside, since there are too many or too large ones.
    pub unsearched: usize,
}

/// Another layout that keeps the same statements.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OtherLayout {
    /// The parts that are found otherwise; what hangs on them follows.
    pub parts: Vec<String>,
    /// Each coordinate, turn or size that is found otherwise, turns first and the greatest difference first.
    pub figures: Vec<OtherFigure>,
    /// Whether the layout found is nearer to the drawn figures than this one.
    pub is_farther: bool,
    /// The starts that lead to it.
    pub starts: Vec<Start>,
}

/// A figure that is found otherwise: millimetres, or degrees for an angle.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OtherFigure {
    /// The part with its coordinate, turn or size, or the dimension.
    pub name: String,
    /// Whether it is an angle.
    pub angle: bool,
    /// What was found.
    pub found: f64,
    /// What it is in the other layout.
    pub other: f64,
    /// The other one less the one found.
    pub difference: f64,
    /// Where the search began.
    pub drawn: f64,
}

/// A start for the search, as it is stated in the file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Start {
    /// What it is stated for: `PART.fs`, `PART.pitch`, `PART.length`, or a dimension.
    pub name: String,
    /// What is stated: `Find(near: "12 deg")`.
    pub stated: String,
}

/// Two layouts that meet: the least change of a figure moves things far, or leaves no layout.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DeadCentre {
    /// The coordinates, turns and sizes that stand there.
    pub figures: Vec<String>,
}

/// So many other roots are tried as layouts: each takes a solution or two of the whole model.
const MOST_TRIES: usize = 20;

/// An unknown as people know it.
#[derive(Clone, Debug, PartialEq)]
struct Figure {
    /// The part, or nothing for a dimension.
    part: Option<String>,
    /// The coordinate, turn or size of the part, or the dimension.
    what: String,
    angle: bool,
    drawn: f64,
}

impl Neighbours {
    /// Looks beside a solution, block by block.
    pub fn of(document: &Document, solved: &Solved<'_>, layout: &Layout) -> Neighbours {
        let beside = solved.solution.neighbours();
        let mut list = Neighbours {
            unsearched: beside.unsearched,
            ..Neighbours::default()
        };
        let mut tries = 0;
        for neighbour in beside.found {
            let figures = solved.figures_of(&neighbour.unknowns);
            match neighbour.is {
                Root::Meets => list.dead_centres.push(DeadCentre {
                    figures: figures.iter().map(Figure::told).collect(),
                }),
                Root::Another(state) => {
                    let beside = Beside {
                        document,
                        solved,
                        layout,
                        figures: &figures,
                    };
                    if !beside.may_be(&neighbour.unknowns, &state) {
                        continue;
                    }
                    if tries == MOST_TRIES {
                        list.unsearched += 1;
                        continue;
                    }
                    tries += 1;
                    if let Some(other) = beside.tried(&neighbour.unknowns, &state) {
                        list.add(other);
                    }
                }
            }
        }
        list
    }

    /// Adds a layout, or to one that the same start leads to what else is found otherwise in it.
    fn add(&mut self, other: OtherLayout) {
        let same = |known: &&mut OtherLayout| known.starts == other.starts;
        let Some(known) = self.others.iter_mut().find(same) else {
            self.others.push(other);
            return;
        };
        for part in other.parts {
            if !known.parts.contains(&part) {
                known.parts.push(part);
            }
        }
        for figure in other.figures {
            if !known.figures.iter().any(|own| own.name == figure.name) {
                known.figures.push(figure);
            }
        }
    }
}

impl Figure {
    fn told(&self) -> String {
        match &self.part {
            Some(part) => format!("{part} {}", self.what),
            None => self.what.clone(),
        }
    }

    /// Its value in a layout, in millimetres or degrees.
    fn value_in(&self, layout: &Layout) -> Option<f64> {
        let what = self.what.as_str();
        let Some(part) = &self.part else {
            let found = layout.found.iter().find(|found| found.name == what);
            let dimension = || layout.dimensions.iter().find(|one| one.name == what);
            return found
                .map(|found| found.value)
                .or_else(|| dimension().map(|dimension| dimension.value));
        };
        let part = layout.part(part)?;
        let axis = Axis::ALL.into_iter().find(|axis| axis.short() == what);
        let turn = TURNS.iter().position(|turn| *turn == what);
        axis.map(|axis| part.origin_mm[axis.index()])
            .or_else(|| turn.map(|turn| part.turn_deg[turn]))
            .or_else(|| part.size(what).map(|size| size.value))
    }
}

/// The turns in the order of the axes.
const TURNS: [&str; 3] = ["roll", "pitch", "yaw"];

impl Solved<'_> {
    fn figures_of(&self, unknowns: &[Var]) -> Vec<Figure> {
        let system = &self.assembly.system;
        let start = system.start();
        let figure = |var: &Var| {
            let (part, what) = self.part_of(*var);
            let angle = system.get(*var).measure == Measure::Angle;
            let mirrored = part
                .as_deref()
                .is_some_and(|part| self.is_mirrored(part, &what));
            let drawn = start.value(*var) * if mirrored { -1.0 } else { 1.0 };
            Figure {
                part,
                what,
                angle,
                drawn: if angle { drawn.to_degrees() } else { drawn },
            }
        };
        unknowns.iter().map(figure).collect()
    }

    /// Whether a coordinate or turn of a part is the negative of what its entry in the file says: that of the left-hand one
    /// of two.
    fn is_mirrored(&self, part: &str, what: &str) -> bool {
        let is_left = |one: &&AssembledPart| one.name == part && one.hand == Hand::Mirrored;
        ["bl", "roll", "yaw"].contains(&what) && self.assembly.parts.iter().any(|one| is_left(&one))
    }
}
