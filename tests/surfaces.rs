//! Surfaces through points against closed forms, where the distance of a point from a circular cylinder, a cone, an elliptic
//! cylinder, a plane and a sphere is known.
//!
//! Sources: distances by elementary geometry. The spline's own error over a smooth closed curve is at most 5/384 h⁴ times the
//! greatest fourth derivative (Hall and Meyer, Optimal error bounds for cubic spline interpolation, Journal of Approximation
//! Theory 16, 1976, from memory); a component of a circle of radius r stepped by h radians has a fourth derivative of r.

use std::f64::consts::PI;

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use strongback_solver::{
    Affine, Equation, Measure, Point, Surface, Symmetry, System, Tolerances, Turn, solve,
};

fn config() -> ProptestConfig {
    ProptestConfig {
        rng_seed: RngSeed::Fixed(31),
        failure_persistence: None,
        ..ProptestConfig::with_cases(200)
    }
}

const MIRROR: Symmetry = Symmetry::Across { coordinate: 1 };

/// The right half of a closed curve at each station, from the bottom to the top in equal steps of the angle.
fn half(count: u32, stations: &[f64], curve: impl Fn(f64, f64) -> [f64; 2]) -> Surface {
    let angles: Vec<f64> = (0..=count)
        .map(|at| PI * f64::from(at) / f64::from(count))
        .collect();
    let rows: Vec<Vec<[f64; 3]>> = stations
        .iter()
        .map(|x| {
            let ring = angles.iter().enumerate().map(|(at, angle)| {
                let [y, z] = curve(*x, *angle);
                // in the mirror exactly
                let in_mirror = at == 0 || at as u32 == count;
                [*x, if in_mirror { 0.0 } else { y }, z]
            });
            ring.collect()
        })
        .collect();
    let knots: Vec<f64> = angles.iter().map(|angle| 300.0 * angle).collect();
    Surface::through(&knots, stations, &rows, MIRROR).unwrap()
}

/// Both components are off by no more than this share of the radius.
fn bound(count: u32) -> f64 {
    let h = PI / f64::from(count);
    2f64.sqrt() * 5.0 / 384.0 * h.powi(4)
}

fn circle(radius: f64) -> impl Fn(f64, f64) -> [f64; 2] {
    move |_, angle| [radius * angle.sin(), -radius * angle.cos()]
}

#[test]
fn offsets_from_a_circular_cylinder() {
    let radius = 500.0;
    for count in [8, 16, 32, 64] {
        let surface = half(count, &[0.0, 1000.0], circle(radius));
        let mut worst = 0f64;
        for step in 0..97 {
            let angle = PI * (f64::from(step) + 0.31) / 97.0 * 2.0;
            for off in [-200.0, -0.8, 0.0, 0.8, 300.0] {
                let at = radius + off;
                let point = [123.0 + f64::from(step), at * angle.sin(), -at * angle.cos()];
                worst = worst.max((surface.offset(point) - off).abs());
            }
        }
        assert!(worst <= bound(count) * radius, "{count} steps: {worst}");
    }
}

#[test]
fn the_error_falls_with_the_fourth_power_of_the_step() {
    let (a, b) = (600.0, 350.0);
    let ellipse = |_: f64, angle: f64| [a * angle.sin(), -b * angle.cos()];
    let worst = |count: u32| {
        let surface = half(count, &[0.0, 500.0, 1000.0], ellipse);
        let mut worst = 0f64;
        for step in 0..61 {
            let angle = PI * (f64::from(step) + 0.27) / 61.0;
            // along the outward normal of an ellipse its distance is known
            let normal = [b * angle.sin(), -a * angle.cos()];
            let length = normal[0].hypot(normal[1]);
            for off in [-40.0, 0.0, 75.0] {
                let [y, z] = ellipse(0.0, angle);
                let point = [
                    333.0,
                    y + off * normal[0] / length,
                    z + off * normal[1] / length,
                ];
                worst = worst.max((surface.offset(point) - off).abs());
            }
        }
        worst
    };
    let (coarse, fine, finer) = (worst(8), worst(16), worst(32));
    assert!(coarse < bound(8) * a, "{coarse}");
    for (more, less) in [(coarse, fine), (fine, finer)] {
        assert!(
            more / less > 12.0,
            "sixteenfold in the limit: {more} to {less}"
        );
    }
}

#[test]
fn offsets_from_a_cone() {
    // radius 400 at 0, 600 at 1000: straight along the fuselage, so only the sections are off
    let radius = |x: f64| 400.0 + 0.2 * x;
    let cosine = 1.0 / (1.0_f64 + 0.04).sqrt();
    for count in [12, 48] {
        let surface = half(count, &[0.0, 300.0, 1000.0], |x, angle| {
            circle(radius(x))(x, angle)
        });
        for step in 0..50 {
            let angle = PI * (f64::from(step) + 0.43) / 50.0;
            let (x, at) = (
                200.0 + 12.0 * f64::from(step),
                430.0 + 5.0 * f64::from(step),
            );
            let point = [x, at * angle.sin(), -at * angle.cos()];
            let known = (at - radius(x)) * cosine;
            let off = surface.offset(point) - known;
            assert!(off.abs() <= bound(count) * 600.0, "{count}: {off}");
        }
    }
}

#[test]
fn a_flat_side_is_exact() {
    // a plane that toes in and leans out: y = 530 - 0.05 x + 0.1 z
    let plane = |x: f64, z: f64| 530.0 - 0.05 * x + 0.1 * z;
    let heights = [0.0, 70.0, 200.0, 480.0];
    let stations = [100.0, 350.0, 900.0, 1600.0];
    let rows: Vec<Vec<[f64; 3]>> = stations
        .iter()
        .map(|x| heights.iter().map(|z| [*x, plane(*x, *z), *z]).collect())
        .collect();
    let surface = Surface::through(&heights, &stations, &rows, MIRROR).unwrap();
    let length = (1.0 + 0.05f64.powi(2) + 0.1f64.powi(2)).sqrt();
    // on it, off it, and beyond its ends, where it goes on straight
    for point in [
        [500.0, 480.0, 100.0],
        [777.0, 900.0, 333.0],
        [-200.0, 600.0, 700.0],
        [2000.0, 0.5, -90.0],
    ] {
        let known = (point[1] - plane(point[0], point[2])) / length;
        assert!((surface.offset(point) - known).abs() < 1e-9, "{point:?}");
        let image = [point[0], -point[1], point[2]];
        assert!(
            (surface.offset(image) - known).abs() < 1e-9,
            "in the mirror"
        );
    }
}

/// Sections of a sphere: curved along the fuselage too.
#[test]
fn offsets_from_a_sphere() {
    let radius = 800.0;
    let stations: Vec<f64> = (-8..=8).map(|at| 60.0 * f64::from(at)).collect();
    let ring = |x: f64| (radius * radius - x * x).sqrt();
    let surface = half(32, &stations, |x, angle| circle(ring(x))(x, angle));
    // natural ends are off near the first and the last section; in the middle the curvature comes back
    for point in [
        [0.0, 500.0, 500.0],
        [90.0, 900.0, -10.0],
        [-70.0, -300.0, -800.0],
    ] {
        let known = Point3(point).norm() - radius;
        assert!((surface.offset(point) - known).abs() < 5e-3, "{point:?}");
    }
}

struct Point3([f64; 3]);

impl Point3 {
    fn norm(&self) -> f64 {
        self.0.iter().map(|c| c * c).sum::<f64>().sqrt()
    }
}

#[test]
fn what_is_no_grid_is_refused() {
    let row = vec![[0.0; 3], [1.0; 3]];
    let build = |u: &[f64], v: &[f64], rows: &[Vec<[f64; 3]>]| {
        Surface::through(u, v, rows, Symmetry::None).is_err()
    };
    assert!(build(&[0.0, 1.0], &[0.0], std::slice::from_ref(&row)));
    assert!(build(
        &[0.0, 1.0],
        &[0.0, 1.0],
        &[row.clone(), vec![[0.0; 3]]]
    ));
    assert!(build(&[0.0, 0.0], &[0.0, 1.0], &[row.clone(), row.clone()]));
    assert!(build(
        &[0.0, f64::NAN],
        &[0.0, 1.0],
        &[row.clone(), row.clone()]
    ));
    assert!(build(
        &[0.0, 1.0],
        &[0.0, 1.0],
        &[row.clone(), vec![[0.0; 3], [f64::INFINITY; 3]]]
    ));
}

/// A barrel that tapers: curved both ways.
fn barrel() -> Surface {
    half(14, &[0.0, 400.0, 700.0, 1500.0], |x, angle| {
        let size = 1.0 - (x - 600.0).powi(2) / 4e6;
        [
            520.0 * size * angle.sin(),
            -450.0 * size * angle.cos() + 0.05 * x,
        ]
    })
}

proptest! {
    #![proptest_config(config())]

    /// The gradient of the offset is the unit normal at the foot: against central differences.
    #[test]
    fn the_gradient_is_the_normal(x in 100.0..1400.0_f64, angle in 0.02..6.2_f64, share in 0.7..1.5_f64) {
        let surface = barrel();
        let point = [x, 500.0 * share * angle.sin(), -430.0 * share * angle.cos()];
        let normal = surface.foot(point).normal;
        const STEP: f64 = 1e-3;
        for axis in 0..3 {
            let [less, more] = [-STEP, STEP].map(|by| {
                let mut beside = point;
                beside[axis] += by;
                surface.offset(beside)
            });
            let difference = (more - less) / (2.0 * STEP);
            prop_assert!((difference - normal[axis]).abs() < 1e-6, "{axis}: {difference} for {}", normal[axis]);
        }
    }

    /// A foot lies on the surface, and the point straight above it.
    #[test]
    fn a_foot_is_a_foot(x in 100.0..1400.0_f64, angle in 0.02..6.2_f64, share in 0.7..1.5_f64) {
        let surface = barrel();
        let point = [x, 500.0 * share * angle.sin(), -430.0 * share * angle.cos()];
        let foot = surface.foot(point);
        let [u, v] = foot.parameters;
        let (at, _) = surface.place(u, v);
        for axis in [0, 2] {
            prop_assert!((at[axis] - foot.at[axis]).abs() < 1e-9);
        }
        prop_assert!((at[1].abs() - foot.at[1].abs()).abs() < 1e-9);
        let offset = surface.offset(point);
        let whole = Point3([0, 1, 2].map(|i| point[i] - foot.at[i])).norm();
        prop_assert!((offset.abs() - whole).abs() < 1e-9, "{offset} of {whole}");
    }

    /// The solver puts a point on the surface or off it by a figure, moving it along one axis or by a turn.
    #[test]
    fn a_point_put_on_the_surface_lies_there(x in 200.0..1300.0_f64, z in -150.0..250.0_f64, off in -60.0..60.0_f64, turned in any::<bool>()) {
        let surface = std::sync::Arc::new(barrel());
        // what the end of the turning arm can reach
        let off = if turned { 0.2 * off - 20.0 } else { off };
        let mut system = System::new(1500.0);
        let offset = system.given(off, Measure::Length);
        let (origin, turn) = if turned {
            let roll = system.unknown(0.5, Measure::Angle);
            let none = Affine::default();
            ([Affine::constant(x), none.clone(), Affine::constant(0.05 * x)],
                Turn::Angles { roll: Affine::var(roll), pitch: none.clone(), yaw: none })
        } else {
            let y = system.unknown(300.0, Measure::Length);
            ([Affine::constant(x), Affine::var(y), Affine::constant(z)], Turn::Square)
        };
        let body = system.body(origin, turn);
        // an arm that reaches the side when it is turned down or up
        let reach = if turned { 470.0 * (1.0 - (x - 600.0).powi(2) / 4e6) } else { 0.0 };
        let at = [0.0, reach, 0.0].map(Affine::constant);
        let point = Point { body, at };
        let equation = Equation::PointOnSurface { point: point.clone(), surface: surface.clone(), offset: Affine::var(offset) };
        system.equation(equation, 0);
        let solution = solve(&system, &Tolerances::default()).unwrap();
        let lies = surface.offset(solution.point(&point));
        prop_assert!((lies - off).abs() < 1e-8, "{lies} for {off}");
    }
}
