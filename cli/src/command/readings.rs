//! `readings`: which readings let everything fit.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::quantity::Unit;
use strongback_model::readings::{Readings, readings};

use super::{Answered, CAUTION, Told};
use crate::Status;
use crate::args;
use crate::load::{Refused, load};
use crate::render;

/// What `readings` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ReadingsAnswer {
    /// The verdict in one line.
    pub verdict: String,
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// What all readings come to.
    pub readings: Readings,
    /// The usual caution.
    pub caution: String,
}

pub(super) fn run(args: &args::Readings) -> Result<(Status, Box<dyn Answered>), Refused> {
    let loaded = load(&args.model)?;
    let document = loaded.asked(&args.asked)?;
    let readings =
        readings(&document, args.most as usize).map_err(|faults| loaded.refuse(faults))?;
    // the answer is clear when there is nothing to choose, or one way alone
    let clear = readings.ways_that_fit == 1.0;
    Ok((
        if clear { Status::Well } else { Status::Amiss },
        Box::new(ReadingsAnswer {
            verdict: render::readings::verdict(&readings),
            unit: document.unit,
            readings,
            caution: CAUTION.to_owned(),
        }),
    ))
}

impl Told for ReadingsAnswer {
    fn text(&self, width: usize) -> String {
        render::readings::text(self, width)
    }
}
