//! The square system of a basis: its rows and pivot columns, cut into blocks in solve order.
//!
//! A basis pairs each kept row with a pivot column, so that a perfect matching exists; the strongly
//! connected components of it are the blocks (Dulmage and Mendelsohn 1958; Pothen and Fan, ACM TOMS
//! 16(4), 1990).

use crate::basis::{Basis, SparseRow};
use crate::structure::{Matching, Pattern, maximum_matching, solve_order};

/// Rows and columns of the whole system that are solved together.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BlockRows {
    pub(crate) rows: Vec<usize>,
    pub(crate) columns: Vec<usize>,
}

/// The kept rows with the columns they are to find.
pub(crate) struct Square {
    rows: Vec<usize>,
    columns: Vec<usize>,
    pattern: Pattern,
    matching: Matching,
}

impl Square {
    /// The square system of a basis. The patterns of several Jacobians are united: a zero counts as
    /// structural only where it is one at each of the states.
    pub(crate) fn new(basis: &Basis, column_count: usize, jacobians: &[&[SparseRow]]) -> Self {
        let mut columns: Vec<usize> = basis.pivots().collect();
        columns.sort_unstable();
        let mut slot = vec![None; column_count];
        for (at, column) in columns.iter().enumerate() {
            slot[*column] = Some(at);
        }
        let mut pattern = Pattern::new(columns.len());
        for row in &basis.kept {
            let mut entries: Vec<usize> = jacobians
                .iter()
                .flat_map(|jacobian| jacobian[*row].iter())
                .filter_map(|(column, _)| slot[*column])
                .collect();
            entries.sort_unstable();
            entries.dedup();
            // columns come from `slot`, so they are in range
            let _ = pattern.push_row(entries);
        }
        let matching = maximum_matching(&pattern);
        Self {
            rows: basis.kept.clone(),
            columns,
            pattern,
            matching,
        }
    }

    /// Blocks in solve order.
    pub(crate) fn blocks(&self) -> Vec<BlockRows> {
        if self.matching.size() < self.rows.len() {
            // only rounding can bring this about; one block is slow and always right
            return vec![BlockRows {
                rows: self.rows.clone(),
                columns: self.columns.clone(),
            }];
        }
        solve_order(&self.pattern, &self.matching)
            .iter()
            .map(|block| {
                let mut rows: Vec<usize> = block.rows.to_vec();
                rows.sort_unstable();
                BlockRows {
                    rows: rows.into_iter().map(|r| self.rows[r]).collect(),
                    columns: block.cols.iter().map(|c| self.columns[*c]).collect(),
                }
            })
            .collect()
    }
}
