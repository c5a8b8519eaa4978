//! Random patterns for the property tests of this folder, and what makes a matching valid.

use proptest::prelude::*;

use super::{Matching, Pattern};

/// Up to 12 x 12, rows of any length from none to full, repeated columns included.
pub(super) fn a_pattern() -> impl Strategy<Value = Pattern> {
    (1..12_usize).prop_flat_map(|columns| {
        let row = prop::collection::vec(0..columns, 0..4.min(columns + 1));
        prop::collection::vec(row, 0..12).prop_filter_map("in range", move |rows| {
            Pattern::from_rows(columns, rows).ok()
        })
    })
}

/// Square, up to 14 x 14, with a perfect matching hidden by a shuffle.
pub(super) fn a_square_pattern() -> impl Strategy<Value = Pattern> {
    (1..14_usize).prop_flat_map(|size| {
        let hidden = Just((0..size).collect::<Vec<_>>()).prop_shuffle();
        let extra = prop::collection::vec(prop::collection::vec(0..size, 0..3), size);
        (hidden, extra).prop_filter_map("in range", move |(hidden, mut rows)| {
            for (row, &col) in rows.iter_mut().zip(&hidden) {
                row.push(col);
            }
            Pattern::from_rows(size, rows).ok()
        })
    })
}

/// Every pair is an entry of the pattern, and both directions agree.
pub(super) fn is_valid(matching: &Matching, pattern: &Pattern) -> bool {
    let rows = matching.row_to_col.iter().enumerate();
    let cols = matching.col_to_row.iter().enumerate();
    rows.clone().all(|(row, &partner)| {
        partner.is_none_or(|col| {
            pattern.row(row).contains(&col) && matching.col_to_row[col] == Some(row)
        })
    }) && cols
        .clone()
        .all(|(col, &partner)| partner.is_none_or(|row| matching.row_to_col[row] == Some(col)))
}
