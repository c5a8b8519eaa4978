//! A point found by its distances from known points, against the closed form of plane and spatial trilateration.
//!
//! Closed forms: general knowledge; figures recomputed from them. Lengths in millimetres and, the same case again, in inches.

use crate::model_text::{assembled, document, layout, neighbours, place, started};
use strongback_model::document::Document;
use strongback_model::layout::Layout;

/// Where each known point lies, and its distance.
type Known<'k> = &'k [([f64; 3], f64)];

/// A point "P" near a start, held at buttock line 0 if `plane`, with one statement of distance to each known point.
fn stated(unit: &str, known: Known<'_>, near: [f64; 3], plane: Plane) -> Document {
    let mut parts = String::new();
    let mut relations = String::new();
    for (at, ([fs, bl, wl], distance)) in known.iter().enumerate() {
        parts += &format!(
            "\"K{at}\": Custom(points: {{\"p\": ()}}, at: (fs: {fs}, bl: {bl}, wl: {wl})),"
        );
        relations +=
            &format!("\"d{at}\": Spaced(from: \"K{at}.p\", to: \"P.p\", by: {distance:.17}),");
    }
    let [fs, bl, wl] = near;
    let bl = match plane {
        Plane::Across => "0".to_owned(),
        Plane::None => format!("Find(near: {bl})"),
    };
    document(
        unit,
        &format!(
            "parts: {{{parts} \"P\": Custom(points: {{\"p\": ()}}, at: (fs: Find(near: {fs}), bl: {bl}, wl: Find(near: {wl})))}}, \
             relations: {{{relations}}},"
        ),
    )
}

#[derive(Clone, Copy)]
enum Plane {
    /// The point stays at buttock line 0.
    Across,
    None,
}

const UNITS: [(&str, f64); 3] = [("Millimetre", 1.0), ("Inch", 25.4), ("Metre", 1000.0)];

/// P1 (0,0), P2 (10,0) with r1 = 6, r2 = 8: x = (r1^2 - r2^2 + d^2) / 2d = 3.6, y = ±4.8.
const FLAT: [([f64; 3], f64); 2] = [([0.0; 3], 6.0), ([10.0, 0.0, 0.0], 8.0)];

fn settled(layout: &Layout) {
    assert!(
        layout.is_sound(),
        "{:#?} {:#?}",
        layout.at_odds,
        layout.loose
    );
}

fn assert_at(layout: &Layout, expected: [f64; 3], within: f64) {
    let found = place(layout, "P", "p");
    for axis in 0..3 {
        assert!(
            (found[axis] - expected[axis]).abs() < within,
            "{found:?} for {expected:?}"
        );
    }
}

#[test]
fn two_distances_find_a_point_of_the_plane_on_the_side_it_is_drawn() {
    for (unit, mm) in UNITS {
        for side in [1.0, -1.0] {
            for start in [[3.0, 4.0], [0.0, 1.0], [9.0, 7.0], [5.0, 0.5]] {
                let near = [start[0], 0.0, side * start[1]];
                let layout = layout(&stated(unit, &FLAT, near, Plane::Across));
                settled(&layout);
                assert_at(
                    &layout,
                    [3.6 * mm, 0.0, side * 4.8 * mm],
                    1e-9 * mm.max(1.0),
                );
            }
        }
    }
}

/// P1 (0,0,0), P2 (U,0,0) with U = 8, P3 (3,7,0); r^2 = 29, 61, 33: x = (r1^2 - r2^2 + U^2) / 2U = 2,
/// y = (r1^2 - r3^2 + V^2 - 2 Vx x) / 2 Vy = 3, z = ±4.
#[test]
fn three_distances_find_a_point_of_space_on_the_side_it_is_drawn() {
    let known = [
        ([0.0; 3], 29.0_f64.sqrt()),
        ([8.0, 0.0, 0.0], 61.0_f64.sqrt()),
        ([3.0, 7.0, 0.0], 33.0_f64.sqrt()),
    ];
    for (unit, mm) in UNITS {
        for side in [1.0, -1.0] {
            let near = [1.5, 2.0, side * 3.0];
            let layout = layout(&stated(unit, &known, near, Plane::None));
            settled(&layout);
            assert_at(
                &layout,
                [2.0 * mm, 3.0 * mm, side * 4.0 * mm],
                1e-9 * mm.max(1.0),
            );
        }
    }
}

#[test]
fn a_third_distance_is_spare_or_at_odds_by_what_it_misses() {
    // the point lies at (3.6, 4.8): from (3.6, 10) it is 5.2
    for (stated_distance, miss) in [(5.2, 0.0), (5.0, 0.2), (6.0, -0.8)] {
        for (unit, mm) in UNITS {
            let known = [FLAT[0], FLAT[1], ([3.6, 0.0, 10.0], stated_distance)];
            let layout = layout(&stated(unit, &known, [3.0, 0.0, 4.0], Plane::Across));
            assert!(layout.loose.is_empty());
            assert_at(&layout, [3.6 * mm, 0.0, 4.8 * mm], 1e-9 * mm.max(1.0));
            if miss == 0.0 {
                assert!(layout.at_odds.is_empty(), "{:#?}", layout.at_odds);
                assert_eq!(layout.spare.len(), 1);
                assert_eq!(layout.spare[0].statement, "d2");
            } else {
                let [odd] = &layout.at_odds[..] else {
                    panic!("{:#?}", layout.at_odds)
                };
                assert_eq!(odd.statement, "d2");
                assert!(
                    (odd.miss - miss * mm).abs() < 1e-9 * mm.max(1.0),
                    "{odd:#?}"
                );
                let mut against: Vec<&str> = odd.against.iter().map(|a| a.name.as_str()).collect();
                against.retain(|name| name.starts_with('d'));
                assert_eq!(against, ["d0", "d1"]);
            }
        }
    }
}

/// Two circles that don't meet: r1 + r2 = 9 < d = 10. The first statement holds, the second one alone misses, by
/// d - r1 - r2 = 1 at the least, and nothing is shared out between them.
#[test]
fn circles_that_do_not_meet_put_one_statement_at_odds() {
    for (unit, mm) in UNITS {
        for start in [
            [3.0, 4.0],
            [5.0, 0.5],
            [0.0, -5.0],
            [10.0, 2.0],
            [3.0, 0.0],
            [-3.0, 0.0],
            [0.0, 0.0],
        ] {
            let known = [([0.0; 3], 6.0), ([10.0, 0.0, 0.0], 3.0)];
            let document = stated(unit, &known, [start[0], 0.0, start[1]], Plane::Across);
            let layout = layout(&document);
            let [odd] = &layout.at_odds[..] else {
                panic!("{unit} {start:?}: {:#?}", layout.at_odds)
            };
            assert_eq!(odd.statement, "d1");
            let [x, _, z] = place(&layout, "P", "p");
            assert!(
                (x.hypot(z) - 6.0 * mm).abs() < 1e-8 * mm,
                "{unit} {start:?}: {x} {z}: the first one is smeared"
            );
            assert!(
                (odd.miss - mm).abs() < 1e-9 * mm.max(1.0) && z.abs() < 1e-8 * mm,
                "{unit} {start:?}: {odd:#?} at {x} {z}"
            );
        }
    }
}

/// Circles that touch: r1 + r2 = d, a double root at (6, 0) where the Jacobian has rank 1.
#[test]
fn circles_that_touch_end_in_a_layout_or_in_a_told_fault() {
    let known = [([0.0; 3], 6.0), ([10.0, 0.0, 0.0], 4.0)];
    for (unit, mm) in UNITS {
        for start in [[3.0, 4.0], [6.0, 0.0], [5.0, 1e-3], [0.0, -5.0]] {
            let assembly = assembled(&stated(
                unit,
                &known,
                [start[0], 0.0, start[1]],
                Plane::Across,
            ));
            if let Ok(solved) = assembly.solve() {
                let layout = solved.layout();
                // half the digits are lost at a double root
                assert_at(&layout, [6.0 * mm, 0.0, 0.0], 1e-3 * mm);
                assert!(
                    layout.at_odds.iter().all(|odd| odd.miss.abs() < 1e-6 * mm),
                    "{:#?}",
                    layout.at_odds
                );
            }
        }
    }
}

/// Drawn in one place with a known point, or on the line of both, where a symmetry holds the search fast: both points of
/// the plane are as near, and one of them has to be found. A `Find` without `near` starts like this.
#[test]
fn a_start_on_the_line_of_the_known_points_finds_a_way_out() {
    for (unit, mm) in UNITS {
        for x in [0.0, 3.0, 5.0, 10.0, -2.0] {
            let layout = layout(&stated(unit, &FLAT, [x, 0.0, 0.0], Plane::Across));
            assert!(layout.is_sound(), "{unit} from {x}: {:#?}", layout.at_odds);
            let [found, _, z] = place(&layout, "P", "p");
            let off = (found - 3.6 * mm).abs().max((z.abs() - 4.8 * mm).abs());
            assert!(off < 1e-9 * mm.max(1.0), "{unit} from {x}: {found} {z}");
        }
    }
}

/// The other point of the closed form, y = -y or z = -z, is told with both figures, and its start as told leads to it.
#[test]
fn the_mirror_image_of_the_point_is_told_and_its_start_leads_to_it() {
    let spatial = [
        ([0.0; 3], 29.0_f64.sqrt()),
        ([8.0, 0.0, 0.0], 61.0_f64.sqrt()),
        ([3.0, 7.0, 0.0], 33.0_f64.sqrt()),
    ];
    let cases: [(Known<'_>, [f64; 3], Plane, f64); 2] = [
        (&FLAT, [3.0, 0.0, 4.0], Plane::Across, 4.8),
        (&spatial, [1.5, 2.0, 3.0], Plane::None, 4.0),
    ];
    for (known, near, plane, height) in cases {
        for (unit, mm) in UNITS {
            for side in [1.0, -1.0] {
                let document = stated(unit, known, [near[0], near[1], side * near[2]], plane);
                let told = neighbours(&document);
                assert!(told.dead_centres.is_empty());
                let [other] = &told.others[..] else {
                    panic!("{unit} {side}: {told:#?}")
                };
                assert_eq!(other.parts, ["P"]);
                let [figure] = &other.figures[..] else {
                    panic!("{other:#?}")
                };
                assert_eq!(figure.name, "P wl");
                let expected = side * height * mm;
                assert!(
                    (figure.found - expected).abs() < 1e-9 * mm.max(1.0),
                    "{figure:?}"
                );
                assert!(
                    (figure.other + expected).abs() < 1e-9 * mm.max(1.0),
                    "{figure:?}"
                );
                assert!((figure.difference + 2.0 * expected).abs() < 1e-9 * mm.max(1.0));
                assert!(
                    (figure.drawn - side * near[2] * mm).abs() < 1e-9 * mm,
                    "{figure:?}"
                );
                assert!(other.is_farther);
                let there = layout(&started(&document, other));
                settled(&there);
                let z = place(&there, "P", "p")[2];
                assert!(
                    (z + expected).abs() < 1e-9 * mm.max(1.0),
                    "{unit} {side}: {z}"
                );
            }
        }
    }
}

/// A third distance that agrees tells the two points of the plane apart: there is no other layout. One that the point
/// misses doesn't, since it gives way either way.
#[test]
fn a_spare_distance_leaves_one_point_only() {
    for (third, others) in [(5.2, 0), (5.0, 1)] {
        let known = [FLAT[0], FLAT[1], ([3.6, 0.0, 10.0], third)];
        let told = neighbours(&stated("Inch", &known, [3.0, 0.0, 4.0], Plane::Across));
        assert_eq!(told.others.len(), others, "{third}: {told:#?}");
    }
}

/// Circles that touch: one point twice over is told as that, and not as two.
#[test]
fn circles_that_touch_are_told_as_a_dead_centre() {
    let known = [([0.0; 3], 6.0), ([10.0, 0.0, 0.0], 4.0)];
    for (unit, _) in UNITS {
        let document = stated(unit, &known, [5.0, 0.0, 1e-3], Plane::Across);
        let told = neighbours(&document);
        assert!(told.others.is_empty(), "{unit}: {told:#?}");
        assert_eq!(told.dead_centres.len(), 1, "{unit}: {told:#?}");
        assert_eq!(told.dead_centres[0].figures, ["P fs", "P wl"]);
    }
}
