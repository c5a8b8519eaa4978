//! What rows come to, and their derivatives by the columns. In: a state. Out: values, gradients, the sparse Jacobian.
//!
//! A row that is a sum whatever the unknowns are has its coefficients ready; one that is a sum with turns held is [taken
//! apart](crate::sums); any other is evaluated in dual numbers.

use super::{IsSum, ROUNDING, RowId, Rows};
use crate::equation::Equation;
use crate::evaluate::Derivatives;
use crate::geometry::Var;
use crate::rotation::Rotations;
use crate::sparse::{Entry, SparseRow, SparseRows};
use crate::sums::{Sum, Sums};
use crate::system::{EquationId, State, Status};

/// Room for a row and its gradient, kept from row to row so that nothing allocates.
#[derive(Debug, Default)]
pub(crate) struct Linear {
    sum: Sum,
    rotations: Rotations,
    derivatives: Derivatives,
}

impl Linear {
    /// The gradient of the last row, by columns.
    pub(crate) fn gradient(&self) -> &[Entry] {
        &self.sum.entries
    }

    /// The derivative of the last row by a column.
    pub(crate) fn by(&self, column: usize) -> f64 {
        let mut entries = self.gradient().iter();
        let own = entries.find(|(other, _)| *other == column);
        own.map_or(0.0, |(_, by)| *by)
    }
}

impl Rows<'_> {
    /// The sparse rows of the Jacobian at a state, in the order of [`Rows::ids`].
    pub(crate) fn jacobian(&self, state: &State) -> SparseRows {
        self.jacobian_of(state, |_| true)
    }

    /// The same of some rows; the others are empty.
    pub(crate) fn jacobian_of(&self, state: &State, of: impl Fn(usize) -> bool) -> SparseRows {
        let mut matrix = SparseRows::with_capacity(self.ids.len(), self.sums.entries().len());
        let mut room = Linear::default();
        for (row, id) in self.ids.iter().enumerate() {
            if !of(row) {
                matrix.push([]);
            } else if self.is_sum[id.equation.index()] == IsSum::Always {
                matrix.push(self.sums.row(row).iter().copied());
            } else {
                self.linear(row, state, &mut room);
                matrix.push(room.gradient().iter().copied());
            }
        }
        matrix
    }

    /// The gradient of a row of any equation, by the unknowns.
    pub(crate) fn gradient(&self, equation: &Equation, state: &State) -> Vec<SparseRow> {
        let reads = self.system.variables_of(equation, Some(Status::Unknown));
        let derivatives = self.system.derivatives(equation, state, &reads);
        derivatives
            .iter()
            .take(equation.rows())
            .map(|values| self.sparse(&reads, values).collect())
            .collect()
    }

    /// Derivatives by unknowns as the entries of a row, without what is rounding.
    pub(crate) fn sparse<'r>(
        &'r self,
        reads: &'r [Var],
        values: &'r [f64],
    ) -> impl Iterator<Item = Entry> + 'r {
        reads.iter().zip(values).filter_map(|(var, value)| {
            let column = self.column_of[var.index()]?;
            self.is_entry(column, *value).then_some((column, *value))
        })
    }

    /// Whether a derivative is more than rounding.
    pub(super) fn is_entry(&self, column: usize, value: f64) -> bool {
        let per_angle = self.system.scale.max(1.0);
        value.abs()
            > if self.angular[column] {
                ROUNDING * per_angle
            } else {
                ROUNDING
            }
    }

    /// What a row comes to at a state, and its gradient by the columns, left in the room given.
    pub(crate) fn linear(&self, row: usize, state: &State, room: &mut Linear) -> f64 {
        let RowId { equation: id, row } = self.ids[row];
        let equation = self.system.get_equation(id);
        let Linear {
            sum,
            rotations,
            derivatives,
        } = room;
        let is_sum = equation.is_sum_with_turns_held();
        if is_sum && Sums::at(self, state, rotations).row(equation, row, sum) {
            let value = sum.value(|column| state.values[self.unknowns[column].index()]);
            sum.join_turns();
            sum.entries
                .retain(|(column, by)| self.is_entry(*column, *by));
            return value;
        }
        let reads = self.unknowns_of(id);
        let values = (self.system).derivatives_into(equation, state, reads, derivatives);
        sum.entries.clear();
        sum.entries.extend(self.sparse(reads, &derivatives[row]));
        values[row]
    }

    /// What all rows come to in a state with the givens of the system: as [`Rows::value`], by its sum where a row is one.
    pub(crate) fn values(&self, state: &State) -> Vec<f64> {
        let mut values = Vec::with_capacity(self.ids.len());
        for (at, equation) in self.system.equations.iter().enumerate() {
            if self.is_sum[at] == IsSum::No {
                let all = self.system.residual(equation, state);
                values.extend(all.into_iter().take(equation.rows()));
                continue;
            }
            for row in self.of(EquationId(at as u32)) {
                let entries = self.sums.row(row).iter();
                values.push(entries.fold(self.constants[row], |sum, (column, by)| {
                    sum + by * state.values[self.unknowns[*column].index()]
                }));
            }
        }
        values
    }
}
