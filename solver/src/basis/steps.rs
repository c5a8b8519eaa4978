//! Steps of all columns. In: a factorised basis. Out: the motions that leave every kept row as it is, and the step by which kept
//! rows change by given residuals; both by substitution from the last row to the first.

use std::collections::BinaryHeap;

use super::Basis;
use crate::groups::Groups;
use crate::sparse::SparseRow;

impl Basis {
    /// The step of all columns, free ones held, by which kept rows (positions in [`Basis::kept`]) change by given residuals and
    /// the other kept rows by none.
    pub(crate) fn respond(&self, residuals: &[(usize, f64)]) -> SparseRow {
        let mut due = vec![0.0; self.kept.len()];
        for (at, by) in residuals {
            due[*at] += by * self.row_scale[*at];
        }
        for (at, taken) in self.taken.iter().enumerate() {
            for (earlier, factor) in taken {
                due[at] -= factor * due[*earlier];
            }
        }
        let mut step = vec![0.0; self.pivot_of.len()];
        for (at, by) in due.into_iter().enumerate().rev() {
            let pivot = self.pivots[at];
            let (mut left, mut largest) = (by, by.abs());
            let others = self.entries.row(at).iter();
            for (column, value) in others.filter(|(column, _)| *column != pivot.column) {
                let share = value * step[*column];
                left -= share;
                largest = largest.max(share.abs());
            }
            if left.abs() > self.dependent * largest {
                step[pivot.column] = left / pivot.value;
            }
        }
        let moved = step.into_iter().enumerate().filter(|(_, by)| *by != 0.0);
        moved
            .map(|(column, by)| (column, by * self.column_scale[column]))
            .collect()
    }

    /// A sparse basis of the null space: for each free column the motion that moves it by 1 and no
    /// other free column.
    pub(crate) fn motions(&self) -> Vec<SparseRow> {
        // for each column, the kept rows whose eliminated form holds it
        let users = self.entries.by_column(self.pivot_of.len());
        self.free_columns()
            .into_iter()
            .map(|free| self.motion(free, &users))
            .collect()
    }

    fn motion(&self, free: usize, users: &Groups) -> SparseRow {
        let mut moved = std::collections::BTreeMap::from([(free, 1.0)]);
        let mut due: BinaryHeap<usize> = users.get(free).iter().copied().collect();
        let mut last = None;
        while let Some(at) = due.pop() {
            if last == Some(at) {
                continue;
            }
            last = Some(at);
            let pivot = self.pivots[at];
            let (mut sum, mut largest) = (0.0_f64, 0.0_f64);
            for (column, value) in self.entries.row(at) {
                if let Some(by) = moved.get(column) {
                    sum += value * by;
                    largest = largest.max((value * by).abs());
                }
            }
            if sum.abs() <= self.dependent * largest {
                continue;
            }
            moved.insert(pivot.column, -sum / pivot.value);
            let above = users.get(pivot.column).iter().filter(|user| **user < at);
            due.extend(above);
        }
        let unit = self.column_scale[free];
        moved
            .into_iter()
            .map(|(column, by)| (column, by * self.column_scale[column] / unit))
            .collect()
    }
}
