//! A block's rows with the roots that are known divided out, so that a search can't fall back to one of them.
//!
//! In: a block and known roots r. Out: the residuals M F with M = Π (1 + (s/|x − r|)²) and their derivatives, for the
//! Levenberg–Marquardt method. Source: Brown and Gearhart, "Deflation techniques for the calculation of further solutions of a
//! nonlinear system", Numer. Math. 16, 1971, 334–342; the shift by 1: Farrell, Birkisson and Funke, "Deflation techniques
//! for finding distinct solutions of nonlinear partial differential equations", SIAM J. Sci. Comput. 37(4), 2015.

use argmin::core::{Error, Jacobian, Operator};
use nalgebra::{DMatrix, DVector};

use crate::block::{Block, Local};
use crate::levenberg_marquardt::Retract;

/// A block with known roots divided out.
pub(crate) struct Deflated<'b, 'r, 's> {
    pub(crate) block: &'b Block<'r, 's>,
    pub(crate) roots: &'b [Local],
    /// The distance s from a root up to which it pushes off, relative to the reference length. Beyond it M F grows as F does;
    /// much longer than the way to the next root, it would drive the search past that.
    pub(crate) reach: f64,
}

impl Deflated<'_, '_, '_> {
    /// M and its gradient by the columns.
    fn factor(&self, at: &Local) -> (f64, DVector<f64>) {
        let mut factor = 1.0;
        let mut of_logarithm = DVector::zeros(self.block.width());
        for root in self.roots {
            let (square, gradient) = self.block.separation(at, root);
            let reach = self.reach * self.reach;
            factor *= 1.0 + reach / square;
            of_logarithm -= gradient * (reach / (square * (square + reach)));
        }
        (factor, of_logarithm * factor)
    }
}

impl Operator for &Deflated<'_, '_, '_> {
    type Param = Local;
    type Output = DVector<f64>;

    fn apply(&self, at: &Local) -> Result<DVector<f64>, Error> {
        self.block.put(at);
        Ok(self.block.residuals() * self.factor(at).0)
    }
}

impl Jacobian for &Deflated<'_, '_, '_> {
    type Param = Local;
    type Jacobian = DMatrix<f64>;

    fn jacobian(&self, at: &Local) -> Result<DMatrix<f64>, Error> {
        self.block.put(at);
        let (factor, gradient) = self.factor(at);
        let residuals = self.block.residuals();
        Ok(self.block.derivatives() * factor + residuals * gradient.transpose())
    }
}

impl Retract for &Deflated<'_, '_, '_> {
    type Param = Local;

    fn retract(&self, at: &Local, step: &DVector<f64>) -> Local {
        self.block.retract(at, step)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::equation::Equation;
    use crate::geometry::{Affine, Point};
    use crate::rows::Rows;
    use crate::system::System;

    /// A body with a free turn on two legs: derivatives of M F against central differences, along each column.
    #[test]
    fn the_derivatives_are_those_of_the_residuals() {
        let mut system = System::new(500.0);
        let origin = [40.0, -20.0, 300.0]
            .map(|c| Affine::var(system.unknown(c, crate::equation::Measure::Length)));
        let turn = system.free_turn();
        let body = system.body(origin, turn);
        for at in [[100.0, 20.0, -30.0], [-80.0, 60.0, 10.0]] {
            let equation = Equation::Distance {
                from: Point {
                    body: System::FIXED,
                    at: [(); 3].map(|()| Affine::default()),
                },
                to: Point {
                    body,
                    at: at.map(Affine::constant),
                },
                distance: Affine::constant(250.0),
            };
            system.equation(equation, 0);
        }
        let rows = Rows::new(&system);
        let mut state = system.start();
        let block = Block::new(&rows, &[0, 1], &[0, 1, 2, 3, 4, 5], &mut state);
        let root = block.local();
        let step = DVector::from_vec(vec![30.0, 12.0, -25.0, 0.4, -0.3, 0.7]);
        let at = block.retract(&root, &step);
        let problem = Deflated {
            block: &block,
            roots: &[root],
            reach: 0.6,
        };
        let exact = (&problem).jacobian(&at).unwrap();
        for column in 0..6 {
            let h = if column < 3 { 1e-3 } else { 1e-5 };
            let sides = [-h, h].map(|by| {
                let mut step = DVector::zeros(6);
                step[column] = by;
                (&problem).apply(&block.retract(&at, &step)).unwrap()
            });
            let difference = (&sides[1] - &sides[0]) / (2.0 * h);
            let off = (difference - exact.column(column)).amax();
            assert!(
                off < 1e-6 * exact.column(column).amax().max(1.0),
                "{column}: {off}"
            );
        }
    }

    /// Whole turns are no distance, half a turn is the chord 2, and lengths count by the reference length.
    #[test]
    fn a_whole_turn_is_no_separation() {
        let mut system = System::new(500.0);
        system.unknown(0.0, crate::equation::Measure::Angle);
        system.unknown(0.0, crate::equation::Measure::Length);
        let rows = Rows::new(&system);
        let mut state = system.start();
        let block = Block::new(&rows, &[], &[0, 1], &mut state);
        let root = block.local();
        let apart = |angle: f64, length: f64| {
            let at = block.retract(&root, &DVector::from_vec(vec![angle, length]));
            block.separation(&at, &root).0.sqrt()
        };
        let turn = std::f64::consts::TAU;
        for (angle, length, expected) in
            [(turn, 0.0, 0.0), (0.5 * turn, 0.0, 2.0), (turn, 250.0, 0.5)]
        {
            let found = apart(angle, length);
            assert!(
                (found - expected).abs() < 1e-12,
                "{angle} {length}: {found}"
            );
        }
    }
}
