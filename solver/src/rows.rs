//! The rows and columns of a system: which equation makes a row, which unknown a column, and the
//! sparse matrix of derivatives between them.

mod derivatives;

use crate::equation::{Equation, Measure};
use crate::geometry::{BodyId, Turn, Var};
use crate::rotation::Rotations;
use crate::sparse::SparseRows;
use crate::sums::{Sum, Sums};
use crate::system::{EquationId, State, Status, System};
pub(crate) use derivatives::Linear;

/// Entries smaller than this, relative to the reference length, come from the rounding of sines and
/// cosines and are structural zeros.
const ROUNDING: f64 = 1e-14;

/// One row of an equation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct RowId {
    pub(crate) equation: EquationId,
    pub(crate) row: usize,
}

/// Whether the rows of an equation are sums over the unknowns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum IsSum {
    No,
    /// As long as given turns are as they are.
    WithGivens,
    /// Whatever is given: no body is turned.
    Always,
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
    /// The unknowns that each equation reads, one after the other.
    reads: Vec<Var>,
    reads_from: Vec<usize>,
    /// For each column, the body whose free turn it belongs to, with the component.
    pub(crate) tangent_of: Vec<Option<(BodyId, usize)>>,
    /// The columns by which each body is turned, one after the other.
    turns: Vec<usize>,
    turns_from: Vec<usize>,
    /// Whether each column is an angle.
    angular: Vec<bool>,
    /// Whether each equation is affine in the unknowns.
    affine: Vec<bool>,
    /// Whether the rows of each equation are in `sums`, and for how long.
    is_sum: Vec<IsSum>,
    /// The rows that are sums with the givens as they are: coefficients, and for each row its constant.
    sums: SparseRows,
    constants: Vec<f64>,
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
        let angular = |var: &Var| system.get(*var).measure == Measure::Angle;
        let mut tangent_of = vec![None; unknowns.len()];
        let mut turns = Vec::new();
        let mut turns_from = vec![0];
        for (index, body) in system.bodies.iter().enumerate() {
            let from = turns.len();
            body.turn.for_each_var(&mut |var| {
                let column = column_of[var.index()];
                turns.extend(column.filter(|column| !turns[from..].contains(column)));
            });
            turns_from.push(turns.len());
            if let Turn::Free { tangent } = &body.turn {
                for (component, var) in tangent.iter().enumerate() {
                    if let Some(column) = column_of[var.index()] {
                        tangent_of[column] = Some((BodyId(index as u32), component));
                    }
                }
            }
        }
        let count = system.equations.len();
        let mut ids = Vec::with_capacity(count);
        let mut first = Vec::with_capacity(count);
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
        let rows = Self {
            system,
            trusted,
            position,
            reads: Vec::with_capacity(4 * count),
            reads_from: vec![0],
            turns,
            turns_from,
            angular: unknowns.iter().map(angular).collect(),
            affine: Vec::with_capacity(count),
            is_sum: Vec::with_capacity(count),
            sums: SparseRows::with_capacity(ids.len(), 3 * ids.len()),
            constants: Vec::with_capacity(ids.len()),
            ids,
            unknowns,
            column_of,
            tangent_of,
            first,
        };
        rows.sort_out()
    }

    /// Which equations are affine, which of these are sums, and what each of them reads.
    fn sort_out(mut self) -> Self {
        let start = self.system.start();
        let mut sum = Sum::default();
        let mut rotations = Rotations::default();
        let mut reads: Vec<Var> = Vec::new();
        for equation in &self.system.equations {
            let (mut unknown_turns, mut given_turns) = (false, false);
            equation.for_each_body(&mut |body, _| {
                unknown_turns |= !self.turns_of(body).is_empty();
                given_turns |= *self.system.turn(body) != Turn::Square;
            });
            let affine = !unknown_turns && equation.is_affine_with_turns_held();
            let is_sum = match affine && equation.is_sum_with_turns_held() {
                false => IsSum::No,
                true if given_turns => IsSum::WithGivens,
                true => IsSum::Always,
            };
            reads.clear();
            for row in 0..equation.rows() {
                sum.clear();
                if is_sum != IsSum::No {
                    Sums::at(&self, &start, &mut rotations).row(equation, row, &mut sum);
                    sum.entries
                        .retain(|(column, by)| self.is_entry(*column, *by));
                }
                if is_sum == IsSum::Always {
                    let columns = sum.entries.iter().map(|(column, _)| *column);
                    reads.extend(columns.map(|at| self.unknowns[at]));
                }
                self.sums.push(sum.entries.iter().copied());
                self.constants.push(sum.constant);
            }
            if is_sum != IsSum::Always {
                self.system.for_each_var(equation, &mut |var| {
                    if self.column_of[var.index()].is_some() {
                        reads.push(var);
                    }
                });
            }
            reads.sort_unstable();
            reads.dedup();
            self.reads.extend(&reads);
            self.reads_from.push(self.reads.len());
            self.affine.push(affine);
            self.is_sum.push(is_sum);
        }
        self
    }

    /// The columns by which a body is turned.
    pub(crate) fn turns_of(&self, body: BodyId) -> &[usize] {
        let at = body.index();
        &self.turns[self.turns_from[at]..self.turns_from[at + 1]]
    }

    /// All rows that are sums whatever the unknowns are, the others empty, and what the sums are added to.
    pub(crate) fn all_sums(&self) -> (&SparseRows, &[f64]) {
        (&self.sums, &self.constants)
    }

    pub(crate) fn equation(&self, row: usize) -> &Equation {
        self.system.get_equation(self.ids[row].equation)
    }

    /// The unknowns that an equation of the system reads.
    pub(crate) fn unknowns_of(&self, equation: EquationId) -> &[Var] {
        let at = equation.index();
        &self.reads[self.reads_from[at]..self.reads_from[at + 1]]
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
            || self.equation(row).is_affine_with_turns_held() && {
                let mut held = true;
                self.system
                    .for_each_turn_var(self.equation(row), &mut |var| {
                        let column = self.column_of[var.index()];
                        held &= column.is_none_or(|column| !columns.contains(&column));
                    });
                held
            }
    }

    /// Whether a column is a length, and no angle.
    pub(crate) fn is_length(&self, column: usize) -> bool {
        !self.angular[column]
    }

    /// What one unit of a column is worth as a length: 1 for lengths, 1 over the reference length
    /// for angles.
    pub(crate) fn unit(&self, column: usize) -> f64 {
        if self.angular[column] {
            1.0 / self.system.scale
        } else {
            1.0
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
