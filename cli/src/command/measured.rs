//! `measured`: measurements of the real thing beside the plan.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::assembly::assemble;
use strongback_model::quantity::Unit;
use strongback_model::reconcile::Reconciled;

use super::{Answered, CAUTION, Told};
use crate::Status;
use crate::args;
use crate::load::{Refused, load};
use crate::render;

/// What `measured` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct MeasuredAnswer {
    /// The verdict in one line.
    pub verdict: String,
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// What came of the measurements.
    pub reconciled: Reconciled,
    /// The usual caution.
    pub caution: String,
}

pub(super) fn run(args: &args::Question) -> Result<(Status, Box<dyn Answered>), Refused> {
    let loaded = load(&args.model)?;
    let document = loaded.asked(&args.asked)?;
    let assembly = assemble(&document).map_err(|faults| loaded.refuse(faults))?;
    let refuse = |fault| loaded.refuse(vec![fault]);
    let solved = assembly.solve().map_err(refuse)?;
    let reconciled = solved.reconcile().map_err(refuse)?;
    let reconciled = reconciled.tried_otherwise(&document, &solved);
    let status = if reconciled.is_well() {
        Status::Well
    } else {
        Status::Amiss
    };
    let recorded = match args.asked.as_built || !reconciled.measurements.is_empty() {
        true => 0,
        // a record that can't be read is no matter of the plan
        false => loaded.taken_as(true).map_or(0, |built| {
            let record = built.record.as_ref();
            record.map_or(0, |record| record.measurements.len())
        }),
    };
    let answer = MeasuredAnswer {
        verdict: render::measured::verdict(&reconciled, recorded, assembly.unit),
        unit: assembly.unit,
        reconciled,
        caution: CAUTION.to_owned(),
    };
    Ok((status, Box::new(answer)))
}

impl Told for MeasuredAnswer {
    fn text(&self, width: usize) -> String {
        render::measured::text(self, width)
    }
}
