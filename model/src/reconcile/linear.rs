//! Measurements to first order. In: a solution. Out: what each measurement comes to there, and its derivatives by the figures of
//! the plan. Millimetres and radians; positive as the measurement counts.

use std::collections::{BTreeMap, BTreeSet};

use strongback_solver::{Measure, Var};

use crate::assembly::{AssembledMeasurement, Label, Solved, TOLERANCE_IN_DEVIATIONS, Tolerances};
use crate::measurement::Counts;

/// A rate below this is the rounding of products that cancel.
const COUNTS: f64 = 1e-9;

/// The measurements that can be compared with the plan, and the plan itself.
pub(super) struct Comparison<'s, 'a> {
    /// The plan's solution.
    pub(super) plan: &'s Solved<'a>,
    tolerances: Tolerances<'a>,
    /// What can be compared.
    pub(super) rows: Vec<Row<'a>>,
    /// What can't: the position among all measurements, and what is loose.
    pub(super) open: BTreeMap<usize, Vec<String>>,
}

/// A measurement that can be compared.
pub(super) struct Row<'a> {
    /// Its position among all measurements.
    pub(super) at: usize,
    pub(super) measurement: &'a AssembledMeasurement,
    /// +1, or -1 where a tape reads the other way.
    sense: f64,
    /// At the plan.
    pub(super) plan: Linear,
}

/// A measurement at a solution.
pub(super) struct Linear {
    /// What it comes to.
    pub(super) value: f64,
    /// Its derivatives by given variables.
    pub(super) by: Vec<(Var, f64)>,
}

impl AssembledMeasurement {
    /// Whether it is an angle.
    pub(super) fn is_angle(&self) -> bool {
        self.equation.measure() == Measure::Angle
    }
}

impl<'s, 'a> Comparison<'s, 'a> {
    /// Looks all measurements up at the plan.
    pub(super) fn of(plan: &'s Solved<'a>) -> Self {
        let assembly = plan.assembly;
        let mut comparison = Self {
            plan,
            tolerances: Tolerances::of(assembly),
            rows: Vec::new(),
            open: BTreeMap::new(),
        };
        for (at, measurement) in assembly.measurements.iter().enumerate() {
            if plan.solution.rests_on_loose(&measurement.equation) {
                comparison.open.insert(at, loose(plan, measurement));
                continue;
            }
            let plan = linear(plan, measurement, 1.0);
            let sense = match measurement.counts {
                Counts::EitherWay if plan.value < 0.0 => -1.0,
                Counts::EitherWay | Counts::Signed => 1.0,
            };
            let by = plan.by.into_iter().map(|(var, by)| (var, sense * by));
            comparison.rows.push(Row {
                at,
                measurement,
                sense,
                plan: Linear {
                    value: sense * plan.value,
                    by: by.collect(),
                },
            });
        }
        comparison
    }

    /// All measurements at another solution of the same plan.
    pub(super) fn at(&self, solved: &Solved<'_>) -> Vec<Linear> {
        self.rows
            .iter()
            .map(|row| linear(solved, row.measurement, row.sense))
            .collect()
    }

    /// The standard deviation of a figure, if it states a tolerance: millimetres or radians.
    pub(super) fn deviation(&self, var: Var) -> Option<f64> {
        let deviation = self.tolerances.of_figure(var)?.within / TOLERANCE_IN_DEVIATIONS;
        (deviation > 0.0 && deviation.is_finite()).then_some(deviation)
    }

    /// What a variable is.
    pub(super) fn label(&self, var: Var) -> Option<&'a Label> {
        self.plan.assembly.quantities.label(var)
    }

    /// What the plan states for a figure.
    pub(super) fn stated(&self, var: Var) -> f64 {
        self.plan.assembly.system.get(var).value
    }

    /// What the rest of a figure comes to that is written as a sum, such as `bay` in `bay - 1/8 in`: it is told whole. Other figures
    /// of it count as in `values`, or as the plan has them.
    pub(super) fn rest(&self, var: Var, values: impl Fn(Var) -> Option<f64>) -> f64 {
        let plan = self.plan.solution.state();
        let whole = self.plan.assembly.quantities.whole(var);
        let rest = whole.terms.iter().filter(|(other, _)| *other != var);
        let rest =
            rest.map(|(other, by)| by * values(*other).unwrap_or_else(|| plan.value(*other)));
        whole.constant + rest.sum::<f64>()
    }

    /// What the plan says of a figure, all of it.
    pub(super) fn says(&self, var: Var) -> f64 {
        self.stated(var) + self.rest(var, |_| None)
    }

    /// Whether a figure is an angle.
    pub(super) fn is_angle(&self, var: Var) -> bool {
        self.plan.assembly.system.get(var).measure == Measure::Angle
    }

    /// The figures that a measurement rests on and that are held exact, with its rates by them; a figure of nought, such as a
    /// place at the datum, left out.
    pub(super) fn exact_behind(&self, row: &Row<'_>) -> Vec<(Var, f64)> {
        let held = |(var, rate): &&(Var, f64)| {
            self.deviation(*var).is_none() && self.stated(*var) != 0.0 && rate.abs() > COUNTS
        };
        row.plan.by.iter().filter(held).copied().collect()
    }

    /// All figures that measurements rest on and that are held exact.
    pub(super) fn exact(&self) -> Vec<String> {
        let all = self.rows.iter().flat_map(|row| self.exact_behind(row));
        let vars: BTreeSet<Var> = all.map(|(var, _)| var).collect();
        self.names(vars)
    }

    /// The names of figures, each once.
    pub(super) fn names(&self, vars: impl IntoIterator<Item = Var>) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        for label in vars.into_iter().filter_map(|var| self.label(var)) {
            let name = label.told();
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }

    /// Whether a measurement rests on a figure, and on no other that states a tolerance.
    pub(super) fn measures_by_itself(&self, row: &Row<'_>, var: Var) -> bool {
        let mut counts = row
            .plan
            .by
            .iter()
            .filter(|(its, rate)| self.deviation(*its).is_some() && rate.abs() > COUNTS);
        counts.next().is_some_and(|(its, _)| *its == var) && counts.next().is_none()
    }

    /// What a measurement is off the plan by, over its standard deviation: its uncertainty and the tolerances behind it, both
    /// before any adjustment.
    pub(super) fn off(&self, row: &Row<'_>) -> f64 {
        let by_figures = row.plan.by.iter().filter_map(|(var, rate)| {
            let deviation = self.deviation(*var)?;
            Some((rate * deviation).powi(2))
        });
        let variance = row.measurement.uncertainty.powi(2) + by_figures.sum::<f64>();
        (row.measurement.value - row.plan.value).abs() / variance.sqrt()
    }
}

fn linear(solved: &Solved<'_>, measurement: &AssembledMeasurement, sense: f64) -> Linear {
    let told = solved.solution.sensitivity(&measurement.equation);
    let told = told.into_iter().next().unwrap_or_default();
    // an angle's row is radians times the reference length
    let unit = if measurement.is_angle() {
        sense / solved.assembly.system.reference_length()
    } else {
        sense
    };
    Linear {
        value: unit * told.value,
        by: told
            .givens
            .into_iter()
            .map(|(var, by)| (var, unit * by))
            .collect(),
    }
}

/// What a measurement rests on that nothing settles.
fn loose(solved: &Solved<'_>, measurement: &AssembledMeasurement) -> Vec<String> {
    let told = solved.solution.sensitivity(&measurement.equation);
    let vars = told.into_iter().flat_map(|row| row.loose);
    let mut names: Vec<String> = Vec::new();
    for (var, _) in vars {
        let label = solved.assembly.quantities.label(var);
        let name = label.map(Label::told).unwrap_or_default();
        if !name.is_empty() && !names.contains(&name) {
            names.push(name);
        }
    }
    names
}
