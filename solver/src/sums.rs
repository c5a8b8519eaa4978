//! Rows that are affine as long as turns are held, as sums: a constant and columns with coefficients.
//!
//! In: an equation and the rotation of every body. Out: its rows, the given variables counted into the constant. No derivative
//! is taken: a point on a fixed plane is a sum of affine forms, with the normal's components as factors.

use nalgebra::Vector3;

use crate::equation::{Equation, Measure};
use crate::geometry::{self, Affine, Plane, Point, Reading, Turn, Var};
use crate::sparse::Entry;

/// A sum that grows: the value of the given variables in it, and the columns with their coefficients.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Sum {
    pub(crate) constant: f64,
    pub(crate) entries: Vec<Entry>,
}

impl Sum {
    pub(crate) fn clear(&mut self) {
        self.constant = 0.0;
        self.entries.clear();
    }
}

/// Where sums read from: the column of a variable, or else its value, and rotations.
pub(crate) struct Held<'r, R, C> {
    /// Values and rotations.
    pub(crate) reading: &'r R,
    /// The column of a variable that is to be found.
    pub(crate) column: C,
    /// The length by which angles are multiplied.
    pub(crate) scale: f64,
}

impl<R: Reading<f64>, C: Fn(Var) -> Option<usize>> Held<'_, R, C> {
    /// Row `row` of an equation whose rows are [sums](Equation::is_sum_with_turns_held), as a sum.
    pub(crate) fn row(&self, equation: &Equation, row: usize, sum: &mut Sum) {
        sum.clear();
        match equation {
            Equation::Held { form, measure } => {
                let factor = match measure {
                    Measure::Length => 1.0,
                    Measure::Angle => self.scale,
                };
                self.add(form, factor, sum);
            }
            Equation::PointOnPlane {
                point,
                plane,
                offset,
            } => {
                self.off_plane(point, plane, 1.0, sum);
                self.add(offset, -1.0, sum);
            }
            Equation::PointOnAxis { point, axis } => {
                let frame = geometry::frame(&axis.direction, self.reading);
                if let Some(across) = frame.get(row + 1) {
                    self.along(point, across, 1.0, sum);
                    self.along(&axis.point, across, -1.0, sum);
                }
            }
            Equation::Midway { point, between } => {
                self.off_plane(point, &between[0], 0.5, sum);
                self.off_plane(point, &between[1], -0.5, sum);
            }
            Equation::Parallel { .. }
            | Equation::Perpendicular { .. }
            | Equation::Mirrored { .. }
            | Equation::Angle { .. }
            | Equation::PointOnSurface { .. }
            | Equation::PointFromAxis { .. }
            | Equation::Distance { .. } => {}
        }
    }

    /// `factor` times how far a point lies off a plane along its normal.
    fn off_plane(&self, point: &Point, plane: &Plane, factor: f64, sum: &mut Sum) {
        let normal = geometry::direction(&plane.normal, self.reading);
        self.along(point, &normal, factor, sum);
        self.along(&plane.point, &normal, -factor, sum);
    }

    /// `factor` times the component of a point along a fixed vector.
    fn along(&self, point: &Point, fixed: &Vector3<f64>, factor: f64, sum: &mut Sum) {
        let body = self.reading.body(point.body);
        let own = match body.turn {
            Turn::Square => *fixed,
            _ => {
                let rows = (0..3).filter(|row| fixed[*row] != 0.0);
                rows.fold(Vector3::zeros(), |own, row| {
                    own + self.reading.rotation_row(point.body, row) * fixed[row]
                })
            }
        };
        for (vector, forms) in [(fixed, &body.origin), (&own, &point.at)] {
            for (component, form) in vector.iter().zip(forms) {
                if *component != 0.0 {
                    self.add(form, factor * component, sum);
                }
            }
        }
    }

    fn add(&self, form: &Affine, factor: f64, sum: &mut Sum) {
        sum.constant += factor * form.constant;
        for &(var, coefficient) in &form.terms {
            let by = factor * coefficient;
            let Some(column) = (self.column)(var) else {
                sum.constant += by * self.reading.var(var);
                continue;
            };
            match sum.entries.iter_mut().find(|(known, _)| *known == column) {
                Some(entry) => entry.1 += by,
                None => sum.entries.push((column, by)),
            }
        }
    }
}
