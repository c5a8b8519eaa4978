//! `loose`: what can still move, and what would settle it.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::looseness::{Motion, motions};
use strongback_model::neighbours::Neighbours;
use strongback_model::quantity::Unit;

use super::locate::with_solution;
use super::{Answered, Told};
use crate::Status;
use crate::args;
use crate::load::{Refused, load};
use crate::render;

/// What `loose` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LooseAnswer {
    /// How many parts are loose, or have a size that nothing settles.
    pub parts: usize,
    /// The ways left to move.
    pub motions: Vec<Motion>,
    /// Other layouts close by that keep the same statements.
    pub neighbours: Neighbours,
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
}

pub(super) fn run(args: &args::Question) -> Result<(Status, Box<dyn Answered>), Refused> {
    let loaded = load(&args.model)?;
    let document = loaded.asked(&args.asked)?;
    with_solution(&loaded, &document, |solved, located| {
        let motions = motions(&document, solved, &located.layout);
        let status = if motions.is_empty() {
            Status::Well
        } else {
            Status::Amiss
        };
        let parts = located.layout.parts.iter();
        let answer: Box<dyn Answered> = Box::new(LooseAnswer {
            parts: parts.filter(|part| !part.settled).count(),
            motions,
            neighbours: Neighbours::of(&document, solved, &located.layout),
            unit: located.layout.unit,
        });
        (status, answer)
    })
}

impl Told for LooseAnswer {
    fn text(&self, width: usize) -> String {
        render::loose::text(self, width)
    }
}
