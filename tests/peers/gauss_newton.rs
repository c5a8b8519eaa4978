//! Gauss and Newton's method over a sparse factorisation. In: equations and their start. Out: where it ended, with the steps taken.
//!
//! J s = r in the sense of least squares, x ← x − s, full steps, until the largest residual is within what the equations
//! ask. Undamped: from these starts a trust region never binds, and looking after one costs evaluations.

use super::equations::Equations;
use super::evaluate::Evaluator;
use super::sparse::Factorisation;

/// More steps than this are none that would end.
const MOST_STEPS: usize = 50;

/// Where a search ended.
#[derive(Clone, Debug)]
pub struct Ended {
    pub x: Vec<f64>,
    pub steps: usize,
}

/// Searches from the start, the symbolic analysis included.
///
/// # Errors
/// A factorisation that failed, or steps that didn't end.
pub fn gauss_newton<F: Factorisation>(
    equations: &Equations,
    evaluator: &mut Evaluator<'_>,
) -> Result<Ended, String> {
    let mut x = equations.start.clone();
    let mut factorisation = F::analyse(&evaluator.jacobian)?;
    for steps in 0..MOST_STEPS {
        if evaluator.evaluate(&x) <= equations.within {
            return Ok(Ended { x, steps });
        }
        evaluator.differentiate(&x);
        let mut step = evaluator.residuals.clone();
        factorisation.solve(&evaluator.jacobian, Some(&mut step))?;
        for (x, by) in x.iter_mut().zip(step) {
            *x -= by;
        }
    }
    let largest = evaluator.evaluate(&x);
    Err(format!("{largest:.1e} mm after {MOST_STEPS} steps"))
}
