//! A first placing with all turns held as drawn, by the rows that are then affine.
//!
//! Bodies are drawn where nobody said, most of them in one place; there a turn has no lever, and which unknown an
//! equation can find is an accident. Put roughly where they belong first, they tell.

use crate::basis::{Basis, SparseRow};
use crate::equation::Measure;
use crate::place::place_roughly;
use crate::rows::Rows;
use crate::square::Square;
use crate::system::State;
use crate::tolerance::Tolerances;

/// Moves the lengths of a state to where the most trusted affine rows want them, as far as they agree.
pub(crate) fn with_turns_held(rows: &Rows<'_>, state: &mut State, tolerances: &Tolerances) {
    let is_length =
        |column: usize| rows.system.get(rows.unknowns[column]).measure == Measure::Length;
    let jacobian: Vec<SparseRow> = rows
        .jacobian(state)
        .into_iter()
        .enumerate()
        .map(|(row, mut entries)| {
            if rows.equation(row).is_affine_with_turns_held() {
                entries.retain(|(column, _)| is_length(*column));
            } else {
                entries.clear();
            }
            entries
        })
        .collect();
    let basis = Basis::of(rows, &jacobian, |_| true, tolerances);
    let square = Square::new(&basis, rows.unknowns.len(), &[&jacobian]);
    place_roughly(rows, &square, state, tolerances);
}
