//! The square system of a basis: its rows and pivot columns, cut into blocks in solve order.
//!
//! A basis pairs each kept row with a pivot column, so that a perfect matching exists; the strongly
//! connected components of it are the blocks (Dulmage and Mendelsohn 1958; Pothen and Fan, ACM TOMS
//! 16(4), 1990).

use std::collections::{BTreeSet, HashMap};

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
    /// The columns that each row reads, of the whole system, those that nothing finds among them.
    reads: HashMap<usize, Vec<usize>>,
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
        let mut reads = HashMap::with_capacity(basis.kept.len());
        for row in &basis.kept {
            let mut entries: Vec<usize> = jacobians
                .iter()
                .flat_map(|jacobian| jacobian[*row].iter())
                .map(|(column, _)| *column)
                .collect();
            entries.sort_unstable();
            entries.dedup();
            // columns come from `slot`, so they are in range
            let _ = pattern.push_row(entries.iter().filter_map(|column| slot[*column]));
            reads.insert(*row, entries);
        }
        let matching = maximum_matching(&pattern);
        Self {
            rows: basis.kept.clone(),
            columns,
            reads,
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

    /// A block joined with all that depends on the same unsettled columns, and with those columns: what can move when
    /// the block can't be solved with them held. `blocks` are in solve order up to and with the block, the last of them.
    /// None where the block depends on no unsettled column.
    pub(crate) fn with_unsettled(&self, blocks: &[BlockRows]) -> Option<BlockRows> {
        let mut finder: HashMap<usize, usize> = HashMap::new();
        for (at, block) in blocks.iter().enumerate() {
            finder.extend(block.columns.iter().map(|column| (*column, at)));
        }
        let reads = |block: &BlockRows| -> Vec<usize> {
            let rows = block.rows.iter();
            rows.filter_map(|row| self.reads.get(row))
                .flatten()
                .copied()
                .collect()
        };
        let mut unsettled = BTreeSet::new();
        let mut seen = vec![false; blocks.len()];
        let mut open = vec![blocks.len().checked_sub(1)?];
        while let Some(at) = open.pop() {
            if std::mem::replace(&mut seen[at], true) {
                continue;
            }
            for column in reads(&blocks[at]) {
                match finder.get(&column) {
                    Some(above) => open.push(*above),
                    None => {
                        unsettled.insert(column);
                    }
                }
            }
        }
        if unsettled.is_empty() {
            return None;
        }
        let mut moving = unsettled;
        let mut rows = Vec::new();
        for block in blocks {
            if reads(block).iter().any(|column| moving.contains(column)) {
                moving.extend(&block.columns);
                rows.extend(&block.rows);
            }
        }
        Some(BlockRows {
            rows,
            columns: moving.into_iter().collect(),
        })
    }
}
