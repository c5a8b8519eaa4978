//! The rows and columns of a system: which equation makes a row, which unknown a column, and the
//! sparse matrix of derivatives between them.

use crate::basis::SparseRow;
use crate::equation::{Equation, MAX_ROWS, Measure};
use crate::geometry::{BodyId, Turn, Var};
use crate::system::{EquationId, State, Status, System};

/// Entries smaller than this, relative to the reference length, come from the rounding of sines and
/// cosines and are structural zeros.
const ROUNDING: f64 = 1e-14;

/// One row of an equation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct RowId {
    pub(crate) equation: EquationId,
    pub(crate) row: usize,
}

/// Rows and columns of a system, numbered.
pub(crate) struct Rows<'a> {
    pub(crate) system: &'a System,
    /// All rows, equation by equation.
    pub(crate) ids: Vec<RowId>,
    /// Rows in the order of trust: priority, then equation.
    pub(crate) trusted: Vec<usize>,
    /// The position of each row in `trusted`.
    position: Vec<usize>,
    /// The unknown of each column.
    pub(crate) unknowns: Vec<Var>,
    /// The column of each variable, if it is unknown.
    pub(crate) column_of: Vec<Option<usize>>,
    /// The unknowns each equation reads.
    reads: Vec<Vec<Var>>,
    /// For each column, the body whose free turn it belongs to, with the component.
    pub(crate) tangent_of: Vec<Option<(BodyId, usize)>>,
    /// Whether each equation is affine in the unknowns.
    affine: Vec<bool>,
    first: Vec<usize>,
}

impl<'a> Rows<'a> {
    pub(crate) fn new(system: &'a System) -> Self {
        let mut column_of = vec![None; system.variables.len()];
        let mut unknowns = Vec::new();
        for (index, variable) in system.variables.iter().enumerate() {
            if variable.status == Status::Unknown {
                column_of[index] = Some(unknowns.len());
                unknowns.push(Var(index as u32));
            }
        }
        let mut tangent_of = vec![None; unknowns.len()];
        for (index, body) in system.bodies.iter().enumerate() {
            if let Turn::Free { tangent } = &body.turn {
                for (component, var) in tangent.iter().enumerate() {
                    if let Some(column) = column_of[var.index()] {
                        tangent_of[column] = Some((BodyId(index as u32), component));
                    }
                }
            }
        }
        let mut ids = Vec::new();
        let mut first = Vec::with_capacity(system.equations.len());
        for (index, equation) in system.equations.iter().enumerate() {
            first.push(ids.len());
            let equation_id = EquationId(index as u32);
            ids.extend((0..equation.rows()).map(|row| RowId {
                equation: equation_id,
                row,
            }));
        }
        let mut trusted: Vec<usize> = (0..ids.len()).collect();
        trusted.sort_by_key(|row| system.priorities[ids[*row].equation.index()]);
        let mut position = vec![0; ids.len()];
        for (at, row) in trusted.iter().enumerate() {
            position[*row] = at;
        }
        let is_unknown = |var: &Var| system.get(*var).status == Status::Unknown;
        Self {
            system,
            trusted,
            position,
            reads: system
                .equations
                .iter()
                .map(|e| system.unknowns_of(e))
                .collect(),
            affine: system
                .equations
                .iter()
                .map(|e| {
                    e.is_affine_with_turns_held() && !system.turns_of(e).iter().any(is_unknown)
                })
                .collect(),
            ids,
            unknowns,
            column_of,
            tangent_of,
            first,
        }
    }

    pub(crate) fn equation(&self, row: usize) -> &Equation {
        self.system.get_equation(self.ids[row].equation)
    }

    /// The unknowns that an equation of the system reads.
    pub(crate) fn unknowns_of(&self, equation: EquationId) -> &[Var] {
        &self.reads[equation.index()]
    }

    /// Where a row stands in the order of trust.
    pub(crate) fn trust_position(&self, row: usize) -> usize {
        self.position[row]
    }

    /// The rows of an equation.
    pub(crate) fn of(&self, equation: EquationId) -> std::ops::Range<usize> {
        let first = self.first[equation.index()];
        first..first + self.system.get_equation(equation).rows()
    }

    pub(crate) fn value(&self, row: usize, state: &State) -> f64 {
        self.system.residual(self.equation(row), state)[self.ids[row].row]
    }

    /// Whether an equation is affine in the unknowns.
    pub(crate) fn is_affine(&self, equation: EquationId) -> bool {
        self.affine[equation.index()]
    }

    /// Whether all equations are affine in the unknowns, so that one Jacobian serves everywhere.
    pub(crate) fn all_affine(&self) -> bool {
        self.affine.iter().all(|affine| *affine)
    }

    /// Whether a row is affine in the given columns, all else held.
    pub(crate) fn is_affine_in(&self, row: usize, columns: &[usize]) -> bool {
        let equation = self.ids[row].equation;
        self.affine[equation.index()]
            || self.equation(row).is_affine_with_turns_held()
                && !self
                    .system
                    .turns_of(self.equation(row))
                    .iter()
                    .filter_map(|var| self.column_of[var.index()])
                    .any(|column| columns.contains(&column))
    }

    /// The sparse rows of the Jacobian at a state, in the order of [`Rows::ids`].
    pub(crate) fn jacobian(&self, state: &State) -> Vec<SparseRow> {
        let mut matrix = Vec::with_capacity(self.ids.len());
        for (equation, reads) in self.system.equations.iter().zip(&self.reads) {
            let derivatives = self.system.derivatives(equation, state, reads);
            for values in derivatives.into_iter().take(equation.rows()) {
                matrix.push(self.sparse(reads, values));
            }
        }
        matrix
    }

    /// The gradient of a row of any equation, by the unknowns.
    pub(crate) fn gradient(&self, equation: &Equation, state: &State) -> Vec<SparseRow> {
        let reads = self.system.unknowns_of(equation);
        let derivatives: [Vec<f64>; MAX_ROWS] = self.system.derivatives(equation, state, &reads);
        derivatives
            .into_iter()
            .take(equation.rows())
            .map(|values| self.sparse(&reads, values))
            .collect()
    }

    fn sparse(&self, reads: &[Var], values: Vec<f64>) -> SparseRow {
        reads
            .iter()
            .zip(values)
            .filter_map(|(var, value)| {
                let column = self.column_of[var.index()]?;
                (value.abs() > ROUNDING * self.unit(column).recip().max(1.0))
                    .then_some((column, value))
            })
            .collect()
    }

    /// What one unit of a column is worth as a length: 1 for lengths, 1 over the reference length
    /// for angles.
    pub(crate) fn unit(&self, column: usize) -> f64 {
        match self.system.get(self.unknowns[column]).measure {
            Measure::Length => 1.0,
            Measure::Angle => 1.0 / self.system.scale,
        }
    }

    /// Changes a column's unknown by a step.
    pub(crate) fn step(&self, state: &mut State, column: usize, by: f64) {
        match self.tangent_of[column] {
            None => state.values[self.unknowns[column].index()] += by,
            Some((body, component)) => {
                let mut omega = nalgebra::Vector3::zeros();
                omega[component] = by;
                state.turn(body, omega);
            }
        }
    }

    /// A point near a state that no accident of the drawing singles out; the same one every time.
    pub(crate) fn generic_near(&self, state: &State, spread: f64) -> State {
        let mut near = state.clone();
        let all: Vec<usize> = (0..self.unknowns.len()).collect();
        self.scatter(&mut near, &all, spread);
        near
    }

    /// Moves given variables of a state at random, as [`Rows::generic_near`] does with unknowns.
    pub(crate) fn scatter_givens(
        &self,
        state: &mut State,
        vars: impl Iterator<Item = Var>,
        spread: f64,
    ) {
        for var in vars {
            let by = spread * spread_of(var.index() as u64 + (1 << 32));
            state.values[var.index()] += by * self.reach_of(var);
        }
    }

    /// How far the whole reaches in the measure of a variable: the reference length, or a radian.
    fn reach_of(&self, var: Var) -> f64 {
        match self.system.get(var).measure {
            Measure::Length => self.system.scale,
            Measure::Angle => 1.0,
        }
    }

    /// Moves some columns of a state at random, up to `spread` of the reference length, or radians; the same
    /// way every time.
    pub(crate) fn scatter(&self, state: &mut State, columns: &[usize], spread: f64) {
        for &column in columns {
            let by = spread * spread_of(column as u64);
            self.step(state, column, by * self.reach_of(self.unknowns[column]));
        }
    }
}

/// A number between -1 and 1 that looks random (the finaliser of SplitMix64: Steele, Lea and Flood,
/// OOPSLA 2014).
fn spread_of(seed: u64) -> f64 {
    let mut z = seed.wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^= z >> 31;
    (z >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
}
