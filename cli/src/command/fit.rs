//! `fit`: the must-fits, and metal that runs into metal.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::clash::Clashes;
use strongback_model::fit::Fit;
use strongback_model::quantity::Unit;

use super::{Answered, Told, locate};
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
    /// Metal that runs into metal where nothing says so.
    pub clashes: Clashes,
    /// What is probably a slip of the pen, though it can be built so: sentences.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub doubts: Vec<String>,
}

pub(super) fn run(args: &args::Question) -> Result<(Status, Box<dyn Answered>), Refused> {
    let loaded = load(&args.model)?;
    let document = loaded.asked(&args.asked)?;
    let located = locate::solve(&loaded, &document)?;
    Ok((
        located.status_with_clashes(),
        Box::new(FitAnswer {
            verdict: render::verdict::with_clashes(
                &located.layout,
                &located.fits,
                &located.clashes,
            ),
            unit: located.layout.unit,
            fits: located.fits,
            clashes: located.clashes,
            doubts: located.layout.doubts,
        }),
    ))
}

impl Told for FitAnswer {
    fn text(&self, width: usize) -> String {
        render::fit::text(self, width)
    }
}
