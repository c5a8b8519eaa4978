//! One block: a few rows over a few columns, all else held, as a least-squares problem.

use std::cell::RefCell;

use argmin::core::{Error, Jacobian, Operator};
use nalgebra::{DMatrix, DVector, Matrix3};

use crate::equation::Measure;
use crate::geometry::BodyId;
use crate::levenberg_marquardt::{self, Retract, Settings};
use crate::rows::{Linear, Rows};
use crate::sparse::SparseRows;
use crate::system::State;

/// The values of a block's columns, and the free rotations that they turn.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Local {
    values: Vec<f64>,
    rotations: Vec<Matrix3<f64>>,
}

/// A block over a state that holds everything else; the state moves with it.
pub(crate) struct Block<'r, 's> {
    rows: &'r Rows<'s>,
    chosen: Vec<usize>,
    columns: Vec<usize>,
    bodies: Vec<BodyId>,
    /// What each row has to come to; nothing means zero for all.
    targets: Vec<f64>,
    state: RefCell<&'r mut State>,
}

/// Where a search of a block ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ended {
    pub(crate) iterations: u64,
    /// Largest residual of its rows.
    pub(crate) residual: f64,
}

impl<'r, 's> Block<'r, 's> {
    /// The chosen rows over the columns.
    pub(crate) fn new(
        rows: &'r Rows<'s>,
        chosen: &[usize],
        columns: &[usize],
        state: &'r mut State,
    ) -> Self {
        let mut bodies: Vec<BodyId> = columns
            .iter()
            .filter_map(|column| rows.tangent_of[*column].map(|(body, _)| body))
            .collect();
        bodies.sort_unstable();
        bodies.dedup();
        Self {
            rows,
            chosen: chosen.to_vec(),
            columns: columns.to_vec(),
            bodies,
            targets: Vec::new(),
            state: RefCell::new(state),
        }
    }

    /// The same with rows that have to come to other values than zero.
    pub(crate) fn toward(mut self, targets: Vec<f64>) -> Self {
        self.targets = targets;
        self
    }

    /// Whether all its rows are affine in its columns.
    pub(crate) fn is_affine(&self) -> bool {
        self.chosen
            .iter()
            .all(|row| self.rows.is_affine_in(*row, &self.columns))
    }

    /// What one unit of each column is worth as a length.
    pub(crate) fn units(&self) -> DVector<f64> {
        DVector::from_iterator(
            self.columns.len(),
            self.columns.iter().map(|column| self.rows.unit(*column)),
        )
    }

    /// The length by which angles are multiplied, in millimetres.
    pub(crate) fn reference_length(&self) -> f64 {
        self.rows.system.reference_length()
    }

    /// Moves the columns at random, up to `spread` of the reference length, or radians; the same way every time.
    pub(crate) fn scatter(&self, spread: f64) {
        self.rows
            .scatter(&mut self.state.borrow_mut(), &self.columns, spread);
    }

    /// Whether it has as many rows as columns.
    pub(crate) fn is_square(&self) -> bool {
        self.chosen.len() == self.columns.len()
    }

    pub(crate) fn largest_residual(&self) -> f64 {
        // `amax` would pass over what is no number
        self.residuals().iter().fold(0.0, |most: f64, miss| {
            if miss.is_nan() {
                f64::INFINITY
            } else {
                most.max(miss.abs())
            }
        })
    }

    /// Newton's method from the present state, until no row is off by more than `enough`; one step where the block is affine.
    pub(crate) fn newton(&self, steps: usize, enough: f64) -> f64 {
        let mut local = self.local();
        for _ in 0..steps {
            if self.largest_residual() <= enough {
                break;
            }
            let lu = self.derivatives().full_piv_lu();
            let Some(step) = lu.solve(&-self.residuals()) else {
                break;
            };
            let before = self.largest_residual();
            let next = self.retract(&local, &step);
            self.put(&next);
            // written so that a residual that is no number counts as no gain
            let gained = self.largest_residual() < before;
            if !gained {
                self.put(&local);
                break;
            }
            local = next;
        }
        self.largest_residual()
    }

    /// Levenberg–Marquardt from the present state; the state is left at the best point.
    pub(crate) fn minimise(&self, tolerance: f64) -> Ended {
        let start = self.local();
        let settings = Settings {
            residual_tolerance: tolerance,
            // the solution nearest the drawn point is meant: a long first step may pass it by
            first_radius: 0.3,
            ..Settings::default()
        };
        let (end, iterations) = match levenberg_marquardt::minimise(self, start.clone(), &settings)
        {
            Ok(fit) => (fit.point, fit.report.iterations),
            Err(_) => (start, 0),
        };
        self.put(&end);
        Ended {
            iterations,
            residual: self.largest_residual(),
        }
    }

    pub(crate) fn local(&self) -> Local {
        let state = self.state.borrow();
        Local {
            values: self
                .columns
                .iter()
                .map(|column| state.values[self.rows.unknowns[*column].index()])
                .collect(),
            rotations: self
                .bodies
                .iter()
                .map(|body| state.rotations[body.index()])
                .collect(),
        }
    }

    /// The whole state as it is now.
    pub(crate) fn state(&self) -> State {
        self.state.borrow().clone()
    }

    /// The number of columns.
    pub(crate) fn width(&self) -> usize {
        self.columns.len()
    }

    /// The square of the distance between two points and its gradient by the columns at the first, lengths relative to the
    /// reference length; a turn by θ counts as the chord 2 sin(θ/2), so that a whole turn is none.
    pub(crate) fn separation(&self, at: &Local, from: &Local) -> (f64, DVector<f64>) {
        let length = self.reference_length();
        let mut square = 0.0;
        let mut gradient = DVector::zeros(self.columns.len());
        // |R - Q|² / 2 = 3 - tr(R Qᵀ) = (2 sin(θ/2))², and its gradient by a rotation vector in the fixed axes
        let turned: Vec<[f64; 3]> = (at.rotations.iter().zip(&from.rotations))
            .map(|(r, q)| {
                let a = r * q.transpose();
                square += 3.0 - a.trace();
                [a.m32 - a.m23, a.m13 - a.m31, a.m21 - a.m12]
            })
            .collect();
        for (slot, column) in self.columns.iter().enumerate() {
            let by = at.values[slot] - from.values[slot];
            let tangent = self.rows.tangent_of[*column];
            gradient[slot] = if let Some((body, component)) = tangent {
                let body = self.bodies.binary_search(&body);
                body.map_or(0.0, |body| turned[body][component])
            } else if self.is_angle(*column) {
                square += (2.0 * (0.5 * by).sin()).powi(2);
                2.0 * by.sin()
            } else {
                square += (by / length).powi(2);
                2.0 * by / length.powi(2)
            };
        }
        (square, gradient)
    }

    fn is_angle(&self, column: usize) -> bool {
        let unknown = self.rows.unknowns[column];
        self.rows.system.get(unknown).measure == Measure::Angle
    }

    pub(crate) fn put(&self, local: &Local) {
        let mut state = self.state.borrow_mut();
        for (column, value) in self.columns.iter().zip(&local.values) {
            state.values[self.rows.unknowns[*column].index()] = *value;
        }
        for (body, rotation) in self.bodies.iter().zip(&local.rotations) {
            state.rotations[body.index()] = *rotation;
        }
    }

    pub(crate) fn residuals(&self) -> DVector<f64> {
        let state = self.state.borrow();
        DVector::from_iterator(
            self.chosen.len(),
            self.chosen.iter().enumerate().map(|(at, row)| {
                let target = self.targets.get(at).copied().unwrap_or(0.0);
                self.rows.value(*row, &state) - target
            }),
        )
    }

    /// The block's Jacobian at the present state: rows by columns.
    pub(crate) fn derivatives(&self) -> DMatrix<f64> {
        let state = self.state.borrow();
        let mut room = Linear::default();
        let mut matrix = DMatrix::zeros(self.chosen.len(), self.columns.len());
        for (at, row) in self.chosen.iter().enumerate() {
            self.rows.linear(*row, &state, &mut room);
            for (slot, column) in self.columns.iter().enumerate() {
                matrix[(at, slot)] = room.by(*column);
            }
        }
        matrix
    }

    /// For each column of the system its place in the block, or a number past its width.
    pub(crate) fn slots(&self) -> Vec<usize> {
        let mut slots = vec![usize::MAX; self.rows.unknowns.len()];
        for (slot, column) in self.columns.iter().enumerate() {
            slots[*column] = slot;
        }
        slots
    }

    /// What the rows come to at the present state, and the block's Jacobian, sparse; `slots` are those of [`Block::slots`].
    pub(crate) fn linearised(&self, slots: &[usize]) -> (DVector<f64>, SparseRows) {
        let state = self.state.borrow();
        let mut room = Linear::default();
        let mut off = DVector::zeros(self.chosen.len());
        let mut matrix = SparseRows::with_capacity(self.chosen.len(), 6 * self.chosen.len());
        for (off, row) in off.iter_mut().zip(&self.chosen) {
            *off = self.rows.linear(*row, &state, &mut room);
            let entries = room.gradient().iter();
            let own = entries.map(|(column, by)| (slots[*column], *by));
            matrix.push(own.filter(|(slot, _)| *slot < self.columns.len()));
        }
        (off, matrix)
    }
}

impl Operator for &Block<'_, '_> {
    type Param = Local;
    type Output = DVector<f64>;

    fn apply(&self, at: &Local) -> Result<DVector<f64>, Error> {
        self.put(at);
        Ok(self.residuals())
    }
}

impl Jacobian for &Block<'_, '_> {
    type Param = Local;
    type Jacobian = DMatrix<f64>;

    fn jacobian(&self, at: &Local) -> Result<DMatrix<f64>, Error> {
        self.put(at);
        Ok(self.derivatives())
    }
}

impl Retract for &Block<'_, '_> {
    type Param = Local;

    fn retract(&self, at: &Local, step: &DVector<f64>) -> Local {
        Block::retract(self, at, step)
    }
}

impl Block<'_, '_> {
    /// The point reached from `at` by a step of the columns; the state is left there.
    pub(crate) fn retract(&self, at: &Local, step: &DVector<f64>) -> Local {
        self.put(at);
        let mut state = self.state.borrow_mut();
        let mut omegas = vec![nalgebra::Vector3::zeros(); self.bodies.len()];
        for (column, by) in self.columns.iter().zip(step.iter()) {
            match self.rows.tangent_of[*column] {
                None => state.values[self.rows.unknowns[*column].index()] += by,
                Some((body, component)) => {
                    if let Ok(slot) = self.bodies.binary_search(&body) {
                        omegas[slot][component] = *by;
                    }
                }
            }
        }
        for (body, omega) in self.bodies.iter().zip(omegas) {
            state.turn(*body, omega);
        }
        drop(state);
        self.local()
    }
}
