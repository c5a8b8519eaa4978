//! Rotations of bodies at a state, with their derivatives by the unknowns that turn them.
//!
//! In: a body and a state. Out: its rotation matrix R and, for each unknown of its turn, dR by that unknown, from dual numbers. The
//! last ones are kept, since rows of the same body stand together.

use nalgebra::Matrix3;
use num_dual::{Dual64, DualSVec64};

use crate::evaluate::{By, Seeded, derivatives_of};
use crate::geometry::{BodyId, Reading, Turn, Var};
use crate::rows::Rows;
use crate::system::State;

/// At most so many unknowns turn a body; a body with more is no matter for sums.
const TURNS: usize = 3;
/// So many rotations are kept.
const KEPT: usize = 16;

/// A rotation.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Rotation {
    body: BodyId,
    /// Roll, pitch and yaw.
    angles: [f64; 3],
    /// R: own components to fixed ones.
    pub(crate) matrix: Matrix3<f64>,
    /// dR by the unknowns of the turn, in the order of [`Rows::turns_of`]; zero past these.
    pub(crate) by: [Matrix3<f64>; TURNS],
}

/// The rotations asked for last.
#[derive(Debug, Default)]
pub(crate) struct Rotations {
    kept: [Option<Rotation>; KEPT],
}

impl Rotations {
    /// The rotation of a body; none where it has more turns than are taken.
    pub(crate) fn of(&mut self, rows: &Rows<'_>, state: &State, body: BodyId) -> Option<&Rotation> {
        if rows.turns_of(body).len() > TURNS {
            return None;
        }
        let slot = &mut self.kept[body.index() % KEPT];
        // the increments of a free turn say nothing of where it is
        let angles = match rows.system.turn(body) {
            Turn::Angles { roll, pitch, yaw } => {
                [roll, pitch, yaw].map(|angle| rows.system.form_at(angle, state))
            }
            Turn::Square | Turn::Free { .. } => [f64::NAN; 3],
        };
        let known = matches!(slot, Some(kept) if kept.body == body && kept.angles == angles);
        if !known {
            *slot = Some(Rotation::new(rows, state, body, angles));
        }
        slot.as_ref()
    }
}

impl Rotation {
    fn new(rows: &Rows<'_>, state: &State, body: BodyId, angles: [f64; 3]) -> Self {
        let system = rows.system;
        let columns = rows.turns_of(body);
        let mut by = [Matrix3::zeros(); TURNS];
        let matrix = match (system.turn(body), columns) {
            (Turn::Angles { .. }, [only]) => {
                let var = rows.unknowns[*only];
                let turned: Matrix3<Dual64> = By { system, state, var }.rotation(body);
                by[0] = turned.map(|entry| entry.eps);
                turned.map(|entry| entry.re)
            }
            (_, []) => system.plain(state).rotation(body),
            _ => {
                let mut vars = [Var(0); TURNS];
                for (var, column) in vars.iter_mut().zip(columns) {
                    *var = rows.unknowns[*column];
                }
                let seeded = Seeded::new(system, state, &vars[..columns.len()]);
                let turned: Matrix3<DualSVec64<TURNS>> = seeded.rotation(body);
                for (at, by) in by.iter_mut().enumerate() {
                    *by = turned.map(|entry| derivatives_of(entry)[at]);
                }
                turned.map(|entry| entry.re)
            }
        };
        Self {
            body,
            angles,
            matrix,
            by,
        }
    }
}
