//! Rows that are sums of affine forms as long as turns are held: a constant and columns with coefficients.
//!
//! In: an equation and a state. Out: its rows as sums, the given variables counted into the constant, and beside them how each
//! changes with the turns. A point on a plane is such a sum, with the components of the normal as factors: by lengths its
//! derivatives are these factors, and by turns what the product rule makes of the derivatives of the rotations, which are taken
//! by dual numbers. So no row is evaluated in dual numbers as a whole.

use nalgebra::Vector3;

use crate::equation::{Equation, Measure};
use crate::evaluate::Plain;
use crate::geometry::{self, Affine, Axis, BodyId, Plane, Point, Turn};
use crate::rotation::{Rotation, Rotations};
use crate::rows::Rows;
use crate::sparse::Entry;
use crate::system::State;

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
    rotations: &'r mut Rotations,
}

impl<'r> Sums<'r> {
    pub(crate) fn at(rows: &'r Rows<'r>, state: &'r State, rotations: &'r mut Rotations) -> Self {
        Self {
            rows,
            state,
            rotations,
        }
    }

    /// Row `row` of an equation whose rows are [sums](Equation::is_sum_with_turns_held), as a sum. The answer is false when a
    /// body has more turns than are taken here.
    pub(crate) fn row(&mut self, equation: &Equation, row: usize, sum: &mut Sum) -> bool {
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
    fn off_plane(&mut self, point: &Point, plane: &Plane, by: f64, sum: &mut Sum) -> Option<()> {
        let normal = geometry::own_direction(&plane.normal, &self.plain());
        self.apart(point, &plane.point, (plane.normal.body(), normal), by, sum)
    }

    /// One of the two components across an axis of the way from it to a point.
    fn off_axis(&mut self, point: &Point, axis: &Axis, row: usize, sum: &mut Sum) -> Option<()> {
        let [_, first, second] = geometry::own_frame(&axis.direction, &self.plain());
        let across = if row == 0 { first } else { second };
        self.apart(
            point,
            &axis.point,
            (axis.direction.body(), across),
            1.0,
            sum,
        )
    }

    /// `factor` times the component of the way from one point to another along a vector of a body.
    fn apart(
        &mut self,
        to: &Point,
        from: &Point,
        (body, own): (BodyId, Vector3<f64>),
        factor: f64,
        sum: &mut Sum,
    ) -> Option<()> {
        if *self.rows.system.turn(body) == Turn::Square {
            self.along(to, &own, factor, sum)?;
            return self.along(from, &own, -factor, sum);
        }
        let turn = self.rotation(body)?;
        let fixed = turn.matrix * own;
        self.along(to, &fixed, factor, sum)?;
        self.along(from, &fixed, -factor, sum)?;
        let turns = self.rows.turns_of(body);
        if !turns.is_empty() {
            let apart = self.point(to)? - self.point(from)?;
            let turn = self.rotation(body)?;
            for (column, by) in turns.iter().zip(&turn.by) {
                add_to(&mut sum.turns, *column, factor * (by * own).dot(&apart));
            }
        }
        Some(())
    }

    /// `factor` times the component of a point along a fixed vector.
    fn along(
        &mut self,
        point: &Point,
        fixed: &Vector3<f64>,
        factor: f64,
        sum: &mut Sum,
    ) -> Option<()> {
        let body = &self.rows.system.bodies[point.body.index()];
        self.add_all(&body.origin, fixed, factor, sum);
        if body.turn == Turn::Square {
            self.add_all(&point.at, fixed, factor, sum);
            return Some(());
        }
        let (plain, turns) = (self.plain(), self.rows.turns_of(point.body));
        let turn = self.rotation(point.body)?;
        let own = turn.matrix.tr_mul(fixed);
        if !turns.is_empty() {
            let at = geometry::own(&point.at, &plain);
            for (column, by) in turns.iter().zip(&turn.by) {
                add_to(&mut sum.turns, *column, factor * (by * at).dot(fixed));
            }
        }
        self.add_all(&point.at, &own, factor, sum);
        Some(())
    }

    /// The fixed coordinates of a point.
    fn point(&mut self, point: &Point) -> Option<Vector3<f64>> {
        let body = &self.rows.system.bodies[point.body.index()];
        let own = geometry::own(&point.at, &self.plain());
        let from_origin = match body.turn {
            Turn::Square => own,
            _ => self.rotation(point.body)?.matrix * own,
        };
        Some(from_origin + geometry::own(&body.origin, &self.plain()))
    }

    fn plain(&self) -> Plain<'r> {
        self.rows.system.plain(self.state)
    }

    /// The rotation of a body; none where it has more turns than are taken here.
    fn rotation(&mut self, body: BodyId) -> Option<&Rotation> {
        self.rotations.of(self.rows, self.state, body)
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
}
