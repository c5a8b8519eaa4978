//! Data snooping. In: observations and a critical value. Out: the adjustment without the observations that look like blunders,
//! each with the others from which it can't be told.
//!
//! The largest normalised residual above the critical value is left out and the rest adjusted again, until none is above; then
//! each is put back if it agrees by now (Baarda 1968). Where residuals are correlated a blunder in one shows in all of them:
//! what explains the data about as well is named together with it (after W. Förstner, "Reliability and discernability of
//! extended Gauss-Markov models", Deutsche Geodätische Kommission A 98, 1983).

use std::collections::BTreeSet;

use super::{Adjustment, AdjustmentError, CRITICAL, Observations, Use};

/// How blunders are searched for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Snooping {
    /// A statistic larger than this, in size, is a suspect.
    pub critical: f64,
    /// What residuals are compared with.
    pub scale: Scale,
}

/// What residuals are compared with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scale {
    /// The standard deviations as they are stated: normalised residuals.
    Stated,
    /// These times the σ₀ of the residuals: internally studentised ones.
    Estimated,
}

impl Default for Snooping {
    fn default() -> Self {
        Self {
            critical: CRITICAL,
            scale: Scale::Stated,
        }
    }
}

/// What came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Snooped {
    /// The adjustment without the first of each suspect's group.
    pub adjustment: Adjustment,
    /// The suspects, in the order in which they were found.
    pub suspects: Vec<Suspect>,
}

/// A blunder: the observations that may be false, the likeliest first. Of these one is, if it is one.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspect {
    /// At least one. The first was left out of the adjustment.
    pub group: Vec<Member>,
}

/// An observation that may be false.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Member {
    /// The observation.
    pub observation: usize,
    /// Its normalised residual before any of the group was left out.
    pub normalised: f64,
    /// By how much it is too large, if it is the false one.
    pub error: f64,
}

/// Two explanations are told apart when the sums of squares that they leave differ by more than this: the square of 1.96, so
/// that the worse one would be taken in one of about twenty cases.
const TOLD_APART: f64 = 3.84;
/// Statistics within this of each other, relative to the larger, are the same but for rounding.
const SAME: f64 = 1e-6;

pub(super) fn snoop(all: &Observations, rule: &Snooping) -> Result<Snooped, AdjustmentError> {
    let mut left_out: Vec<usize> = Vec::new();
    let mut adjustment = all.adjust()?;
    while let Some(worst) = worst(all, &adjustment, rule) {
        left_out.push(worst);
        adjustment = all.adjust_without(&set(&left_out))?;
    }
    let mut at = 0;
    while at < left_out.len() && left_out.len() > 1 {
        let mut others = left_out.clone();
        let one = others.remove(at);
        let with = all.adjust_without(&set(&others))?;
        match statistic(&with, one, rule.scale) {
            Some(value) if value.abs() <= rule.critical => {
                left_out = others;
                adjustment = with;
            }
            _ => at += 1,
        }
    }
    let mut suspects = Vec::new();
    for one in &left_out {
        let others = left_out.iter().copied().filter(|other| other != one);
        let with = all.adjust_without(&others.collect())?;
        let group = group(all, &with, *one, rule);
        if !group.is_empty() {
            suspects.push(Suspect { group });
        }
    }
    Ok(Snooped {
        adjustment,
        suspects,
    })
}

impl Observations {
    /// Whether a blunder of this size can be in an observation.
    fn can_be_off(&self, observation: usize, error: Option<f64>) -> bool {
        let bound = self.bounds.get(observation).copied();
        error.is_some_and(|error| error.abs() <= bound.unwrap_or(f64::INFINITY))
    }
}

fn set(list: &[usize]) -> BTreeSet<usize> {
    list.iter().copied().collect()
}

fn statistic(adjustment: &Adjustment, at: usize, scale: Scale) -> Option<f64> {
    match scale {
        Scale::Stated => adjustment.observed.get(at)?.normalised,
        Scale::Estimated => adjustment.studentised(at),
    }
}

/// The observation that looks most like a blunder; of several that look alike, the first.
fn worst(all: &Observations, adjustment: &Adjustment, rule: &Snooping) -> Option<usize> {
    let mut worst: Option<(usize, f64)> = None;
    for (at, observed) in adjustment.observed.iter().enumerate() {
        if observed.used != Use::Adjusted || !all.can_be_off(at, observed.error) {
            continue;
        }
        let size = statistic(adjustment, at, rule.scale).map_or(0.0, f64::abs);
        let above = worst.map_or(rule.critical, |(_, most)| most * (1.0 + SAME));
        if size > above {
            worst = Some((at, size));
        }
    }
    worst.map(|(at, _)| at)
}

/// An observation with those that explain the data about as well, in an adjustment of which all of them are part.
fn group(
    all: &Observations,
    adjustment: &Adjustment,
    suspect: usize,
    rule: &Snooping,
) -> Vec<Member> {
    let member = |at: usize| {
        let observed = adjustment.observed.get(at)?;
        Some(Member {
            observation: at,
            normalised: observed
                .normalised
                .filter(|_| observed.used == Use::Adjusted)?,
            error: observed.error?,
        })
    };
    let Some(first) = member(suspect) else {
        return Vec::new();
    };
    let unit = match rule.scale {
        Scale::Stated => 1.0,
        Scale::Estimated => adjustment.sigma0().unwrap_or(1.0),
    };
    let as_well = |other: &Member| {
        let Some(correlation) = adjustment.correlation(suspect, other.observation) else {
            return false;
        };
        let [z, z_other] = [first.normalised, other.normalised].map(|z| z / unit);
        let left = 1.0 - correlation * correlation;
        // what is left of the suspect's own statistic once the other one is out
        let explained = left < SAME || {
            let rest = (z - correlation * z_other) / left.sqrt();
            rest.abs() <= rule.critical
        };
        explained && z * z - z_other * z_other <= TOLD_APART
    };
    let mut others: Vec<Member> = (0..adjustment.observed.len())
        .filter(|at| *at != suspect)
        .filter_map(member)
        .filter(|other| all.can_be_off(other.observation, Some(other.error)))
        .filter(as_well)
        .collect();
    // those that are the same but for rounding stay in order
    let place = |one: &Member| (one.normalised / (first.normalised * SAME)).abs().round();
    others.sort_by(|a, b| place(b).total_cmp(&place(a)));
    let mut group = vec![first];
    group.extend(others);
    group
}
