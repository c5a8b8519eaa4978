//! The direct way and the long one come to the same.

#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::*;
use crate::equation::{Equation, Measure};
use crate::geometry::{Affine, BodyId, Direction, Plane, Point, Turn};

/// A row of frames that stand some way behind each other, each with a cant that a rod from the one before finds; and further
/// figures, of any trust, from frame to frame, many of which contradict. Lengths in millimetres.
#[derive(Clone, Debug)]
struct Frames {
    heights: Vec<f64>,
    rods: Vec<f64>,
    /// From which frame to which, by how much, at which priority.
    figures: Vec<(usize, usize, f64, u32)>,
    canted: bool,
}

fn frames() -> impl Strategy<Value = Frames> {
    (2..8_usize).prop_flat_map(|count| {
        let figure = (0..count, 0..count, -40.0..40.0_f64, 0..4_u32);
        (
            prop::collection::vec(300.0..500.0_f64, count),
            prop::collection::vec(90.0..130.0_f64, count),
            prop::collection::vec(figure, 0..6),
            any::<bool>(),
        )
            .prop_map(|(heights, rods, figures, canted)| Frames {
                heights,
                rods,
                figures,
                canted,
            })
    })
}

impl Frames {
    fn system(&self) -> System {
        let mut system = System::new(1000.0);
        let number = |value: f64| Affine::constant(value);
        let none = || number(0.0);
        let mut placed: Vec<(Affine, BodyId)> = Vec::new();
        for _ in &self.heights {
            let station = Affine::var(system.unknown(0.0, Measure::Length));
            let turn = if self.canted {
                let pitch = Affine::var(system.unknown(0.0, Measure::Angle));
                let (roll, yaw) = (none(), none());
                Turn::Angles { roll, pitch, yaw }
            } else {
                Turn::Square
            };
            let body = system.body([station.clone(), none(), none()], turn);
            placed.push((station, body));
        }
        let web = |body: BodyId| Plane {
            point: Point {
                body,
                at: [none(), none(), none()],
            },
            normal: Direction::Fixed {
                body,
                vector: [1.0, 0.0, 0.0],
            },
        };
        let on = |body: BodyId, height: f64, plane: Plane, by: f64| Equation::PointOnPlane {
            point: Point {
                body,
                at: [none(), none(), number(height)],
            },
            plane,
            offset: number(by),
        };
        let datum = web(System::FIXED);
        system.equation(on(placed[0].1, 0.0, datum.clone(), 0.0), 1);
        if self.canted {
            system.equation(on(placed[0].1, 400.0, datum, 5.0), 1);
        }
        for (pair, (height, rod)) in placed.windows(2).zip(self.heights.iter().zip(&self.rods)) {
            let [(_, before), (_, next)] = pair else {
                continue;
            };
            system.equation(on(*next, 0.0, web(*before), 100.0), 1);
            if self.canted {
                system.equation(on(*next, *height, web(*before), *rod), 1);
            }
        }
        for (from, to, by, priority) in &self.figures {
            let form = placed[*to].0.clone().minus(&placed[*from].0);
            let apart = 100.0 * (*to as f64 - *from as f64) + by;
            let equation = Equation::Held {
                form: form.minus(&number(apart)),
                measure: Measure::Length,
            };
            system.equation(equation, *priority);
        }
        system
    }
}

proptest! {
    #[test]
    fn the_direct_way_comes_to_what_the_long_one_comes_to(frames in frames()) {
        let system = frames.system();
        let tolerances = Tolerances::default();
        let direct = solve(&system, &tolerances);
        let long = solve_by(&system, &tolerances, |_, _, _| None);
        let (Ok(direct), Ok(long)) = (direct, long) else {
            return Ok(());
        };
        let kept = |solution: &Solution<'_>| {
            let mut kept: Vec<_> = solution.kept().collect();
            kept.sort_unstable();
            kept
        };
        prop_assert_eq!(kept(&direct), kept(&long));
        for (a, b) in direct.state().values.iter().zip(&long.state().values) {
            prop_assert!((a - b).abs() <= 1e-9 * system.reference_length(), "{} {}", a, b);
        }
    }
}

/// Three bays of 100 and rods to match: what nothing contradicts goes the direct way, unknown by unknown; and of sums nothing is left
/// to iterate. Two figures at odds, both trusted more than the sums that they rest on, ask for the long way.
#[test]
fn a_row_of_frames_goes_the_direct_way() {
    let settled = |canted: bool, figures: Vec<(usize, usize, f64, u32)>| {
        let frames = Frames {
            heights: vec![400.0; 4],
            rods: vec![104.0; 4],
            figures,
            canted,
        };
        let system = frames.system();
        let rows = Rows::new(&system);
        let settled = direct::settle(&rows, &mut system.start(), &Tolerances::default())?;
        let told = [settled.blocks, settled.largest_block, settled.rounds];
        Some((told, settled.iterations > 0))
    };
    assert_eq!(settled(false, vec![]), Some(([4, 1, 1], false)));
    assert_eq!(settled(true, vec![]), Some(([8, 1, 1], true)));
    for trust in [0, 2] {
        let over = |by: f64| (0, 3, by, trust);
        assert!(settled(true, vec![over(7.0), over(5.0)]).is_some());
        assert!(settled(false, vec![over(7.0)]).is_some());
        let two = settled(false, vec![over(7.0), over(5.0)]);
        assert_eq!(two.is_some(), trust == 2);
    }
}
