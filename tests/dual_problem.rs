//! Residuals written once over a generic number, made into a least-squares problem: values by `f64`, the Jacobian by
//! dual numbers, one column at a time. Parameters are plain vectors. Used by the outside checks of the solver.

use argmin::core::{Error, Jacobian, Operator};
use nalgebra::{DMatrix, DVector};
use num_dual::{Dual64, DualNum};
use strongback_solver::levenberg_marquardt::Retract;

/// A residual vector as a function of the parameters.
pub(crate) trait Residuals {
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D>;
}

/// The problem that the solver is given.
pub(crate) struct DualProblem<R>(pub(crate) R);

impl<R: Residuals> Operator for DualProblem<R> {
    type Param = DVector<f64>;
    type Output = DVector<f64>;
    fn apply(&self, x: &DVector<f64>) -> Result<DVector<f64>, Error> {
        Ok(DVector::from_vec(self.0.residuals(x.as_slice())))
    }
}

impl<R: Residuals> Jacobian for DualProblem<R> {
    type Param = DVector<f64>;
    type Jacobian = DMatrix<f64>;
    fn jacobian(&self, x: &DVector<f64>) -> Result<DMatrix<f64>, Error> {
        let mut seeded: Vec<Dual64> = x.iter().map(|&value| Dual64::from(value)).collect();
        let mut columns = Vec::with_capacity(x.len());
        for j in 0..x.len() {
            seeded[j].eps = 1.0;
            let column = self.0.residuals(&seeded).into_iter().map(|r| r.eps);
            columns.push(DVector::from_iterator(column.len(), column));
            seeded[j].eps = 0.0;
        }
        Ok(DMatrix::from_columns(&columns))
    }
}

impl<R> Retract for DualProblem<R> {
    type Param = DVector<f64>;
    fn retract(&self, at: &DVector<f64>, step: &DVector<f64>) -> DVector<f64> {
        at + step
    }
}
