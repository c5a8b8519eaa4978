//! Rows that are sums of affine forms as long as turns are held: a constant and columns with coefficients.
//!
//! In: an equation and a state. Out: its rows as sums, the given variables counted into the constant, and beside them how each
//! changes with the turns. A point on a plane is such a sum, with the components of the normal as factors: by lengths its
//! derivatives are these factors, and by turns what the product rule makes of the derivatives of the rotations, which are taken
//! by dual numbers. So no row is evaluated in dual numbers as a whole.

use nalgebra::Vector3;
use num_dual::{Dual64, DualNum, DualSVec64};

use crate::equation::{Equation, Measure};
use crate::evaluate::{By, Plain, Seeded, derivatives_of};
use crate::geometry::{self, Affine, Axis, BodyId, Plane, Point, Reading, Turn, Var};
use crate::rows::Rows;
use crate::sparse::Entry;
use crate::system::State;

/// At most so many unknowns turn a body; a body with more is no matter for sums.
const TURNS: usize = 3;

/// A row as a sum, and how it changes with turns.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Sum {
    /// What does not change with the columns of `entries`.
    pub(crate) constant: f64,
    /// Columns with their coefficients.
    pub(crate) entries: Vec<Entry>,
    /// Columns by which bodies are turned, with the derivatives of the row.
    pub(crate) turns: Vec<Entry>,
}

/// A vector turned with a body, and its derivatives by the unknowns of the turn.
struct Turned {
    vector: Vector3<f64>,
    by: [Vector3<f64>; TURNS],
}

/// Which way a rotation is applied.
#[derive(Clone, Copy)]
enum To {
    /// From own components to fixed ones.
    Fixed,
    /// From fixed components to own ones.
    Own,
}

impl Sum {
    pub(crate) fn clear(&mut self) {
        self.constant = 0.0;
        self.entries.clear();
        self.turns.clear();
    }

    /// What it comes to with the columns at given values.
    pub(crate) fn value(&self, of: impl Fn(usize) -> f64) -> f64 {
        let entries = self.entries.iter();
        entries.fold(self.constant, |sum, (column, by)| sum + by * of(*column))
    }

    /// Counts the turns among the entries: these are then the gradient of the row.
    pub(crate) fn join_turns(&mut self) {
        for at in 0..self.turns.len() {
            let (column, by) = self.turns[at];
            add_to(&mut self.entries, column, by);
        }
        self.turns.clear();
    }
}

fn add_to(entries: &mut Vec<Entry>, column: usize, by: f64) {
    match entries.iter_mut().find(|(known, _)| *known == column) {
        Some(entry) => entry.1 += by,
        None => entries.push((column, by)),
    }
}

/// Sums at a state.
pub(crate) struct Sums<'r> {
    rows: &'r Rows<'r>,
    state: &'r State,
    plain: Plain<'r>,
}

impl<'r> Sums<'r> {
    pub(crate) fn at(rows: &'r Rows<'r>, state: &'r State) -> Self {
        Self {
            rows,
            state,
            plain: rows.system.plain(state),
        }
    }

    /// Row `row` of an equation whose rows are [sums](Equation::is_sum_with_turns_held), as a sum. The answer is false when a
    /// body has more turns than are taken here.
    pub(crate) fn row(&self, equation: &Equation, row: usize, sum: &mut Sum) -> bool {
        sum.clear();
        match equation {
            Equation::Held { form, measure } => {
                let factor = match measure {
                    Measure::Length => 1.0,
                    Measure::Angle => self.rows.system.reference_length(),
                };
                self.add(form, factor, sum);
                Some(())
            }
            Equation::PointOnPlane {
                point,
                plane,
                offset,
            } => {
                self.add(offset, -1.0, sum);
                self.off_plane(point, plane, 1.0, sum)
            }
            Equation::PointOnAxis { point, axis } => self.off_axis(point, axis, row, sum),
            Equation::Midway { point, between } => self
                .off_plane(point, &between[0], 0.5, sum)
                .and_then(|()| self.off_plane(point, &between[1], -0.5, sum)),
            Equation::Parallel { .. }
            | Equation::Perpendicular { .. }
            | Equation::Mirrored { .. }
            | Equation::Angle { .. }
            | Equation::PointOnSurface { .. }
            | Equation::PointFromAxis { .. }
            | Equation::Distance { .. } => None,
        }
        .is_some()
    }

    /// `factor` times how far a point lies off a plane along its normal.
    fn off_plane(&self, point: &Point, plane: &Plane, factor: f64, sum: &mut Sum) -> Option<()> {
        let own = geometry::own_direction(&plane.normal, &self.plain);
        self.apart(point, &plane.point, plane.normal.body(), own, factor, sum)
    }

    /// One of the two components across an axis of the way from it to a point.
    fn off_axis(&self, point: &Point, axis: &Axis, row: usize, sum: &mut Sum) -> Option<()> {
        let [_, first, second] = geometry::own_frame(&axis.direction, &self.plain);
        let own = if row == 0 { first } else { second };
        self.apart(point, &axis.point, axis.direction.body(), own, 1.0, sum)
    }

    /// `factor` times the component of the way from one point to another along a vector of a body.
    fn apart(
        &self,
        to: &Point,
        from: &Point,
        body: BodyId,
        own: Vector3<f64>,
        factor: f64,
        sum: &mut Sum,
    ) -> Option<()> {
        if *self.rows.system.turn(body) == Turn::Square {
            self.along(to, &own, factor, sum)?;
            return self.along(from, &own, -factor, sum);
        }
        let turned = self.turned(body, &own, To::Fixed)?;
        self.along(to, &turned.vector, factor, sum)?;
        self.along(from, &turned.vector, -factor, sum)?;
        let turns = self.rows.turns_of(body);
        if !turns.is_empty() {
            let apart = geometry::point(to, &self.plain) - geometry::point(from, &self.plain);
            for (column, by) in turns.iter().zip(&turned.by) {
                add_to(&mut sum.turns, *column, factor * by.dot(&apart));
            }
        }
        Some(())
    }

    /// `factor` times the component of a point along a fixed vector.
    fn along(&self, point: &Point, fixed: &Vector3<f64>, factor: f64, sum: &mut Sum) -> Option<()> {
        let body = self.plain.body(point.body);
        self.add_all(&body.origin, fixed, factor, sum);
        if body.turn == Turn::Square {
            self.add_all(&point.at, fixed, factor, sum);
            return Some(());
        }
        let own = self.turned(point.body, fixed, To::Own)?;
        self.add_all(&point.at, &own.vector, factor, sum);
        let turns = self.rows.turns_of(point.body);
        if !turns.is_empty() {
            let at = geometry::own(&point.at, &self.plain);
            for (column, by) in turns.iter().zip(&own.by) {
                add_to(&mut sum.turns, *column, factor * by.dot(&at));
            }
        }
        Some(())
    }

    fn add_all(&self, forms: &[Affine; 3], along: &Vector3<f64>, factor: f64, sum: &mut Sum) {
        for (component, form) in along.iter().zip(forms) {
            if *component != 0.0 {
                self.add(form, factor * component, sum);
            }
        }
    }

    fn add(&self, form: &Affine, factor: f64, sum: &mut Sum) {
        sum.constant += factor * form.constant;
        for &(var, coefficient) in &form.terms {
            let by = factor * coefficient;
            match self.rows.column_of[var.index()] {
                Some(column) => add_to(&mut sum.entries, column, by),
                None => sum.constant += by * self.state.value(var),
            }
        }
    }

    /// A vector turned with a body; none where the body has more turns than are taken here.
    fn turned(&self, body: BodyId, vector: &Vector3<f64>, to: To) -> Option<Turned> {
        match self.rows.turns_of(body).len() {
            0 => Some(Turned {
                vector: applied(|row| self.plain.rotation_row(body, row), vector, to),
                by: [Vector3::zeros(); TURNS],
            }),
            1 => Some(self.turned_by_one(body, vector, to)),
            2..=TURNS => Some(self.turned_by_several(body, vector, to)),
            _ => None,
        }
    }

    fn turned_by_one(&self, body: BodyId, vector: &Vector3<f64>, to: To) -> Turned {
        let by = By {
            system: self.rows.system,
            state: self.state,
            var: self.rows.unknowns[self.rows.turns_of(body)[0]],
        };
        let rows = |row| -> Vector3<Dual64> { by.rotation_row(body, row) };
        let turned = applied(rows, vector, to);
        let mut by = [Vector3::zeros(); TURNS];
        by[0] = turned.map(|component| component.eps);
        Turned {
            vector: turned.map(|component| component.re),
            by,
        }
    }

    fn turned_by_several(&self, body: BodyId, vector: &Vector3<f64>, to: To) -> Turned {
        type Dual = DualSVec64<TURNS>;
        let columns = self.rows.turns_of(body);
        let mut vars = [Var(0); TURNS];
        for (var, column) in vars.iter_mut().zip(columns) {
            *var = self.rows.unknowns[*column];
        }
        let seeded = Seeded::new(self.rows.system, self.state, &vars[..columns.len()]);
        let rows = |row| -> Vector3<Dual> { seeded.rotation_row(body, row) };
        let turned = applied(rows, vector, to);
        let derivatives = turned.map(derivatives_of);
        let mut by = [Vector3::zeros(); TURNS];
        for (at, by) in by.iter_mut().enumerate() {
            *by = derivatives.map(|of_component| of_component[at]);
        }
        Turned {
            vector: turned.map(|component| component.re),
            by,
        }
    }
}

/// A vector turned by a rotation of which the rows are asked for; those that don't count are not.
fn applied<D: DualNum<f64> + Copy>(
    rows: impl Fn(usize) -> Vector3<D>,
    vector: &Vector3<f64>,
    to: To,
) -> Vector3<D> {
    match to {
        To::Own => {
            let counts = (0..3).filter(|row| vector[*row] != 0.0);
            counts.fold(Vector3::from_element(D::from(0.0)), |sum, row| {
                sum + rows(row) * D::from(vector[row])
            })
        }
        To::Fixed => Vector3::from([0, 1, 2].map(|row| {
            let turn = rows(row);
            turn.x * vector.x + turn.y * vector.y + turn.z * vector.z
        })),
    }
}
