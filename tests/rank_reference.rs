//! Numerical rank and null space against numpy, scipy and rational arithmetic.
//!
//! In: `data/rank.json`, made by `data/make_rank.py` with numpy 2.4.6 and scipy 1.17.1. Null spaces are compared by their
//! projectors, because a basis is only fixed up to a rotation.

use nalgebra::DMatrix;
use serde::Deserialize;
use strongback_solver::rank::{RowScale, column_pivoted_rank, independent_rows, null_space};

const TOLERANCE: f64 = 1e-10;

#[derive(Deserialize)]
struct File {
    reference: String,
    cases: Vec<Case>,
}

/// A matrix `core[i][j] * 2^(rows[i] + cols[j])` and what is known of it.
#[derive(Deserialize)]
struct Case {
    name: String,
    core: Vec<Vec<f64>>,
    rows: Vec<i32>,
    cols: Vec<i32>,
    rank: usize,
    /// Lower triangle, row by row; none where the columns' sizes are too far apart for doubles to hold the null space.
    projector: Option<Vec<f64>>,
}

impl Case {
    fn matrix(&self) -> DMatrix<f64> {
        DMatrix::from_fn(self.rows.len(), self.cols.len(), |i, j| {
            self.core[i][j] * f64::from(self.rows[i] + self.cols[j]).exp2()
        })
    }

    fn projector(&self) -> Option<DMatrix<f64>> {
        let size = self.cols.len();
        let triangle = self.projector.as_ref()?;
        assert_eq!(triangle.len(), size * (size + 1) / 2);
        Some(DMatrix::from_fn(size, size, |i, j| {
            let (i, j) = (i.max(j), i.min(j));
            triangle[i * (i + 1) / 2 + j]
        }))
    }

    fn is_scaled(&self) -> bool {
        self.rows.iter().chain(&self.cols).any(|&power| power != 0)
    }
}

fn cases() -> Vec<Case> {
    let file: File = serde_json::from_str(include_str!("data/rank.json")).unwrap();
    assert!(file.reference.contains("numpy 2.4.6") && file.reference.contains("scipy 1.17.1"));
    assert!(file.cases.len() >= 40);
    file.cases
}

#[test]
fn ranks() {
    for case in cases() {
        let j = case.matrix();
        let found = column_pivoted_rank(&j, RowScale::Free, TOLERANCE);
        assert_eq!(found.rank, case.rank, "{}", case.name);
        assert!(found.gap > 1e6, "{}: gap {}", case.name, found.gap);
        let rows = independent_rows(&j, RowScale::Free, TOLERANCE);
        assert_eq!(rows.rank, case.rank, "{}", case.name);

        // The rows and columns chosen are themselves of full rank.
        let chosen = j
            .select_columns(&found.independent_columns)
            .select_rows(&rows.independent_columns);
        let square = column_pivoted_rank(&chosen, RowScale::Free, TOLERANCE);
        assert_eq!(square.rank, case.rank, "{}", case.name);
    }
}

#[test]
fn null_spaces() {
    let mut compared = 0;
    for case in cases() {
        let basis = null_space(&case.matrix(), RowScale::Free, TOLERANCE);
        assert_eq!(basis.ncols(), case.cols.len() - case.rank, "{}", case.name);
        if let Some(projector) = case.projector() {
            let miss = &basis * basis.transpose() - projector;
            let miss = miss.iter().fold(0.0, |max: f64, x| max.max(x.abs()));
            assert!(miss < 1e-12, "{}: {miss:e}", case.name);
            compared += 1;
        }
    }
    assert!(compared >= 40);
}

#[test]
fn unscaled_matrices_need_no_scale_stated() {
    for case in cases().iter().filter(|case| !case.is_scaled()) {
        let found = column_pivoted_rank(&case.matrix(), RowScale::Stated(&[]), TOLERANCE);
        assert_eq!(found.rank, case.rank, "{}", case.name);
    }
}

#[test]
fn stated_row_scales_undo_the_scaling_of_rows() {
    for case in cases() {
        let undo: Vec<f64> = case
            .rows
            .iter()
            .map(|&power| f64::from(-power).exp2())
            .collect();
        let mut j = case.matrix();
        for (mut column, &power) in j.column_iter_mut().zip(&case.cols) {
            column.scale_mut(f64::from(-power).exp2());
        }
        let found = column_pivoted_rank(&j, RowScale::Stated(&undo), TOLERANCE);
        assert_eq!(found.rank, case.rank, "{}", case.name);
    }
}
