//! Residuals and exact derivatives of equations at a state, by forward dual numbers.
//!
//! Derivatives are taken in batches of [`BATCH`] variables, so that no number allocates.
//! (Griewank and Walther, Evaluating Derivatives, 2nd ed., SIAM 2008, chapter 3.)

use nalgebra::{Matrix3, SVector, Vector3};
use num_dual::{Derivative, DualNum, DualSVec64};

use crate::equation::{Equation, MAX_ROWS, Measure};
use crate::geometry::{self, Affine, Body, BodyId, Direction, Point, Reading, Turn, Var};
use crate::system::{State, Status, System};

/// Derivatives taken at a time.
const BATCH: usize = 6;
type Dual = DualSVec64<BATCH>;

/// Plain values.
struct Plain<'a> {
    system: &'a System,
    state: &'a State,
}

impl Reading<f64> for Plain<'_> {
    fn var(&self, var: Var) -> f64 {
        self.state.values[var.index()]
    }

    fn rotation(&self, body: BodyId) -> Matrix3<f64> {
        turned(self, body, |_| self.state.rotations[body.index()])
    }

    fn body(&self, body: BodyId) -> &Body {
        &self.system.bodies[body.index()]
    }
}

/// Values as drawn: what a model asks while it is built, without a state of its own.
struct Drawn<'a>(&'a System);

impl Reading<f64> for Drawn<'_> {
    fn var(&self, var: Var) -> f64 {
        self.0.get(var).value
    }

    fn rotation(&self, body: BodyId) -> Matrix3<f64> {
        turned(self, body, |_| self.0.starts[body.index()])
    }

    fn body(&self, body: BodyId) -> &Body {
        &self.0.bodies[body.index()]
    }
}

/// A body's rotation matrix; that of a free turn is asked for with its tangent.
fn turned<D: DualNum<f64> + Copy, R: Reading<D>>(
    reading: &R,
    body: BodyId,
    free: impl FnOnce(&[Var; 3]) -> Matrix3<D>,
) -> Matrix3<D> {
    match &reading.body(body).turn {
        Turn::Square => Matrix3::identity(),
        Turn::Angles { roll, pitch, yaw } => {
            let angle = |form| geometry::affine(form, reading);
            geometry::rotation_of_angles(angle(roll), angle(pitch), angle(yaw))
        }
        Turn::Free { tangent } => free(tangent),
    }
}

/// Values with derivatives by a batch of variables.
struct Seeded<'a> {
    system: &'a System,
    state: &'a State,
    batch: &'a [Var],
}

impl Reading<Dual> for Seeded<'_> {
    fn var(&self, var: Var) -> Dual {
        let value = self.state.values[var.index()];
        match self.batch.iter().position(|v| *v == var) {
            None => Dual::from_re(value),
            Some(slot) => {
                let mut eps = SVector::<f64, BATCH>::zeros();
                eps[slot] = 1.0;
                Dual::new(value, Derivative::some(eps))
            }
        }
    }

    fn rotation(&self, body: BodyId) -> Matrix3<Dual> {
        turned(self, body, |tangent| {
            let present = self.state.rotations[body.index()].map(Dual::from_re);
            if !tangent.iter().any(|v| self.batch.contains(v)) {
                return present;
            }
            // exp([ω]ₓ) = I + [ω]ₓ to first order, and ω = 0 here
            let omega = Vector3::from(tangent.map(|var| self.var(var)));
            (Matrix3::identity() + geometry::skew(&omega)) * present
        })
    }

    fn body(&self, body: BodyId) -> &Body {
        &self.system.bodies[body.index()]
    }
}

impl System {
    /// The rows of an equation at a state; only the first [`Equation::rows`] count.
    pub(crate) fn residual(&self, equation: &Equation, state: &State) -> [f64; MAX_ROWS] {
        equation.residual(&self.plain(state), self.scale)
    }

    /// The derivatives of an equation's rows by `vars`: one vector for each row, in the order of `vars`.
    pub(crate) fn derivatives(
        &self,
        equation: &Equation,
        state: &State,
        vars: &[Var],
    ) -> [Vec<f64>; MAX_ROWS] {
        let mut rows: [Vec<f64>; MAX_ROWS] =
            [(); MAX_ROWS].map(|()| Vec::with_capacity(vars.len()));
        for batch in vars.chunks(BATCH) {
            let values = equation.residual(
                &Seeded {
                    system: self,
                    state,
                    batch,
                },
                self.scale,
            );
            for (row, value) in rows.iter_mut().zip(values) {
                let eps = value
                    .eps
                    .unwrap_generic(nalgebra::Const::<BATCH>, nalgebra::U1);
                row.extend(eps.iter().take(batch.len()));
            }
        }
        rows
    }

    /// The fixed coordinates of a point, in millimetres.
    pub fn point_at(&self, point: &Point, state: &State) -> [f64; 3] {
        geometry::point(point, &self.plain(state)).into()
    }

    /// The fixed components of a direction, of unit length.
    pub fn direction_at(&self, direction: &Direction, state: &State) -> [f64; 3] {
        geometry::direction(direction, &self.plain(state)).into()
    }

    /// The value of an affine form, in millimetres or radians.
    pub fn form_at(&self, form: &Affine, state: &State) -> f64 {
        geometry::affine(form, &self.plain(state))
    }

    /// The fixed components of a direction where it is drawn.
    pub fn direction_drawn(&self, direction: &Direction) -> [f64; 3] {
        geometry::direction(direction, &Drawn(self)).into()
    }

    /// The value of an affine form as drawn, in millimetres or radians.
    pub fn form_drawn(&self, form: &Affine) -> f64 {
        geometry::affine(form, &Drawn(self))
    }

    fn plain<'a>(&'a self, state: &'a State) -> Plain<'a> {
        Plain {
            system: self,
            state,
        }
    }

    /// A body's rotation matrix: own components to fixed ones.
    pub fn rotation_at(&self, body: BodyId, state: &State) -> [[f64; 3]; 3] {
        let m = self.plain(state).rotation(body);
        [0, 1, 2].map(|row| [m[(row, 0)], m[(row, 1)], m[(row, 2)]])
    }

    /// How far an equation, which need not belong to the system, is from holding: its rows in
    /// millimetres, or one angle in radians for an equation that compares directions.
    pub fn miss(&self, equation: &Equation, state: &State) -> Vec<f64> {
        vec![self.miss_of_rows(equation, self.residual(equation, state))]
    }

    /// The same from the values of the rows. Two rows are the components of one length or sine, which has no sign.
    pub(crate) fn miss_of_rows(&self, equation: &Equation, rows: [f64; MAX_ROWS]) -> f64 {
        let rows = &rows[..equation.rows()];
        let whole = match rows {
            [only] => *only,
            several => several.iter().map(|row| row * row).sum::<f64>().sqrt(),
        };
        match equation {
            // their rows are the components of a sine
            Equation::Parallel { .. }
            | Equation::Perpendicular { .. }
            | Equation::Mirrored { .. } => (whole / self.scale).clamp(-1.0, 1.0).asin(),
            Equation::Angle { .. }
            | Equation::Held {
                measure: Measure::Angle,
                ..
            } => whole / self.scale,
            Equation::Held { .. }
            | Equation::PointOnPlane { .. }
            | Equation::PointOnSurface { .. }
            | Equation::PointOnAxis { .. }
            | Equation::PointFromAxis { .. }
            | Equation::Midway { .. }
            | Equation::Distance { .. } => whole,
        }
    }

    /// The unknowns an equation reads.
    pub(crate) fn unknowns_of(&self, equation: &Equation) -> Vec<Var> {
        self.variables_of(equation, Some(Status::Unknown))
    }
}

/// The dual number type must be plain data: this is what lets residuals copy it freely.
const _: fn() = || {
    fn is_copy<T: Copy + DualNum<f64>>() {}
    is_copy::<Dual>();
};
