//! Other roots close to a solution, over random circles, spheres and linkages of two bars: the point where two circles meet has
//! its mirror image in the line of their centres, that of three spheres in the plane of theirs (closed forms: general knowledge).

use nalgebra::Vector3;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use strongback_solver::{
    Affine, BodyId, Equation, Measure, Neighbours, Point, Root, State, System, Tolerances, Turn,
    Var, solve,
};

const LENGTH: f64 = 1000.0;

fn config() -> ProptestConfig {
    ProptestConfig {
        rng_seed: RngSeed::Fixed(43),
        failure_persistence: None,
        ..ProptestConfig::with_cases(150)
    }
}

/// A point found by its distances from centres, begun at its place; with two centres it stays in the plane y = 0.
struct Stated {
    system: System,
    vars: [Var; 3],
}

fn stated(centres: &[Vector3<f64>], distances: &[f64], start: Vector3<f64>) -> Stated {
    let mut system = System::new(LENGTH);
    let vars = [start.x, start.y, start.z].map(|c| system.unknown(c, Measure::Length));
    let own = |body: BodyId, at: Vector3<f64>| Point {
        body,
        at: [at.x, at.y, at.z].map(Affine::constant),
    };
    let body = system.body(vars.map(Affine::var), Turn::Square);
    if centres.len() == 2 {
        let form = Affine::var(vars[1]);
        let measure = Measure::Length;
        system.equation(Equation::Held { form, measure }, 0);
    }
    for (centre, distance) in centres.iter().zip(distances) {
        let equation = Equation::Distance {
            from: own(System::FIXED, *centre),
            to: own(body, Vector3::zeros()),
            distance: Affine::constant(*distance),
        };
        system.equation(equation, 0);
    }
    Stated { system, vars }
}

impl Stated {
    fn place(&self, state: &State) -> Vector3<f64> {
        Vector3::from(self.vars.map(|var| state.value(var)))
    }

    /// Where the point is found, and the other places that are told.
    fn places(&self) -> Option<(Vector3<f64>, Vec<Vector3<f64>>)> {
        let solution = solve(&self.system, &Tolerances::default()).ok()?;
        let others = solution
            .neighbours()
            .found
            .into_iter()
            .filter_map(|one| match one.is {
                Root::Another(state) => Some(self.place(&state)),
                Root::Meets => None,
            });
        Some((self.place(solution.state()), others.collect()))
    }
}

fn point(flat: bool) -> impl Strategy<Value = Vector3<f64>> {
    let c = || -800.0..800.0_f64;
    [c(), c(), c()].prop_map(move |[x, y, z]| Vector3::new(x, if flat { 0.0 } else { y }, z))
}

/// The mirror image of a point in the line or plane of the centres, and what a unit of the shortest way between centres is.
fn mirrored(p: Vector3<f64>, centres: &[Vector3<f64>]) -> Vector3<f64> {
    let along = centres[1] - centres[0];
    let normal = match centres.get(2) {
        None => Vector3::new(along.z, 0.0, -along.x),
        Some(third) => along.cross(&(third - centres[0])),
    };
    let normal = normal.normalize();
    p - normal * (2.0 * normal.dot(&(p - centres[0])))
}

/// The mirror image is told if and only if it is near, and nothing else is.
fn mirror_is_told(p: Vector3<f64>, centres: &[Vector3<f64>]) -> Result<(), TestCaseError> {
    let image = mirrored(p, centres);
    let moved = (image - p).amax();
    // about the two limits either answer is right
    let tolerances = Tolerances::default();
    prop_assume!((moved / LENGTH - 1.0).abs() > 1e-3 && moved > 3.0 * tolerances.distinct * LENGTH);
    let distances: Vec<f64> = centres.iter().map(|centre| (p - centre).norm()).collect();
    let told = stated(centres, &distances, p).places();
    let (found, others) = told.unwrap();
    prop_assert!((found - p).norm() < 1e-6);
    if moved < LENGTH {
        prop_assert!(others.len() == 1, "{image} of {p} among {others:?}");
        prop_assert!(
            (others[0] - image).norm() < 1e-6,
            "{image} of {p} among {others:?}"
        );
    } else {
        prop_assert!(others.is_empty(), "{image} of {p} is far: {others:?}");
    }
    Ok(())
}

/// Whether centres lie so nearly in one place, or in one line, that their mirror is ill defined.
fn is_degenerate(centres: &[Vector3<f64>]) -> bool {
    let along = centres[1] - centres[0];
    along.norm() < 20.0
        || centres
            .get(2)
            .is_some_and(|third| along.cross(&(third - centres[0])).norm() < 20.0 * along.norm())
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn the_mirror_image_of_where_two_circles_meet_is_told(p in point(true), a in point(true), b in point(true)) {
        prop_assume!(!is_degenerate(&[a, b]));
        mirror_is_told(p, &[a, b])?;
    }

    #[test]
    fn the_mirror_image_of_where_three_spheres_meet_is_told(p in point(false), a in point(false), b in point(false), c in point(false)) {
        prop_assume!(!is_degenerate(&[a, b, c]));
        mirror_is_told(p, &[a, b, c])?;
    }

    /// Circles that touch meet once, twice over: there is no other place.
    #[test]
    fn circles_that_touch_tell_of_no_other_place(a in point(true), b in point(true), share in 0.2..0.8_f64, outside in any::<bool>()) {
        prop_assume!((b - a).norm() > 50.0);
        let apart = (b - a).norm();
        // from outside, or the smaller one within the larger
        let radii = if outside { [share * apart, (1.0 - share) * apart] } else { [(1.0 + share) * apart, share * apart] };
        let touch = a + (b - a) * (radii[0] / apart);
        let start = touch + Vector3::new(3.0, 0.0, -2.0);
        if let Some((_, others)) = stated(&[a, b], &radii, start).places() {
            prop_assert!(others.is_empty(), "{others:?} beside {touch}");
        }
    }
}

/// Circles that all but touch: within a hundredth of a millimetre of a metre the two places are one, and told as a dead centre.
#[test]
fn two_places_that_no_one_tells_apart_meet() {
    let centres = [Vector3::zeros(), Vector3::new(1000.0, 0.0, 0.0)];
    for (off, meets) in [(1e-9, true), (1e-6, true), (1.0, false)] {
        let stated = stated(
            &centres,
            &[600.0, 400.0 + off],
            Vector3::new(590.0, 0.0, 5.0),
        );
        let solution = solve(&stated.system, &Tolerances::default()).unwrap();
        let told = solution.neighbours().found;
        assert_eq!(told.len(), 1, "{off}: {told:?}");
        assert_eq!(told[0].is == Root::Meets, meets, "{off}: {told:?}");
        assert!(told[0].unknowns.contains(&stated.vars[2]));
    }
}

/// What is affine has one solution, and is not searched.
#[test]
fn nothing_is_told_of_what_is_affine() {
    let mut system = System::new(LENGTH);
    let x = system.unknown(3.0, Measure::Length);
    let form = Affine::var(x).minus(&Affine::constant(5.0));
    let measure = Measure::Length;
    system.equation(Equation::Held { form, measure }, 0);
    let solution = solve(&system, &Tolerances::default()).unwrap();
    assert_eq!(solution.neighbours(), Neighbours::default());
}
