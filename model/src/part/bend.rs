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

/// How far the arc rises above its facets, as a share of its radius: 1 − cos of half a facet's angle.
pub(super) fn rise(angle: f64) -> f64 {
    let half = 0.5 * angle / f64::from(count(angle));
    1.0 - half.cos()
}

/// The corner points of an arc of so many radians, as shares of it from 0 to 1: a facet for every few degrees.
pub(super) fn facets(angle: f64) -> impl DoubleEndedIterator<Item = f64> + Clone {
    let count = count(angle);
    (0..=count).map(move |at| f64::from(at) / f64::from(count))
}

fn count(angle: f64) -> u32 {
    const FACET: f64 = 5.0 * std::f64::consts::PI / 180.0;
    (angle / FACET).ceil().clamp(1.0, 36.0) as u32
}
