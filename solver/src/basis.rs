//! The most trusted independent set of rows, and any row told as a combination of it.
//!
//! Rows form a matroid; taking them in order of trust and keeping each one that is independent of
//! those kept gives the most trusted basis (Edmonds, "Matroids and the greedy algorithm", Math.
//! Programming 1, 1971). Independence is decided by sparse elimination, row by row: an LU
//! factorisation whose row order is the order of trust and whose pivot columns are free to choose
//! (Davis, Direct Methods for Sparse Linear Systems, SIAM 2006, chapter 6).

mod elimination;
mod steps;

use std::cmp::Reverse;

use crate::rows::Rows;
use crate::sparse::{Entry, SparseRow, SparseRows};
use crate::tolerance::Tolerances;
pub(crate) use elimination::Elimination;

/// What a row is when it is told by the kept ones.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Combination {
    /// Kept rows (positions in [`Basis::kept`]) with their coefficients.
    pub(crate) kept: Vec<(usize, f64)>,
    /// What no kept row accounts for: columns that are still free.
    pub(crate) rest: SparseRow,
}

/// The column that a kept row accounts for, and its entry there after elimination.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Pivot {
    column: usize,
    value: f64,
}

/// A greedy basis of rows, factorised.
#[derive(Clone, Debug)]
pub(crate) struct Basis {
    /// The kept rows, in the order in which they were offered.
    pub(crate) kept: Vec<usize>,
    pivots: Vec<Pivot>,
    /// What is left of each kept row, the pivot included; no column of it is the pivot of an earlier row.
    entries: SparseRows,
    /// The earlier kept rows that were taken off each, with their factors.
    taken: SparseRows,
    /// So many of the first kept rows have no entry but their pivot.
    single: usize,
    /// For each column, the kept row whose pivot it is.
    pivot_of: Vec<Option<usize>>,
    /// The column scales: an entry of a row is multiplied by them.
    column_scale: Vec<f64>,
    /// The row scales of the kept rows.
    row_scale: Vec<f64>,
    dependent: f64,
}

impl Basis {
    /// Chooses among the rows of a Jacobian in the order of trust, those that `may` be kept.
    pub(crate) fn of(
        rows: &Rows<'_>,
        jacobian: &SparseRows,
        may: impl Fn(usize) -> bool,
        tolerances: &Tolerances,
    ) -> Self {
        let mut basis = Self::none(rows, tolerances);
        let mut elimination = Elimination::new(rows.unknowns.len());
        elimination.count(jacobian);
        for &row in rows.trusted.iter().filter(|row| may(**row)) {
            basis.offer(row, jacobian.row(row), &mut elimination);
        }
        basis
    }

    /// A basis that has no rows yet.
    pub(crate) fn none(rows: &Rows<'_>, tolerances: &Tolerances) -> Self {
        let columns = rows.unknowns.len();
        let scale = (0..columns).map(|column| rows.unit(column)).collect();
        Self::empty(scale, tolerances.dependent)
    }

    /// A basis of the rows of a block, whose columns are worth so much.
    pub(crate) fn of_block(units: &[f64]) -> Self {
        Self::empty(units.to_vec(), Tolerances::default().dependent)
    }

    /// Forgets all but the first kept rows.
    pub(crate) fn truncate(&mut self, kept: usize) {
        for pivot in self.pivots.drain(kept..) {
            self.pivot_of[pivot.column] = None;
        }
        self.kept.truncate(kept);
        self.row_scale.truncate(kept);
        self.entries.truncate(kept);
        self.taken.truncate(kept);
        self.single = self.single.min(kept);
    }

    fn empty(column_scale: Vec<f64>, dependent: f64) -> Self {
        Self {
            kept: Vec::new(),
            pivots: Vec::new(),
            entries: SparseRows::default(),
            taken: SparseRows::default(),
            single: 0,
            pivot_of: vec![None; column_scale.len()],
            column_scale,
            row_scale: Vec::new(),
            dependent,
        }
    }

    /// Keeps a row if it is independent of those kept. The answer is whether it is.
    pub(crate) fn offer(
        &mut self,
        id: usize,
        row: &[Entry],
        elimination: &mut Elimination,
    ) -> bool {
        let Some(scale) = self.scale_of(row) else {
            elimination.taken.clear();
            return false;
        };
        elimination.eliminate(self, row, scale);
        let Some(pivot) = self.pivot(elimination) else {
            return false;
        };
        if self.single == self.kept.len() && elimination.left.len() == 1 {
            self.single += 1;
        }
        self.pivot_of[pivot.column] = Some(self.kept.len());
        self.kept.push(id);
        self.row_scale.push(scale);
        self.pivots.push(pivot);
        self.entries.push(elimination.left.iter().copied());
        self.taken.push(elimination.taken.iter().copied());
        true
    }

    /// The factor that brings the largest entry of a row to 1; none when the row is empty.
    fn scale_of(&self, row: &[Entry]) -> Option<f64> {
        let largest = row
            .iter()
            .map(|(column, value)| (value * self.column_scale[*column]).abs())
            .fold(0.0, f64::max);
        (largest > 0.0).then(|| 1.0 / largest)
    }

    /// The pivot of an eliminated row, or none when nothing but rounding is left.
    fn pivot(&self, elimination: &Elimination) -> Option<Pivot> {
        /// A pivot may be this much smaller than the largest entry if its column is rarer.
        const THRESHOLD: f64 = 0.1;
        let entries = &elimination.left;
        let most = entries.iter().map(|(_, v)| v.abs()).fold(0.0, f64::max);
        if most <= self.dependent * elimination.largest {
            return None;
        }
        let sound = entries
            .iter()
            .filter(|(_, v)| v.abs() >= THRESHOLD * most)
            .min_by_key(|(column, _)| (elimination.counts[*column], Reverse(*column)))?;
        Some(Pivot {
            column: sound.0,
            value: sound.1,
        })
    }

    /// Tells a row as a combination of the kept ones; what they can't account for is the rest.
    /// Coefficients are those of the rows as they were offered, without scales.
    pub(crate) fn express(&self, row: &[Entry], elimination: &mut Elimination) -> Combination {
        let Some(scale) = self.scale_of(row) else {
            return Combination::default();
        };
        elimination.eliminate(self, row, scale);
        let rounding = self.dependent * elimination.largest;
        let rest = elimination
            .left
            .iter()
            .filter(|(_, value)| value.abs() > rounding)
            .map(|(column, value)| (*column, value / (self.column_scale[*column] * scale)))
            .collect();
        let kept = self
            .undo(&elimination.taken)
            .into_iter()
            .map(|(at, factor)| (at, factor * self.row_scale[at] / scale))
            .collect();
        Combination { kept, rest }
    }

    /// From factors of eliminated rows to coefficients of the kept rows themselves.
    fn undo(&self, taken: &[Entry]) -> Vec<(usize, f64)> {
        let mut sums: std::collections::BTreeMap<usize, f64> = taken.iter().copied().collect();
        let largest = sums.values().fold(0.0_f64, |m, v| m.max(v.abs()));
        let mut coefficients = Vec::new();
        while let Some((at, factor)) = sums.pop_last() {
            if factor.abs() <= self.dependent * largest {
                continue;
            }
            coefficients.push((at, factor));
            for &(earlier, share) in self.taken.row(at) {
                *sums.entry(earlier).or_insert(0.0) -= factor * share;
            }
        }
        coefficients.reverse();
        coefficients
    }

    /// The number of independent rows.
    pub(crate) fn rank(&self) -> usize {
        self.kept.len()
    }

    /// The columns that the kept rows account for, in the order of the rows.
    pub(crate) fn pivots(&self) -> impl Iterator<Item = usize> + '_ {
        self.pivots.iter().map(|pivot| pivot.column)
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
        let mut basis = Basis::empty(vec![1.0; columns], 1e-9);
        let mut elimination = Elimination::new(columns);
        elimination.count(&rows.iter().map(Vec::as_slice).collect());
        for (id, row) in rows.iter().enumerate() {
            basis.offer(id, row, &mut elimination);
        }
        basis
    }

    fn express(basis: &Basis, row: &[Entry]) -> Combination {
        basis.express(row, &mut Elimination::new(basis.pivot_of.len()))
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
        let circuit = express(&basis, &rows[3]);
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
                let told = express(&basis, row);
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
