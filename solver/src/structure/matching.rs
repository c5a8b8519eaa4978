//! A maximum matching of rows to columns: as many equations as possible, each with an unknown of its own.
//!
//! In: a pattern. Out: the pairs. Method: Hopcroft and Karp, SIAM J. Comput. 2(4), 1973, 225-231, which takes
//! O(entries * sqrt(rows)) at worst, after the cheap assignment of Duff, ACM TOMS 7(3), 1981, 315-330, and with the second
//! walk of Duff and Wiberg, ACM TOMS 14(3), 1988, 270-287.

use super::Pattern;

/// Pairs of a row and a column in which no row and no column stands twice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Matching {
    /// For each row its column.
    pub row_to_col: Vec<Option<usize>>,
    /// For each column its row.
    pub col_to_row: Vec<Option<usize>>,
}

impl Matching {
    /// The number of pairs. For a maximum matching this is the structural rank of the pattern.
    #[must_use]
    pub fn size(&self) -> usize {
        self.row_to_col.iter().flatten().count()
    }

    /// The pairs of these rows alone; all other rows and columns are left without a partner.
    #[must_use]
    pub fn restricted_to(&self, rows: &[usize]) -> Self {
        let mut kept = Self {
            row_to_col: vec![None; self.row_to_col.len()],
            col_to_row: vec![None; self.col_to_row.len()],
        };
        for &row in rows {
            if let Some(col) = self.col_of(row) {
                kept.row_to_col[row] = Some(col);
                if let Some(partner) = kept.col_to_row.get_mut(col) {
                    *partner = Some(row);
                }
            }
        }
        kept
    }

    /// The column of a row; none for a row that is not there.
    pub(super) fn col_of(&self, row: usize) -> Option<usize> {
        self.row_to_col.get(row).copied().flatten()
    }

    /// The row of a column; none for a column that is not there.
    pub(super) fn row_of(&self, col: usize) -> Option<usize> {
        self.col_to_row.get(col).copied().flatten()
    }

    fn pair(&mut self, row: usize, col: usize) {
        self.row_to_col[row] = Some(col);
        self.col_to_row[col] = Some(row);
    }
}

/// A matching with as many pairs as the pattern allows. The same pattern always gives the same matching.
#[must_use]
pub fn maximum_matching(pattern: &Pattern) -> Matching {
    matching_by_phases(pattern, PLAIN_PHASES)
}

fn matching_by_phases(pattern: &Pattern, plain_phases: usize) -> Matching {
    let mut matching = cheap_assignment(pattern);
    let mut layers = Layers::new(pattern.rows());
    let mut phase = 0;
    while layers.build(pattern, &matching) {
        layers.walk(Steps::LayerByLayer, pattern, &mut matching);
        if phase >= plain_phases {
            layers.walk(Steps::Any, pattern, &mut matching);
        }
        phase += 1;
    }
    matching
}

/// Phases without the second walk. Patterns without order are done after about as many, and the second walk, whose paths are
/// long, would cost them more phases; a long chain of bays takes a hundred, and few more than these with it (measured at
/// 300,000 rows: 14 phases in place of more than 100, and a tenth of the time).
const PLAIN_PHASES: usize = 10;

/// Gives each row in turn the first of its columns that is still free.
fn cheap_assignment(pattern: &Pattern) -> Matching {
    let mut matching = Matching {
        row_to_col: vec![None; pattern.rows()],
        col_to_row: vec![None; pattern.columns()],
    };
    for row in 0..pattern.rows() {
        let free = |&&col: &&usize| matching.col_to_row[col].is_none();
        if let Some(&col) = pattern.row(row).iter().find(free) {
            matching.pair(row, col);
        }
    }
    matching
}

/// Rows by their distance from the nearest unmatched row along alternating paths (row, column, its partner, ...),
/// and what one phase of the method needs to walk them. Kept from phase to phase, so a phase allocates nothing.
struct Layers {
    /// Distance of each row, or [`OUT`].
    depth: Vec<usize>,
    /// How many of its columns each row has tried in this walk.
    tried: Vec<usize>,
    queue: Vec<usize>,
    path: Vec<usize>,
}

/// Which steps a walk may take.
#[derive(Clone, Copy)]
enum Steps {
    /// To the next layer only, so that the paths are shortest: bounds the number of phases.
    LayerByLayer,
    /// To any row not yet visited. Duff and Wiberg's addition: paths of many lengths are served in one phase.
    Any,
}

/// The depth of a row that was not reached or is used up.
const OUT: usize = usize::MAX;

impl Layers {
    fn new(rows: usize) -> Self {
        Self {
            depth: vec![OUT; rows],
            tried: vec![0; rows],
            queue: Vec::with_capacity(rows),
            path: Vec::new(),
        }
    }

    /// Searches breadth first up to the nearest free column. False when none can be reached: the matching is maximum.
    fn build(&mut self, pattern: &Pattern, matching: &Matching) -> bool {
        self.depth.fill(OUT);
        self.queue.clear();
        for (row, partner) in matching.row_to_col.iter().enumerate() {
            if partner.is_none() {
                self.depth[row] = 0;
                self.queue.push(row);
            }
        }
        let mut nearest = OUT;
        let mut next = 0;
        while let Some(&row) = self.queue.get(next) {
            next += 1;
            if self.depth[row] >= nearest {
                break;
            }
            for &col in pattern.row(row) {
                match matching.col_to_row[col] {
                    None => nearest = self.depth[row],
                    Some(partner) if self.depth[partner] == OUT => {
                        self.depth[partner] = self.depth[row] + 1;
                        self.queue.push(partner);
                    }
                    Some(_) => {}
                }
            }
        }
        nearest != OUT
    }

    /// One walk from every row that is still unmatched.
    fn walk(&mut self, steps: Steps, pattern: &Pattern, matching: &mut Matching) {
        self.tried.fill(0);
        for row in 0..pattern.rows() {
            if matching.row_to_col[row].is_none() {
                self.augment_from(row, steps, pattern, matching);
            }
        }
    }

    /// Walks depth first from an unmatched row to a free column and exchanges the pairs on the way.
    /// Rows that led nowhere and rows on the path are out for the rest of the walk.
    fn augment_from(
        &mut self,
        root: usize,
        steps: Steps,
        pattern: &Pattern,
        matching: &mut Matching,
    ) {
        self.path.clear();
        self.path.push(root);
        while let Some(&row) = self.path.last() {
            let Some(&col) = pattern.row(row).get(self.tried[row]) else {
                self.depth[row] = OUT;
                self.path.pop();
                continue;
            };
            self.tried[row] += 1;
            let Some(partner) = matching.col_to_row[col] else {
                for &row in &self.path {
                    matching.pair(row, pattern.row(row)[self.tried[row] - 1]);
                    self.depth[row] = OUT;
                }
                return;
            };
            let may_follow = match steps {
                Steps::LayerByLayer => self.depth[partner] == self.depth[row] + 1,
                Steps::Any => self.tried[partner] == 0,
            };
            if may_follow {
                self.path.push(partner);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use proptest::prelude::*;

    use super::super::samples::{a_pattern, is_valid};
    use super::*;

    /// The obvious method: for each row a recursive search for one augmenting path.
    fn slow_size(pattern: &Pattern) -> usize {
        fn place(
            row: usize,
            pattern: &Pattern,
            seen: &mut [bool],
            owner: &mut [Option<usize>],
        ) -> bool {
            pattern.row(row).iter().any(|&col| {
                if std::mem::replace(&mut seen[col], true) {
                    return false;
                }
                let free = owner[col].is_none_or(|other| place(other, pattern, seen, owner));
                if free {
                    owner[col] = Some(row);
                }
                free
            })
        }
        let mut owner = vec![None; pattern.columns()];
        (0..pattern.rows())
            .filter(|&row| {
                place(
                    row,
                    pattern,
                    &mut vec![false; pattern.columns()],
                    &mut owner,
                )
            })
            .count()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(512))]
        #[test]
        fn as_large_as_the_obvious_search_finds(pattern in a_pattern()) {
            for plain_phases in [0, 1, PLAIN_PHASES] {
                let matching = matching_by_phases(&pattern, plain_phases);
                prop_assert!(is_valid(&matching, &pattern));
                prop_assert_eq!(matching.size(), slow_size(&pattern));
            }
        }
    }

    #[test]
    fn one_path_through_a_million_rows() {
        // Rows 0..n take column i first, so the last row can only be served by moving every other one along.
        let n = 1_000_000;
        let mut pattern = Pattern::new(n + 1);
        for row in 0..n {
            pattern.push_row([row, row + 1]).unwrap();
        }
        pattern.push_row([0]).unwrap();
        let matching = maximum_matching(&pattern);
        assert_eq!(matching.size(), n + 1);
        assert_eq!(matching.row_to_col[n], Some(0));
        assert_eq!(matching.row_to_col[0], Some(1));
    }

    #[test]
    fn restriction_keeps_the_pairs_of_the_rows_named() {
        let pattern = Pattern::from_rows(3, [[0], [1], [2]]).unwrap();
        let kept = maximum_matching(&pattern).restricted_to(&[2, 0, 9]);
        assert_eq!(kept.row_to_col, [Some(0), None, Some(2)]);
        assert_eq!(kept.col_to_row, [Some(0), None, Some(2)]);
    }
}
