//! Laws of cuts: a closed form where there is one, and volumes as the integral of areas.
#![allow(clippy::unwrap_used)]

use approx::assert_abs_diff_eq;
use proptest::prelude::*;

use super::outline::{of, stations};
use crate::layout::PlacedSolid;

type Corner = [f64; 3];

/// Turned by roll, pitch and yaw in radians, then moved.
fn turned([roll, pitch, yaw]: [f64; 3], by: Corner, [x, y, z]: Corner) -> Corner {
    let [y, z] = [
        y * roll.cos() - z * roll.sin(),
        y * roll.sin() + z * roll.cos(),
    ];
    let [x, z] = [
        x * pitch.cos() + z * pitch.sin(),
        z * pitch.cos() - x * pitch.sin(),
    ];
    let [x, y] = [x * yaw.cos() - y * yaw.sin(), x * yaw.sin() + y * yaw.cos()];
    [x + by[0], y + by[1], z + by[2]]
}

fn placed(
    outline: &[[f64; 2]],
    openings: &[Vec<[f64; 2]>],
    sweep: Corner,
    turn: [f64; 3],
    by: Corner,
) -> PlacedSolid {
    let ring = |ring: &[[f64; 2]]| -> Vec<Corner> {
        let corner = |[y, z]: [f64; 2]| turned(turn, by, [0.0, y, z]);
        ring.iter().copied().map(corner).collect()
    };
    PlacedSolid {
        outline_mm: ring(outline),
        openings_mm: openings.iter().map(|opening| ring(opening)).collect(),
        sweep_mm: turned(turn, [0.0; 3], sweep),
    }
}

fn rectangle([w, h]: [f64; 2]) -> Vec<[f64; 2]> {
    vec![[-w, -h], [w, -h], [w, h], [-w, h]]
}

/// A hollow outline: an angle with a round-cornered opening in its foot is more than any part here has.
fn channel() -> (Vec<[f64; 2]>, Vec<Vec<[f64; 2]>>) {
    let outline = vec![
        [0.0, 0.0],
        [60.0, 0.0],
        [60.0, 50.0],
        [48.0, 50.0],
        [40.0, 20.0],
        [20.0, 20.0],
        [9.0, 41.0],
        [0.0, 41.0],
    ];
    let opening = vec![[22.0, 6.0], [30.0, 3.0], [38.0, 7.0], [31.0, 15.0]];
    (outline, vec![opening])
}

fn area(solid: &PlacedSolid, station: f64) -> f64 {
    of(solid, station).map_or(0.0, |cut| cut.area_mm2)
}

#[test]
fn a_box_square_to_the_plane_is_cut_in_a_rectangle() {
    let solid = placed(
        &rectangle([30.0, 20.0]),
        &[rectangle([5.0, 6.0])],
        [2.0, 0.0, 0.0],
        [0.0; 3],
        [100.0, 0.0, 0.0],
    );
    let cut = of(&solid, 101.0).unwrap();
    assert_eq!(cut.boundaries.len(), 2);
    assert_abs_diff_eq!(cut.area_mm2, 60.0 * 40.0 - 10.0 * 12.0, epsilon = 1e-9);
    // its forward face is cut, its aft face is not
    assert!(of(&solid, 100.0).is_some() && of(&solid, 102.0).is_none());
    assert!(of(&solid, 99.999_999).is_none());
}

#[test]
fn what_is_no_metal_is_not_cut() {
    let mut solid = placed(
        &rectangle([30.0, 20.0]),
        &[],
        [2.0, 0.0, 0.0],
        [0.0; 3],
        [0.0; 3],
    );
    solid.sweep_mm = [0.0; 3];
    assert!(of(&solid, 0.0).is_none());
    solid.sweep_mm = [2.0, f64::NAN, 0.0];
    assert!(of(&solid, 1.0).is_none());
    solid.sweep_mm = [2.0, 0.0, 0.0];
    solid.outline_mm.truncate(2);
    assert!(of(&solid, 1.0).is_none());
}

proptest! {
    /// A long box turned about the axes: a cut through its four long edges has the area of its end over the cosine between.
    #[test]
    fn a_turned_box_has_the_area_of_its_end_over_a_cosine(
        w in 0.3..80.0f64, h in 0.3..80.0f64, turn in [-3.0..3.0f64, -0.7..0.7f64, -0.7..0.7f64], by in [-9.0..9.0f64, -900.0..900.0f64, -900.0..900.0f64],
    ) {
        let start = turned(turn, by, [-500.0, 0.0, 0.0]);
        let mut solid = placed(&rectangle([w, h]), &[], [1000.0, 0.0, 0.0], turn, start);
        let along = turned(turn, [0.0; 3], [1.0, 0.0, 0.0]);
        let cut = of(&solid, by[0]).unwrap();
        let whole = 4.0 * w * h / along[0].abs();
        prop_assert!((cut.area_mm2 - whole).abs() < 1e-9 * whole.max(1.0), "{} is not {whole}", cut.area_mm2);
        // whichever way it is walked or swept
        solid.outline_mm.reverse();
        prop_assert!((area(&solid, by[0]) - whole).abs() < 1e-9 * whole.max(1.0));
    }

    /// The volume of a prism is the integral of the areas of its cuts, hollow and turned or not.
    #[test]
    fn a_volume_is_the_integral_of_areas(
        turn in [-3.1..3.1f64, -1.5..1.5f64, -3.1..3.1f64], long in prop_oneof![0.5..3.0f64, 3.0..400.0f64], skew in [-20.0..20.0f64, -20.0..20.0f64],
    ) {
        let (outline, openings) = channel();
        let solid = placed(&outline, &openings, [long, skew[0], skew[1]], turn, [700.0, -30.0, 12.0]);
        let [from, to] = stations(&solid).unwrap();
        prop_assume!(to - from > 1.0);
        let ring = |ring: &[[f64; 2]]| super::outline::shoelace(ring).abs();
        let volume = (ring(&outline) - openings.iter().map(|o| ring(o)).sum::<f64>()) * long;
        // areas are of the second degree between the stations of corners: Simpson's rule is exact there
        let mut knots: Vec<f64> = Vec::new();
        for corner in solid.outline_mm.iter().chain(solid.openings_mm.iter().flatten()) {
            knots.extend([corner[0], corner[0] + solid.sweep_mm[0]]);
        }
        knots.sort_by(f64::total_cmp);
        let mut sum = 0.0;
        for pair in knots.windows(2) {
            let [a, b] = [pair[0], pair[1]];
            // Gauss's rule of two points is exact to the third degree and needs no place where areas jump
            let (middle, half) = (0.5 * (a + b), 0.5 * (b - a));
            let aside = half / 3f64.sqrt();
            sum += half * (area(&solid, middle - aside) + area(&solid, middle + aside));
        }
        prop_assert!((sum - volume).abs() < 1e-6 * volume, "{sum} is not {volume}");
    }

    /// Any figures at all: no panic, and boundaries that close.
    #[test]
    fn any_prism_is_cut_or_not(
        outline in proptest::collection::vec([-3.0..3.0f64, -3.0..3.0f64, -3.0..3.0f64], 0..7),
        sweep in (prop_oneof![Just(0.0), -3.0..3.0f64, Just(f64::INFINITY)], -3.0..3.0f64, -3.0..3.0f64), at in -3i32..4,
    ) {
        // whole numbers: corners often lie in the plane
        let whole = |corner: Corner| corner.map(f64::round);
        let solid = PlacedSolid { outline_mm: outline.into_iter().map(whole).collect(), openings_mm: Vec::new(), sweep_mm: whole(sweep.into()) };
        if let Some(cut) = of(&solid, f64::from(at)) {
            prop_assert!(cut.boundaries.iter().all(|ring| ring.len() >= 3));
            prop_assert!(cut.area_mm2.is_finite());
        }
    }
}
