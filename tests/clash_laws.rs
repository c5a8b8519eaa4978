//! How deep metal runs into metal, against laws and against another algorithm: random boxes, turned any way.
//!
//! The depth of two convex bodies is the least width of their overlap over all directions (Cameron and Culley, Determining the minimum
//! translational distance between two convex polyhedra, ICRA 1986). For boxes the width along a direction is a sum of three terms; it is
//! asked for here along thousands of directions, near the least one ever more closely. Whether they overlap at all is asked of parry3d's
//! algorithm of Gilbert, Johnson and Keerthi. (Its expanding polytope, tried first, is off by a few per cent in one case of a thousand.)

use nalgebra::{Rotation3, Vector3};
use parry3d_f64::math::{Pose, Vector};
use parry3d_f64::query;
use parry3d_f64::shape::ConvexPolyhedron;
use proptest::prelude::*;
use strongback_model::clash::{Place, between};
use strongback_model::layout::PlacedSolid;

/// A box by its half widths, turned and moved.
#[derive(Clone, Copy, Debug)]
struct Turned {
    half: [f64; 3],
    turn: [f64; 3],
    middle: [f64; 3],
}

impl Turned {
    fn place(&self, own: [f64; 3]) -> Vector3<f64> {
        let [roll, pitch, yaw] = self.turn;
        Rotation3::from_euler_angles(roll, pitch, yaw) * Vector3::from(own)
            + Vector3::from(self.middle)
    }

    fn corners(&self) -> Vec<Vector3<f64>> {
        let [x, y, z] = self.half;
        [(-y, -z), (y, -z), (y, z), (-y, z)]
            .map(|(y, z)| self.place([-x, y, z]))
            .to_vec()
    }

    fn sweep(&self) -> Vector3<f64> {
        self.place([2.0 * self.half[0], 0.0, 0.0]) - self.place([0.0; 3])
    }

    fn solid(&self) -> PlacedSolid {
        PlacedSolid {
            outline_mm: self.corners().into_iter().map(Into::into).collect(),
            openings_mm: Vec::new(),
            sweep_mm: self.sweep().into(),
        }
    }

    fn moved(mut self, by: [f64; 3]) -> Turned {
        self.middle = [0, 1, 2].map(|axis| self.middle[axis] + by[axis]);
        self
    }
}

fn any_box() -> impl Strategy<Value = Turned> {
    (
        [0.5..40.0_f64, 0.5..40.0, 0.5..40.0],
        [-3.0..3.0_f64, -1.5..1.5, -3.0..3.0],
        [-30.0..30.0_f64, -30.0..30.0, -30.0..30.0],
    )
        .prop_map(|(half, turn, middle)| Turned { half, turn, middle })
}

fn deepest(a: &Turned, b: &Turned) -> Option<Place> {
    between(&[a.solid()], &[b.solid()]).into_iter().next()
}

/// How far they reach into one another along a direction, the shorter way out.
fn width(a: &Turned, b: &Turned, way: Vector3<f64>) -> f64 {
    let range = |it: &Turned| {
        let middle = it.place([0.0; 3]);
        let axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
        let half: f64 = (axes.into_iter().zip(it.half))
            .map(|(axis, half)| half * (it.place(axis) - middle).dot(&way).abs())
            .sum();
        [middle.dot(&way) - half, middle.dot(&way) + half]
    };
    let ([a0, a1], [b0, b1]) = (range(a), range(b));
    (a1 - b0).min(b1 - a0)
}

/// The least width along many directions: a spiral over the sphere, then ever closer about the least.
fn least_width(a: &Turned, b: &Turned) -> f64 {
    const MANY: u32 = 600;
    let golden = std::f64::consts::PI * (3.0 - 5.0_f64.sqrt());
    let spiral = (0..MANY).map(|at| {
        let z = 1.0 - (2.0 * f64::from(at) + 1.0) / f64::from(MANY);
        let (sine, cosine) = (golden * f64::from(at)).sin_cos();
        let r = (1.0 - z * z).sqrt();
        Vector3::new(r * cosine, r * sine, z)
    });
    let mut best = (f64::INFINITY, Vector3::x());
    for way in spiral {
        best = if width(a, b, way) < best.0 {
            (width(a, b, way), way)
        } else {
            best
        };
    }
    let mut step = 0.05;
    while step > 1e-9 {
        let before = best.0;
        for axis in [Vector3::x(), Vector3::y(), Vector3::z()] {
            for sense in [step, -step] {
                let way = (best.1 + axis * sense).normalize();
                best = if width(a, b, way) < best.0 {
                    (width(a, b, way), way)
                } else {
                    best
                };
            }
        }
        if best.0 == before {
            step *= 0.5;
        }
    }
    best.0
}

/// Whether they overlap, by another algorithm.
fn overlap_elsewhere(a: &Turned, b: &Turned) -> bool {
    let hull = |it: &Turned| {
        let far = it.corners().into_iter().map(|corner| corner + it.sweep());
        let points: Vec<Vector> = it
            .corners()
            .into_iter()
            .chain(far)
            .map(|corner| Vector::new(corner.x, corner.y, corner.z))
            .collect();
        ConvexPolyhedron::from_convex_hull(&points).unwrap()
    };
    let here = Pose::identity();
    query::distance(&here, &hull(a), &here, &hull(b))
        .unwrap()
        .distance
        <= 0.0
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn the_depth_is_the_least_width_over_all_directions(a in any_box(), b in any_box()) {
        let least = least_width(&a, &b);
        match deepest(&a, &b) {
            Some(place) => {
                // that it is no less either: moved apart by it they only touch
                prop_assert!(place.depth_mm < least + 1e-6, "{} of {least}", place.depth_mm);
                prop_assert!(overlap_elsewhere(&a, &b));
            }
            // up to contact it is none
            None => prop_assert!(least < 1.1e-3 || !overlap_elsewhere(&a, &b)),
        }
    }

    #[test]
    fn it_is_the_same_from_either_side(a in any_box(), b in any_box()) {
        let (one, other) = (deepest(&a, &b), deepest(&b, &a));
        prop_assert_eq!(one.is_some(), other.is_some());
        if let (Some(one), Some(other)) = (one, other) {
            prop_assert!((one.depth_mm - other.depth_mm).abs() < 1e-6);
            for axis in 0..3 {
                prop_assert!((one.at_mm[axis] - other.at_mm[axis]).abs() < 1e-6);
            }
        }
    }

    /// Both moved and turned together: the airframe's axes mean nothing to metal.
    #[test]
    fn a_motion_of_both_leaves_it(a in any_box(), b in any_box(), by in [-3.0..3.0_f64, -3.0..3.0, -3.0..3.0], way in [-2e3..2e3_f64, -2e3..2e3, -2e3..2e3]) {
        let rotation = Rotation3::from_euler_angles(by[0], by[1], by[2]);
        let moved = |it: &Turned| {
            let turn = |at: &[f64; 3]| rotation * Vector3::from(*at);
            let solid = it.solid();
            PlacedSolid {
                outline_mm: solid.outline_mm.iter().map(|at| (turn(at) + Vector3::from(way)).into()).collect(),
                openings_mm: Vec::new(),
                sweep_mm: turn(&solid.sweep_mm).into(),
            }
        };
        let before = deepest(&a, &b).map_or(0.0, |place| place.depth_mm);
        let after = between(&[moved(&a)], &[moved(&b)]).first().map_or(0.0, |place| place.depth_mm);
        // at the threshold of contact either may count as none
        prop_assert!((before - after).abs() < 1e-6 || before.max(after) < 1.001e-3, "{before} {after}");
    }

    #[test]
    fn moved_apart_by_it_they_only_touch(a in any_box(), b in any_box()) {
        if let Some(place) = deepest(&a, &b) {
            let by = |share: f64| place.way.map(|way| way * place.depth_mm * share);
            prop_assert!(deepest(&a.moved(by(1.0)), &b).is_none());
            if place.depth_mm > 0.1 {
                let nearly = deepest(&a.moved(by(0.9)), &b);
                prop_assert!(nearly.is_some_and(|left| (left.depth_mm - 0.1 * place.depth_mm).abs() < 1e-6));
            }
        }
    }

    /// A web with an opening is cut into pieces to be compared; its depth is that of the whole all the same.
    #[test]
    fn moved_out_of_a_web_with_an_opening_it_only_touches(a in any_box(), open in [0.1..0.9_f64, 0.1..0.9], rod in any_box()) {
        let web = Turned { half: [1.0, 30.0, 20.0], ..a };
        let opening = Turned { half: [1.0, 30.0 * open[0], 20.0 * open[1]], ..web };
        let web = PlacedSolid {
            openings_mm: vec![opening.corners().into_iter().map(Into::into).collect()],
            ..web.solid()
        };
        for place in between(&[rod.solid()], std::slice::from_ref(&web)) {
            let out = |share: f64| rod.moved(place.way.map(|way| way * place.depth_mm * share)).solid();
            prop_assert_eq!(between(&[out(1.0)], std::slice::from_ref(&web)), Vec::new());
            if place.depth_mm > 1.0 {
                prop_assert!(!between(&[out(0.9)], std::slice::from_ref(&web)).is_empty());
            }
        }
    }

    /// Boxes along the axes: the least of the six ways out, and what both hold is a box of its own.
    #[test]
    fn along_the_axes_it_is_the_least_overlap(a in any_box(), b in any_box()) {
        let (a, b) = (Turned { turn: [0.0; 3], ..a }, Turned { turn: [0.0; 3], ..b });
        let low = |it: &Turned, axis: usize| it.middle[axis] - it.half[axis];
        let high = |it: &Turned, axis: usize| it.middle[axis] + it.half[axis];
        let least = (0..3)
            .map(|axis| (high(&a, axis) - low(&b, axis)).min(high(&b, axis) - low(&a, axis)))
            .fold(f64::INFINITY, f64::min);
        let found = deepest(&a, &b);
        prop_assert_eq!(found.is_some(), least > 1e-3);
        if let Some(place) = found {
            prop_assert!((place.depth_mm - least).abs() < 1e-9);
            for axis in 0..3 {
                let both = [low(&a, axis).max(low(&b, axis)), high(&a, axis).min(high(&b, axis))];
                prop_assert!((place.overlap_mm[axis][0] - both[0]).abs() < 1e-9);
                prop_assert!((place.overlap_mm[axis][1] - both[1]).abs() < 1e-9);
            }
        }
    }
}
