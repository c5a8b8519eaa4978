//! One adjustment. In: observations, and which of them are left out. Out: x with its standard deviations, and for each
//! observation its residual, redundancy number and test statistics.
//!
//! With W = diag(1/σ) A = Q R the adjusted observations vary by h = |qᵢ|² of their σ², redundancy numbers are r = 1 − h, and
//! residuals i and j are correlated by −qᵢ·qⱼ / √(rᵢ rⱼ) (qᵢ: row of Q).

use std::collections::BTreeSet;

use nalgebra::{DMatrix, DVector};

use super::{AdjustmentError, DELTA0, Observations};
use crate::rank::{RowScale, column_pivoted_rank, null_space};

/// Below this redundancy number a residual is rounding: nothing checks the observation.
const UNCONTROLLED: f64 = 1e-9;

/// Whether an observation took part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// It did.
    Adjusted,
    /// It was left out, and is predicted by the others. Its redundancy number and normalised residual are those that it
    /// would have, were it put back.
    Predicted,
}

/// What came of an observation, in its own unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observed {
    /// Whether it took part.
    pub used: Use,
    /// Its adjusted value, or the predicted one.
    pub adjusted: f64,
    /// Standard deviation of the adjusted value, for σ₀ = 1.
    pub deviation: f64,
    /// v: adjusted less observed.
    pub residual: f64,
    /// r, from 0 (nothing checks it) to 1 (the others say all of it): the share of a blunder that shows in v.
    pub redundancy: f64,
    /// v / (σ √r), with its sign, of standard deviation 1 where no blunder is; nothing where nothing checks it.
    pub normalised: Option<f64>,
    /// By how much it is too large, if it alone is false: observed less what the others say.
    pub error: Option<f64>,
    /// The least blunder that the usual test finds in 80 of 100 cases: δ₀ σ / √r.
    pub detectable: Option<f64>,
}

/// An adjustment.
#[derive(Clone, Debug, PartialEq)]
pub struct Adjustment {
    /// x.
    pub unknowns: Vec<f64>,
    /// Standard deviations of x, for σ₀ = 1.
    pub deviations: Vec<f64>,
    /// What came of each observation.
    pub observed: Vec<Observed>,
    /// Σ (v/σ)² over those that took part.
    pub square_sum: f64,
    /// Observations that took part, less unknowns.
    pub degrees_of_freedom: usize,
    /// For each observation that took part its row of Q.
    rows: Vec<Option<DVector<f64>>>,
}

impl Adjustment {
    /// The standard deviation of unit weight estimated from the residuals, √(Σ (v/σ)² / degrees of freedom): about 1 if the
    /// stated ones are right; nothing without a redundant observation.
    pub fn sigma0(&self) -> Option<f64> {
        (self.degrees_of_freedom > 0)
            .then(|| (self.square_sum / self.degrees_of_freedom as f64).sqrt())
    }

    /// The internally studentised residual: the normalised one over the estimated σ₀ (Pope's τ). Of what took part only.
    pub fn studentised(&self, observation: usize) -> Option<f64> {
        let sigma0 = self.sigma0().filter(|sigma0| *sigma0 > 0.0)?;
        Some(self.tested(observation)? / sigma0)
    }

    /// The externally studentised residual: the normalised one over the σ₀ that the other observations give. Of what took
    /// part only.
    pub fn studentised_by_others(&self, observation: usize) -> Option<f64> {
        let others = self.degrees_of_freedom.checked_sub(1).filter(|n| *n > 0)?;
        let normalised = self.tested(observation)?;
        let rest = self.square_sum - normalised * normalised;
        (rest > 0.0).then(|| normalised / (rest / others as f64).sqrt())
    }

    /// Correlation of two residuals, from -1 to 1: near 1 or -1 a blunder in the one looks like a blunder in the other.
    pub fn correlation(&self, a: usize, b: usize) -> Option<f64> {
        let [p, q] = [a, b].map(|at| self.rows.get(at)?.as_ref());
        let checked = |at: usize| {
            let redundancy = self.observed.get(at)?.redundancy;
            (redundancy > UNCONTROLLED).then_some(redundancy)
        };
        let scale = (checked(a)? * checked(b)?).sqrt();
        if a == b {
            return Some(1.0);
        }
        Some((-p?.dot(q?) / scale).clamp(-1.0, 1.0))
    }

    fn tested(&self, observation: usize) -> Option<f64> {
        let observed = self.observed.get(observation)?;
        observed
            .normalised
            .filter(|_| observed.used == Use::Adjusted)
    }
}

/// The least-squares solution of the observations that are not left out.
pub(super) fn adjust(
    all: &Observations,
    left_out: &BTreeSet<usize>,
) -> Result<Adjustment, AdjustmentError> {
    let unknowns = all.design.ncols();
    let used: Vec<usize> = (0..all.len()).filter(|i| !left_out.contains(i)).collect();
    let weighted = DMatrix::from_fn(used.len(), unknowns, |row, column| {
        all.design[(used[row], column)] / all.deviations[used[row]]
    });
    let values = DVector::from_fn(used.len(), |row, _| {
        all.values[used[row]] / all.deviations[used[row]]
    });
    let none = || AdjustmentError::Undetermined {
        unknowns: (0..unknowns).collect(),
    };
    let (q, r) = if unknowns == 0 {
        (DMatrix::zeros(used.len(), 0), DMatrix::zeros(0, 0))
    } else {
        let (q, r) = weighted.clone().qr().unpack();
        if !plainly_determined(&weighted, &r) {
            determined(&weighted)?;
        }
        (q, r)
    };
    let x = r
        .solve_upper_triangular(&q.tr_mul(&values))
        .ok_or_else(none)?;
    // the covariances of x are R⁻¹ R⁻ᵀ: column j of R⁻ᵀ is as long as the standard deviation of x_j
    let spread = r
        .tr_solve_upper_triangular(&DMatrix::identity(unknowns, unknowns))
        .ok_or_else(none)?;
    let deviations = (0..unknowns).map(|j| spread.column(j).norm()).collect();
    let mut rows = vec![None; all.len()];
    for (row, at) in used.iter().enumerate() {
        rows[*at] = Some(q.row(row).transpose());
    }
    let mut square_sum = 0.0;
    let mut observed = Vec::with_capacity(all.len());
    for (at, row) in rows.iter().enumerate() {
        let sigma = all.deviations[at];
        let adjusted = (all.design.row(at) * &x)[0];
        let residual = adjusted - all.values[at];
        let one = match row {
            Some(row) => {
                square_sum += (residual / sigma).powi(2);
                let taken = row.norm_squared().min(1.0);
                Observed {
                    deviation: sigma * taken.sqrt(),
                    ..tested(Use::Adjusted, adjusted, residual, sigma, 1.0 - taken)
                }
            }
            None => {
                let row = all.design.row(at).transpose();
                let spread = r.tr_solve_upper_triangular(&row).ok_or_else(none)?.norm();
                let share = (sigma / sigma.hypot(spread)).powi(2);
                Observed {
                    deviation: spread,
                    ..tested(Use::Predicted, adjusted, residual, sigma, share)
                }
            }
        };
        observed.push(one);
    }
    Ok(Adjustment {
        unknowns: x.iter().copied().collect(),
        deviations,
        observed,
        square_sum,
        degrees_of_freedom: used.len().saturating_sub(unknowns),
        rows,
    })
}

/// The statistics of one residual.
fn tested(used: Use, adjusted: f64, residual: f64, sigma: f64, redundancy: f64) -> Observed {
    let checked = redundancy > UNCONTROLLED;
    // a blunder e shows as v = −r e where it took part, and as v = −e where it did not
    let error = match used {
        Use::Adjusted => -residual / redundancy,
        Use::Predicted => -residual,
    };
    Observed {
        used,
        adjusted,
        deviation: 0.0,
        residual,
        redundancy,
        normalised: checked.then(|| -error * redundancy.sqrt() / sigma),
        error: checked.then_some(error),
        detectable: checked.then(|| DELTA0 * sigma / redundancy.sqrt()),
    }
}

/// Relative to the longest column, after scaling: what is less is rounding.
const DEPENDENT: f64 = 1e-10;

/// Whether each column stands well apart from those before it: by r_jj, of its whole length.
fn plainly_determined(weighted: &DMatrix<f64>, r: &DMatrix<f64>) -> bool {
    let apart = |j: usize| r[(j, j)].abs() > DEPENDENT * weighted.column(j).norm();
    weighted.nrows() >= weighted.ncols() && (0..weighted.ncols()).all(apart)
}

/// Finds fault with unknowns that no observation settles.
fn determined(weighted: &DMatrix<f64>) -> Result<(), AdjustmentError> {
    /// A motion that moves an unknown by less than this, of its own length of 1, leaves it alone.
    const MOVES: f64 = 1e-6;
    let rank = column_pivoted_rank(weighted, RowScale::Free, DEPENDENT).rank;
    if rank == weighted.ncols() {
        return Ok(());
    }
    let free = null_space(weighted, RowScale::Free, DEPENDENT);
    let moves = |row: &usize| free.row(*row).iter().any(|by| by.abs() > MOVES);
    Err(AdjustmentError::Undetermined {
        unknowns: (0..weighted.ncols()).filter(moves).collect(),
    })
}
