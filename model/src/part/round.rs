//! Round metal as a prism of many flats.
//!
//! The flats lie on the outside of the circle and look along the axes among other ways: the prism holds the round piece, is as
//! wide and high as it is, and reaches beyond it between the axes by a fifth of a per cent of the radius at most.

use std::f64::consts::PI;

use nalgebra::Vector3;
use strongback_solver::Affine;

use super::shape::{Place, Solid, moved, origin};
use crate::words::Axis;

/// Flats round the circle: a multiple of four.
const FLATS: usize = 48;

/// How far the corners of flats round a circle lie beyond it, as a share of its radius: 1 / cos(π/48) − 1, rounded up. Within the
/// circle, the flats of an inscribed ring lie no farther from it.
pub(crate) const BEYOND: f64 = 0.002_15;

/// A round bar from the origin along an axis.
pub(super) fn bar(along: Axis, diameter: &Affine, length: &Affine) -> Solid {
    let mut sweep = origin();
    sweep[along.index()] = length.clone();
    rod(&origin(), across(along), diameter, sweep)
}

/// A round bar from a place along a sweep; `across` are two unit vectors square to that and to each other.
pub(super) fn rod(
    middle: &Place,
    across: [Vector3<f64>; 2],
    diameter: &Affine,
    sweep: Place,
) -> Solid {
    oval(middle, across, [diameter, diameter], sweep)
}

/// The same with a diameter of its own along each of the two ways across.
pub(super) fn oval(
    middle: &Place,
    across: [Vector3<f64>; 2],
    diameters: [&Affine; 2],
    sweep: Place,
) -> Solid {
    let times = |diameter: &Affine, share: f64| {
        let corner = share / (PI / FLATS as f64).cos();
        diameter.clone().times(0.5 * corner)
    };
    Solid {
        outline: around(middle, across, |[first, second]| {
            [times(diameters[0], first), times(diameters[1], second)]
        }),
        openings: Vec::new(),
        sweep,
        beyond: diameters[0].clone().times(0.5 * BEYOND),
    }
}

/// The corners of a ring of flats about a middle; `times` gives a share of the radius of its corners.
pub(crate) fn ring(along: Axis, middle: &Place, times: impl Fn(f64) -> Affine) -> Vec<Place> {
    around(middle, across(along), |shares| shares.map(&times))
}

fn across(along: Axis) -> [Vector3<f64>; 2] {
    along.others().map(|axis| Vector3::from(axis.vector()))
}

fn around(
    middle: &Place,
    [first, second]: [Vector3<f64>; 2],
    times: impl Fn([f64; 2]) -> [Affine; 2],
) -> Vec<Place> {
    (0..FLATS)
        .map(|at| {
            let (sine, cosine) = ((at as f64 + 0.5) * 2.0 * PI / FLATS as f64).sin_cos();
            let [along_first, along_second] = times([cosine, sine]);
            moved(&moved(middle, first, &along_first), second, &along_second)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn it_holds_the_round_piece_and_is_no_wider() {
        let solid = bar(
            Axis::Station,
            &Affine::constant(10.0),
            &Affine::constant(100.0),
        );
        let corners: Vec<[f64; 2]> = solid
            .outline
            .iter()
            .map(|place| [place[1].constant, place[2].constant])
            .collect();
        for axis in 0..2 {
            let most = corners.iter().map(|c| c[axis]).fold(0.0, f64::max);
            assert!((most - 5.0).abs() < 1e-12, "{most}");
        }
        for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
            let middle = (0.5 * (a[0] + b[0])).hypot(0.5 * (a[1] + b[1]));
            assert!((middle - 5.0).abs() < 1e-12, "a flat touches the circle");
        }
    }
}
