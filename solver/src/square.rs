//! The square system of a basis: its rows and pivot columns, cut into blocks in solve order.
//!
//! A basis pairs each kept row with a pivot column, so that a perfect matching exists; the strongly
//! connected components of it are the blocks (Dulmage and Mendelsohn 1958; Pothen and Fan, ACM TOMS
//! 16(4), 1990).

use std::cell::OnceCell;
use std::collections::{BTreeSet, HashMap};

use crate::basis::Basis;
use crate::sparse::SparseRows;
use crate::structure::{Matching, Pattern, maximum_matching, solve_order};

/// Rows and columns of the whole system that are solved together.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct BlockRows {
    pub(crate) rows: Vec<usize>,
    pub(crate) columns: Vec<usize>,
}

impl BlockRows {
    pub(crate) fn as_block(&self) -> BlockOf<'_> {
        BlockOf {
            rows: &self.rows,
            columns: &self.columns,
        }
    }
}

/// The same, of a list of blocks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct BlockOf<'b> {
    pub(crate) rows: &'b [usize],
    pub(crate) columns: &'b [usize],
}

impl BlockOf<'_> {
    pub(crate) fn to_rows(self) -> BlockRows {
        BlockRows {
            rows: self.rows.to_vec(),
            columns: self.columns.to_vec(),
        }
    }
}

/// Square blocks, one after the other.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BlockList {
    /// Where each block starts, and the end of the last.
    starts: Vec<usize>,
    rows: Vec<usize>,
    columns: Vec<usize>,
}

impl Default for BlockList {
    fn default() -> Self {
        Self {
            starts: vec![0],
            rows: Vec::new(),
            columns: Vec::new(),
        }
    }
}

impl BlockList {
    pub(crate) fn push(
        &mut self,
        rows: impl IntoIterator<Item = usize>,
        columns: impl IntoIterator<Item = usize>,
    ) {
        let from = self.rows.len();
        self.rows.extend(rows);
        self.rows[from..].sort_unstable();
        self.columns.extend(columns);
        self.starts.push(self.rows.len());
    }

    pub(crate) fn len(&self) -> usize {
        self.starts.len() - 1
    }

    /// The columns of the largest block.
    pub(crate) fn widest(&self) -> usize {
        let widths = self.iter().map(|block| block.columns.len());
        widths.max().unwrap_or(0)
    }

    /// A block; an empty one past the end.
    pub(crate) fn get(&self, at: usize) -> BlockOf<'_> {
        let range = match self.starts.get(at..) {
            Some([start, end, ..]) => *start..*end,
            _ => 0..0,
        };
        BlockOf {
            rows: &self.rows[range.clone()],
            columns: &self.columns[range],
        }
    }

    pub(crate) fn iter(&self) -> impl Iterator<Item = BlockOf<'_>> {
        (0..self.len()).map(|at| self.get(at))
    }
}

/// The kept rows with the columns they are to find.
pub(crate) struct Square {
    rows: Vec<usize>,
    columns: Vec<usize>,
    /// For each row of the system its position in `rows`.
    position: Vec<Option<usize>>,
    /// The columns that each row reads, of the whole system, those that nothing finds among them.
    reads: Pattern,
    pattern: Pattern,
    matching: Matching,
    /// The block that finds each column, once it was asked for.
    finder: OnceCell<HashMap<usize, usize>>,
}

impl Square {
    /// The square system of rows, in this order, and as many columns. The patterns of several Jacobians are united: a zero counts
    /// as structural only where it is one at each of the states.
    pub(crate) fn new(
        rows: Vec<usize>,
        mut columns: Vec<usize>,
        column_count: usize,
        jacobians: &[SparseRows],
    ) -> Self {
        columns.sort_unstable();
        let mut slot = vec![None; column_count];
        for (at, column) in columns.iter().enumerate() {
            slot[*column] = Some(at);
        }
        let row_count = jacobians.first().map_or(0, SparseRows::len);
        let mut position = vec![None; row_count];
        let mut pattern = Pattern::new(columns.len());
        let mut reads = Pattern::new(column_count);
        let mut entries: Vec<usize> = Vec::new();
        for (at, row) in rows.iter().enumerate() {
            position[*row] = Some(at);
            entries.clear();
            for jacobian in jacobians {
                entries.extend(jacobian.row(*row).iter().map(|(column, _)| *column));
            }
            entries.sort_unstable();
            entries.dedup();
            // columns are those of the system, and from `slot`: they are in range
            let _ = pattern.push_row(entries.iter().filter_map(|column| slot[*column]));
            let _ = reads.push_row(&entries);
        }
        let matching = maximum_matching(&pattern);
        Self {
            rows,
            columns,
            position,
            reads,
            pattern,
            matching,
            finder: OnceCell::new(),
        }
    }

    /// The square system of a basis.
    pub(crate) fn of(basis: &Basis, column_count: usize, jacobians: &[SparseRows]) -> Self {
        let (rows, columns) = (basis.kept.clone(), basis.pivots().collect());
        Self::new(rows, columns, column_count, jacobians)
    }

    /// Blocks in solve order.
    pub(crate) fn blocks(&self) -> BlockList {
        let mut list = BlockList::default();
        if self.matching.size() < self.rows.len() {
            // only rounding can bring this about; one block is slow and always right
            list.push(self.rows.iter().copied(), self.columns.iter().copied());
            return list;
        }
        for block in solve_order(&self.pattern, &self.matching).iter() {
            let rows = block.rows.iter().map(|r| self.rows[*r]);
            list.push(rows, block.cols.iter().map(|c| self.columns[*c]));
        }
        list
    }

    /// A block joined with all that depends on the same columns, and with those columns: the ones that nothing settles,
    /// and those found above it by a row that `yields`. That is what can move when the block can't be solved alone.
    /// `blocks` are all that [`Square::blocks`] gives, and the block is number `last` of them.
    pub(crate) fn with_movable(
        &self,
        blocks: &BlockList,
        last: usize,
        yields: impl Fn(usize) -> bool,
    ) -> Movable {
        let mut movable = Movable::default();
        let finder = self.finder.get_or_init(|| {
            let found = |(at, block): (usize, BlockOf<'_>)| {
                let columns = block.columns.to_vec();
                columns.into_iter().map(move |column| (column, at))
            };
            blocks.iter().enumerate().flat_map(found).collect()
        });
        let mut moving = BTreeSet::new();
        // what comes later in solve order is not found yet
        let mut seen = vec![false; last + 1];
        let mut open = vec![last];
        while let Some(at) = open.pop() {
            if std::mem::replace(&mut seen[at], true) {
                continue;
            }
            let block = blocks.get(at);
            if at == last || block.rows.iter().any(|row| yields(*row)) {
                moving.extend(block.columns);
            }
            for column in self.reads(block) {
                match finder.get(&column).filter(|above| **above <= last) {
                    Some(above) => open.push(*above),
                    None => {
                        movable.unsettled = true;
                        moving.insert(column);
                    }
                }
            }
        }
        for block in blocks.iter().take(last + 1) {
            if self.reads(block).any(|column| moving.contains(&column)) {
                moving.extend(block.columns);
                movable.block.rows.extend(block.rows);
            }
        }
        movable.block.columns = moving.into_iter().collect();
        movable
    }

    /// The columns that a block's rows read, some of them several times.
    pub(crate) fn reads<'b>(&'b self, block: BlockOf<'b>) -> impl Iterator<Item = usize> + 'b {
        let rows = block.rows.iter();
        rows.filter_map(|row| self.position.get(*row).copied().flatten())
            .flat_map(|at| self.reads.row(at))
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
