//! Writes a system's equations out. In: a system, and which of its equations are to be left out. Out: the neutral form of all the others.
//!
//! Values that are given become numbers. What the exporter doesn't know is an error: nothing is left out silently.

use std::collections::{BTreeSet, HashMap};

use strongback_solver::geometry::{Body, Direction, Plane, Point};
use strongback_solver::{
    Affine, BodyId, Equation, EquationId, Measure, Status, System, Tolerances, Turn, Var,
};

use super::algebra::{Sum, Trig, dot, rotation};
use super::equations::{Equations, Form};

/// The equations, with what each row and each column was.
pub struct Exported {
    pub equations: Equations,
    pub unknowns: Vec<Var>,
    pub ids: Vec<EquationId>,
}

/// Writes out all equations but those at odds, which no least squares could bring to zero together with the rest.
///
/// # Errors
/// The kind of an equation or a turn that has no place in the neutral form.
pub fn export(system: &System, at_odds: &BTreeSet<EquationId>) -> Result<Exported, String> {
    let mut exporter = Exporter::new(system);
    let mut ids = Vec::new();
    for (id, equation) in system.equations() {
        if !at_odds.contains(&id) {
            let row = exporter.row(equation)?;
            exporter.equations.push(row.terms());
            ids.push(id);
        }
    }
    Ok(Exported {
        equations: exporter.equations,
        unknowns: exporter.unknowns,
        ids,
    })
}

struct Exporter<'a> {
    system: &'a System,
    unknowns: Vec<Var>,
    /// The column of each variable that is to be found.
    column: HashMap<Var, usize>,
    equations: Equations,
    /// The angles known so far, by the bits of their forms.
    angles: HashMap<(u64, Vec<(usize, u64)>), usize>,
}

impl<'a> Exporter<'a> {
    fn new(system: &'a System) -> Self {
        let to_find = system
            .variables()
            .filter(|(_, variable)| variable.status == Status::Unknown);
        let (unknowns, start): (Vec<Var>, Vec<f64>) =
            to_find.map(|(var, variable)| (var, variable.value)).unzip();
        let within = Tolerances::default().converged * system.reference_length();
        Self {
            system,
            column: unknowns.iter().copied().zip(0..).collect(),
            unknowns,
            equations: Equations::new(start, within),
            angles: HashMap::new(),
        }
    }

    fn row(&mut self, equation: &Equation) -> Result<Sum, String> {
        let mut row = Sum::default();
        let one = Trig::constant(1.0);
        match equation {
            Equation::Held { form, measure } => {
                let scale = match measure {
                    Measure::Length => 1.0,
                    Measure::Angle => self.system.reference_length(),
                };
                row.add(&one, &self.form(form), scale);
            }
            Equation::PointOnPlane {
                point,
                plane,
                offset,
            } => {
                self.off_plane(point, plane, 1.0, &mut row)?;
                row.add(&one, &self.form(offset), -1.0);
            }
            Equation::Midway { point, between } => {
                let [first, second] = &**between;
                self.off_plane(point, first, 0.5, &mut row)?;
                self.off_plane(point, second, -0.5, &mut row)?;
            }
            other => return Err(format!("the neutral form has no place for {other:?}")),
        }
        Ok(row)
    }

    /// Adds `by` times n·(p − q).
    fn off_plane(
        &mut self,
        point: &Point,
        plane: &Plane,
        by: f64,
        row: &mut Sum,
    ) -> Result<(), String> {
        let Direction::Fixed { body, vector } = &plane.normal else {
            return Err(format!("the neutral form has no place for {plane:?}"));
        };
        let length = vector.iter().map(|c| c * c).sum::<f64>().sqrt();
        let own = vector.map(|c| c / length);
        let turned = self.turned(*body, own)?;
        let [at, on] = [point.body, plane.point.body].map(|id| self.body(id).origin.clone());
        for axis in 0..3 {
            let mut apart = self.form(&at[axis]);
            apart.add(&self.form(&on[axis]), -1.0);
            row.add(&turned[axis], &apart, by);
        }
        self.along(*body, &own, point, by, row)?;
        self.along(*body, &own, &plane.point, -by, row)
    }

    /// Adds `by` times n·(R a): a point's own coordinates, turned, along the normal of a body.
    fn along(
        &mut self,
        body: BodyId,
        own: &[f64; 3],
        point: &Point,
        by: f64,
        row: &mut Sum,
    ) -> Result<(), String> {
        let forms = point.at.clone().map(|form| self.form(&form));
        let normal = own.map(Trig::constant);
        // a turn leaves what lies in one body as it is: (R v)·(R a) = v·a
        let normal_there = if point.body == body {
            normal
        } else {
            let turned = self.turned(body, own.to_owned())?;
            let columns = self.columns(point.body)?;
            columns.map(|column| dot(&turned, &column))
        };
        for (trig, form) in normal_there.iter().zip(&forms) {
            row.add(trig, form, by);
        }
        Ok(())
    }

    /// The fixed components of a direction of a body.
    fn turned(&mut self, body: BodyId, own: [f64; 3]) -> Result<[Trig; 3], String> {
        let columns = self.columns(body)?;
        Ok([0, 1, 2].map(|row| {
            (0..3).fold(Trig::default(), |sum, axis| {
                sum.plus(&columns[axis][row].scaled(own[axis]))
            })
        }))
    }

    /// The columns of a body's rotation matrix.
    fn columns(&mut self, body: BodyId) -> Result<[[Trig; 3]; 3], String> {
        let rows = match self.body(body).turn.clone() {
            Turn::Square => [0, 1, 2]
                .map(|row| [0, 1, 2].map(|column| Trig::constant(f64::from(row == column)))),
            Turn::Angles { roll, pitch, yaw } => {
                rotation(&[roll, pitch, yaw].map(|form| self.sine_and_cosine(&form)))
            }
            Turn::Free { .. } => return Err("the neutral form has no place for a free turn".into()),
        };
        Ok([0, 1, 2].map(|column| [0, 1, 2].map(|row: usize| rows[row][column].clone())))
    }

    fn sine_and_cosine(&mut self, form: &Affine) -> (Trig, Trig) {
        let form = self.form(form);
        if form.terms.is_empty() {
            let (sine, cosine) = form.constant.sin_cos();
            return (Trig::constant(sine), Trig::constant(cosine));
        }
        let bits = form
            .terms
            .iter()
            .map(|(column, by)| (*column, by.to_bits()));
        let angles = &mut self.equations.angles;
        let angle = *self
            .angles
            .entry((form.constant.to_bits(), bits.collect()))
            .or_insert_with(|| {
                angles.push(&form);
                angles.len() - 1
            });
        (Trig::factor(2 * angle), Trig::factor(2 * angle + 1))
    }

    /// An affine form with what is given put in.
    fn form(&self, form: &Affine) -> Form {
        let mut known = Form {
            constant: form.constant,
            terms: Vec::new(),
        };
        for (var, coefficient) in &form.terms {
            let term = match self.column.get(var) {
                Some(column) => Form {
                    constant: 0.0,
                    terms: vec![(*column, 1.0)],
                },
                None => Form {
                    constant: self.system.get(*var).value,
                    terms: Vec::new(),
                },
            };
            known.add(&term, *coefficient);
        }
        known
    }

    fn body(&self, id: BodyId) -> &'a Body {
        &self.system.bodies()[id.index()]
    }
}
