//! A six-leg platform: six distances between two bodies find all six freedoms of one of them, and do so in several ways.
//!
//! Geometry, pose, leg lengths and the eight real poses: recomputed with scipy 1.17 from 1500 random starts, not published.
//! That a general platform has up to 40 poses: Ronga and Vust; Lazard; Mourrain (read: notes on enumerative real geometry).

use crate::model_text::{assembled, document, layout, neighbours, part, place, solved, started};
use nalgebra::{Rotation3, Vector3};
use strongback_model::document::Document;
use strongback_solver::Root;

/// Angles of the joints, in degrees: base radius 10, platform radius 6, each in its own plane.
const BASE: [f64; 6] = [-15.0, 15.0, 105.0, 135.0, 225.0, 255.0];
const PLATFORM: [f64; 6] = [-45.0, 45.0, 75.0, 165.0, 195.0, 285.0];
/// Leg lengths at the pose (recomputed, eight decimals).
const LEGS: [f64; 6] = [
    9.83236748,
    11.48047198,
    10.99049517,
    11.35156665,
    9.70962249,
    11.06596370,
];
/// The pose that the legs were computed from: t, and the rotation vector.
const T: [f64; 3] = [0.5, -0.3, 9.0];
const W: [f64; 3] = [0.10, -0.05, 0.20];
/// The four poses above the base; their mirror images lie below (recomputed, eight decimals).
const ABOVE: [[f64; 3]; 4] = [
    [0.5, -0.3, 9.0],
    [-0.874_425_52, 3.361_374_95, 5.799_328_80],
    [3.687_655_21, -2.236_253_08, 5.352_279_02],
    [-2.949_412_17, -2.876_578_51, 4.949_299_92],
];

fn joint(radius: f64, degrees: f64) -> Vector3<f64> {
    let (sin, cos) = degrees.to_radians().sin_cos();
    Vector3::new(radius * cos, radius * sin, 0.0)
}

/// Leg lengths at a pose, to full precision.
fn legs(t: [f64; 3], turn: Rotation3<f64>) -> [f64; 6] {
    [0, 1, 2, 3, 4, 5]
        .map(|i| (Vector3::from(t) + turn * joint(6.0, PLATFORM[i]) - joint(10.0, BASE[i])).norm())
}

/// Where the platform is drawn.
#[derive(Clone, Copy)]
struct Start {
    at: [f64; 3],
    /// Roll, pitch and yaw in degrees; without them the turn is free and starts from none.
    turn: Option<[f64; 3]>,
}

fn stated(unit: &str, legs: [f64; 6], start: Start) -> Document {
    let points = |radius: f64, angles: [f64; 6]| -> String {
        angles
            .iter()
            .enumerate()
            .map(|(i, angle)| {
                let p = joint(radius, *angle);
                format!("\"{i}\": (fs: {:.17}, bl: {:.17}),", p.x, p.y)
            })
            .collect()
    };
    let [x, y, z] = start.at;
    let turn = match start.turn {
        None => "roll: Find, pitch: Find, yaw: Find".to_owned(),
        Some([r, p, w]) => format!(
            "roll: Find(near: \"{r} deg\"), pitch: Find(near: \"{p} deg\"), yaw: Find(near: \"{w} deg\")"
        ),
    };
    let relations: String = legs
        .iter()
        .enumerate()
        .map(|(i, leg)| {
            format!("\"leg {i}\": Spaced(from: \"base.{i}\", to: \"platform.{i}\", by: {leg:.17}),")
        })
        .collect();
    document(
        unit,
        &format!(
            "parts: {{\"base\": Custom(points: {{{}}}, at: (fs: 0, bl: 0, wl: 0)), \
             \"platform\": Custom(points: {{\"middle\": (), {}}}, \
             at: (fs: Find(near: {x}), bl: Find(near: {y}), wl: Find(near: {z})), turn: ({turn}))}}, \
             relations: {{{relations}}},",
            points(10.0, BASE),
            points(6.0, PLATFORM)
        ),
    )
}

const UNITS: [(&str, f64); 3] = [("Millimetre", 1.0), ("Inch", 25.4), ("Metre", 1000.0)];
const DRAWN: Start = Start {
    at: [0.0, 0.0, 8.0],
    turn: None,
};

#[test]
fn the_legs_are_those_of_the_reference() {
    for (leg, reference) in legs(T, Rotation3::new(W.into())).into_iter().zip(LEGS) {
        assert!((leg - reference).abs() < 6e-9, "{leg} for {reference}");
    }
}

#[test]
fn six_lengths_find_the_pose() {
    let turn = Rotation3::new(W.into());
    for (unit, mm) in UNITS {
        let layout = layout(&stated(unit, legs(T, turn), DRAWN));
        assert!(layout.is_sound(), "{:#?}", layout.at_odds);
        assert_eq!((layout.solution.unknowns, layout.solution.rank), (6, 6));
        let platform = part(&layout, "platform");
        for axis in 0..3 {
            let off = platform.origin_mm[axis] - T[axis] * mm;
            assert!(off.abs() < 1e-8 * mm, "{unit}: {:?}", platform.origin_mm);
            for other in 0..3 {
                let off = platform.rotation[axis][other] - turn[(axis, other)];
                assert!(off.abs() < 1e-9, "{unit}: {:?}", platform.rotation);
            }
        }
    }
}

#[test]
fn the_printed_legs_find_the_pose_to_six_places() {
    for (unit, mm) in UNITS {
        let layout = layout(&stated(unit, LEGS, DRAWN));
        let at = place(&layout, "platform", "middle");
        for axis in 0..3 {
            assert!((at[axis] / mm - T[axis]).abs() < 1e-6, "{unit}: {at:?}");
        }
    }
}

#[test]
fn stated_starts_of_the_turn_find_the_same_pose() {
    let start = Start {
        at: [0.0, 0.0, 8.0],
        turn: Some([3.0, -1.0, 9.0]),
    };
    for (unit, mm) in UNITS {
        let layout = layout(&stated(unit, LEGS, start));
        let at = place(&layout, "platform", "middle");
        for axis in 0..3 {
            assert!((at[axis] / mm - T[axis]).abs() < 1e-6, "{unit}: {at:?}");
        }
    }
}

/// Well-determined is not unique: six equations for six unknowns, and each start finds the pose nearest to it.
#[test]
fn other_starts_find_other_poses_of_the_list() {
    let mut reached = Vec::new();
    for at in ABOVE {
        for side in [1.0, -1.0] {
            for yaw in [-120.0, -60.0, 0.0, 60.0, 120.0] {
                for pitch in [-30.0, 30.0] {
                    let start = Start {
                        at: [at[0], at[1], side * at[2]],
                        turn: Some([20.0, pitch, yaw]),
                    };
                    let assembly = assembled(&stated("Inch", LEGS, start));
                    // a search that does not come to rest is told as a fault and prints no place
                    let Ok(solved) = assembly.solve() else {
                        continue;
                    };
                    let layout = solved.layout();
                    if !layout.at_odds.is_empty() {
                        continue;
                    }
                    let found = place(&layout, "platform", "middle").map(|c| c / 25.4);
                    let near = |pose: &[f64; 3]| {
                        (0..3).all(|axis| {
                            let z = if axis == 2 {
                                found[2].abs()
                            } else {
                                found[axis]
                            };
                            (z - pose[axis]).abs() < 1e-6
                        })
                    };
                    let pose = ABOVE.iter().position(near);
                    let pose = pose.unwrap_or_else(|| panic!("{found:?} is no pose of the list"));
                    let pose = (pose, found[2] > 0.0);
                    if !reached.contains(&pose) {
                        reached.push(pose);
                    }
                }
            }
        }
    }
    assert!(reached.len() >= 2, "{reached:?}");
    assert!(reached.iter().any(|(_, above)| *above) && reached.iter().any(|(_, above)| !above));
}

/// One leg too many: where it agrees it is spare, and where it does not it alone is at odds by what it misses.
#[test]
fn a_seventh_leg_is_spare_or_at_odds() {
    let turn = Rotation3::new(W.into());
    let across = (Vector3::from(T) + turn * joint(6.0, PLATFORM[3]) - joint(10.0, BASE[0])).norm();
    for off in [0.0, 0.25] {
        let mut seventh = stated("Inch", legs(T, turn), DRAWN);
        let extra = document(
            "Inch",
            &format!(
                "relations: {{\"seventh\": Spaced(from: \"base.0\", to: \"platform.3\", by: {:.17})}}",
                across + off
            ),
        );
        let entry = extra.relations.iter().next().unwrap();
        seventh
            .relations
            .push(entry.name.clone(), entry.value.clone())
            .unwrap();
        let layout = layout(&seventh);
        let at = place(&layout, "platform", "middle");
        for axis in 0..3 {
            assert!((at[axis] / 25.4 - T[axis]).abs() < 1e-8, "{at:?}");
        }
        if off == 0.0 {
            assert_eq!(layout.spare.len(), 1);
            assert_eq!(layout.spare[0].statement, "seventh");
            assert!(layout.at_odds.is_empty());
        } else {
            let [odd] = &layout.at_odds[..] else {
                panic!("{:#?}", layout.at_odds)
            };
            assert_eq!(odd.statement, "seventh");
            assert!((odd.miss + off * 25.4).abs() < 1e-7, "{odd:#?}");
            for leg in 0..6 {
                let name = format!("leg {leg}");
                assert!(
                    odd.against.iter().any(|against| against.name == name),
                    "{odd:#?}"
                );
            }
        }
    }
}

/// A leg far too long gives way alone: the five before it hold exactly, and it misses least where its gradient is a
/// combination of theirs, so that its circuit is all five of them.
#[test]
fn a_leg_beyond_reach_alone_gives_way() {
    let turn = Rotation3::new(W.into());
    for (unit, mm) in UNITS {
        let mut lengths = legs(T, turn);
        lengths[5] = 60.0;
        let layout = layout(&stated(unit, lengths, DRAWN));
        let [odd] = &layout.at_odds[..] else {
            panic!("{unit}: {:#?}", layout.at_odds)
        };
        assert_eq!(odd.statement, "leg 5");
        for (leg, stated) in lengths.into_iter().enumerate() {
            let [from, to] =
                ["base", "platform"].map(|part| place(&layout, part, &leg.to_string()));
            let length = (Vector3::from(from) - Vector3::from(to)).norm();
            let miss = length - stated * mm;
            let expected = if leg == 5 { odd.miss } else { 0.0 };
            assert!(
                (miss - expected).abs() < 1e-8 * mm,
                "{unit} leg {leg}: {miss}"
            );
            let name = format!("leg {leg}");
            let against = odd.against.iter().any(|against| against.name == name);
            assert_eq!(against, leg != 5, "{odd:#?}");
        }
    }
}

/// Beside the pose others of the list are found, and none that is not on it; each that is told has a start that leads to it.
#[test]
fn other_poses_of_the_list_are_found_beside_the_pose() {
    for (unit, mm) in UNITS {
        for turn in [None, Some([3.0, -1.0, 9.0])] {
            let start = Start {
                at: [0.0, 0.0, 8.0],
                turn,
            };
            let document = stated(unit, LEGS, start);
            let assembly = assembled(&document);
            let solved = solved(&assembly);
            let is_listed = |at: [f64; 3]| {
                let off = |pose: &[f64; 3]| {
                    let at = [at[0], at[1], at[2].abs()];
                    (0..3)
                        .map(|axis| (at[axis] / mm - pose[axis]).abs())
                        .fold(0.0, f64::max)
                };
                ABOVE.iter().any(|pose| off(pose) < 1e-6)
            };
            let platform = assembly
                .parts
                .iter()
                .find(|part| part.name == "platform")
                .unwrap();
            let found = solved.solution.neighbours().found;
            assert!(!found.is_empty(), "{unit} {turn:?}");
            for neighbour in &found {
                let Root::Another(state) = &neighbour.is else {
                    panic!("{neighbour:?}")
                };
                let at =
                    [0, 1, 2].map(|axis| assembly.system.form_at(&platform.origin[axis], state));
                assert!(
                    is_listed(at),
                    "{unit} {turn:?}: {at:?} is no pose of the list"
                );
            }
            for other in neighbours(&document).others {
                let at = place(&layout(&started(&document, &other)), "platform", "middle");
                assert!(
                    is_listed(at),
                    "{unit} {turn:?}: {at:?} is no pose of the list"
                );
                assert!((at[2] - T[2] * mm).abs() > 1e-3 * mm);
            }
        }
    }
}
