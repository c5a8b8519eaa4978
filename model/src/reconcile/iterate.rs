//! The adjustment, iterated. In: the measurements at the plan. Out: corrected figures, the adjustment at the last of them, and
//! the layout that follows. Gauss-Newton: the plan is solved with the corrected figures, linear again there, and so on.

use std::collections::BTreeMap;

use nalgebra::{DMatrix, DVector};
use strongback_solver::Var;
use strongback_solver::adjustment::{AdjustmentError, Observations, Snooped, Snooping};

use super::Ended;
use super::linear::{Comparison, Linear};
use crate::layout::Layout;
use crate::quantity::MM_PER_INCH;
use crate::source::{Code, Fault};

/// Corrections count as settled when none changes by more than this many standard deviations.
const SETTLED: f64 = 1e-7;
/// The plan is solved anew at most so many times: a few do where anything comes of it.
const SOLVES: usize = 15;

/// What an adjustment came to.
pub(super) struct Run {
    /// The figures that have observations of their own, in this order after the measurements.
    pub(super) figures: Vec<Figure>,
    /// The adjustment at the last solution; observations are measurements, then figures, each less its value there.
    pub(super) snooped: Snooped,
    /// How it ended.
    pub(super) ended: Ended,
    /// The adjusted layout; nothing if it is the plan's.
    pub(super) layout: Option<Layout>,
}

/// A figure of the plan that may be corrected, in millimetres or radians.
pub(super) struct Figure {
    pub(super) var: Var,
    pub(super) deviation: f64,
    /// The corrected value.
    pub(super) value: f64,
}

/// Adjusts until the corrections settle.
pub(super) fn run(comparison: &Comparison<'_, '_>) -> Result<Run, Fault> {
    let mut values: BTreeMap<Var, f64> = BTreeMap::new();
    let mut layout = None;
    let mut before: Option<Vec<usize>> = None;
    let mut solves = 0;
    let plan: Vec<&Linear> = comparison.rows.iter().map(|row| &row.plan).collect();
    let mut step = Step::of(comparison, &plan, &mut values)?;
    loop {
        let set_aside = step.set_aside();
        let still = step.largest() <= SETTLED && before.as_ref().is_none_or(|b| *b == set_aside);
        if still {
            return Ok(step.end(&values, Ended::Settled { solves }, layout));
        }
        step.take(&mut values);
        before = Some(set_aside);
        let estimated = |why: String| Ended::Estimated { why };
        if solves == SOLVES {
            let why = estimated("the corrections did not settle".to_owned());
            return Ok(step.end(&values, why, layout));
        }
        let mut assembly = comparison.plan.assembly.clone();
        for (var, value) in &values {
            assembly.system.set_given(*var, *value);
        }
        let solved = match assembly.solve() {
            Ok(solved) => solved,
            Err(fault) => return Ok(step.end(&values, estimated(fault.message), layout)),
        };
        solves += 1;
        let there = comparison.at(&solved);
        let there: Vec<&Linear> = there.iter().collect();
        layout = Some(solved.layout());
        step = match Step::of(comparison, &there, &mut values) {
            Ok(next) => next,
            Err(fault) => return Ok(step.end(&values, estimated(fault.message), layout)),
        };
    }
}

/// One adjustment, of first order.
struct Step {
    vars: Vec<(Var, f64)>,
    snooped: Snooped,
}

impl Step {
    /// Adjusts measurements and figures at a solution; figures met for the first time are entered with what the plan states.
    fn of(
        comparison: &Comparison<'_, '_>,
        there: &[&Linear],
        values: &mut BTreeMap<Var, f64>,
    ) -> Result<Self, Fault> {
        for (var, _) in there.iter().flat_map(|row| &row.by) {
            if comparison.deviation(*var).is_some() {
                values
                    .entry(*var)
                    .or_insert_with(|| comparison.stated(*var));
            }
        }
        let vars: Vec<(Var, f64)> = values
            .keys()
            .filter_map(|var| Some((*var, comparison.deviation(*var)?)))
            .collect();
        let (measurements, figures) = (there.len(), vars.len());
        let mut design = DMatrix::zeros(measurements + figures, figures);
        let mut observed = DVector::zeros(measurements + figures);
        let mut deviations = DVector::zeros(measurements + figures);
        for (row, (linear, stated)) in there.iter().zip(&comparison.rows).enumerate() {
            for (var, by) in &linear.by {
                if let Ok(column) = vars.binary_search_by_key(var, |(var, _)| *var) {
                    design[(row, column)] += by;
                }
            }
            observed[row] = stated.measurement.value - linear.value;
            deviations[row] = stated.measurement.uncertainty;
        }
        for (column, (var, deviation)) in vars.iter().enumerate() {
            let row = measurements + column;
            design[(row, column)] = 1.0;
            observed[row] = comparison.stated(*var) - values.get(var).copied().unwrap_or_default();
            deviations[row] = *deviation;
        }
        let bounded = |all: Observations| {
            let figures = vars.iter().enumerate();
            figures.fold(all, |all, (column, (var, _))| {
                all.bounded(measurements + column, believable(comparison, *var))
            })
        };
        let snooped = Observations::new(design, observed, deviations)
            .and_then(|all| bounded(all).snoop(&Snooping::default()))
            .map_err(|error| not_weighed(comparison, &error))?;
        Ok(Step { vars, snooped })
    }

    /// The observations set aside, in order.
    fn set_aside(&self) -> Vec<usize> {
        let firsts = self
            .snooped
            .suspects
            .iter()
            .filter_map(|one| one.group.first());
        let mut list: Vec<usize> = firsts.map(|first| first.observation).collect();
        list.sort_unstable();
        list
    }

    /// The largest change, in standard deviations of the figure.
    fn largest(&self) -> f64 {
        let changes = self.vars.iter().zip(&self.snooped.adjustment.unknowns);
        changes
            .map(|((_, deviation), by)| by.abs() / deviation)
            .fold(0.0, f64::max)
    }

    fn take(&self, values: &mut BTreeMap<Var, f64>) {
        for ((var, _), by) in self.vars.iter().zip(&self.snooped.adjustment.unknowns) {
            *values.entry(*var).or_default() += by;
        }
    }

    fn end(self, values: &BTreeMap<Var, f64>, ended: Ended, layout: Option<Layout>) -> Run {
        let figures = self.vars.iter().map(|(var, deviation)| Figure {
            var: *var,
            deviation: *deviation,
            value: values.get(var).copied().unwrap_or_default(),
        });
        Run {
            figures: figures.collect(),
            snooped: self.snooped,
            ended,
            layout,
        }
    }
}

/// How far a figure of the plan may be from what is meant: by itself, or by an inch where it is less, and an angle by half a right
/// angle. A sheet of 1/8 in that would have to be 2 ft thick explains nothing: it is then a figure held exact that is wrong.
pub(super) fn believable(comparison: &Comparison<'_, '_>, var: Var) -> f64 {
    if comparison.is_angle(var) {
        std::f64::consts::FRAC_PI_4
    } else {
        comparison.says(var).abs().max(MM_PER_INCH)
    }
}

fn not_weighed(comparison: &Comparison<'_, '_>, error: &AdjustmentError) -> Fault {
    let at = match error {
        AdjustmentError::NotFinite { observation }
        | AdjustmentError::NoDeviation { observation } => comparison.rows.get(*observation),
        AdjustmentError::Lengths { .. } | AdjustmentError::Undetermined { .. } => None,
    };
    let fault = Fault::error(
        Code::NotSolved,
        format!("the measurements can't be weighed against the plan: {error}"),
    )
    .help("look at the uncertainties and tolerances: one may be out of all proportion");
    match at {
        Some(row) => fault.at(row.measurement.span.clone(), ""),
        None => fault,
    }
}
