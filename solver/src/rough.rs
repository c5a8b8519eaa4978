//! A first placing with all turns held as drawn, by the rows that are then affine.
//!
//! Bodies are drawn where nobody said, most of them in one place; there a turn has no lever, and which unknown an
//! equation can find is an accident. Put roughly where they belong first, they tell.

use crate::basis::Basis;
use crate::place::place_roughly;
use crate::rows::Rows;
use crate::sparse::{Entry, SparseRows};
use crate::square::Square;
use crate::system::State;
use crate::tolerance::Tolerances;

/// Moves the lengths of a state to where the most trusted affine rows want them, as far as they agree.
pub(crate) fn with_turns_held(rows: &Rows<'_>, state: &mut State, tolerances: &Tolerances) {
    let all = rows.jacobian_of(state, |row| rows.equation(row).is_affine_with_turns_held());
    let mut jacobian = SparseRows::with_capacity(all.len(), all.entries().len());
    for row in all.iter() {
        let lengths = |(column, _): &&Entry| rows.is_length(*column);
        jacobian.push(row.iter().filter(lengths).copied());
    }
    let basis = Basis::of(rows, &jacobian, |_| true, tolerances);
    let square = Square::of(&basis, rows.unknowns.len(), &[jacobian]);
    place_roughly(rows, &square, state, tolerances);
}
