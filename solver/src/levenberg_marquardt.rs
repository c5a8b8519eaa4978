//! Nonlinear least squares: residuals, Jacobian and a start in, the point of least 0.5 |r|² out, with how the run ended.
//! An `argmin` solver; the parameter may be any manifold, moved by a retraction of a step in its tangent space.
//! Method: J. J. Moré, "The Levenberg-Marquardt algorithm: implementation and theory", Lecture Notes in Mathematics
//! 630 (1978), 105–116; end by the relative offset of D. M. Bates and D. G. Watts, Technometrics 23 (1981), 179–183.

mod damped_step;
mod iteration;
mod settings;
#[cfg(test)]
mod tests;

pub use iteration::LevenbergMarquardt;
pub use settings::{FitError, Settings, Stop};

use argmin::core::{Executor, IterState, Jacobian, Operator};
use nalgebra::{DMatrix, DVector};

/// How a parameter is moved. The Jacobian is by the step, at the step zero.
pub trait Retract {
    /// A point of the manifold.
    type Param;
    /// The point reached from `at` by a tangent step: a sum in a vector space, an exponential map on rotations.
    fn retract(&self, at: &Self::Param, step: &DVector<f64>) -> Self::Param;
}

/// The state that `argmin` carries and shows to observers: point, cost 0.5 |r|² and residuals.
pub type FitState<P> = IterState<P, (), (), (), DVector<f64>, f64>;

/// Outcome of [`minimise`].
#[derive(Clone, Debug)]
pub struct Fit<P> {
    /// The best point found.
    pub point: P,
    /// The residuals there, in the caller's unit.
    pub residuals: DVector<f64>,
    /// How good it is and what it took.
    pub report: Report,
}

/// The account of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// Why the run ended.
    pub stop: Stop,
    /// 0.5 |r|² at the best point.
    pub cost: f64,
    /// Largest absolute residual; 0 when there are none, infinite when one is no number.
    pub largest_residual: f64,
    /// Steps tried, accepted or not.
    pub iterations: u64,
    /// Evaluations of the residual vector.
    pub residual_evaluations: u64,
    /// Evaluations of the Jacobian.
    pub jacobian_evaluations: u64,
}

/// Minimises 0.5 |r|² from `start`.
///
/// # Errors
/// When the problem fails to evaluate or its residuals and Jacobian do not fit each other. A run that does not
/// converge is no error: see [`Report::stop`].
pub fn minimise<O, P>(problem: O, start: P, settings: &Settings) -> Result<Fit<P>, FitError>
where
    O: Operator<Param = P, Output = DVector<f64>>
        + Jacobian<Param = P, Jacobian = DMatrix<f64>>
        + Retract<Param = P>,
    P: Clone,
{
    let outcome = Executor::new(problem, LevenbergMarquardt::new(settings.clone()))
        .configure(|state: FitState<P>| state.param(start))
        .ctrlc(false)
        .timer(false)
        .run()?;
    let count = |name| outcome.problem.counts.get(name).copied().unwrap_or(0);
    let (residual_evaluations, jacobian_evaluations) =
        (count("operator_count"), count("jacobian_count"));
    let mut state = outcome.state;
    let residuals = state.residuals.take().unwrap_or_default();
    Ok(Fit {
        point: state.param.take().ok_or(FitError::NoStart)?,
        report: Report {
            // Only the executor's own limit ends a run without a word of the solver's.
            stop: outcome.solver.stop().unwrap_or(Stop::IterationLimit),
            cost: state.cost,
            // The largest of numbers and not-a-numbers would be a number.
            largest_residual: if state.cost.is_finite() {
                residuals.amax()
            } else {
                f64::INFINITY
            },
            iterations: state.iter,
            residual_evaluations,
            jacobian_evaluations,
        },
        residuals,
    })
}
