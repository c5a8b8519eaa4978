//! The linear estimate and what it is worth. In: the derivative of a measure by each source, and its samples. Out: worst case,
//! root-sum-square, each source's share, and where the estimate and the samples part.
//!
//! A figure that is used in several places has one derivative, the sum over all of them, and counts once.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_solver::{Equation, Measure as Kind, Sampler, Source, Spread};

use super::sources::Varied;
use super::statistics::{Capability, Chance, Sampled};
use super::{Demand, StackedMeasure};
use crate::assembly::Solved;

/// What a figure brings to the spread of a measure.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Share {
    /// The dimension, size or statement.
    pub name: String,
    /// Its figure in millimetres or degrees; a contact has none.
    pub figure: Option<f64>,
    /// Whether it is an angle.
    pub angle: bool,
    /// Its tolerance to both sides.
    pub within: f64,
    /// Whether the tolerance is the file's, and not its own.
    pub general: bool,
    /// The sheet it stands on.
    pub sheet: Option<String>,
    /// How far the measure moves per unit of it; nothing where it moves it in several ways.
    pub rate: Option<f64>,
    /// What it adds to the worst case.
    pub adds: f64,
    /// Its share of the worst case, in per cent.
    pub of_worst_case: f64,
    /// Its share of the variance, in per cent.
    pub of_variance: f64,
}

/// The linear estimate against the true equations.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LinearCheck {
    /// How far the samples' mean lies from the plan's value; nothing for what has no sign.
    pub mean_shift: Option<f64>,
    /// The samples' spread over the linear one: standard deviations, or root mean squares for what has no sign.
    pub spread_ratio: f64,
    /// The greatest deviation at the corners over the linear worst case.
    pub corner_ratio: Option<f64>,
    /// Which of the three part by more than 5 %, beside what chance explains; none where the estimate can be trusted.
    pub fails: Vec<Fails>,
}

/// Where the linear estimate parts from the true equations.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Fails {
    /// The mean is not the plan's value.
    Mean,
    /// The spread is another.
    Spread,
    /// The worst case is another.
    Corners,
}

/// Derivatives of a measure: positions among the sources, and for each row millimetres or degrees per millimetre or radian.
pub(super) struct Rates(Vec<(usize, [f64; 2])>);

impl Rates {
    /// By central differences, a standard deviation to each side.
    pub(super) fn by_differences(
        sampler: &Sampler<'_, '_>,
        observed: usize,
        varied: &[Varied],
        spread: Spread,
    ) -> Rates {
        /// A difference below this, in millimetres, is the rounding of two distances.
        const ROUNDING: f64 = 1e-6;
        let mut off = vec![0.0; varied.len()];
        let mut rates = Vec::new();
        for at in sampler.relevant() {
            let step = varied[at].within * spread.deviation();
            let [less, more] = [-step, step].map(|by| {
                off[at] = by;
                sampler.at(&off).get(observed).copied().unwrap_or(f64::NAN)
            });
            off[at] = 0.0;
            let rate = (more - less) / (2.0 * step);
            if rate.is_finite() && (more - less).abs() > ROUNDING {
                rates.push((at, [rate, 0.0]));
            }
        }
        Rates(rates)
    }
}

impl Solved<'_> {
    /// The derivatives of an equation's miss.
    pub(super) fn rates(&self, equation: &Equation, varied: &[Varied]) -> Rates {
        let scale = self.assembly.system.reference_length();
        // rows that compare directions are radians times the reference length
        let unit = |kind: Kind| match kind {
            Kind::Length => 1.0,
            Kind::Angle => scale,
        };
        let factor = match equation.measure() {
            Kind::Length => 1.0,
            Kind::Angle => (1.0 / scale).to_degrees(),
        };
        let told = self.solution.sensitivity(equation);
        let mut rates = Vec::new();
        for (at, source) in varied.iter().enumerate() {
            let mut rows = [0.0; 2];
            for (rate, told) in rows.iter_mut().zip(&told) {
                *rate = factor
                    * match source.source {
                        Source::Given(var) => {
                            sum(&told.givens, |(its, rate)| (*its == var).then_some(*rate))
                        }
                        Source::Row(id, row) => {
                            let per = unit(self.assembly.system.get_equation(id).measure());
                            sum(&told.equations, |(its, at, rate)| {
                                (*its == id && *at == row).then_some(rate * per)
                            })
                        }
                    };
            }
            if rows != [0.0; 2] {
                rates.push((at, rows));
            }
        }
        Rates(rates)
    }
}

fn sum<T>(list: &[T], pick: impl Fn(&T) -> Option<f64>) -> f64 {
    list.iter().filter_map(pick).sum()
}

/// Puts together what is known of a measure. `at` gives its value, millimetres or radians, with each source off by so much.
pub(super) fn stacked(
    plan: Demand,
    rates: &Rates,
    varied: &[Varied],
    values: Vec<f64>,
    spread: Spread,
    at: impl Fn(&[f64]) -> Option<f64>,
) -> StackedMeasure {
    let moves = |rows: &[f64; 2]| rows[0].hypot(rows[1]);
    let adds = |(source, rows): &(usize, [f64; 2])| moves(rows) * varied[*source].within;
    let worst_case: f64 = rates.0.iter().map(adds).sum();
    let rss = rates
        .0
        .iter()
        .map(|rate| adds(rate).powi(2))
        .sum::<f64>()
        .sqrt();
    let fitting = values.iter().filter(|value| plan.takes(**value)).count();
    let chance = Chance::of(fitting, values.len());
    let sampled = Sampled::of(values);
    let corners = corners(&plan, rates, varied, at);
    let linear = sampled
        .as_ref()
        .filter(|_| worst_case > 0.0)
        .map(|sampled| {
            check(
                &plan,
                sampled,
                rss * spread.deviation(),
                worst_case,
                corners,
            )
        });
    StackedMeasure {
        worst_case,
        rss,
        corners,
        chance,
        capability: sampled.as_ref().map_or(Capability::default(), |sampled| {
            sampled.capability(plan.least, plan.most)
        }),
        shares: shares(rates, varied, worst_case, rss),
        linear,
        sampled,
        what: plan.what,
        angle: plan.angle,
        unsigned: plan.unsigned,
        nominal: plan.nominal,
        least: plan.least,
        most: plan.most,
    }
}

/// The values at the corners to which the derivatives point; what has no sign has no such corners.
fn corners(
    plan: &Demand,
    rates: &Rates,
    varied: &[Varied],
    at: impl Fn(&[f64]) -> Option<f64>,
) -> Option<[f64; 2]> {
    if plan.unsigned || rates.0.is_empty() {
        return None;
    }
    let value = |sense: f64| {
        let mut off = vec![0.0; varied.len()];
        for (source, rows) in &rates.0 {
            off[*source] = sense * rows[0].signum() * varied[*source].within;
        }
        let value = at(&off).filter(|value| value.is_finite())?;
        Some(if plan.angle {
            value.to_degrees()
        } else {
            value
        })
    };
    let (a, b) = (value(-1.0)?, value(1.0)?);
    Some([a.min(b), a.max(b)])
}

fn check(
    plan: &Demand,
    sampled: &Sampled,
    linear_sd: f64,
    worst_case: f64,
    corners: Option<[f64; 2]>,
) -> LinearCheck {
    /// Apart by more than this, the estimate fails.
    const APART: f64 = 0.05;
    /// Standard errors that chance is given.
    const CHANCE: f64 = 3.0;
    let n = sampled.count as f64;
    let corner_ratio = corners.map(|[least, greatest]| {
        let below = (plan.nominal - least) / worst_case;
        let above = (greatest - plan.nominal) / worst_case;
        if (below - 1.0).abs() > (above - 1.0).abs() {
            below
        } else {
            above
        }
    });
    let mean_shift = (!plan.unsigned).then_some(sampled.mean - plan.nominal);
    let spread_ratio = if plan.unsigned {
        sampled.mean.hypot(sampled.sd) / plan.nominal.hypot(linear_sd)
    } else {
        sampled.sd / linear_sd
    };
    // a normal distribution's standard deviation is known to 1 in √2n, its mean to 1 in √n standard deviations
    let spread_apart = (spread_ratio - 1.0).abs() > APART + CHANCE / (2.0 * n).sqrt();
    let mean_apart = mean_shift
        .is_some_and(|shift| shift.abs() > (APART + CHANCE / n.sqrt()) * sampled.sd.max(linear_sd));
    let corners_apart = corner_ratio.is_some_and(|ratio| (ratio - 1.0).abs() > APART);
    let told = [
        (mean_apart, Fails::Mean),
        (spread_apart, Fails::Spread),
        (corners_apart, Fails::Corners),
    ];
    LinearCheck {
        mean_shift,
        spread_ratio,
        corner_ratio,
        fails: told
            .into_iter()
            .filter_map(|(apart, fails)| apart.then_some(fails))
            .collect(),
    }
}

/// What each source brings; the rows of one statement are told as one.
fn shares(rates: &Rates, varied: &[Varied], worst_case: f64, rss: f64) -> Vec<Share> {
    let mut list: Vec<(usize, Share)> = Vec::new();
    for (source, rows) in &rates.0 {
        let one = &varied[*source];
        let adds = rows[0].hypot(rows[1]) * one.within;
        let of_worst_case = 100.0 * adds / worst_case;
        let of_variance = 100.0 * (adds / rss).powi(2);
        let same = |(other, share): &&mut (usize, Share)| {
            one.is_row() && varied[*other].is_row() && share.name == one.name
        };
        if let Some((_, share)) = list.iter_mut().find(same) {
            share.adds += adds;
            share.of_worst_case += of_worst_case;
            share.of_variance += of_variance;
            share.rate = None;
            continue;
        }
        let per_degree = |value: f64| if one.angle { value.to_radians() } else { value };
        let signed = if rows[1] == 0.0 {
            rows[0]
        } else {
            rows[0].hypot(rows[1])
        };
        list.push((
            *source,
            Share {
                name: one.name.clone(),
                figure: one.figure,
                angle: one.angle,
                within: if one.angle {
                    one.within.to_degrees()
                } else {
                    one.within
                },
                general: one.general,
                sheet: one.sheet.clone(),
                rate: Some(per_degree(signed)),
                adds,
                of_worst_case,
                of_variance,
            },
        ));
    }
    let mut shares: Vec<Share> = list.into_iter().map(|(_, share)| share).collect();
    shares.sort_by(|a, b| {
        b.of_variance
            .total_cmp(&a.of_variance)
            .then_with(|| a.name.cmp(&b.name))
    });
    shares
}
