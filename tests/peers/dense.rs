//! Dense searches by libraries, for short fuselages. In: equations and their start. Out: where each ended, with the steps taken.
//!
//! - argmin's Gauss-Newton inverts JᵀJ in each step; full steps.
//! - The `levenberg-marquardt` crate is a port of MINPACK's lmder: a dense QR in each step, a trust region. Its first step
//!   may be as long as it likes.

use std::cell::RefCell;

use argmin::core::{Error, Executor, Jacobian, Operator, State};
use argmin::solver::gaussnewton::GaussNewton;
use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, Owned};

use super::equations::Equations;
use super::evaluate::Evaluator;
use super::gauss_newton::Ended;

struct Dense<'a> {
    equations: &'a Equations,
    evaluator: RefCell<Evaluator<'a>>,
    x: DVector<f64>,
    steps: usize,
}

impl<'a> Dense<'a> {
    fn new(equations: &'a Equations, evaluator: &Evaluator<'a>) -> Self {
        Self {
            equations,
            evaluator: RefCell::new(evaluator.clone()),
            x: DVector::from_column_slice(&equations.start),
            steps: 0,
        }
    }

    fn residuals_at(&self, x: &DVector<f64>) -> (DVector<f64>, f64) {
        let mut evaluator = self.evaluator.borrow_mut();
        let largest = evaluator.evaluate(x.as_slice());
        (DVector::from_column_slice(&evaluator.residuals), largest)
    }

    fn jacobian_at(&self, x: &DVector<f64>) -> DMatrix<f64> {
        let mut evaluator = self.evaluator.borrow_mut();
        evaluator.evaluate(x.as_slice());
        evaluator.differentiate(x.as_slice());
        let sparse = &evaluator.jacobian;
        let mut dense = DMatrix::zeros(sparse.rows(), sparse.columns);
        for row in 0..sparse.rows() {
            let (columns, values) = sparse.row(row);
            for (column, value) in columns.iter().zip(values) {
                dense[(row, *column)] = *value;
            }
        }
        dense
    }
}

impl Operator for Dense<'_> {
    type Param = DVector<f64>;
    type Output = DVector<f64>;

    fn apply(&self, x: &DVector<f64>) -> Result<DVector<f64>, Error> {
        Ok(self.residuals_at(x).0)
    }
}

impl Jacobian for Dense<'_> {
    type Param = DVector<f64>;
    type Jacobian = DMatrix<f64>;

    fn jacobian(&self, x: &DVector<f64>) -> Result<DMatrix<f64>, Error> {
        Ok(self.jacobian_at(x))
    }
}

/// argmin's method of Gauss and Newton. It ends when the root of the sum of squares is within what the equations ask.
///
/// # Errors
/// What argmin says.
pub fn argmin_gauss_newton(
    equations: &Equations,
    evaluator: &mut Evaluator<'_>,
) -> Result<Ended, String> {
    let problem = Dense::new(equations, evaluator);
    let start = problem.x.clone();
    // ended by the target alone
    let solver = GaussNewton::new()
        .with_tolerance(f64::MIN_POSITIVE)
        .map_err(|error| error.to_string())?;
    let ended = Executor::new(problem, solver)
        .configure(|state| {
            state
                .param(start)
                .max_iters(50)
                .target_cost(equations.within)
        })
        .timer(false)
        .run()
        .map_err(|error| error.to_string())?;
    let best = ended.state().get_best_param().ok_or("no place found")?;
    Ok(Ended {
        x: best.as_slice().to_vec(),
        steps: ended.state().get_iter() as usize,
    })
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for Dense<'_> {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;
    type ParameterStorage = Owned<f64, Dyn>;

    fn set_params(&mut self, x: &DVector<f64>) {
        self.x.copy_from(x);
        self.steps += 1;
    }

    fn params(&self) -> DVector<f64> {
        self.x.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        Some(self.residuals_at(&self.x).0)
    }

    /// Ends the search, by having none, where the residuals are within what is asked.
    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let (_, largest) = self.residuals_at(&self.x);
        (largest > self.equations.within).then(|| self.jacobian_at(&self.x))
    }
}

/// The first step may be so many times as long as the start is far from zero.
const STEP_BOUND: f64 = 1e16;

/// The `levenberg-marquardt` crate.
///
/// # Errors
/// How it ended, if not within what the equations ask.
pub fn levenberg_marquardt(
    equations: &Equations,
    evaluator: &mut Evaluator<'_>,
) -> Result<Ended, String> {
    let solver = LevenbergMarquardt::new()
        .with_tol(0.0)
        .with_stepbound(STEP_BOUND);
    let (problem, report) = solver.minimize(Dense::new(equations, evaluator));
    let (_, largest) = problem.residuals_at(&problem.x);
    if largest > equations.within {
        return Err(format!("{largest:.1e} mm, {:?}", report.termination));
    }
    Ok(Ended {
        x: problem.x.as_slice().to_vec(),
        steps: problem.steps,
    })
}
