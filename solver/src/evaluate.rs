//! Residuals and exact derivatives of equations at a state, by forward dual numbers.
//!
//! Derivatives are taken in batches of [`BATCH`] variables, so that no number allocates.
//! (Griewank and Walther, Evaluating Derivatives, 2nd ed., SIAM 2008, chapter 3.)

use nalgebra::{Matrix3, SVector, Vector3};
use num_dual::{Derivative, Dual64, DualNum, DualSVec64, DualVec as Dual};

use crate::equation::{Equation, MAX_ROWS, Measure};
use crate::geometry::{self, Affine, Body, BodyId, Direction, Point, Reading, Turn, Var};
use crate::system::{State, System};

/// Most derivatives taken at a time; few are taken in smaller numbers.
const BATCH: usize = 8;

/// The derivatives of an equation's rows: one list for each row. Kept from one equation to the next, so that nothing allocates.
pub(crate) type Derivatives = [Vec<f64>; MAX_ROWS];

/// Plain values.
pub(crate) struct Plain<'a> {
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
            geometry::rotation_of_angles([roll, pitch, yaw], reading)
        }
        Turn::Free { tangent } => free(tangent),
    }
}

/// Values with derivatives by a batch of variables.
pub(crate) struct Seeded<'a> {
    system: &'a System,
    state: &'a State,
    batch: &'a [Var],
}

impl<'a> Seeded<'a> {
    /// By at most as many variables as the numbers have derivatives.
    pub(crate) fn new(system: &'a System, state: &'a State, batch: &'a [Var]) -> Self {
        Self {
            system,
            state,
            batch,
        }
    }
}

/// Values with their derivative by one variable, which is not the increment of a free turn.
pub(crate) struct By<'a> {
    pub(crate) system: &'a System,
    pub(crate) state: &'a State,
    pub(crate) var: Var,
}

impl Reading<Dual64> for By<'_> {
    fn var(&self, var: Var) -> Dual64 {
        let is_own = var == self.var;
        Dual64::new(self.state.values[var.index()], f64::from(u8::from(is_own)))
    }

    fn rotation(&self, body: BodyId) -> Matrix3<Dual64> {
        turned(self, body, |_| {
            self.state.rotations[body.index()].map(Dual64::from)
        })
    }

    fn body(&self, body: BodyId) -> &Body {
        &self.system.bodies[body.index()]
    }
}

/// The derivatives that a number carries.
pub(crate) fn derivatives_of<const N: usize>(number: DualSVec64<N>) -> SVector<f64, N> {
    number
        .eps
        .unwrap_generic(nalgebra::Const::<N>, nalgebra::U1)
}

impl<const N: usize> Reading<DualSVec64<N>> for Seeded<'_> {
    fn var(&self, var: Var) -> DualSVec64<N> {
        let value = self.state.values[var.index()];
        match self.batch.iter().position(|v| *v == var) {
            None => Dual::from_re(value),
            Some(slot) => {
                let mut eps = SVector::<f64, N>::zeros();
                eps[slot] = 1.0;
                Dual::new(value, Derivative::some(eps))
            }
        }
    }

    fn rotation(&self, body: BodyId) -> Matrix3<DualSVec64<N>> {
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
    ) -> Derivatives {
        let mut rows = Derivatives::default();
        self.derivatives_into(equation, state, vars, &mut rows);
        rows
    }

    /// The same, written over what `rows` held, and what the rows come to.
    pub(crate) fn derivatives_into(
        &self,
        equation: &Equation,
        state: &State,
        vars: &[Var],
        rows: &mut Derivatives,
    ) -> [f64; MAX_ROWS] {
        rows.iter_mut().for_each(Vec::clear);
        match vars.len() {
            0..=2 => self.add_batch::<2>(equation, state, vars, rows),
            3..=4 => self.add_batch::<4>(equation, state, vars, rows),
            _ => {
                let mut values = [0.0; MAX_ROWS];
                for batch in vars.chunks(BATCH) {
                    values = self.add_batch::<BATCH>(equation, state, batch, rows);
                }
                values
            }
        }
    }

    fn add_batch<const N: usize>(
        &self,
        equation: &Equation,
        state: &State,
        batch: &[Var],
        rows: &mut Derivatives,
    ) -> [f64; MAX_ROWS] {
        let seeded = Seeded::new(self, state, batch);
        let values: [DualSVec64<N>; MAX_ROWS] = equation.residual(&seeded, self.scale);
        for (row, value) in rows.iter_mut().zip(&values).take(equation.rows()) {
            row.extend(derivatives_of(*value).iter().take(batch.len()));
        }
        values.map(|value| value.re)
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

    pub(crate) fn plain<'a>(&'a self, state: &'a State) -> Plain<'a> {
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
}

/// The dual number type must be plain data: this is what lets residuals copy it freely.
const _: fn() = || {
    fn is_copy<T: Copy + DualNum<f64>>() {}
    is_copy::<DualSVec64<BATCH>>();
};

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::geometry::Turn;

    const AXIS: [f64; 3] = [1.0, 0.0, 0.0];

    /// A body that stands as given angles say.
    fn body(system: &mut System, [pitch, yaw]: [f64; 2]) -> BodyId {
        let [none, pitch, yaw] = [0.0, pitch, yaw].map(|angle| {
            let given = system.given(angle, Measure::Angle);
            Affine::var(given)
        });
        let turn = Turn::Angles {
            roll: none.clone(),
            pitch,
            yaw,
        };
        system.body([none.clone(), none.clone(), none], turn)
    }

    fn first_axis(body: BodyId) -> Direction {
        Direction::Fixed { body, vector: AXIS }
    }

    /// A tenth of a radian up, to the side, or both: sin^2 of the angle between the axes is then 1 - cos^2 0.1 cos^2 0.1.
    #[test]
    fn an_axis_misses_another_one_by_the_angle_between_them_whichever_way_it_leans() {
        let both = (1.0 - 0.1_f64.cos().powi(4)).sqrt().asin();
        for (turned, expected) in [([0.1, 0.0], 0.1), ([0.0, 0.1], 0.1), ([0.1, 0.1], both)] {
            let mut system = System::new(1000.0);
            let [a, b] = [turned, [0.0; 2]].map(|turned| first_axis(body(&mut system, turned)));
            let miss = system.miss(&Equation::Parallel { a, b }, &system.start());
            assert_relative_eq!(miss[0], expected, max_relative = 1e-12);
        }
    }

    /// Mirrored to the other side a yaw changes its sign and a pitch doesn't.
    #[test]
    fn a_mirrored_axis_misses_by_what_is_not_of_the_other_hand() {
        for (left, right, expected) in [
            ([0.1, 0.1], [0.1, -0.1], 0.0),
            ([0.0, 0.1], [0.0, 0.1], 0.2),
            ([0.1, 0.0], [-0.1, 0.0], 0.2),
        ] {
            let mut system = System::new(1000.0);
            let [a, b] = [left, right].map(|turned| first_axis(body(&mut system, turned)));
            let across = [0.0, 1.0, 0.0];
            let miss = system.miss(&Equation::Mirrored { a, b, across }, &system.start());
            assert_relative_eq!(miss[0], expected, epsilon = 1e-12, max_relative = 1e-12);
        }
    }

    /// Yawed by a right angle a body has its first axis where the second fixed one is: columns are own axes.
    #[test]
    fn forms_and_turns_are_told_as_drawn() {
        let mut system = System::new(1000.0);
        let length = system.given(7.0, Measure::Length);
        let form = Affine::var(length).plus(&Affine::constant(0.5));
        assert_relative_eq!(system.form_drawn(&form), 7.5);
        let body = body(&mut system, [0.0, std::f64::consts::FRAC_PI_2]);
        let rows = system.rotation_at(body, &system.start());
        let expected = [[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]];
        for (is, expected) in rows.iter().flatten().zip(expected.iter().flatten()) {
            assert_relative_eq!(is, expected, epsilon = 1e-15);
        }
    }
}
