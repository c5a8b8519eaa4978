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

/// How far flats that touch an arc of so many radians from outside rise above it where they meet, as a share of its radius.
pub(super) fn rise(half_step: f64) -> f64 {
    1.0 / half_step.cos() - 1.0
}

/// The corners of flats that lie on the inside of an arc, from its start to its end: angles.
pub(super) fn inside(angle: f64, half_step: f64) -> Vec<f64> {
    let count = count(angle, half_step);
    (0..=count)
        .map(|at| angle * f64::from(at) / f64::from(count))
        .collect()
}

/// The corners of flats that touch an arc from outside, at its start and its end among other places: angles, and shares of its radius.
pub(super) fn outside(angle: f64, half_step: f64) -> Vec<(f64, f64)> {
    let count = count(angle, half_step);
    let between = (0..count).map(|at| {
        let middle = (f64::from(at) + 0.5) / f64::from(count);
        (angle * middle, 1.0 + rise(half_step))
    });
    std::iter::once((0.0, 1.0))
        .chain(between)
        .chain(std::iter::once((angle, 1.0)))
        .collect()
}

/// Half the angle of a flat, so that an arc of so many radians has whole ones of at most five degrees, which rise above one of so
/// many millimetres by no more than a tenth of one.
pub(super) fn half_step(angle: f64, radius_mm: f64) -> f64 {
    const WIDEST: f64 = 5.0 * std::f64::consts::PI / 180.0;
    const RISES_MM: f64 = 0.1;
    /// No bend has more, however large.
    const MOST: f64 = 200.0;
    let finest = 2.0 * (radius_mm / (radius_mm + RISES_MM)).clamp(-1.0, 1.0).acos();
    let step = if finest > 0.0 {
        finest.min(WIDEST)
    } else {
        WIDEST
    };
    0.5 * angle / (angle / step).ceil().clamp(1.0, MOST)
}

fn count(angle: f64, half_step: f64) -> u32 {
    (0.5 * angle / half_step).round().max(1.0) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A quarter circle of 1 m: flats that touch it rise above it by a tenth of a millimetre at most, at their corners, and lie on it
    /// at both ends; chords on the inside have their corners on it.
    #[test]
    fn flats_hold_the_arc_and_rise_little_above_it() {
        let angle = std::f64::consts::FRAC_PI_2;
        for radius in [5.0, 50.0, 1000.0] {
            let half = half_step(angle, radius);
            let corners = outside(angle, half);
            assert_eq!(
                (corners[0], corners[corners.len() - 1]),
                ((0.0, 1.0), (angle, 1.0))
            );
            let at = |(angle, share): (f64, f64)| {
                [radius * share * angle.cos(), radius * share * angle.sin()]
            };
            for pair in corners.windows(2) {
                let [a, b] = [pair[0], pair[1]].map(at);
                // the foot of the middle of the circle on the flat's line
                let (u, v) = (b[0] - a[0], b[1] - a[1]);
                let off = (a[0] * v - a[1] * u).abs() / u.hypot(v);
                assert!((off - radius).abs() < 1e-9, "{off}");
                assert!(a[0].hypot(a[1]) <= radius + 0.1 + 1e-9);
            }
            assert!(2.0 * half <= 5.0_f64.to_radians() + 1e-12);
            let inner = inside(angle, half);
            assert_eq!((inner[0], inner[inner.len() - 1]), (0.0, angle));
            assert_eq!(inner.len(), corners.len() - 1);
        }
    }
}
