//! How many equations of a dense block are independent as numbers, which ones, and which motions they leave free.
//!
//! In: a Jacobian, rows = equations, columns = unknowns. Out: rank, a well-conditioned choice of columns or rows, and an
//! orthonormal basis of the null space. Method: QR by Householder reflections with column pivoting (Businger and Golub,
//! Numer. Math. 7, 1965, 269-276) after equilibration by rows and columns (Ruiz, RAL-TR-2001-034).
//!
//! `nalgebra::linalg::ColPivQR` is not used: it pivots on the largest single entry, not on the longest column, so its
//! diagonal need not fall and says little about the rank (version 0.34.2).

use nalgebra::DMatrix;

/// What the size of a row means.
#[derive(Clone, Copy, Debug)]
pub enum RowScale<'a> {
    /// Row `i` times `scale[i]` is comparable with the other rows (1 where the slice is too short). A row or column that
    /// is then no larger than the tolerance times the largest entry is an evaluation error of zero and counts as zero.
    Stated(&'a [f64]),
    /// Sizes mean nothing: every row and column with an entry that is not exactly zero counts in full.
    Free,
}

/// The result of [`column_pivoted_rank`].
#[derive(Clone, Debug, PartialEq)]
pub struct RankReport {
    /// The number of independent columns, and of independent rows.
    pub rank: usize,
    /// As many columns as the rank says, in the order in which they were chosen, the most independent first.
    pub independent_columns: Vec<usize>,
    /// The sizes of the diagonal of R, falling, of the equilibrated matrix: min(rows, columns) of them.
    pub diagonal: Vec<f64>,
    /// How far the last diagonal that counts stands above the first that does not, as a ratio: infinite when none is left
    /// out or that one is zero. A gap below a few thousand says that the rank hangs on the tolerance.
    pub gap: f64,
}

/// The numerical rank: the number of diagonals of R larger than `tolerance` times the first.
///
/// Entries that are not finite count as zero. As with every pivoted QR there are matrices built to deceive it (Kahan
/// 1966), whose smallest diagonal stays far above their smallest singular value.
#[must_use]
pub fn column_pivoted_rank(j: &DMatrix<f64>, scale: RowScale<'_>, tolerance: f64) -> RankReport {
    report(
        Reflections::of(equilibrated(j, scale, tolerance)),
        tolerance,
    )
}

/// As [`column_pivoted_rank`], of the rows: `independent_columns` then lists rows of `j`, and the equations that are not
/// in the list follow from those that are.
#[must_use]
pub fn independent_rows(j: &DMatrix<f64>, scale: RowScale<'_>, tolerance: f64) -> RankReport {
    let turned = equilibrated(j, scale, tolerance).transpose();
    report(Reflections::of(turned), tolerance)
}

/// Orthonormal columns that span the motions `x` with `j x = 0`: columns of `j` by columns less rank.
///
/// The rank is that of [`independent_rows`]; the basis is what the QR of these rows, turned into columns, leaves over.
/// Lengths are those of the unknowns as they stand in `j`, not of the equilibrated ones; with unknowns whose sizes lie a
/// million apart some 12 digits are left, beyond that soon fewer.
#[must_use]
pub fn null_space(j: &DMatrix<f64>, scale: RowScale<'_>, tolerance: f64) -> DMatrix<f64> {
    let rows = independent_rows(j, scale, tolerance).independent_columns;
    let mut turned = DMatrix::zeros(j.ncols(), rows.len());
    for (mut column, &row) in turned.column_iter_mut().zip(&rows) {
        // A row's length does not bear on its null space, so each is brought near 1 first, by a power of two.
        let largest = j.row(row).iter().fold(0.0, |max, &x| larger(max, x));
        let factor = near_power_of_two(1.0 / largest);
        for (to, &from) in column.iter_mut().zip(j.row(row).iter()) {
            *to = finite(from) * factor;
        }
    }
    Reflections::of(turned).complement(rows.len())
}

fn report(qr: Reflections, tolerance: f64) -> RankReport {
    let first = qr.diagonal.first().copied().unwrap_or(0.0);
    let counts = |size: &&f64| **size > tolerance * first && **size > 0.0;
    let rank = qr.diagonal.iter().take_while(counts).count();
    let last = rank.checked_sub(1).and_then(|last| qr.diagonal.get(last));
    let gap = match (last, qr.diagonal.get(rank)) {
        (Some(last), Some(next)) => last / next,
        _ => f64::INFINITY,
    };
    let mut independent_columns = qr.permutation;
    independent_columns.truncate(rank);
    RankReport {
        rank,
        independent_columns,
        diagonal: qr.diagonal,
        gap,
    }
}

/// A QR decomposition: below and on the diagonal the reflections, each a vector of length sqrt(2) or zero.
struct Reflections {
    vectors: DMatrix<f64>,
    diagonal: Vec<f64>,
    permutation: Vec<usize>,
}

impl Reflections {
    fn of(mut a: DMatrix<f64>) -> Self {
        let (rows, cols) = a.shape();
        let steps = rows.min(cols);
        let mut permutation: Vec<usize> = (0..cols).collect();
        let mut diagonal = Vec::with_capacity(steps);
        for step in 0..steps {
            // Lengths are taken anew at each step, not brought up to date: half as much work again, and no drift
            // (Drmac and Bujanovic, ACM TOMS 35(2), 2008, on what bringing them up to date can do).
            let mut pivot = step;
            let mut longest = -1.0;
            for col in step..cols {
                let square = a.column(col).rows_range(step..).norm_squared();
                if square > longest {
                    longest = square;
                    pivot = col;
                }
            }
            a.swap_columns(step, pivot);
            permutation.swap(step, pivot);
            diagonal.push(reflect(&mut a, step));
        }
        Self {
            vectors: a,
            diagonal,
            permutation,
        }
    }

    /// The columns of Q after the first `rank`.
    fn complement(&self, rank: usize) -> DMatrix<f64> {
        let rows = self.vectors.nrows();
        let free = rows.saturating_sub(rank);
        let mut basis = DMatrix::zeros(rows, free);
        for col in 0..free {
            basis[(rank + col, col)] = 1.0;
        }
        for step in (0..rank.min(self.diagonal.len())).rev() {
            let v = self.vectors.column(step);
            let v = v.rows_range(step..);
            for mut column in basis.column_iter_mut() {
                let mut below = column.rows_range_mut(step..);
                let along = v.dot(&below);
                below.axpy(-along, &v, 1.0);
            }
        }
        basis
    }
}

/// Reflects column `step` onto its own diagonal, and the columns after it likewise: I - v v' with v'v = 2.
/// Leaves v in the column and gives the size of the diagonal.
fn reflect(a: &mut DMatrix<f64>, step: usize) -> f64 {
    let mut v = a.column(step).rows_range(step..).into_owned();
    let length = v.norm();
    if length > 0.0 {
        v[0] += length.copysign(v[0]);
        let unit = std::f64::consts::SQRT_2 / v.norm();
        v.scale_mut(unit);
    }
    for col in step + 1..a.ncols() {
        let mut column = a.column_mut(col);
        let mut below = column.rows_range_mut(step..);
        let along = v.dot(&below);
        below.axpy(-along, &v, 1.0);
    }
    a.column_mut(step).rows_range_mut(step..).copy_from(&v);
    length
}

/// Rows and columns multiplied by powers of two until the largest entry of each is near 1. Rows and columns that count as
/// zero become zero.
fn equilibrated(j: &DMatrix<f64>, scale: RowScale<'_>, tolerance: f64) -> DMatrix<f64> {
    let mut a = j.map(finite);
    let floor = match scale {
        RowScale::Stated(scales) => {
            for (mut row, &factor) in a.row_iter_mut().zip(scales) {
                row.apply(|entry| *entry = finite(*entry * factor));
            }
            tolerance * a.iter().fold(0.0, |max, &x| larger(max, x))
        }
        RowScale::Free => 0.0,
    };
    let (rows, cols) = largest_of_each(&a);
    for (mut row, _) in a
        .row_iter_mut()
        .zip(rows)
        .filter(|(_, size)| *size <= floor)
    {
        row.fill(0.0);
    }
    for (mut col, _) in a
        .column_iter_mut()
        .zip(cols)
        .filter(|(_, size)| *size <= floor)
    {
        col.fill(0.0);
    }
    // The distance of each size from 1, in powers of two, is about halved by each pass.
    for _ in 0..PASSES {
        let (rows, cols) = largest_of_each(&a);
        let rows: Vec<f64> = rows.into_iter().map(toward_one).collect();
        let cols: Vec<f64> = cols.into_iter().map(toward_one).collect();
        if rows.iter().chain(&cols).all(|&factor| factor == 1.0) {
            break;
        }
        for (mut column, of_column) in a.column_iter_mut().zip(cols) {
            for (entry, of_row) in column.iter_mut().zip(&rows) {
                *entry *= of_row * of_column;
            }
        }
    }
    a
}

/// Passes of equilibration at most: enough for sizes from 1e-150 to 1e150.
const PASSES: usize = 10;

fn largest_of_each(a: &DMatrix<f64>) -> (Vec<f64>, Vec<f64>) {
    let mut rows = vec![0.0; a.nrows()];
    let mut cols = vec![0.0; a.ncols()];
    for (column, of_column) in a.column_iter().zip(&mut cols) {
        for (&entry, of_row) in column.iter().zip(&mut rows) {
            *of_row = larger(*of_row, entry);
            *of_column = larger(*of_column, entry);
        }
    }
    (rows, cols)
}

fn larger(max: f64, entry: f64) -> f64 {
    max.max(entry.abs())
}

fn toward_one(size: f64) -> f64 {
    near_power_of_two(1.0 / size.sqrt())
}

/// The power of two next to a size, so that scaling rounds nothing; 1 for what has no size.
fn near_power_of_two(size: f64) -> f64 {
    if size > 0.0 && size.is_finite() {
        size.log2().round().exp2()
    } else {
        1.0
    }
}

fn finite(entry: f64) -> f64 {
    if entry.is_finite() { entry } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const TOLERANCE: f64 = 1e-10;

    /// A product of rows x rank by rank x cols, so its rank is known almost surely.
    fn a_product() -> impl Strategy<Value = (usize, DMatrix<f64>)> {
        (1..14_usize, 1..14_usize).prop_flat_map(|(rows, cols)| {
            (0..=rows.min(cols)).prop_flat_map(move |rank| {
                let left = prop::collection::vec(-1.0..1.0, rows * rank);
                let right = prop::collection::vec(-1.0..1.0, rank * cols);
                (left, right).prop_map(move |(left, right)| {
                    let left = DMatrix::from_vec(rows, rank, left);
                    (rank, left * DMatrix::from_vec(rank, cols, right))
                })
            })
        })
    }

    proptest! {
        #[test]
        fn the_rank_of_a_product_is_its_inner_size((rank, j) in a_product()) {
            let found = column_pivoted_rank(&j, RowScale::Free, TOLERANCE);
            // A random factor is now and then singular to within the tolerance; it then says so by its gap.
            prop_assume!(found.rank == rank || found.gap > 1e3);
            prop_assert_eq!(found.rank, rank);
            prop_assert_eq!(independent_rows(&j, RowScale::Stated(&[]), TOLERANCE).rank, rank);
            prop_assert!(found.diagonal.windows(2).all(|pair| pair[1] <= pair[0] * (1.0 + 1e-12)));
            let chosen = j.select_columns(&found.independent_columns);
            prop_assert_eq!(column_pivoted_rank(&chosen, RowScale::Free, TOLERANCE).rank, rank);
        }

        #[test]
        fn the_null_space_is_orthonormal_and_is_sent_to_zero((rank, j) in a_product()) {
            let basis = null_space(&j, RowScale::Free, TOLERANCE);
            prop_assume!(basis.ncols() == j.ncols() - rank);
            let unit = DMatrix::identity(basis.ncols(), basis.ncols());
            prop_assert!((basis.transpose() * &basis - unit).amax_or_zero() < 1e-13);
            prop_assert!((&j * &basis).amax_or_zero() <= 1e-9 * j.amax_or_zero());
        }
    }

    trait AmaxOrZero {
        fn amax_or_zero(&self) -> f64;
    }

    impl AmaxOrZero for DMatrix<f64> {
        fn amax_or_zero(&self) -> f64 {
            self.iter().fold(0.0, |max, &x| larger(max, x))
        }
    }

    #[test]
    fn stated_scales_keep_evaluation_errors_from_counting() {
        let j = DMatrix::from_row_slice(3, 3, &[1.0, 2.0, 0.0, 1e-13, 0.0, 2e-13, 0.0, 0.0, 3e-5]);
        let rank = |scale| column_pivoted_rank(&j, scale, TOLERANCE).rank;
        assert_eq!(rank(RowScale::Free), 3);
        assert_eq!(rank(RowScale::Stated(&[])), 2);
        assert_eq!(rank(RowScale::Stated(&[1.0, 1e12, 1.0])), 3);
    }

    #[test]
    fn sizes_far_apart_do_not_hide_an_equation() {
        let j = DMatrix::from_row_slice(2, 3, &[1e-120, 0.0, 1e-120, 0.0, 1e120, 1e120]);
        let found = column_pivoted_rank(&j, RowScale::Free, TOLERANCE);
        assert_eq!((found.rank, found.gap), (2, f64::INFINITY));
        assert_eq!(null_space(&j, RowScale::Free, TOLERANCE).ncols(), 1);
    }

    #[test]
    fn matrices_without_anything_in_them() {
        for (rows, cols) in [(0, 0), (0, 3), (3, 0), (2, 2)] {
            let j = DMatrix::zeros(rows, cols);
            assert_eq!(column_pivoted_rank(&j, RowScale::Free, TOLERANCE).rank, 0);
            let basis = null_space(&j, RowScale::Free, TOLERANCE);
            assert_eq!(basis, DMatrix::identity(cols, cols));
        }
        let j = DMatrix::from_row_slice(1, 2, &[f64::NAN, f64::INFINITY]);
        assert_eq!(column_pivoted_rank(&j, RowScale::Free, TOLERANCE).rank, 0);
    }
}
