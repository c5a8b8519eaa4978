//! `remedy`: what could be done about must-fits that miss.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::quantity::Unit;
use strongback_model::remedy::{Made, Remedies, remedies};

use super::{CAUTION, Told, locate, progress, to_json};
use crate::Status;
use crate::args;
use crate::load::{Refused, load};
use crate::render;

/// What `remedy` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RemedyAnswer {
    /// The verdict in one line.
    pub verdict: String,
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// The deviation and the changes after which it is asked; nothing for the plan.
    pub deviation: String,
    /// What could be done.
    pub remedies: Remedies,
    /// What to keep in mind.
    pub caution: String,
}

pub(super) fn run(args: &args::Remedy) -> Result<(Status, Box<dyn Told>), Refused> {
    let loaded = load(&args.model)?.with_record(args.changes.as_built)?;
    let plan = locate::solve(&loaded, &loaded.document)?;
    let changed = loaded.changed(args.deviation.as_deref(), &args.changes)?;
    let progress = progress(&loaded);
    let made = Made {
        layout: &plan.layout,
        progress: &progress,
    };
    let found = locate::with_solution(&loaded, &changed.document, |solved, _| {
        remedies(&changed.document, solved, made)
    })?;
    let status = if found.miss.is_empty() && found.open.is_empty() {
        Status::Well
    } else {
        Status::Amiss
    };
    Ok((
        status,
        Box::new(RemedyAnswer {
            verdict: render::remedy::verdict(&found),
            unit: plan.layout.unit,
            deviation: changed.name,
            remedies: found,
            caution: CAUTION.to_owned(),
        }),
    ))
}

impl Told for RemedyAnswer {
    fn text(&self, width: usize) -> String {
        render::remedy::text(self, width)
    }

    fn json(&self) -> serde_json::Result<String> {
        to_json(self)
    }
}
