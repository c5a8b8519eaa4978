//! `loose`: what can still move, and what would settle it.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::assembly::assemble;
use strongback_model::looseness::{Motion, motions};

use super::{Told, to_json};
use crate::Status;
use crate::args::{self, Changes};
use crate::load::{Refused, load};
use crate::render;

/// What `loose` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LooseAnswer {
    /// How many parts are loose, or have a size that nothing settles.
    pub parts: usize,
    /// The ways left to move.
    pub motions: Vec<Motion>,
}

pub(super) fn run(args: &args::Odds) -> Result<(Status, Box<dyn Told>), Refused> {
    let loaded = load(&args.model)?;
    let none = Changes {
        set: Vec::new(),
        reverse: Vec::new(),
    };
    let document = loaded.changed(args.with.as_deref(), &none)?.document;
    let assembly = assemble(&document).map_err(|faults| loaded.refuse(faults))?;
    let solved = assembly
        .solve()
        .map_err(|fault| loaded.refuse(vec![fault]))?;
    let layout = solved.layout();
    let motions = motions(&document, &solved, &layout);
    let status = if motions.is_empty() {
        Status::Well
    } else {
        Status::Amiss
    };
    Ok((
        status,
        Box::new(LooseAnswer {
            parts: layout.parts.iter().filter(|part| !part.settled).count(),
            motions,
        }),
    ))
}

impl Told for LooseAnswer {
    fn text(&self, width: usize) -> String {
        render::motions::text(self, width)
    }

    fn json(&self) -> serde_json::Result<String> {
        to_json(self)
    }
}
