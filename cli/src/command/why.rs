//! `why`: the chain behind a face, or between two.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::quantity::Unit;
use strongback_model::source::{Code, Fault};
use strongback_model::why::Chain;
use strongback_model::words::Axis;

use super::{Answered, Told};
use crate::Status;
use crate::args::{self, FeatureOrAxis};
use crate::load::{Refused, load};
use crate::render;

/// What `why` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct WhyAnswer {
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// What stations are counted from.
    pub datum: Option<String>,
    /// The chain.
    pub chain: Chain,
}

pub(super) fn run(args: &args::Why) -> Result<(Status, Box<dyn Answered>), Refused> {
    let loaded = load(&args.model)?;
    let document = loaded.asked(&args.asked)?;
    let assembly =
        strongback_model::assembly::assemble(&document).map_err(|faults| loaded.refuse(faults))?;
    let refuse = |fault| loaded.refuse(vec![fault]);
    let solved = assembly.solve().map_err(refuse)?;
    let axis = args.axis.map(Axis::from);
    let chain = match &args.then {
        None => solved.why(&args.feature, axis),
        Some(FeatureOrAxis::Axis(_)) if axis.is_some() => Err(Fault::error(
            Code::Twice,
            "two coordinates are asked for at once",
        )
        .help("one of fs, bl and wl; between two faces: PART.FACE PART.FACE fs")),
        Some(FeatureOrAxis::Axis(word)) => solved.why(&args.feature, Some((*word).into())),
        Some(FeatureOrAxis::Feature(to)) => solved.why_between(&args.feature, to, axis),
    }
    .map_err(refuse)?;
    let status = if chain.loose.is_empty() {
        Status::Well
    } else {
        Status::Amiss
    };
    Ok((
        status,
        Box::new(WhyAnswer {
            unit: assembly.unit,
            datum: assembly.datum.clone(),
            chain,
        }),
    ))
}

impl Told for WhyAnswer {
    fn text(&self, width: usize) -> String {
        render::why::text(self, width)
    }
}
