//! Laws of whole systems with turns: derivatives of solutions against central differences, and rigid motions of everything
//! at once. Central differences of step h are off by h^2 of the third derivative and by rounding over h (Griewank and
//! Walther, Evaluating Derivatives, 2nd ed., SIAM 2008, chapter 1).

use nalgebra::{Rotation3, Vector3};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use strongback_solver::{
    Affine, Axis, BodyId, Direction, Equation, Measure, Observed, Plane, Point, Solution, Source,
    Spread, System, Tolerances, Turn, Var, Variation, solve,
};

const LENGTH: f64 = 500.0;

fn config() -> ProptestConfig {
    ProptestConfig {
        rng_seed: RngSeed::Fixed(29),
        failure_persistence: None,
        ..ProptestConfig::with_cases(60)
    }
}

/// Angles of the joints of a platform on six legs, in degrees, on circles of 300 and 180 mm: far from any singular pose.
const BASE: [f64; 6] = [-15.0, 15.0, 105.0, 135.0, 225.0, 255.0];
const PLATFORM: [f64; 6] = [-45.0, 45.0, 75.0, 165.0, 195.0, 285.0];

fn joint(radius: f64, degrees: f64) -> Vector3<f64> {
    let (sin, cos) = degrees.to_radians().sin_cos();
    Vector3::new(radius * cos, radius * sin, 0.0)
}

/// What proptest draws for a net: how far joints lie off their circles, and the poses of two platforms.
#[derive(Clone, Debug)]
struct Drawn {
    off: Vec<f64>,
    places: [[f64; 3]; 2],
    turns: [[f64; 3]; 2],
    pitch: f64,
}

fn drawn() -> impl Strategy<Value = Drawn> {
    let place = || [-15.0..15.0_f64, -15.0..15.0, 250.0..290.0];
    let turn = || [-0.1..0.1_f64, -0.1..0.1, 0.1..0.25];
    (
        proptest::collection::vec(-10.0..10.0_f64, 36),
        [place(), place()],
        [turn(), turn()],
        -0.4..0.4_f64,
    )
        .prop_map(|(off, places, turns, pitch)| Drawn {
            off,
            places,
            turns,
            pitch,
        })
}

/// A platform on six legs, a second one on six legs that stand on the first, and an arm on the second one that pitches.
struct Stacked {
    system: System,
    /// Givens: coordinates of the base's joints, then lengths of the legs, then the arm's figures.
    givens: Vec<Var>,
    platforms: [BodyId; 2],
    arm: BodyId,
}

/// Moves of everything at once.
#[derive(Clone, Copy)]
struct Rigid {
    turn: Rotation3<f64>,
    by: Vector3<f64>,
}

impl Rigid {
    const NONE: fn() -> Rigid = || Rigid {
        turn: Rotation3::identity(),
        by: Vector3::zeros(),
    };
    fn of(self, p: Vector3<f64>) -> Vector3<f64> {
        self.turn * p + self.by
    }
}

impl Drawn {
    fn joint(&self, at: usize, radius: f64, degrees: f64) -> Vector3<f64> {
        joint(radius, degrees)
            + Vector3::new(self.off[3 * at], self.off[3 * at + 1], self.off[3 * at + 2])
    }

    fn base(&self, leg: usize) -> Vector3<f64> {
        self.joint(leg, 300.0, BASE[leg])
    }

    fn foot(&self, leg: usize) -> Vector3<f64> {
        self.joint(6 + leg, 180.0, PLATFORM[leg])
    }

    /// The poses of the two platforms.
    fn poses(&self) -> [(Vector3<f64>, Rotation3<f64>); 2] {
        let [a, b] = [0, 1].map(|at| {
            (
                Vector3::from(self.places[at]),
                Rotation3::new(Vector3::from(self.turns[at])),
            )
        });
        // the second one stands on the first
        [a, (a.1 * b.0 + a.0, a.1 * b.1)]
    }

    /// The given figures of the net at its poses, in the order of [`Stacked::givens`].
    fn figures(&self, rigid: Rigid) -> Vec<f64> {
        let [(t, r), (t2, r2)] = self.poses();
        let mut list: Vec<f64> = (0..6)
            .flat_map(|leg| {
                let p = rigid.of(self.base(leg));
                [p.x, p.y, p.z]
            })
            .collect();
        list.extend((0..6).map(|leg| (t + r * self.foot(leg) - self.base(leg)).norm()));
        list.extend(
            (0..6).map(|leg| {
                (t2 + r2 * self.foot(leg) * 0.7 - (t + r * self.base(leg) * 0.6)).norm()
            }),
        );
        list
    }

    /// The net with given figures, its search begun off its poses by a little.
    fn build(&self, figures: &[f64], rigid: Rigid, arm: bool) -> Stacked {
        let mut system = System::new(LENGTH);
        let mut givens: Vec<Var> = figures[..30]
            .iter()
            .map(|value| system.given(*value, Measure::Length))
            .collect();
        let constant = |p: Vector3<f64>| [p.x, p.y, p.z].map(Affine::constant);
        let nudge = Rotation3::new(Vector3::new(0.02, -0.01, 0.03));
        let platforms = self.poses().map(|(t, r)| {
            let start = rigid.of(t) + rigid.turn * Vector3::new(3.0, -2.0, 4.0);
            let origin = [start.x, start.y, start.z]
                .map(|c| Affine::var(system.unknown(c, Measure::Length)));
            let turn = system.free_turn();
            system.body_from(origin, turn, rigid.turn * nudge * r)
        });
        for leg in 0..6 {
            let base = [0, 1, 2].map(|axis| Affine::var(givens[3 * leg + axis]));
            system.equation(
                Equation::Distance {
                    from: Point {
                        body: System::FIXED,
                        at: base,
                    },
                    to: Point {
                        body: platforms[0],
                        at: constant(self.foot(leg)),
                    },
                    distance: Affine::var(givens[18 + leg]),
                },
                0,
            );
            system.equation(
                Equation::Distance {
                    from: Point {
                        body: platforms[0],
                        at: constant(self.base(leg) * 0.6),
                    },
                    to: Point {
                        body: platforms[1],
                        at: constant(self.foot(leg) * 0.7),
                    },
                    distance: Affine::var(givens[24 + leg]),
                },
                0,
            );
        }
        // an arm whose origin lies on an axis of the second platform and at a height over it; roll and yaw given
        let mut body = platforms[1];
        if arm {
            let [roll, yaw] = [30, 31].map(|at| system.given(figures[at], Measure::Angle));
            let [height, reach] = [32, 33].map(|at| system.given(figures[at], Measure::Length));
            givens.extend([roll, yaw, height, reach]);
            let start = self.poses()[1].0 + Vector3::new(4.0, 3.0, 60.0);
            let origin = [start.x, start.y, start.z]
                .map(|c| Affine::var(system.unknown(c, Measure::Length)));
            let pitch = system.unknown(self.pitch, Measure::Angle);
            body = system.body(
                origin,
                Turn::Angles {
                    roll: Affine::var(roll),
                    pitch: Affine::var(pitch),
                    yaw: Affine::var(yaw),
                },
            );
            let own = |body, x, y, z| Point {
                body,
                at: [x, y, z].map(Affine::constant),
            };
            let up = Direction::Fixed {
                body: platforms[1],
                vector: [0.0, 0.0, 1.0],
            };
            let middle = own(platforms[1], 0.0, 0.0, 0.0);
            system.equation(
                Equation::PointOnAxis {
                    point: own(body, 0.0, 0.0, 0.0),
                    axis: Axis {
                        point: middle.clone(),
                        direction: up.clone(),
                    },
                },
                0,
            );
            system.equation(
                Equation::PointOnPlane {
                    point: own(body, 0.0, 0.0, 0.0),
                    plane: Plane {
                        point: middle,
                        normal: up,
                    },
                    offset: Affine::var(height),
                },
                0,
            );
            system.equation(
                Equation::PointOnPlane {
                    point: own(body, 90.0, 0.0, 0.0),
                    plane: Plane {
                        point: own(platforms[0], 0.0, 0.0, 0.0),
                        normal: Direction::Fixed {
                            body: platforms[0],
                            vector: [0.0, 0.0, 1.0],
                        },
                    },
                    offset: Affine::var(reach),
                },
                0,
            );
        }
        Stacked {
            system,
            givens,
            platforms,
            arm: body,
        }
    }

    /// The figures of the arm: roll, yaw, height over the second platform, and the height of its tip over the first one at
    /// about the drawn pitch.
    fn with_arm(&self) -> Vec<f64> {
        let mut figures = self.figures(Rigid::NONE());
        let [(t, r), (t2, r2)] = self.poses();
        let tip = t2
            + r2 * Vector3::new(0.0, 0.0, 60.0)
            + Rotation3::from_euler_angles(0.05, self.pitch, -0.1) * Vector3::new(90.0, 0.0, 0.0);
        let reach = (r.inverse() * (tip - t)).z;
        figures.extend([0.05, -0.1, 60.0, reach]);
        figures
    }
}

/// The tip of the arm along a fixed axis, as an equation that need not belong to the system.
fn tip_along(stacked: &Stacked, axis: usize) -> Equation {
    let mut vector = [0.0; 3];
    vector[axis] = 1.0;
    Equation::PointOnPlane {
        point: Point {
            body: stacked.arm,
            at: [
                Affine::constant(70.0),
                Affine::constant(20.0),
                Affine::constant(-15.0),
            ],
        },
        plane: Plane {
            point: Point {
                body: System::FIXED,
                at: [(); 3].map(|()| Affine::default()),
            },
            normal: Direction::Fixed {
                body: System::FIXED,
                vector,
            },
        },
        offset: Affine::default(),
    }
}

/// All figures of a net, each with how far it varies.
fn varied(stacked: &Stacked) -> Vec<Variation> {
    let of = |var: &Var| Variation {
        source: Source::Given(*var),
        within: match stacked.system.get(*var).measure {
            Measure::Length => 0.8,
            Measure::Angle => 0.01,
        },
    };
    stacked.givens.iter().map(of).collect()
}

fn tips(stacked: &Stacked) -> Vec<Observed<'_>> {
    [0, 1, 2]
        .map(|axis| Observed::Miss(Box::new(tip_along(stacked, axis))))
        .into()
}

fn sound(solution: &Solution<'_>) {
    let report = solution.report();
    assert_eq!(report.rank, report.unknowns, "{report:?}");
    assert_eq!(report.rank, report.rows, "{report:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 30, ..config() })]

    #[test]
    fn the_poses_that_the_figures_were_taken_from_are_found(drawn in drawn()) {
        let stacked = drawn.build(&drawn.figures(Rigid::NONE()), Rigid::NONE(), false);
        let solution = solve(&stacked.system, &Tolerances::default()).unwrap();
        sound(&solution);
        for (body, (t, r)) in stacked.platforms.into_iter().zip(drawn.poses()) {
            for leg in 0..6 {
                let foot = drawn.foot(leg);
                let at = Vector3::from(solution.point(&Point { body, at: [foot.x, foot.y, foot.z].map(Affine::constant) }));
                prop_assert!((at - (t + r * foot)).norm() < 1e-7, "off by {}", (at - (t + r * foot)).norm());
            }
        }
    }

    #[test]
    fn the_gradient_of_a_solution_is_that_of_solving_again(drawn in drawn()) {
        let figures = drawn.with_arm();
        let stacked = drawn.build(&figures, Rigid::NONE(), true);
        let solution = solve(&stacked.system, &Tolerances::default()).unwrap();
        sound(&solution);
        let told = [0, 1, 2].map(|axis| solution.sensitivity(&tip_along(&stacked, axis)).pop().unwrap());
        for index in 0..figures.len() {
            let angle = (30..32).contains(&index);
            let step = if angle { 1e-5 } else { 1e-3 };
            let [less, more] = [-step, step].map(|by| {
                let mut figures = figures.clone();
                figures[index] += by;
                let stacked = drawn.build(&figures, Rigid::NONE(), true);
                let solution = solve(&stacked.system, &Tolerances::default()).unwrap();
                [0, 1, 2].map(|axis| solution.miss(&tip_along(&stacked, axis))[0])
            });
            for axis in 0..3 {
                let derivative = told[axis].givens.iter().find(|(var, _)| *var == stacked.givens[index]).map_or(0.0, |(_, d)| *d);
                let difference = (more[axis] - less[axis]) / (2.0 * step);
                let size = derivative.abs().max(difference.abs()).max(1.0);
                prop_assert!((derivative - difference).abs() < 1e-5 * size, "given {index}, axis {axis}: {derivative} for {difference}");
            }
            prop_assert!(told.iter().all(|told| told.loose.is_empty()));
        }
    }

    #[test]
    fn a_sample_is_what_solving_again_gives(drawn in drawn()) {
        let figures = drawn.with_arm();
        let stacked = drawn.build(&figures, Rigid::NONE(), true);
        let solution = solve(&stacked.system, &Tolerances::default()).unwrap();
        let sampler = solution.sampler(&varied(&stacked), tips(&stacked));
        prop_assert_eq!(sampler.relevant().count(), figures.len());
        // every figure off by another amount
        let off: Vec<f64> = (0..figures.len()).map(|at| varied(&stacked)[at].within * (1.0 - 0.31 * (at % 7) as f64)).collect();
        let values = sampler.at(&off);
        let figures: Vec<f64> = figures.iter().zip(&off).map(|(figure, off)| figure + off).collect();
        let stacked = drawn.build(&figures, Rigid::NONE(), true);
        let solution = solve(&stacked.system, &Tolerances::default()).unwrap();
        for (axis, value) in values.into_iter().enumerate() {
            let again = solution.miss(&tip_along(&stacked, axis))[0];
            prop_assert!((value - again).abs() < 1e-6, "axis {axis}: {value} for {again}");
        }
    }

    #[test]
    fn moving_and_turning_everything_moves_every_answer_alike(
        drawn in drawn(), turn in [-1.5..1.5_f64, -1.5..1.5, -1.5..1.5], by in [-400.0..400.0_f64, -400.0..400.0, -400.0..400.0],
    ) {
        let rigid = Rigid { turn: Rotation3::new(Vector3::from(turn)), by: Vector3::from(by) };
        let here = drawn.build(&drawn.figures(Rigid::NONE()), Rigid::NONE(), false);
        let there = drawn.build(&drawn.figures(rigid), rigid, false);
        let (a, b) = (solve(&here.system, &Tolerances::default()).unwrap(), solve(&there.system, &Tolerances::default()).unwrap());
        sound(&b);
        for (one, other) in here.platforms.into_iter().zip(there.platforms) {
            for own in [[0.0, 0.0, 0.0], [100.0, 0.0, 0.0], [0.0, 100.0, 30.0]] {
                let point = |body| Point { body, at: own.map(Affine::constant) };
                let moved = rigid.of(Vector3::from(a.point(&point(one))));
                let found = Vector3::from(b.point(&point(other)));
                prop_assert!((moved - found).norm() < 1e-7, "off by {}", (moved - found).norm());
            }
        }
    }

    #[test]
    fn a_solution_with_turns_is_the_same_every_time(drawn in drawn()) {
        let figures = drawn.with_arm();
        let builds = [(); 2].map(|()| drawn.build(&figures, Rigid::NONE(), true));
        let [a, b] = [0, 1].map(|at| solve(&builds[at].system, &Tolerances::default()).unwrap());
        prop_assert_eq!(a.state(), b.state());
        for axis in 0..3 {
            let probe = tip_along(&builds[0], axis);
            prop_assert_eq!(a.sensitivity(&probe), b.sensitivity(&probe));
        }
    }
}

#[test]
fn samples_do_not_depend_on_the_number_of_threads() {
    let drawn = Drawn {
        off: vec![1.0; 36],
        places: [[5.0, -4.0, 270.0]; 2],
        turns: [[0.05, -0.03, 0.2]; 2],
        pitch: 0.1,
    };
    let stacked = drawn.build(&drawn.with_arm(), Rigid::NONE(), true);
    let solution = solve(&stacked.system, &Tolerances::default()).unwrap();
    let sampler = solution.sampler(&varied(&stacked), tips(&stacked));
    let drawn_by = |threads: usize, seed: u64| -> Vec<u64> {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
        let samples = pool
            .build()
            .unwrap()
            .install(|| sampler.sample(600, seed, Spread::Normal));
        assert!(samples.values.iter().all(|values| values.len() == 600));
        let all = samples.values.iter().flatten();
        all.inspect(|value| assert!(value.is_finite()))
            .map(|value| value.to_bits())
            .collect()
    };
    let one = drawn_by(1, 7);
    assert!(one == drawn_by(2, 7) && one == drawn_by(5, 7));
    assert!(one != drawn_by(2, 8), "another seed gives other samples");
}
