//! Adjustment of observations by weighted least squares, and the search for blunders among them. In: a linear, or linearised,
//! model `A x = l + v` with a standard deviation σ for each observation, in any units. Out: the unknowns x, the residuals
//! v = A x − l, how far each observation is checked by the others (redundancy numbers), and by which it looks false.
//!
//! Method: QR of the weighted matrix; W. Baarda, "A testing procedure for use in geodetic networks" (Netherlands Geodetic
//! Commission, 1968), for the tests; A. J. Pope, NOAA TR NOS 65 NGS 1 (1976), where σ₀ is estimated.

mod fit;
mod snooping;

use std::collections::BTreeSet;

use nalgebra::{DMatrix, DVector};
use thiserror::Error;

pub use fit::{Adjustment, Observed, Use};
pub use snooping::{Member, Scale, Snooped, Snooping, Suspect};

/// Non-centrality δ₀ for a test of 0.1 % that finds a blunder in 80 of 100 cases (Baarda; the figure from memory).
pub const DELTA0: f64 = 4.13;

/// What normalised residuals exceed in one of a thousand cases without any blunder: two-sided, of the normal distribution.
pub const CRITICAL: f64 = 3.29;

/// Weighted coefficients and values this large can't be squared and summed.
const LARGEST: f64 = 1e150;

/// Observations of linear combinations of unknowns.
#[derive(Clone, Debug, PartialEq)]
pub struct Observations {
    design: DMatrix<f64>,
    values: DVector<f64>,
    deviations: DVector<f64>,
    /// The largest blunder that each may be suspected of.
    bounds: Vec<f64>,
}

/// Why there is no adjustment.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum AdjustmentError {
    /// The matrix and the two lists are not of one length.
    #[error("{rows} rows, {values} values and {deviations} standard deviations don't go together")]
    Lengths {
        /// Rows of the matrix.
        rows: usize,
        /// Observed values.
        values: usize,
        /// Standard deviations.
        deviations: usize,
    },
    /// A coefficient or a value is no finite number, or none that can be computed with once it is weighted.
    #[error("observation {observation} is no finite number")]
    NotFinite {
        /// The observation.
        observation: usize,
    },
    /// A standard deviation is not greater than zero.
    #[error("the standard deviation of observation {observation} is not greater than zero")]
    NoDeviation {
        /// The observation.
        observation: usize,
    },
    /// No observation settles these unknowns, or only combinations of them.
    #[error("{} unknowns are not determined by the observations", unknowns.len())]
    Undetermined {
        /// The unknowns that can still change.
        unknowns: Vec<usize>,
    },
}

impl Observations {
    /// `design`: a row for each observation, a column for each unknown; `values`: l; `deviations`: σ, each greater than zero.
    ///
    /// # Errors
    /// Lengths that don't go together, numbers that are not finite, a σ that is not greater than zero.
    pub fn new(
        design: DMatrix<f64>,
        values: DVector<f64>,
        deviations: DVector<f64>,
    ) -> Result<Self, AdjustmentError> {
        let rows = design.nrows();
        if values.len() != rows || deviations.len() != rows {
            return Err(AdjustmentError::Lengths {
                rows,
                values: values.len(),
                deviations: deviations.len(),
            });
        }
        for observation in 0..rows {
            let deviation = deviations[observation];
            if !(deviation > 0.0 && deviation.is_finite()) {
                return Err(AdjustmentError::NoDeviation { observation });
            }
            // what overflows once it is weighted and squared is as good as infinite
            let weighted = |value: &f64| (value / deviation).abs() < LARGEST;
            if !design.row(observation).iter().all(weighted) || !weighted(&values[observation]) {
                return Err(AdjustmentError::NotFinite { observation });
            }
        }
        Ok(Self {
            design,
            values,
            deviations,
            bounds: vec![f64::INFINITY; rows],
        })
    }

    /// Says how large a blunder in an observation can be at most: one that would have to be further off is never suspected.
    #[must_use]
    pub fn bounded(mut self, observation: usize, most: f64) -> Self {
        if let Some(bound) = self.bounds.get_mut(observation) {
            *bound = most;
        }
        self
    }

    /// How many observations there are.
    pub fn len(&self) -> usize {
        self.values.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// The adjustment of all observations.
    ///
    /// # Errors
    /// Unknowns that they don't determine.
    pub fn adjust(&self) -> Result<Adjustment, AdjustmentError> {
        self.adjust_without(&BTreeSet::new())
    }

    /// The adjustment of all observations but some; these are only predicted.
    ///
    /// # Errors
    /// Unknowns that the others don't determine.
    pub fn adjust_without(
        &self,
        left_out: &BTreeSet<usize>,
    ) -> Result<Adjustment, AdjustmentError> {
        fit::adjust(self, left_out)
    }

    /// Data snooping: the adjustment without what looks like a blunder, and what that is.
    ///
    /// # Errors
    /// Unknowns that the observations don't determine.
    pub fn snoop(&self, rule: &Snooping) -> Result<Snooped, AdjustmentError> {
        snooping::snoop(self, rule)
    }
}

#[cfg(test)]
mod tests;
