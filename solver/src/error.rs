//! Why there is no solution to show.

use thiserror::Error;

use crate::system::EquationId;

/// A solve that must not print a table.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum SolveError {
    /// The search ended away from a solution although the equation is not shown to be at odds with
    /// others: another start may help.
    #[error("the search did not come to rest: an equation is still off by {miss:.3e}")]
    NotConverged {
        /// The equation that is furthest from holding.
        equation: EquationId,
        /// Its residual: millimetres, or radians times the reference length.
        miss: f64,
    },
    /// A value that is no finite number was given.
    #[error("an equation has no finite value at the start")]
    NotFinite {
        /// The equation.
        equation: EquationId,
    },
    /// The choice of what to keep went round and round.
    #[error("no set of equations to keep was found in {rounds} rounds")]
    NoBasis {
        /// Rounds tried.
        rounds: usize,
        /// An equation that was kept in one round and not in the next.
        equation: EquationId,
    },
}

impl SolveError {
    pub(crate) fn not_converged(equation: EquationId, miss: f64) -> Self {
        SolveError::NotConverged { equation, miss }
    }

    /// The equation that the error is about.
    pub fn equation(&self) -> EquationId {
        match self {
            SolveError::NotConverged { equation, .. }
            | SolveError::NotFinite { equation }
            | SolveError::NoBasis { equation, .. } => *equation,
        }
    }
}
