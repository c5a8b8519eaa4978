//! One must-fit from its measures to its stack-up. In: its equations, or the parts between which a clearance is measured. Out:
//! samples of each, put together with the linear estimate. What the must-fit demands is held as stated.

use strongback_solver::{Affine, Equation, Observed, State, Variation};

use super::linear::{self, Rates};
use super::sources::Varied;
use super::statistics::Chance;
use super::{ENOUGH, Sampling, Stack, StackVerdict, StackedMeasure};
use crate::assembly::{AssembledFit, Solved};
use crate::fit::{Measured, clearance};
use crate::layout::At;
use crate::must_fit::{Body, Measure};

/// What a measure is compared with. Millimetres or degrees.
#[derive(Clone, Debug)]
pub(super) struct Demand {
    pub(super) what: String,
    pub(super) angle: bool,
    pub(super) unsigned: bool,
    pub(super) nominal: f64,
    pub(super) least: Option<f64>,
    pub(super) most: Option<f64>,
}

impl Demand {
    /// Whether a value will do; what could not be measured doesn't.
    pub(super) fn takes(&self, value: f64) -> bool {
        Measured::new(String::new(), self.angle, value, self.least, self.most).holds()
    }
}

impl Solved<'_> {
    /// The stack-up of one must-fit, of a clearance with at most so many samples.
    pub(super) fn stack_one(
        &self,
        fit: &AssembledFit,
        varied: &[Varied],
        sampling: Sampling,
        clearances: usize,
    ) -> Stack {
        let mut stack = Stack {
            name: fit.name.clone(),
            kind: fit.word.to_owned(),
            verdict: StackVerdict::Open,
            disputed: self.disputes(fit),
            chance: None,
            spread: sampling.spread,
            seed: sampling.seed,
            measures: Vec::new(),
            remark: None,
            held: Vec::new(),
        };
        if !fit.measures.iter().all(|one| self.rests_on_settled(one)) {
            return stack;
        }
        stack.remark = fit.measures.iter().find_map(|one| match one {
            Measure::Clearance { between, .. } => self.unmeasurable(between),
            _ => None,
        });
        if stack.remark.is_some() {
            stack.verdict = StackVerdict::Unmeasured;
            return stack;
        }
        let clear = |measure: &Measure| matches!(measure, Measure::Clearance { .. });
        let samples = if fit.measures.iter().any(clear) {
            sampling.samples.min(clearances)
        } else {
            sampling.samples
        };
        let variations: Vec<Variation> = varied.iter().map(Varied::variation).collect();
        let observed = fit.measures.iter().map(|one| self.observed(fit, one));
        let sampler = self.solution.sampler(&variations, observed.collect());
        let drawn = sampler.sample(samples, sampling.seed, sampling.spread.solvers());
        let mut all_fit = vec![true; samples];
        for (at, (measure, mut values)) in fit.measures.iter().zip(drawn.values).enumerate() {
            let plan = self.demand(fit, measure);
            if plan.angle {
                values
                    .iter_mut()
                    .for_each(|value| *value = value.to_degrees());
            }
            for (all, value) in all_fit.iter_mut().zip(&values) {
                *all &= plan.takes(*value);
            }
            let rates = match self.equation(fit, measure) {
                Some(equation) => self.rates(&equation, varied),
                None => Rates::by_differences(&sampler, at, varied, sampling.spread.solvers()),
            };
            stack.held.extend(self.held(fit, measure, varied));
            stack.measures.push(linear::stacked(
                plan,
                &rates,
                varied,
                values,
                sampling.spread.solvers(),
                |off| sampler.at(off).get(at).copied(),
            ));
        }
        stack.held.sort_unstable();
        stack.held.dedup();
        stack.measures.sort_by(|a, b| {
            let share = a.chance.share.total_cmp(&b.chance.share);
            share.then(b.tightness().total_cmp(&a.tightness()))
        });
        let chance = Chance::of(all_fit.iter().filter(|fits| **fits).count(), samples);
        stack.chance = stack.varies().then_some(chance);
        let as_drawn = stack.measures.iter().all(StackedMeasure::fits_as_drawn);
        stack.verdict = match stack.chance {
            _ if !as_drawn => StackVerdict::Misses,
            None => StackVerdict::NotJudged,
            Some(chance) if chance.share >= ENOUGH => StackVerdict::Fits,
            Some(_) => StackVerdict::AtRisk,
        };
        stack
    }

    /// The equation that is measured; none for a clearance.
    pub(super) fn equation(&self, fit: &AssembledFit, measure: &Measure) -> Option<Equation> {
        match measure {
            Measure::Zero { equation, .. } | Measure::Within { equation, .. } => {
                Some(self.as_demanded(fit, equation))
            }
            Measure::Clearance { .. } => None,
        }
    }

    /// An equation with what the must-fit demands held as stated.
    fn as_demanded(&self, fit: &AssembledFit, equation: &Equation) -> Equation {
        let Some(figure) = equation.figure() else {
            return equation.clone();
        };
        let state = self.solution.state();
        let mut held = Affine::constant(figure.constant);
        for (var, coefficient) in &figure.terms {
            held = held.plus(&if fit.figures.contains(var) {
                Affine::constant(state.value(*var) * coefficient)
            } else {
                Affine::var(*var).times(*coefficient)
            });
        }
        equation.clone().with_figure(held)
    }

    pub(crate) fn observed<'m>(&'m self, fit: &AssembledFit, measure: &Measure) -> Observed<'m> {
        let between = match measure {
            Measure::Zero { equation, .. } | Measure::Within { equation, .. } => {
                return Observed::Miss(Box::new(self.as_demanded(fit, equation)));
            }
            Measure::Clearance { between, .. } => between.clone(),
        };
        let system = &self.assembly.system;
        let assembly = self.assembly;
        let mut reads = Vec::new();
        reads.extend(
            between
                .iter()
                .flat_map(|body| &body.figures)
                .flat_map(Affine::vars),
        );
        for part in Body::parts_of(&between, assembly) {
            reads.extend(system.vars_of_body(part.body));
            reads.extend(part.sizes.iter().flat_map(|size| size.resolved.form.vars()));
        }
        Observed::State {
            reads,
            value: Box::new(move |state: &State| {
                let at = At { system, state };
                let [one, other] = [0, 1].map(|which| between[which].solids(assembly, at));
                clearance::between(&one, &other)
            }),
        }
    }

    /// What is measured in the plan, and its limits. What has no sign has no lower limit.
    fn demand(&self, fit: &AssembledFit, measure: &Measure) -> Demand {
        let plan = self.measured(fit, measure);
        let unsigned = match measure {
            Measure::Zero { equation, .. } | Measure::Within { equation, .. } => {
                equation.rows() > 1
            }
            Measure::Clearance { .. } => false,
        };
        Demand {
            least: plan.least.filter(|_| !unsigned),
            what: plan.what,
            angle: plan.angle,
            nominal: plan.value,
            most: plan.most,
            unsigned,
        }
    }
}
