//! The fine decomposition: a square system cut into the smallest blocks that can be solved one after the other.
//!
//! In: a pattern and a matching. Out: blocks in solving order, and what lies downstream of a block. A block is a strongly
//! connected component of "row uses a column that belongs to row". Source: Pothen and Fan, ACM TOMS 16(4), 1990, 303-324, step 3.

use super::components::{NONE, strong_components};
use super::{Matching, Pattern};

/// The blocks of a square system, in an order in which they can be solved. Stored flat: no allocation per block.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Blocks {
    /// Where each block starts in `rows` and `cols`, and the end of the last.
    starts: Vec<usize>,
    rows: Vec<usize>,
    cols: Vec<usize>,
    /// For each row of the pattern its block, or [`NONE`].
    block_of_row: Vec<usize>,
    block_of_col: Vec<usize>,
}

/// Equations to be solved together for as many unknowns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Block<'a> {
    /// Equations, in ascending order.
    pub rows: &'a [usize],
    /// Unknowns; `cols[i]` is the partner of `rows[i]` in the matching.
    pub cols: &'a [usize],
}

impl Blocks {
    /// The number of blocks.
    #[must_use]
    pub fn len(&self) -> usize {
        self.starts.len() - 1
    }

    /// Whether there is no block at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The block at this place of the order; an empty one past the end.
    #[must_use]
    pub fn get(&self, block: usize) -> Block<'_> {
        let range = match self.starts.get(block..) {
            Some([start, end, ..]) => *start..*end,
            _ => 0..0,
        };
        Block {
            rows: self.rows.get(range.clone()).unwrap_or_default(),
            cols: self.cols.get(range).unwrap_or_default(),
        }
    }

    /// All blocks in solving order.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = Block<'_>> {
        (0..self.len()).map(|block| self.get(block))
    }

    /// The block in which a row stands, if it has a partner.
    #[must_use]
    pub fn block_of_row(&self, row: usize) -> Option<usize> {
        self.block_of_row.get(row).copied().filter(|&b| b != NONE)
    }

    /// The block that finds a column, if it has a partner.
    #[must_use]
    pub fn block_of_col(&self, col: usize) -> Option<usize> {
        self.block_of_col.get(col).copied().filter(|&b| b != NONE)
    }
}

/// The blocks of the matched rows and columns, each using its own columns and those of earlier blocks only.
///
/// Rows and columns without a partner are passed over, so a square part of a larger pattern is given by
/// [`Matching::restricted_to`] its rows. The order is the same for the same input, and rows already in a solvable order
/// stay in it: a block is put out when the first of its rows, in ascending order, needs it. Linear time.
#[must_use]
pub fn solve_order(pattern: &Pattern, matching: &Matching) -> Blocks {
    let (block_of_row, count) = strong_components(pattern, matching);

    // Counting sort by block, which leaves the rows of a block in ascending order.
    let mut starts = vec![0; count + 1];
    for &block in block_of_row.iter().filter(|&&block| block != NONE) {
        starts[block + 1] += 1;
    }
    for block in 0..count {
        starts[block + 1] += starts[block];
    }
    let mut next = starts.clone();
    let mut rows = vec![0; starts[count]];
    let mut cols = vec![0; starts[count]];
    let mut block_of_col = vec![NONE; pattern.columns()];
    for (row, &block) in block_of_row.iter().enumerate() {
        if let (Some(place), Some(col)) = (next.get_mut(block), matching.col_of(row)) {
            rows[*place] = row;
            cols[*place] = col;
            *place += 1;
            if let Some(of_col) = block_of_col.get_mut(col) {
                *of_col = block;
            }
        }
    }
    Blocks {
        starts,
        rows,
        cols,
        block_of_row,
        block_of_col,
    }
}

/// The blocks to be solved again after a change in `changed` blocks: these and all that use them, directly or by way of
/// others, in solving order. Places past the end are passed over. Linear in what lies after the first changed block.
#[must_use]
pub fn downstream(
    pattern: &Pattern,
    blocks: &Blocks,
    changed: impl IntoIterator<Item = usize>,
) -> Vec<usize> {
    let mut touched = vec![false; blocks.len()];
    let mut first = blocks.len();
    for block in changed {
        if let Some(flag) = touched.get_mut(block) {
            *flag = true;
            first = first.min(block);
        }
    }
    // A block uses earlier ones only, so one pass in solving order meets every cause before its effects.
    for block in first..blocks.len() {
        touched[block] = touched[block]
            || blocks.get(block).rows.iter().any(|&row| {
                let mut used = pattern.row(row).iter();
                used.any(|&col| blocks.block_of_col(col).is_some_and(|used| touched[used]))
            });
    }
    (first..blocks.len())
        .filter(|&block| touched[block])
        .collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use proptest::prelude::*;

    use super::super::maximum_matching;
    use super::super::samples::{a_pattern, a_square_pattern};
    use super::*;

    /// Whether block `to` uses block `from`, by the obvious search.
    fn uses(pattern: &Pattern, blocks: &Blocks, to: usize, from: usize) -> bool {
        let mut seen = vec![false; blocks.len()];
        let mut waiting = vec![to];
        while let Some(block) = waiting.pop() {
            if std::mem::replace(&mut seen[block], true) {
                continue;
            }
            for &row in blocks.get(block).rows {
                waiting.extend(
                    pattern
                        .row(row)
                        .iter()
                        .filter_map(|&c| blocks.block_of_col(c)),
                );
            }
        }
        seen[from]
    }

    proptest! {
        #[test]
        fn a_block_uses_its_own_and_earlier_columns_only(pattern in a_square_pattern()) {
            let matching = maximum_matching(&pattern);
            let blocks = solve_order(&pattern, &matching);
            let mut known = vec![false; pattern.columns()];
            for block in blocks.iter() {
                for (&row, &col) in block.rows.iter().zip(block.cols) {
                    prop_assert_eq!(matching.row_to_col[row], Some(col));
                    prop_assert!(!std::mem::replace(&mut known[col], true));
                }
                for &row in block.rows {
                    prop_assert!(pattern.row(row).iter().all(|&col| known[col]));
                }
            }
            prop_assert!(known.into_iter().all(|found| found));
        }

        #[test]
        fn a_block_cannot_be_cut_further(pattern in a_square_pattern()) {
            let matching = maximum_matching(&pattern);
            let blocks = solve_order(&pattern, &matching);
            // Row by row: each row of a block leads to each other one.
            let row_uses = |to: usize, from: usize| {
                let mut seen = vec![false; pattern.rows()];
                let mut waiting = vec![to];
                while let Some(row) = waiting.pop() {
                    if !std::mem::replace(&mut seen[row], true) {
                        waiting.extend(pattern.row(row).iter().filter_map(|&col| matching.col_to_row[col]));
                    }
                }
                seen[from]
            };
            for block in blocks.iter() {
                for pair in block.rows.windows(2) {
                    prop_assert!(row_uses(pair[0], pair[1]) && row_uses(pair[1], pair[0]));
                }
            }
        }

        #[test]
        fn downstream_is_all_that_uses_a_changed_block(pattern in a_pattern(), picks in prop::collection::vec(any::<prop::sample::Index>(), 0..3)) {
            let blocks = solve_order(&pattern, &maximum_matching(&pattern));
            prop_assume!(!blocks.is_empty());
            let changed: Vec<usize> = picks.iter().map(|pick| pick.index(blocks.len())).collect();
            let expected: Vec<usize> = (0..blocks.len())
                .filter(|&to| changed.iter().any(|&from| uses(&pattern, &blocks, to, from)))
                .collect();
            prop_assert_eq!(downstream(&pattern, &blocks, changed), expected);
        }
    }

    #[test]
    fn a_solvable_order_is_kept_and_unmatched_columns_are_passed_over() {
        let pattern = Pattern::from_rows(4, [vec![0, 3], vec![0, 1], vec![1, 2, 3]]).unwrap();
        let blocks = solve_order(&pattern, &maximum_matching(&pattern));
        assert!(blocks.iter().map(|block| block.cols[0]).eq(0..blocks.len()));
        assert_eq!(blocks.block_of_col(3), None);
        assert_eq!(downstream(&pattern, &blocks, [1, 99]), [1, 2]);
    }

    #[test]
    fn chains_and_rings_of_a_million_rows() {
        let n = 1_000_000;
        // Each row uses the column of the next one, so the whole chain is walked before the first block is out.
        let mut chain = Pattern::new(n);
        for row in 0..n {
            chain.push_row(row..(row + 2).min(n)).unwrap();
        }
        let matching = maximum_matching(&chain);
        let blocks = solve_order(&chain, &matching);
        assert_eq!(blocks.len(), n);
        assert_eq!(blocks.get(0).rows, [n - 1]);
        let mut ring = Pattern::new(n);
        for row in 0..n {
            ring.push_row([row, (row + 1) % n]).unwrap();
        }
        assert_eq!(solve_order(&ring, &matching).len(), 1);
    }
}
