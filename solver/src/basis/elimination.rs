//! One row against the kept ones. In: a basis and a sparse row. Out: the kept rows that have to be taken off it until no pivot
//! column is left, with their factors, and what is left of it.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::Basis;
use crate::sparse::{Entry, SparseRow, SparseRows};

/// Room for one row at a time, kept from row to row so that nothing allocates, and the outcome for the last one.
#[derive(Debug, Default)]
pub(crate) struct Elimination {
    value: Vec<f64>,
    marked: Vec<bool>,
    touched: Vec<usize>,
    /// Kept rows whose pivot column is filled, smallest first.
    due: BinaryHeap<Reverse<usize>>,
    /// In how many rows each column occurs: of equally sound pivots the rarest column is taken, which keeps the rows short.
    pub(super) counts: Vec<u32>,
    /// What is left, without exact zeros, by column.
    pub(super) left: SparseRow,
    /// The kept rows that were taken off, with their factors.
    pub(super) taken: Vec<Entry>,
    /// The largest number met.
    pub(super) largest: f64,
}

impl Elimination {
    /// For rows of so many columns.
    pub(crate) fn new(columns: usize) -> Self {
        Self {
            value: vec![0.0; columns],
            marked: vec![false; columns],
            counts: vec![0; columns],
            ..Self::default()
        }
    }

    /// Counts in how many rows each column occurs.
    pub(crate) fn count(&mut self, rows: &SparseRows) {
        self.counts.fill(0);
        for (column, _) in rows.entries() {
            self.counts[*column] += 1;
        }
    }

    /// The kept rows (positions in [`Basis::kept`]) that were taken off the last row.
    pub(crate) fn taken(&self) -> impl Iterator<Item = usize> + '_ {
        self.taken.iter().map(|(at, _)| *at)
    }

    /// Takes kept rows off a row, multiplied by `scale`, until no pivot column is left in it.
    pub(super) fn eliminate(&mut self, basis: &Basis, row: &[Entry], scale: f64) {
        self.taken.clear();
        self.largest = 0.0;
        for &(column, value) in row {
            let value = value * basis.column_scale[column] * scale;
            self.largest = self.largest.max(value.abs());
            match basis.pivot_of[column] {
                // nothing else is in such a row, and no later one has its column
                Some(at) if at < basis.single => {
                    self.taken.push((at, value / basis.pivots[at].value));
                }
                _ => self.add(basis, column, value),
            }
        }
        while let Some(Reverse(at)) = self.due.pop() {
            let pivot = basis.pivots[at];
            let value = self.value[pivot.column];
            if value == 0.0 {
                continue;
            }
            let factor = value / pivot.value;
            self.taken.push((at, factor));
            for &(column, entry) in basis.entries.row(at) {
                let change = factor * entry;
                if change.abs() > self.largest {
                    self.largest = change.abs();
                }
                self.add(basis, column, -change);
            }
            self.value[pivot.column] = 0.0;
        }
        self.left.clear();
        for column in self.touched.drain(..) {
            let value = std::mem::take(&mut self.value[column]);
            self.marked[column] = false;
            if value != 0.0 {
                self.left.push((column, value));
            }
        }
        self.left.sort_unstable_by_key(|(column, _)| *column);
    }

    fn add(&mut self, basis: &Basis, column: usize, value: f64) {
        if !self.marked[column] {
            self.marked[column] = true;
            self.touched.push(column);
            if let Some(row) = basis.pivot_of[column] {
                self.due.push(Reverse(row));
            }
        }
        self.value[column] += value;
    }
}
