//! The bend allowance as an affine form: how much flat metal a bend takes up. In: the angle bent from flat in radians, inside
//! radius and thickness in mm. Out: the length of the neutral line in mm.
//!
//! BA = N (R + k T) of `trade/bending`; its worked numbers are checked in tests/bend_allowance.rs.

use strongback_solver::Affine;

use crate::trade::bending::HANDBOOK;

/// The bend allowance.
pub(super) fn allowance(angle: f64, radius: &Affine, thickness: &Affine) -> Affine {
    let share = HANDBOOK.neutral();
    thickness.clone().times(share).plus(radius).times(angle)
}
