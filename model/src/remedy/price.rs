//! What a remedy costs. In: its layout beside the one to which parts were made, and how far each has got. Out: parts to make
//! anew or to change, by stage; and, before anything is solved, what a candidate may cost.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;
use strongback_solver::Var;

use super::candidates::{Candidate, How};
use super::{Made, Step, StepKind};
use crate::assembly::Solved;
use crate::layout::Layout;
use crate::record::{Progress, Stage};
use crate::recut::recut;
use crate::shift::shift;

/// What another reading weighs: a word with the designer.
pub(super) const TAKE: f64 = 0.5;

/// What a remedy costs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Price {
    /// Parts already made that come out otherwise.
    pub wrong: Vec<String>,
    /// Parts fitted for good that come to lie elsewhere.
    pub moved: Vec<String>,
    /// Hours put into those.
    pub hours: f64,
    /// Parts not started whose figures change.
    pub not_started: usize,
    /// Pieces of packing.
    pub packing: usize,
}

impl Price {
    pub(super) fn of(layout: &Layout, made: Made<'_>, steps: &[Step]) -> Price {
        let moves = shift(made.layout, layout);
        let recut = recut(made.layout, layout, &moves);
        let mut price = Price::default();
        for part in &recut.parts {
            let so_far = made.progress.of(&part.part);
            if so_far.stage == Stage::NotStarted {
                price.not_started += 1;
            } else {
                price.wrong.push(part.part.clone());
                price.hours += so_far.hours;
            }
        }
        let fitted = |part: &&String| made.progress.of(part).stage == Stage::Fitted;
        price.moved = recut.only_moved.iter().filter(fitted).cloned().collect();
        price.packing = steps
            .iter()
            .filter(|step| step.kind == StepKind::Pack)
            .count();
        price
    }

    /// The less, the cheaper: made parts that are wrong, fitted parts to take out, hours, changes of what is not begun.
    pub(super) fn rank(&self) -> (usize, usize, f64, usize) {
        (
            self.wrong.len(),
            self.moved.len(),
            self.hours,
            self.not_started + self.packing,
        )
    }
}

/// What each candidate may cost: by the parts whose sizes follow it, and the fitted parts that it moves.
pub(super) fn weights(
    solved: &Solved<'_>,
    candidates: &[Candidate],
    progress: &Progress,
) -> Vec<f64> {
    let mut sized: BTreeMap<Var, Vec<f64>> = BTreeMap::new();
    for part in &solved.assembly.parts {
        let stage = progress.of(&part.name).stage;
        let mut note = |var: Var, weight: f64| sized.entry(var).or_default().push(weight);
        for var in part.sizes.iter().flat_map(|size| size.resolved.form.vars()) {
            note(var, remake(stage));
        }
        if stage == Stage::Fitted {
            for var in part.origin.iter().flat_map(|form| form.vars()) {
                note(var, TAKEN_OUT);
            }
        }
    }
    let weight = |candidate: &Candidate| {
        let by = |var: &Var| sized.get(var).into_iter().flatten().sum::<f64>();
        let figures: Vec<(Var, f64)> = candidate.vars.iter().map(|var| (*var, 1.0)).collect();
        let rows: Vec<_> = candidate.rows.iter().map(|id| (*id, 0, 1.0)).collect();
        let moved = solved.solution.response(&rows, &figures);
        let own = match candidate.how {
            How::Adjust => 0.1,
            How::Pack | How::Spacer => 1.0,
            How::Figure => 0.2,
        };
        own + candidate.vars.iter().map(by).sum::<f64>()
            + moved.iter().map(|(var, _)| by(var)).sum::<f64>()
    };
    candidates.iter().map(weight).collect()
}

/// A fitted part that has to come out.
const TAKEN_OUT: f64 = 30.0;

/// A part whose sizes become others: in hours of work, so that sets can be put in an order before they are solved; no source.
fn remake(stage: Stage) -> f64 {
    match stage {
        Stage::NotStarted => 0.5,
        Stage::Cut => 5.0,
        Stage::Drilled => 10.0,
        Stage::Fitted => 40.0,
    }
}
