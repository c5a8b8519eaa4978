//! `fit`: the must-fits.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::fit::Fit;
use strongback_model::quantity::Unit;

use super::{Told, locate, to_json};
use crate::Status;
use crate::args;
use crate::load::{Refused, load};
use crate::render;

/// What `fit` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FitAnswer {
    /// The verdict in one line.
    pub verdict: String,
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// The must-fits.
    pub fits: Vec<Fit>,
}

pub(super) fn run(args: &args::Fit) -> Result<(Status, Box<dyn Told>), Refused> {
    let loaded = load(&args.model)?;
    let document = loaded.asked(&args.asked)?;
    let located = locate::solve(&loaded, &document)?;
    Ok((
        located.status(),
        Box::new(FitAnswer {
            verdict: render::verdict::of(&located.layout, &located.fits),
            unit: located.layout.unit,
            fits: located.fits,
        }),
    ))
}

impl Told for FitAnswer {
    fn text(&self, width: usize) -> String {
        render::fits::text(self, width)
    }

    fn json(&self) -> serde_json::Result<String> {
        to_json(self)
    }
}
