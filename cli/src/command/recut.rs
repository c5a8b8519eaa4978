//! `recut`: what a change means for each part, given how far it has been made.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::layout::Worse;
use strongback_model::quantity::Unit;
use strongback_model::record::Departure;
use strongback_model::recut::Verdicts;

use super::trial::solve_all;
use super::{Answered, CAUTION, Told};
use crate::Status;
use crate::args;
use crate::load::Refused;
use crate::record::Basis;
use crate::render;

/// What `recut` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RecutAnswer {
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// The deviations that were adopted: they are part of what is tried beside.
    pub adopted: Vec<String>,
    /// Each deviation by itself.
    pub deviations: Vec<RecutOf>,
    /// What made parts are otherwise than the plan already: no deviation is charged with it.
    pub departures: Vec<Departure>,
    /// What to keep in mind.
    pub caution: String,
    #[serde(skip)]
    pub(crate) basis: Basis,
}

/// What one deviation does to the parts.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RecutOf {
    /// The deviation.
    pub deviation: String,
    /// Its verdict in one line.
    pub verdict: String,
    /// What is to be done with each part.
    pub recut: Verdicts,
    /// Statements at odds that miss by more than before, or only with it.
    pub worse: Vec<Worse>,
}

pub(super) fn run(args: &args::Try) -> Result<(Status, Box<dyn Answered>), Refused> {
    let (ground, tried) = solve_all(args)?;
    let amiss = tried
        .iter()
        .any(|tried| tried.located.status_with_clashes() == Status::Amiss);
    let deviations = tried
        .into_iter()
        .map(|tried| RecutOf {
            verdict: render::verdict::with_clashes(
                &tried.located.layout,
                &tried.located.fits,
                &tried.located.clashes,
            ),
            worse: Worse::of(&ground.plan.layout.at_odds, &tried.located.layout.at_odds),
            recut: tried.recut,
            deviation: tried.name,
        })
        .collect();
    Ok((
        if amiss { Status::Amiss } else { Status::Well },
        Box::new(RecutAnswer {
            unit: ground.plan.layout.unit,
            adopted: ground.adopted(),
            basis: ground.basis().clone(),
            deviations,
            departures: ground.departures(),
            caution: CAUTION.to_owned(),
        }),
    ))
}

impl Told for RecutAnswer {
    fn text(&self, width: usize) -> String {
        render::recut::text(self, width)
    }
}
