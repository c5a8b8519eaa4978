//! The coarse decomposition of Dulmage and Mendelsohn: where a system has too few equations, enough, or too many.
//!
//! In: a pattern. Out: three sets of rows and columns, the same whichever maximum matching is used. Sources: Dulmage and
//! Mendelsohn, Canad. J. Math. 10, 1958; Pothen and Fan, ACM TOMS 16(4), 1990, 303-324; Davis, Direct Methods, ch. 7.4.

use super::{Matching, Pattern, maximum_matching};

/// Some rows and some columns, both in ascending order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Part {
    /// Equations.
    pub rows: Vec<usize>,
    /// Unknowns.
    pub cols: Vec<usize>,
}

impl Part {
    /// Whether it has neither rows nor columns.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty() && self.cols.is_empty()
    }
}

/// The three parts; every row and every column stands in exactly one.
///
/// A row of `over` mentions columns of `over` only, a row of `well` those of `well` and `over` only: so the parts can be
/// solved in the order over, well, under.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Coarse {
    /// More columns than rows: what may still move. Empty, or with at least one column more.
    pub under: Part,
    /// As many rows as columns, and each row can be given a column of its own.
    pub well: Part,
    /// More rows than columns: what is tied more than once. Empty, or with at least one row more.
    pub over: Part,
    /// The maximum matching used. It pairs rows and columns of the same part only.
    pub matching: Matching,
}

/// Splits a pattern into its under-, well- and over-determined parts.
#[must_use]
pub fn dulmage_mendelsohn(pattern: &Pattern) -> Coarse {
    let matching = maximum_matching(pattern);
    let Matching {
        row_to_col,
        col_to_row,
    } = &matching;
    let under = reached(&pattern.transpose(), col_to_row, row_to_col);
    let over = reached(pattern, row_to_col, col_to_row);

    let part = |in_part: &dyn Fn(bool, bool) -> bool| Part {
        rows: chosen(&under.far, &over.near, in_part),
        cols: chosen(&under.near, &over.far, in_part),
    };
    Coarse {
        under: part(&|under, _| under),
        well: part(&|under, over| !under && !over),
        over: part(&|_, over| over),
        matching,
    }
}

/// What alternating paths lead to, on the side they start from and on the other one.
struct Reached {
    near: Vec<bool>,
    far: Vec<bool>,
}

/// Follows every alternating path that starts at a vertex without a partner: over any entry to the far side, back over
/// a pair. `entries` has a row for each near vertex.
fn reached(
    entries: &Pattern,
    near_to_far: &[Option<usize>],
    far_to_near: &[Option<usize>],
) -> Reached {
    let mut near: Vec<bool> = near_to_far.iter().map(Option::is_none).collect();
    let mut far = vec![false; far_to_near.len()];
    let mut waiting: Vec<usize> = (0..near.len()).filter(|&vertex| near[vertex]).collect();
    while let Some(vertex) = waiting.pop() {
        for &other in entries.row(vertex) {
            if std::mem::replace(&mut far[other], true) {
                continue;
            }
            if let Some(back) = far_to_near[other]
                && !std::mem::replace(&mut near[back], true)
            {
                waiting.push(back);
            }
        }
    }
    Reached { near, far }
}

fn chosen(under: &[bool], over: &[bool], in_part: &dyn Fn(bool, bool) -> bool) -> Vec<usize> {
    let flags = under.iter().zip(over).enumerate();
    flags
        .filter(|&(_, (&under, &over))| in_part(under, over))
        .map(|(vertex, _)| vertex)
        .collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use proptest::prelude::*;

    use super::super::samples::a_pattern;
    use super::*;

    fn renamed(part: &Part, rows: &[usize], cols: &[usize]) -> Part {
        let through = |old: &[usize], new: &[usize]| {
            let mut list: Vec<usize> = old.iter().map(|&index| new[index]).collect();
            list.sort_unstable();
            list
        };
        Part {
            rows: through(&part.rows, rows),
            cols: through(&part.cols, cols),
        }
    }

    /// A pattern, and for each of its rows and columns a new number.
    fn a_renaming() -> impl Strategy<Value = (Pattern, Vec<usize>, Vec<usize>)> {
        a_pattern().prop_flat_map(|pattern| {
            let rows = Just((0..pattern.rows()).collect::<Vec<_>>()).prop_shuffle();
            let cols = Just((0..pattern.columns()).collect::<Vec<_>>()).prop_shuffle();
            (Just(pattern), rows, cols)
        })
    }

    proptest! {
        #[test]
        fn the_parts_do_not_depend_on_the_numbering((pattern, rows, cols) in a_renaming()) {
            let mut lists = vec![Vec::new(); pattern.rows()];
            for row in 0..pattern.rows() {
                lists[rows[row]] = pattern.row(row).iter().rev().map(|&col| cols[col]).collect();
            }
            let there = dulmage_mendelsohn(&Pattern::from_rows(pattern.columns(), &lists).unwrap());
            let here = dulmage_mendelsohn(&pattern);
            prop_assert_eq!(renamed(&here.under, &rows, &cols), there.under);
            prop_assert_eq!(renamed(&here.well, &rows, &cols), there.well);
            prop_assert_eq!(renamed(&here.over, &rows, &cols), there.over);
        }

        #[test]
        fn transposing_exchanges_under_and_over(pattern in a_pattern()) {
            let here = dulmage_mendelsohn(&pattern);
            let there = dulmage_mendelsohn(&pattern.transpose());
            prop_assert_eq!((&here.under.rows, &here.under.cols), (&there.over.cols, &there.over.rows));
            prop_assert_eq!((&here.well.rows, &here.well.cols), (&there.well.cols, &there.well.rows));
        }

        #[test]
        fn the_parts_are_what_their_documentation_says(pattern in a_pattern()) {
            let Coarse { under, well, over, matching } = dulmage_mendelsohn(&pattern);
            prop_assert_eq!(well.rows.len(), well.cols.len());
            prop_assert!(under.is_empty() || under.cols.len() > under.rows.len());
            prop_assert!(over.is_empty() || over.rows.len() > over.cols.len());
            let mut rows = [&under.rows[..], &well.rows, &over.rows].concat();
            let mut cols = [&under.cols[..], &well.cols, &over.cols].concat();
            rows.sort_unstable();
            cols.sort_unstable();
            prop_assert!(rows.into_iter().eq(0..pattern.rows()));
            prop_assert!(cols.into_iter().eq(0..pattern.columns()));
            for part in [&under, &well, &over] {
                let partners = part.rows.iter().filter_map(|&row| matching.row_to_col[row]);
                prop_assert!(partners.into_iter().all(|col| part.cols.contains(&col)));
            }
            prop_assert!(over.rows.iter().all(|&row| pattern.row(row).iter().all(|col| over.cols.contains(col))));
            prop_assert!(well.rows.iter().all(|&row| pattern.row(row).iter().all(|col| !under.cols.contains(col))));
        }
    }

    #[test]
    fn a_row_and_a_column_without_entries() {
        let parts = dulmage_mendelsohn(&Pattern::from_rows(1, [Vec::<usize>::new()]).unwrap());
        assert_eq!(parts.over.rows, [0]);
        assert!(parts.over.cols.is_empty());
        assert_eq!(parts.under.cols, [0]);
        assert!(parts.well.is_empty());
        assert!(dulmage_mendelsohn(&Pattern::new(0)).under.is_empty());
    }
}
