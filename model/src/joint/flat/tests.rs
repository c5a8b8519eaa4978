//! Cuts through metal by hand and by brute force.

use super::*;
use proptest::prelude::*;

/// A rectangle in the plane, 2 mm through.
fn plate([x0, x1]: [f64; 2], [y0, y1]: [f64; 2]) -> PlacedSolid {
    PlacedSolid {
        outline_mm: vec![
            [x0, y0, -1.0],
            [x1, y0, -1.0],
            [x1, y1, -1.0],
            [x0, y1, -1.0],
        ],
        openings_mm: Vec::new(),
        sweep_mm: [0.0, 0.0, 2.0],
    }
}

fn frame() -> Frame {
    Frame::new(Vector3::zeros(), Vector3::z())
}

/// The nearest place without metal, on a grid finer than a tenth of a millimetre, round and round.
fn by_brute_force(rectangles: &[[[f64; 2]; 2]], at: [f64; 2]) -> f64 {
    let holds = |x: f64, y: f64| {
        rectangles
            .iter()
            .any(|[[x0, x1], [y0, y1]]| x >= *x0 && x <= *x1 && y >= *y0 && y <= *y1)
    };
    let mut radius = 0.0;
    loop {
        radius += 0.05;
        for step in 0..720 {
            let (sine, cosine) = (f64::from(step).to_radians() / 2.0).sin_cos();
            if !holds(at[0] + radius * cosine, at[1] + radius * sine) {
                return radius;
            }
        }
    }
}

proptest! {
    /// Of metal made of up to three rectangles that overlap, touch or lie apart.
    #[test]
    fn edge_distance_is_that_to_the_nearest_place_without_metal(
        corners in prop::collection::vec((-10..10i32, 1..12i32, -10..10i32, 1..12i32), 1..4),
        x in 0.05..0.95f64, y in 0.05..0.95f64,
    ) {
        let rectangles: Vec<[[f64; 2]; 2]> = corners
            .iter()
            .map(|(x, w, y, h)| [[f64::from(*x), f64::from(x + w)], [f64::from(*y), f64::from(y + h)]])
            .collect();
        let solids: Vec<PlacedSolid> = rectangles.iter().map(|[x, y]| plate(*x, *y)).collect();
        let section = Section::of(&solids, &frame(), 0.0);
        // a place in the first one
        let [[x0, x1], [y0, y1]] = rectangles[0];
        let at = [x0 + x * (x1 - x0), y0 + y * (y1 - y0)];
        let flat = frame().flat(Vector3::new(at[0], at[1], 0.0)).0;
        let found = section.edge_distance(flat).unwrap_or(f64::NAN);
        prop_assert!((found - by_brute_force(&rectangles, at)).abs() < 0.11, "{found}");
    }
}

#[test]
fn outside_of_metal_it_is_negative() {
    let section = Section::of(&[plate([0.0, 10.0], [0.0, 10.0])], &frame(), 0.0);
    let flat = frame().flat(Vector3::new(13.0, 14.0, 0.0)).0;
    assert!(
        section
            .edge_distance(flat)
            .is_some_and(|d| (d + 5.0).abs() < 1e-9)
    );
}

/// The same plate cut along each of its sides, and across a corner: a plane that leaves through an end of the prism.
#[test]
fn a_prism_is_cut_whichever_way_it_was_swept() {
    let long = PlacedSolid {
        outline_mm: vec![
            [0.0, 0.0, 0.0],
            [0.0, 4.0, 0.0],
            [0.0, 4.0, 3.0],
            [0.0, 0.0, 3.0],
        ],
        openings_mm: Vec::new(),
        sweep_mm: [10.0, 0.0, 0.0],
    };
    for (way, wanted) in [
        (Vector3::z(), 40.0),
        (Vector3::y(), 30.0),
        (Vector3::x(), 12.0),
        (
            Vector3::new(1.0, 0.0, 1.0).normalize(),
            4.0 * 3.0 * 2.0_f64.sqrt(),
        ),
    ] {
        let frame = Frame::new(Vector3::new(5.0, 2.0, 1.5), way);
        let section = Section::of(std::slice::from_ref(&long), &frame, 0.0);
        let area: f64 = section
            .polygons
            .iter()
            .flat_map(Polygon::sides)
            .map(|(a, b)| 0.5 * (a.x * b.y - a.y * b.x))
            .sum();
        assert!((area.abs() - wanted).abs() < 1e-9, "{way:?}: {area}");
    }
}
