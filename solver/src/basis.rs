//! The most trusted independent set of rows, and any row told as a combination of it.
//!
//! Rows form a matroid; taking them in order of trust and keeping each one that is independent of
//! those kept gives the most trusted basis (Edmonds, "Matroids and the greedy algorithm", Math.
//! Programming 1, 1971). Independence is decided by sparse elimination, row by row: an LU
//! factorisation whose row order is the order of trust and whose pivot columns are free to choose
//! (Davis, Direct Methods for Sparse Linear Systems, SIAM 2006, chapter 6).

mod steps;

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::rows::Rows;
use crate::tolerance::Tolerances;

/// A sparse row: columns with their values.
pub(crate) type SparseRow = Vec<(usize, f64)>;

/// A kept row after elimination.
#[derive(Clone, Debug)]
struct Eliminated {
    /// The column that this row accounts for.
    pivot: usize,
    pivot_value: f64,
    /// What is left of the row, the pivot included; no column of it is the pivot of an earlier row.
    entries: SparseRow,
    /// Earlier kept rows that were taken off, with their factors.
    taken: Vec<(usize, f64)>,
}

/// What a row is when it is told by the kept ones.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Combination {
    /// Kept rows (positions in [`Basis::kept`]) with their coefficients.
    pub(crate) kept: Vec<(usize, f64)>,
    /// What no kept row accounts for: columns that are still free.
    pub(crate) rest: SparseRow,
}

/// A greedy basis of rows, factorised.
#[derive(Clone, Debug)]
pub(crate) struct Basis {
    /// The kept rows, in the order in which they were offered.
    pub(crate) kept: Vec<usize>,
    rows: Vec<Eliminated>,
    /// For each column, the kept row whose pivot it is.
    pivot_of: Vec<Option<usize>>,
    /// The column scales: an entry of a row is multiplied by them.
    column_scale: Vec<f64>,
    /// The row scales of the kept rows.
    row_scale: Vec<f64>,
    dependent: f64,
}

/// Dense working space for sparse rows.
struct Workspace {
    value: Vec<f64>,
    marked: Vec<bool>,
    touched: Vec<usize>,
    /// Kept rows whose pivot column is filled, smallest first.
    due: BinaryHeap<Reverse<usize>>,
}

impl Workspace {
    fn new(columns: usize) -> Self {
        Self {
            value: vec![0.0; columns],
            marked: vec![false; columns],
            touched: Vec::new(),
            due: BinaryHeap::new(),
        }
    }

    fn add(&mut self, column: usize, value: f64, pivot_of: &[Option<usize>]) {
        if !self.marked[column] {
            self.marked[column] = true;
            self.touched.push(column);
            if let Some(row) = pivot_of[column] {
                self.due.push(Reverse(row));
            }
        }
        self.value[column] += value;
    }

    /// Empties the space and gives what was in it, without exact zeros.
    fn take(&mut self) -> SparseRow {
        let mut row = Vec::new();
        for column in self.touched.drain(..) {
            let value = std::mem::take(&mut self.value[column]);
            self.marked[column] = false;
            if value != 0.0 {
                row.push((column, value));
            }
        }
        row.sort_unstable_by_key(|(column, _)| *column);
        row
    }
}

impl Basis {
    /// Chooses among the rows of a Jacobian in the order of trust, those that `may` be kept.
    pub(crate) fn of(
        rows: &Rows<'_>,
        jacobian: &[SparseRow],
        may: impl Fn(usize) -> bool,
        tolerances: &Tolerances,
    ) -> Self {
        let columns = rows.unknowns.len();
        let mut counts = vec![0; columns];
        for (column, _) in jacobian.iter().flatten() {
            counts[*column] += 1;
        }
        Self::choose(
            columns,
            rows.trusted
                .iter()
                .filter(|row| may(**row))
                .map(|row| (*row, &jacobian[*row])),
            &counts,
            (0..columns).map(|column| rows.unit(column)).collect(),
            tolerances.dependent,
        )
    }

    /// Chooses among `rows`, offered in this order. `counts` says in how many rows a column occurs:
    /// of equally sound pivots the rarest column is taken, which keeps the rows short.
    fn choose<'a>(
        columns: usize,
        rows: impl Iterator<Item = (usize, &'a SparseRow)>,
        counts: &[usize],
        column_scale: Vec<f64>,
        dependent: f64,
    ) -> Self {
        let mut basis = Self {
            kept: Vec::new(),
            rows: Vec::new(),
            pivot_of: vec![None; columns],
            column_scale,
            row_scale: Vec::new(),
            dependent,
        };
        let mut space = Workspace::new(columns);
        for (id, row) in rows {
            let Some(scale) = basis.scale_of(row) else {
                continue;
            };
            let (taken, largest) = basis.eliminate(row, scale, &mut space);
            let entries = space.take();
            let Some(pivot) = basis.pivot(&entries, largest, counts) else {
                continue;
            };
            basis.pivot_of[pivot.0] = Some(basis.rows.len());
            basis.kept.push(id);
            basis.row_scale.push(scale);
            basis.rows.push(Eliminated {
                pivot: pivot.0,
                pivot_value: pivot.1,
                entries,
                taken,
            });
        }
        basis
    }

    /// The factor that brings the largest entry of a row to 1; none when the row is empty.
    fn scale_of(&self, row: &SparseRow) -> Option<f64> {
        let largest = row
            .iter()
            .map(|(column, value)| (value * self.column_scale[*column]).abs())
            .fold(0.0, f64::max);
        (largest > 0.0).then(|| 1.0 / largest)
    }

    /// Takes kept rows off a row until no pivot column is left in it. The factors, and the largest
    /// number met.
    fn eliminate(
        &self,
        row: &SparseRow,
        scale: f64,
        space: &mut Workspace,
    ) -> (Vec<(usize, f64)>, f64) {
        let mut largest = 0.0_f64;
        for &(column, value) in row {
            let value = value * self.column_scale[column] * scale;
            largest = largest.max(value.abs());
            space.add(column, value, &self.pivot_of);
        }
        let mut taken = Vec::new();
        while let Some(Reverse(at)) = space.due.pop() {
            let kept = &self.rows[at];
            let value = space.value[kept.pivot];
            if value == 0.0 {
                continue;
            }
            let factor = value / kept.pivot_value;
            taken.push((at, factor));
            for &(column, entry) in &kept.entries {
                let change = factor * entry;
                largest = largest.max(change.abs());
                space.add(column, -change, &self.pivot_of);
            }
            space.value[kept.pivot] = 0.0;
        }
        (taken, largest)
    }

    /// The pivot of an eliminated row, or none when nothing but rounding is left.
    fn pivot(&self, entries: &SparseRow, largest: f64, counts: &[usize]) -> Option<(usize, f64)> {
        /// A pivot may be this much smaller than the largest entry if its column is rarer.
        const THRESHOLD: f64 = 0.1;
        let most = entries.iter().map(|(_, v)| v.abs()).fold(0.0, f64::max);
        if most <= self.dependent * largest {
            return None;
        }
        entries
            .iter()
            .filter(|(_, v)| v.abs() >= THRESHOLD * most)
            .min_by_key(|(column, _)| (counts[*column], Reverse(*column)))
            .copied()
    }

    /// Tells a row as a combination of the kept ones; what they can't account for is the rest.
    /// Coefficients are those of the rows as they were offered, without scales.
    pub(crate) fn express(&self, row: &SparseRow) -> Combination {
        let Some(scale) = self.scale_of(row) else {
            return Combination::default();
        };
        let mut space = Workspace::new(self.pivot_of.len());
        let (taken, largest) = self.eliminate(row, scale, &mut space);
        let rest = space
            .take()
            .into_iter()
            .filter(|(_, value)| value.abs() > self.dependent * largest)
            .map(|(column, value)| (column, value / (self.column_scale[column] * scale)))
            .collect();
        let kept = self
            .undo(taken)
            .into_iter()
            .map(|(at, factor)| (at, factor * self.row_scale[at] / scale))
            .collect();
        Combination { kept, rest }
    }

    /// From factors of eliminated rows to coefficients of the kept rows themselves.
    fn undo(&self, taken: Vec<(usize, f64)>) -> Vec<(usize, f64)> {
        let mut sums: std::collections::BTreeMap<usize, f64> = taken.into_iter().collect();
        let largest = sums.values().fold(0.0_f64, |m, v| m.max(v.abs()));
        let mut coefficients = Vec::new();
        while let Some((at, factor)) = sums.pop_last() {
            if factor.abs() <= self.dependent * largest {
                continue;
            }
            coefficients.push((at, factor));
            for &(earlier, share) in &self.rows[at].taken {
                *sums.entry(earlier).or_insert(0.0) -= factor * share;
            }
        }
        coefficients.reverse();
        coefficients
    }

    /// The number of independent rows.
    pub(crate) fn rank(&self) -> usize {
        self.rows.len()
    }

    /// The columns that the kept rows account for, in the order of the rows.
    pub(crate) fn pivots(&self) -> impl Iterator<Item = usize> + '_ {
        self.rows.iter().map(|row| row.pivot)
    }

    /// The columns that no kept row accounts for.
    pub(crate) fn free_columns(&self) -> Vec<usize> {
        (0..self.pivot_of.len())
            .filter(|column| self.pivot_of[*column].is_none())
            .collect()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    fn choose(columns: usize, rows: &[SparseRow]) -> Basis {
        let mut counts = vec![0; columns];
        for row in rows {
            for (column, _) in row {
                counts[*column] += 1;
            }
        }
        Basis::choose(
            columns,
            rows.iter().enumerate(),
            &counts,
            vec![1.0; columns],
            1e-9,
        )
    }

    #[test]
    fn a_closed_loop_names_its_rows_with_their_signs() {
        // x0 = a, x1 - x0 = b, x2 - x1 = c, and again x2 = d
        let rows = vec![
            vec![(0, 1.0)],
            vec![(0, -1.0), (1, 1.0)],
            vec![(1, -1.0), (2, 1.0)],
            vec![(2, 1.0)],
        ];
        let basis = choose(3, &rows);
        assert_eq!(basis.kept, vec![0, 1, 2]);
        let circuit = basis.express(&rows[3]);
        assert_eq!(circuit.kept, vec![(0, 1.0), (1, 1.0), (2, 1.0)]);
        assert!(circuit.rest.is_empty());
    }

    #[test]
    fn a_chain_that_hangs_free_moves_as_one() {
        let rows = vec![
            vec![(0, -1.0), (1, 1.0)],
            vec![(1, -1.0), (2, 1.0)],
            vec![(3, 1.0)],
        ];
        let motions = choose(4, &rows).motions();
        assert_eq!(motions, vec![vec![(0, 1.0), (1, 1.0), (2, 1.0)]]);
    }

    fn random_rows() -> impl Strategy<Value = Vec<SparseRow>> {
        let row = proptest::collection::btree_map(
            0..8usize,
            prop_oneof![Just(-2.0), Just(-1.0), Just(1.0), Just(3.0)],
            1..4,
        );
        proptest::collection::vec(row.prop_map(|m| m.into_iter().collect()), 1..14)
    }

    proptest! {
        #[test]
        fn rank_and_combinations_agree_with_dense_algebra(rows in random_rows()) {
            let basis = choose(8, &rows);
            let dense = nalgebra::DMatrix::from_fn(rows.len(), 8, |i, j| {
                rows[i].iter().find(|(c, _)| *c == j).map_or(0.0, |(_, v)| *v)
            });
            prop_assert_eq!(basis.rank(), dense.clone().svd(false, false).rank(1e-8));
            for row in &rows {
                let told = basis.express(row);
                prop_assert!(told.rest.is_empty());
                let mut sum = nalgebra::RowDVector::<f64>::zeros(8);
                for (at, c) in told.kept {
                    sum += dense.row(basis.kept[at]) * c;
                }
                for (column, value) in row {
                    sum[*column] -= value;
                }
                prop_assert!(sum.amax() < 1e-9);
            }
            for motion in basis.motions() {
                let mut x = nalgebra::DVector::<f64>::zeros(8);
                for (column, by) in motion {
                    x[column] = by;
                }
                prop_assert!((&dense * &x).amax() < 1e-9 * x.amax().max(1.0));
            }
            prop_assert_eq!(basis.motions().len() + basis.rank(), 8);
            for wanted in 0..basis.rank() {
                let mut x = nalgebra::DVector::<f64>::zeros(8);
                for (column, by) in basis.respond(&[(wanted, 2.0)]) {
                    x[column] = by;
                }
                for (at, row) in basis.kept.iter().enumerate() {
                    let moved = (dense.row(*row) * &x)[0];
                    let wanted = if at == wanted { 2.0 } else { 0.0 };
                    prop_assert!((moved - wanted).abs() < 1e-9 * x.amax().max(1.0));
                }
                prop_assert!(basis.free_columns().iter().all(|column| x[*column] == 0.0));
            }
        }
    }
}
