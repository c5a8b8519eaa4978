//! A step by Cholesky's factorisation of JᵀJ. In: a Jacobian by rows. Out: the solution of the normal equations.
//!
//! Approximate minimum degree ordering. Tried on searches of 1,000 bays, chain and closed loop: simplicial 28 and 88 ms (the
//! best, and what faer chooses by itself), supernodal 111 and 179 ms: the factor has two to ten entries a column. Measured
//! beside other work on the machine; two runs differ by a third.

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::linalg::cholesky::llt::factor::LltRegularization;
use faer::sparse::linalg::SupernodalThreshold;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, SymbolicCholesky, SymmetricOrdering, factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMat};
use faer::{Conj, Par, Side};

use super::evaluate::ByRows;
use super::sparse::{Factorisation, buffer, one_column, transposed};

pub struct Cholesky {
    /// The lower half of JᵀJ.
    normal: SymbolicSparseColMat<usize>,
    /// Where each product of two entries of a row goes, row by row, the second entry at or after the first.
    slots: Vec<usize>,
    normal_value: Vec<f64>,
    symbolic: SymbolicCholesky<usize>,
    factor: Vec<f64>,
    scratch: MemBuffer,
}

impl Factorisation for Cholesky {
    fn analyse(jacobian: &ByRows) -> Result<Self, String> {
        let (normal, slots) = lower_half(jacobian);
        let params = CholeskySymbolicParams {
            supernodal_flop_ratio_threshold: SupernodalThreshold::FORCE_SIMPLICIAL,
            ..Default::default()
        };
        let ordering = SymmetricOrdering::Amd;
        let symbolic = factorize_symbolic_cholesky(normal.as_ref(), Side::Lower, ordering, params)
            .map_err(|error| format!("{error:?}"))?;
        let numeric = symbolic.factorize_numeric_llt_scratch::<f64>(Par::Seq, Default::default());
        let solve = symbolic.solve_in_place_scratch::<f64>(1, Par::Seq);
        Ok(Self {
            slots,
            normal_value: vec![0.0; normal.row_idx().len()],
            normal,
            factor: vec![0.0; symbolic.len_val()],
            scratch: buffer(numeric.or(solve))?,
            symbolic,
        })
    }

    fn solve(&mut self, jacobian: &ByRows, right: Option<&mut Vec<f64>>) -> Result<(), String> {
        self.normal_value.fill(0.0);
        let mut slots = self.slots.iter();
        for row in 0..jacobian.rows() {
            let (_, values) = jacobian.row(row);
            for (at, first) in values.iter().enumerate() {
                for (second, slot) in values[at..].iter().zip(slots.by_ref()) {
                    self.normal_value[*slot] += first * second;
                }
            }
        }
        let normal = SparseColMatRef::new(self.normal.as_ref(), &self.normal_value);
        let stack = MemStack::new(&mut self.scratch);
        let factor = self
            .symbolic
            .factorize_numeric_llt(
                &mut self.factor,
                normal,
                Side::Lower,
                LltRegularization::default(),
                Par::Seq,
                stack,
                Default::default(),
            )
            .map_err(|error| format!("{error:?}"))?;
        if let Some(right) = right {
            *right = jacobian.transposed_times(right);
            let stack = MemStack::new(&mut self.scratch);
            factor.solve_in_place_with_conj(Conj::No, one_column(right), Par::Seq, stack);
        }
        Ok(())
    }
}

/// The pattern of the lower half of JᵀJ by columns, and the slot of each product.
fn lower_half(jacobian: &ByRows) -> (SymbolicSparseColMat<usize>, Vec<usize>) {
    let (first_of, row_of, from) = transposed(jacobian);
    // the products of an entry with those at or after it in its row begin here
    let mut begins = Vec::with_capacity(jacobian.column.len());
    let mut count = 0;
    for row in 0..jacobian.rows() {
        let end = jacobian.first[row + 1];
        for at in jacobian.first[row]..end {
            begins.push(count);
            count += end - at;
        }
    }
    let mut slots = vec![0; count];
    let mut first = vec![0];
    let mut rows = Vec::new();
    // the slot of each row of the column at hand, if it was met in this column
    let mut slot_of = vec![0; jacobian.columns];
    let mut met = vec![usize::MAX; jacobian.columns];
    for column in 0..jacobian.columns {
        let begun = rows.len();
        let entries = || (first_of[column]..first_of[column + 1]).map(|at| (row_of[at], from[at]));
        for (row, at) in entries() {
            for &other in &jacobian.column[at..jacobian.first[row + 1]] {
                if met[other] != column {
                    met[other] = column;
                    rows.push(other);
                }
            }
        }
        rows[begun..].sort_unstable();
        for (slot, row) in rows.iter().enumerate().skip(begun) {
            slot_of[*row] = slot;
        }
        for (row, at) in entries() {
            let others = &jacobian.column[at..jacobian.first[row + 1]];
            for (slot, other) in slots[begins[at]..].iter_mut().zip(others) {
                *slot = slot_of[*other];
            }
        }
        first.push(rows.len());
    }
    let columns = jacobian.columns;
    let pattern = SymbolicSparseColMat::new_checked(columns, columns, first, None, rows);
    (pattern, slots)
}
