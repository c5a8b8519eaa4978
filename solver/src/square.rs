//! The square system of a basis: its rows and pivot columns, cut into blocks in solve order.
//!
//! A basis pairs each kept row with a pivot column, so that a perfect matching exists; the strongly
//! connected components of it are the blocks (Dulmage and Mendelsohn 1958; Pothen and Fan, ACM TOMS
//! 16(4), 1990).

use std::cell::OnceCell;
use std::collections::{BTreeSet, HashMap};

use crate::basis::{Basis, SparseRow};
use crate::structure::{Matching, Pattern, maximum_matching, solve_order};

/// Rows and columns of the whole system that are solved together.
#[derive(Clone, Debug, Default, PartialEq)]
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
    /// The block that finds each column, once it was asked for.
    finder: OnceCell<HashMap<usize, usize>>,
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
            finder: OnceCell::new(),
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

    /// A block joined with all that depends on the same columns, and with those columns: the ones that nothing settles,
    /// and those found above it by a row that `yields`. That is what can move when the block can't be solved alone.
    /// `blocks` are all that [`Square::blocks`] gives, and the block is number `last` of them.
    pub(crate) fn with_movable(
        &self,
        blocks: &[BlockRows],
        last: usize,
        yields: impl Fn(usize) -> bool,
    ) -> Movable {
        let mut movable = Movable::default();
        let finder = self.finder.get_or_init(|| {
            let found = |(at, block): (usize, &BlockRows)| {
                let columns = block.columns.clone();
                columns.into_iter().map(move |column| (column, at))
            };
            blocks.iter().enumerate().flat_map(found).collect()
        });
        // what comes later in solve order is not found yet
        let Some(blocks) = blocks.get(..=last) else {
            return movable;
        };
        let mut moving = BTreeSet::new();
        let mut seen = vec![false; blocks.len()];
        let mut open = vec![last];
        while let Some(at) = open.pop() {
            if std::mem::replace(&mut seen[at], true) {
                continue;
            }
            if at == last || blocks[at].rows.iter().any(|row| yields(*row)) {
                moving.extend(&blocks[at].columns);
            }
            for column in self.reads(&blocks[at]) {
                match finder.get(&column).filter(|above| **above <= last) {
                    Some(above) => open.push(*above),
                    None => {
                        movable.unsettled = true;
                        moving.insert(column);
                    }
                }
            }
        }
        for block in blocks {
            if self.reads(block).any(|column| moving.contains(&column)) {
                moving.extend(&block.columns);
                movable.block.rows.extend(&block.rows);
            }
        }
        movable.block.columns = moving.into_iter().collect();
        movable
    }

    /// The columns that a block's rows read, some of them several times.
    pub(crate) fn reads<'b>(&'b self, block: &'b BlockRows) -> impl Iterator<Item = usize> + 'b {
        let rows = block.rows.iter();
        rows.filter_map(|row| self.reads.get(row))
            .flatten()
            .copied()
    }
}

/// A block with what can move along with it.
#[derive(Debug, Default)]
pub(crate) struct Movable {
    pub(crate) block: BlockRows,
    /// Whether columns that nothing settles are among what can move.
    pub(crate) unsettled: bool,
}
