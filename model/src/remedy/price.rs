//! What a remedy costs. In: its layout beside the one to which parts were made, and how far each has got. Out: the verdicts on the
//! parts, and one cost to rank by; and, before anything is solved, what a candidate may cost.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;
use strongback_solver::Var;

use super::candidates::Candidate;
use super::{Made, Step, StepKind};
use crate::assembly::Solved;
use crate::record::{self, Progress, Stage};
use crate::recut::{Cost, PartVerdict, Standing, Totals, Verdict, verdicts};
use crate::shift::shift;

/// What another reading weighs: a word with the designer.
pub(super) const TAKE: f64 = 0.5;

/// What a remedy costs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Price {
    /// Parts on which work has begun and that don't stay as they are.
    pub made: Vec<PartVerdict>,
    /// What all parts come to.
    pub totals: Totals,
    /// Figures that become others than the drawings'.
    pub departures: usize,
    /// Joints that are packed.
    pub packed: usize,
}

impl Price {
    pub(super) fn of(then: Standing<'_>, made: Made<'_>, steps: &[Step]) -> Price {
        let moves = shift(made.standing.layout, then.layout);
        let verdicts = verdicts(made.standing, then, &moves, made.progress);
        let begun = |stage: Stage| stage != Stage::NotStarted;
        let count = |kind: StepKind| steps.iter().filter(|step| step.kind == kind).count();
        let touched = verdicts.parts.iter().chain(&verdicts.refit);
        let touched = touched.filter(|part| begun(part.stage) && part.verdict != Verdict::AsIs);
        Price {
            made: touched.cloned().collect(),
            departures: count(StepKind::Set) + count(StepKind::Spacer),
            packed: count(StepKind::Pack),
            totals: verdicts.totals,
        }
    }

    /// The less, the cheaper: the cost of the parts, then departures from the drawings, then the joints that are packed.
    pub(super) fn rank(&self) -> (Cost, usize, usize) {
        (self.totals.cost(), self.departures, self.packed)
    }
}

/// Parts by the variables of their sizes and places.
pub(super) struct Follows<'p> {
    sized: BTreeMap<Var, Vec<(record::Made, f64)>>,
    placed: BTreeMap<Var, usize>,
    solved: &'p Solved<'p>,
}

impl<'p> Follows<'p> {
    pub(super) fn of(solved: &'p Solved<'p>, progress: &Progress) -> Self {
        let mut follows = Follows {
            sized: BTreeMap::new(),
            placed: BTreeMap::new(),
            solved,
        };
        for part in &solved.assembly.parts {
            let made = progress.of(&part.name);
            for (var, factor) in part.sizes.iter().flat_map(|size| &size.resolved.form.terms) {
                follows.sized.entry(*var).or_default().push((made, *factor));
            }
            if made.stage == Stage::Fitted {
                for var in part.origin.iter().flat_map(|form| form.vars()) {
                    *follows.placed.entry(var).or_default() += 1;
                }
            }
        }
        follows
    }

    /// All that moves with a candidate, per millimetre.
    fn moved(&self, candidate: &Candidate) -> Vec<(Var, f64)> {
        let figures: Vec<(Var, f64)> = candidate.vars.iter().map(|var| (*var, 1.0)).collect();
        let rows: Vec<_> = candidate.rows.iter().map(|id| (*id, 0, 1.0)).collect();
        let mut moved = self.solved.solution.response(&rows, &figures);
        moved.extend(figures);
        moved
    }

    /// Whether a part that is made gets another size with it: then it matters whether it grows or shrinks.
    pub(super) fn recuts(&self, candidate: &Candidate) -> bool {
        self.moved(candidate).iter().any(|(var, _)| {
            let parts = self.sized.get(var).into_iter().flatten();
            parts
                .into_iter()
                .any(|(made, _)| made.stage != Stage::NotStarted)
        })
    }

    /// What a candidate may cost, in hours, so that sets can be put in an order before they are solved: of no source.
    pub(super) fn weight(&self, candidate: &Candidate) -> f64 {
        const TAKEN_OUT: f64 = 3.0;
        const TOO_SHORT: f64 = 2.0;
        const TRIMMED: f64 = 0.1;
        const NOT_STARTED: f64 = 0.01;
        const PACKED: f64 = 0.001;
        let sense = if candidate.range[1] <= candidate.now {
            -1.0
        } else {
            1.0
        };
        let mut weight = PACKED;
        for (var, by) in self.moved(candidate) {
            for (made, factor) in self.sized.get(&var).into_iter().flatten() {
                weight += match made.stage {
                    Stage::NotStarted => NOT_STARTED,
                    _ if sense * by * factor < 0.0 => TRIMMED,
                    _ => TOO_SHORT + made.hours,
                };
            }
            weight += TAKEN_OUT * self.placed.get(&var).copied().unwrap_or(0) as f64;
        }
        weight
    }
}
