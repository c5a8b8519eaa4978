//! Derivatives of every equation on turned bodies against central differences: those of step h are off by h^2 of the third
//! derivative and by rounding over h (Griewank and Walther, Evaluating Derivatives, 2nd ed., SIAM 2008, chapter 1).

use std::sync::Arc;

use nalgebra::{Rotation3, Vector3};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use strongback_solver::{
    Affine, Axis, BodyId, Direction, Equation, Measure, Plane, Point, Surface, Symmetry, System,
    Tolerances, Turn, Var, Way, solve,
};

const LENGTH: f64 = 500.0;

fn config() -> ProptestConfig {
    ProptestConfig {
        rng_seed: RngSeed::Fixed(29),
        failure_persistence: None,
        ..ProptestConfig::with_cases(60)
    }
}

/// A surface with hills of a radius of curvature far greater than any point here lies off it.
fn hills() -> Arc<Surface> {
    let steps: Vec<f64> = (-3..=3).map(|at| 250.0 * f64::from(at)).collect();
    let height = |x: f64, y: f64| 15.0 * (x / 300.0).sin() - 12.0 * (y / 280.0 + 0.4).cos();
    let rows: Vec<Vec<[f64; 3]>> = steps
        .iter()
        .map(|y| steps.iter().map(|x| [*x, *y, height(*x, *y)]).collect())
        .collect();
    Arc::new(Surface::through(&steps, &steps, &rows, Symmetry::None).unwrap())
}

/// How many of the variables are coordinates and angles of bodies; the rest are sizes.
const POSE: usize = 9;
const SIZES: usize = 6;

/// A system of three bodies: one turned by three angles, one freely, one square; with every kind of equation on them.
struct Subject {
    system: System,
    vars: Vec<Var>,
    tangent: [Var; 3],
    equations: Vec<(&'static str, Equation)>,
}

/// `values`: origin and angles of the first body, origin of the second one, sizes. `turn`: that of the second body.
fn subject(values: &[f64], turn: Rotation3<f64>) -> Subject {
    let mut system = System::new(LENGTH);
    let vars: Vec<Var> = (0..POSE + SIZES)
        .map(|at| {
            let measure = if (3..6).contains(&at) {
                Measure::Angle
            } else {
                Measure::Length
            };
            system.given(values[at], measure)
        })
        .collect();
    let var = |at: usize| Affine::var(vars[at]);
    let angles = Turn::Angles {
        roll: var(3),
        pitch: var(4),
        yaw: var(5),
    };
    let first = system.body([var(0), var(1), var(2)], angles);
    let free = system.free_turn();
    let Turn::Free { tangent } = free else {
        panic!("not free")
    };
    let second = system.body_from([var(6), var(7), var(8)], free, turn);
    let third = system.body(
        [
            var(6).times(0.5),
            var(0).plus(&var(9)),
            Affine::constant(-7.0),
        ],
        Turn::Square,
    );

    let size = |at: usize| var(POSE + at);
    let at = |body: BodyId, x: Affine, y: Affine, z: Affine| Point {
        body,
        at: [x, y, z],
    };
    let p = at(first, size(0), size(1).times(-0.5), Affine::constant(11.0));
    let q = at(
        second,
        Affine::constant(-6.0),
        size(2).plus(&size(3)),
        size(4),
    );
    let r = at(third, size(5), Affine::constant(4.0), size(0).times(2.0));
    let far = |of: &Point| {
        [
            of.at[0].clone().plus(&Affine::constant(40.0)),
            of.at[1].clone().plus(&size(1)),
            of.at[2].clone().minus(&size(5)),
        ]
    };
    let fixed = |body: BodyId, vector: [f64; 3]| Direction::Fixed { body, vector };
    let way = |from: &Point| {
        Box::new(Way {
            from: from.clone(),
            to: far(from),
        })
    };
    let between = |from: &Point| Direction::Between(way(from));
    let across = |from: &Point, along: [f64; 3]| Direction::Across {
        edge: way(from),
        along,
    };
    let plane = |point: &Point, normal: Direction| Plane {
        point: point.clone(),
        normal,
    };
    let axis = |point: &Point, direction: Direction| Axis {
        point: point.clone(),
        direction,
    };
    let form = size(0).times(2.0).plus(&size(3)).minus(&var(4));
    let equations = vec![
        (
            "held length",
            Equation::Held {
                form: form.clone(),
                measure: Measure::Length,
            },
        ),
        (
            "held angle",
            Equation::Held {
                form,
                measure: Measure::Angle,
            },
        ),
        (
            "point on plane",
            Equation::PointOnPlane {
                point: p.clone(),
                plane: plane(&q, fixed(second, [1.0, 2.0, -2.0])),
                offset: size(2),
            },
        ),
        (
            "point on plane of an edge",
            Equation::PointOnPlane {
                point: q.clone(),
                plane: plane(&p, across(&p, [0.0, 0.6, 0.8])),
                offset: size(3),
            },
        ),
        (
            "point on square plane",
            Equation::PointOnPlane {
                point: q.clone(),
                plane: plane(&r, fixed(third, [0.0, 0.0, 1.0])),
                offset: Affine::default(),
            },
        ),
        (
            "point on surface",
            Equation::PointOnSurface {
                point: p.clone(),
                surface: hills(),
                offset: size(1),
            },
        ),
        (
            "point on axis",
            Equation::PointOnAxis {
                point: p.clone(),
                axis: axis(&q, fixed(second, [2.0, -1.0, 0.5])),
            },
        ),
        (
            "point on line of two points",
            Equation::PointOnAxis {
                point: r.clone(),
                axis: axis(&p, between(&p)),
            },
        ),
        (
            "distance",
            Equation::Distance {
                from: p.clone(),
                to: q.clone(),
                distance: size(1).times(3.0),
            },
        ),
        (
            "distance to square",
            Equation::Distance {
                from: r.clone(),
                to: q.clone(),
                distance: size(4),
            },
        ),
        (
            "parallel",
            Equation::Parallel {
                a: fixed(first, [1.0, 0.2, -0.3]),
                b: fixed(second, [0.1, 1.0, 0.4]),
            },
        ),
        (
            "parallel of edges",
            Equation::Parallel {
                a: between(&p),
                b: across(&q, [0.36, 0.48, 0.8]),
            },
        ),
        (
            "perpendicular",
            Equation::Perpendicular {
                a: fixed(second, [0.0, 1.0, 0.0]),
                b: between(&p),
            },
        ),
        (
            "angle",
            Equation::Angle {
                a: fixed(first, [1.0, 0.0, 0.3]),
                b: fixed(second, [0.2, 1.0, 0.0]),
                about: fixed(System::FIXED, [0.0, 0.0, 1.0]),
                angle: size(0).times(0.01),
            },
        ),
        (
            "angle about an edge",
            Equation::Angle {
                a: fixed(third, [1.0, 0.0, 0.0]),
                b: between(&p),
                about: across(&q, [0.0, 0.6, 0.8]),
                angle: var(3),
            },
        ),
        (
            "mirrored",
            Equation::Mirrored {
                a: fixed(first, [1.0, 0.5, -0.3]),
                b: fixed(second, [0.4, 1.0, 0.1]),
                across: [0.0, 3.0, 1.0],
            },
        ),
        (
            "mirrored edge",
            Equation::Mirrored {
                a: between(&q),
                b: across(&p, [1.0, 0.0, 0.0]),
                across: [0.0, 1.0, 0.0],
            },
        ),
    ];
    Subject {
        system,
        vars,
        tangent,
        equations,
    }
}

impl Subject {
    /// The rows of all equations as the solver counts them: angles times the reference length. Nothing is stated, so solving
    /// leaves all where it is.
    fn rows(&self) -> Vec<Vec<f64>> {
        let solution = solve(&self.system, &Tolerances::default()).unwrap();
        let rows = |equation| {
            solution
                .sensitivity(equation)
                .iter()
                .map(|row| row.value)
                .collect()
        };
        self.equations
            .iter()
            .map(|(_, equation)| rows(equation))
            .collect()
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn derivatives_of_every_equation_are_exact(
        origins in [-100.0..100.0_f64, -100.0..100.0, -100.0..100.0, -100.0..100.0, -100.0..100.0, -100.0..100.0],
        angles in [-3.0..3.0_f64, -3.0..3.0, -3.0..3.0],
        sizes in [5.0..60.0_f64, 5.0..60.0, 5.0..60.0, 5.0..60.0, 5.0..60.0, 5.0..60.0],
        turn in [-2.0..2.0_f64, -2.0..2.0, -2.0..2.0],
    ) {
        let values: Vec<f64> = origins[..3].iter().chain(&angles).chain(&origins[3..]).chain(&sizes).copied().collect();
        let turn = Rotation3::new(Vector3::from(turn));
        let here = subject(&values, turn);
        let solution = solve(&here.system, &Tolerances::default()).unwrap();
        const STEP: f64 = 1e-5;
        // all rows a step before and a step after, for each variable
        let beside = |moved: &dyn Fn(f64) -> Subject| [-STEP, STEP].map(|by| moved(by).rows());
        let of_vars = here.vars.iter().enumerate().map(|(index, var)| {
            let moved = |by| {
                let mut values = values.clone();
                values[index] += by;
                subject(&values, turn)
            };
            (*var, beside(&moved))
        });
        let of_tangent = here.tangent.iter().enumerate().map(|(component, var)| {
            let moved = |by| {
                let mut omega = Vector3::zeros();
                omega[component] = by;
                subject(&values, Rotation3::new(omega) * turn)
            };
            (*var, beside(&moved))
        });
        let beside: Vec<(Var, [Vec<Vec<f64>>; 2])> = of_vars.chain(of_tangent).collect();
        for (at, (name, equation)) in here.equations.iter().enumerate() {
            let told = solution.sensitivity(equation);
            prop_assert_eq!(told.len(), equation.rows(), "{}", name);
            for (row, told) in told.iter().enumerate() {
                prop_assert!(told.equations.is_empty());
                for (var, [less, more]) in &beside {
                    let derivative = told.givens.iter().chain(&told.loose).find(|(v, _)| v == var).map_or(0.0, |(_, d)| *d);
                    let difference = more[at][row] - less[at][row];
                    // at half a turn the angle is one of two, which are a whole turn apart
                    if difference.abs() > 0.5 * LENGTH {
                        continue;
                    }
                    let difference = difference / (2.0 * STEP);
                    let size = derivative.abs().max(difference.abs()).max(1.0);
                    prop_assert!((derivative - difference).abs() < 1e-5 * size, "{name} row {row}: {derivative} for {difference}");
                }
            }
        }
    }
}
