//! Small problems with answers known in closed form, one property of the solver each.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use argmin::core::observers::{Observe, ObserverMode};
use argmin::core::{Error, KV, State, TerminationReason};
use nalgebra::{Rotation3, Vector3, dmatrix, dvector};
use std::sync::{Arc, Mutex};

/// A problem in a vector space, given by two functions.
struct Flat<R, J>(R, J);

impl<R: Fn(&DVector<f64>) -> DVector<f64>, J> Operator for Flat<R, J> {
    type Param = DVector<f64>;
    type Output = DVector<f64>;
    fn apply(&self, x: &DVector<f64>) -> Result<DVector<f64>, Error> {
        Ok(self.0(x))
    }
}

impl<R, J: Fn(&DVector<f64>) -> DMatrix<f64>> Jacobian for Flat<R, J> {
    type Param = DVector<f64>;
    type Jacobian = DMatrix<f64>;
    fn jacobian(&self, x: &DVector<f64>) -> Result<DMatrix<f64>, Error> {
        Ok(self.1(x))
    }
}

impl<R, J> Retract for Flat<R, J> {
    type Param = DVector<f64>;
    fn retract(&self, at: &DVector<f64>, step: &DVector<f64>) -> DVector<f64> {
        at + step
    }
}

fn solve<R, J>(residuals: R, jacobian: J, start: DVector<f64>) -> Fit<DVector<f64>>
where
    R: Fn(&DVector<f64>) -> DVector<f64>,
    J: Fn(&DVector<f64>) -> DMatrix<f64>,
{
    minimise(Flat(residuals, jacobian), start, &Settings::default()).unwrap()
}

/// A x = b from zero.
fn linear(a: DMatrix<f64>, b: DVector<f64>) -> Fit<DVector<f64>> {
    let start = DVector::zeros(a.ncols());
    solve(|x| &a * x - &b, |_| a.clone(), start)
}

#[track_caller]
fn assert_near(found: &DVector<f64>, expected: &DVector<f64>, tolerance: f64) {
    assert!((found - expected).amax() <= tolerance, "{found}");
}

#[test]
fn a_square_linear_system_takes_one_step() {
    let fit = linear(dmatrix![2.0, 1.0; 1.0, -3.0], dvector![5.0, -8.0]);
    assert_near(&fit.point, &dvector![1.0, 3.0], 1e-14);
    assert_eq!(fit.report.stop, Stop::ResidualSmall);
    let counts = (
        fit.report.iterations,
        fit.report.residual_evaluations,
        fit.report.jacobian_evaluations,
    );
    assert_eq!(counts, (1, 2, 1));
}

#[test]
fn contradictory_rows_end_at_their_mean() {
    let fit = linear(dmatrix![1.0; 1.0; 1.0], dvector![1.0, 2.0, 6.0]);
    assert_near(&fit.point, &dvector![3.0], 1e-14);
    assert!(fit.report.stop.is_converged() && fit.report.stop != Stop::ResidualSmall);
    assert!((fit.report.largest_residual - 3.0).abs() < 1e-14);
    assert!((fit.report.cost - 7.0).abs() < 1e-14);
    assert_eq!(fit.report.iterations, 1);
}

/// Of all solutions the one nearest the start.
#[test]
fn fewer_equations_than_unknowns_move_as_little_as_needed() {
    let fit = linear(dmatrix![1.0, 1.0, 0.0], dvector![2.0]);
    assert_near(&fit.point, &dvector![1.0, 1.0, 0.0], 1e-14);
    assert_eq!(fit.report.stop, Stop::ResidualSmall);
}

#[test]
fn dependent_columns_share_the_step() {
    let a = dmatrix![1.0, 1.0, 0.0; 1.0, 1.0, 0.0; 0.0, 0.0, 2.0];
    let fit = linear(a, dvector![4.0, 4.0, 2.0]);
    assert_near(&fit.point, &dvector![2.0, 2.0, 1.0], 1e-14);
    assert_eq!(fit.report.stop, Stop::ResidualSmall);
}

#[test]
fn nothing_to_hold_and_nothing_to_move() {
    let no_rows = linear(DMatrix::zeros(0, 2), dvector![]);
    assert_eq!(no_rows.report.stop, Stop::ResidualSmall);
    assert_eq!(no_rows.report.largest_residual, 0.0);
    let no_columns = linear(DMatrix::zeros(2, 0), dvector![3.0, -4.0]);
    assert_eq!(no_columns.report.stop, Stop::GradientZero);
    assert_eq!(no_columns.report.largest_residual, 4.0);
    let no_effect = linear(DMatrix::zeros(1, 1), dvector![1.0]);
    assert_eq!(no_effect.report.stop, Stop::GradientZero);
}

/// Rotation R with R aᵢ = bᵢ, moved by R ← R exp(s): the derivative of R exp(s) a by s at zero is -R [a]ₓ.
struct Directions(Vec<(Vector3<f64>, Vector3<f64>)>);

impl Operator for Directions {
    type Param = Rotation3<f64>;
    type Output = DVector<f64>;
    fn apply(&self, rotation: &Rotation3<f64>) -> Result<DVector<f64>, Error> {
        let rows = self.0.iter().flat_map(|(a, b)| {
            let miss = rotation * a - b;
            [miss.x, miss.y, miss.z]
        });
        Ok(DVector::from_vec(rows.collect()))
    }
}

impl Jacobian for Directions {
    type Param = Rotation3<f64>;
    type Jacobian = DMatrix<f64>;
    fn jacobian(&self, rotation: &Rotation3<f64>) -> Result<DMatrix<f64>, Error> {
        let mut jacobian = DMatrix::zeros(3 * self.0.len(), 3);
        for (i, (a, _)) in self.0.iter().enumerate() {
            let block = -rotation.matrix() * a.cross_matrix();
            jacobian.view_mut((3 * i, 0), (3, 3)).copy_from(&block);
        }
        Ok(jacobian)
    }
}

impl Retract for Directions {
    type Param = Rotation3<f64>;
    fn retract(&self, at: &Rotation3<f64>, step: &DVector<f64>) -> Rotation3<f64> {
        at * Rotation3::new(Vector3::new(step[0], step[1], step[2]))
    }
}

#[test]
fn a_rotation_is_found_on_its_group() {
    let wanted = Rotation3::new(Vector3::new(1.1, -1.4, 0.9));
    for count in [1, 2, 5] {
        let seeds = (0..count).map(|i| {
            let i = f64::from(i);
            Vector3::new(300.0 - i, 120.0 * i, 50.0 + i * i)
        });
        let problem = Directions(seeds.map(|a| (a, wanted * a)).collect());
        let fit = minimise(problem, Rotation3::identity(), &Settings::default()).unwrap();
        assert_eq!(fit.report.stop, Stop::ResidualSmall, "{count}");
        assert!(
            fit.report.largest_residual < 1e-9,
            "{}",
            fit.report.largest_residual
        );
        if count > 1 {
            assert!((fit.point.matrix() - wanted.matrix()).amax() < 1e-11);
        }
    }
}

/// No. 13 of Moré, Garbow and Hillstrom, ACM TOMS 7 (1981): the Jacobian has rank 2 at the solution, zero.
#[test]
fn a_singular_solution_is_reached_linearly() {
    let (five, ten) = (5.0_f64.sqrt(), 10.0_f64.sqrt());
    let residuals = |x: &DVector<f64>| {
        dvector![
            x[0] + 10.0 * x[1],
            five * (x[2] - x[3]),
            (x[1] - 2.0 * x[2]).powi(2),
            ten * (x[0] - x[3]).powi(2)
        ]
    };
    let jacobian = |x: &DVector<f64>| {
        let (a, b) = (2.0 * (x[1] - 2.0 * x[2]), 2.0 * ten * (x[0] - x[3]));
        dmatrix![1.0, 10.0, 0.0, 0.0; 0.0, 0.0, five, -five; 0.0, a, -2.0 * a, 0.0; b, 0.0, 0.0, -b]
    };
    let fit = solve(residuals, jacobian, dvector![3.0, -1.0, 0.0, 1.0]);
    assert_eq!(fit.report.stop, Stop::ResidualSmall);
    assert_near(&fit.point, &DVector::zeros(4), 1e-5);
    assert!(
        (15..40).contains(&fit.report.iterations),
        "{}",
        fit.report.iterations
    );
}

/// Distances from (0, 0) and (10, 0), by the closed form of planar trilateration.
fn trilaterate(first: f64, second: f64) -> Fit<DVector<f64>> {
    let residuals = move |x: &DVector<f64>| {
        dvector![x[0].hypot(x[1]) - first, (x[0] - 10.0).hypot(x[1]) - second]
    };
    let jacobian = |x: &DVector<f64>| {
        let (p, q) = (x[0].hypot(x[1]), (x[0] - 10.0).hypot(x[1]));
        dmatrix![x[0] / p, x[1] / p; (x[0] - 10.0) / q, x[1] / q]
    };
    solve(residuals, jacobian, dvector![4.0, 1.0])
}

#[test]
fn distances_that_cross_that_touch_and_that_fall_short() {
    let crossing = trilaterate(6.0, 8.0);
    assert_eq!(crossing.report.stop, Stop::ResidualSmall);
    assert_near(&crossing.point, &dvector![3.6, 4.8], 1e-11);
    let touching = trilaterate(4.0, 6.0);
    assert_eq!(touching.report.stop, Stop::ResidualSmall);
    assert_near(&touching.point, &dvector![4.0, 0.0], 1e-4);
    // One is missing between the circles: both take half of it. The cost is flat there, so half the digits are sure.
    let short = trilaterate(4.0, 5.0);
    assert!(short.report.stop.is_converged() && short.report.stop != Stop::ResidualSmall);
    assert_near(&short.point, &dvector![4.5, 0.0], 1e-7);
    assert!((short.report.largest_residual - 0.5).abs() < 1e-7);
}

/// From 5 the undamped step leads to a negative x, where the logarithm is not a number.
#[test]
fn a_trial_point_without_residuals_is_stepped_back_from() {
    let fit = solve(
        |x| x.map(f64::ln),
        |x| DMatrix::from_diagonal(&x.map(f64::recip)),
        dvector![5.0, 40.0],
    );
    assert_eq!(fit.report.stop, Stop::ResidualSmall);
    assert_near(&fit.point, &dvector![1.0, 1.0], 1e-11);
    assert!(fit.report.residual_evaluations > fit.report.jacobian_evaluations + 1);
}

/// The undamped step lands on x = -2, where the residual is finite and the derivative is not.
#[test]
fn a_trial_point_without_derivatives_is_stepped_back_from() {
    let fit = solve(
        |x| {
            dvector![if x[0] < -1.0 {
                0.5
            } else {
                x[0] * x[0] + 2.0 * x[0] - 3.0
            }]
        },
        |x| {
            dmatrix![if x[0] < -1.0 {
                f64::NAN
            } else {
                2.0 * x[0] + 2.0
            }]
        },
        dvector![-0.5],
    );
    assert_eq!(fit.report.stop, Stop::ResidualSmall);
    assert_near(&fit.point, &dvector![1.0], 1e-11);
}

#[test]
fn a_start_without_numbers_is_said_so() {
    let fit = solve(|x| x.map(f64::ln), |_| dmatrix![1.0], dvector![-1.0]);
    assert_eq!(fit.report.stop, Stop::NotFinite);
    assert_eq!(fit.point, dvector![-1.0]);
    assert_eq!(fit.report.largest_residual, f64::INFINITY);
    let fit = solve(|x| x.clone(), |_| dmatrix![f64::INFINITY], dvector![1.0]);
    assert_eq!(fit.report.stop, Stop::NotFinite);
    assert_eq!((fit.report.cost, fit.report.iterations), (0.5, 0));
}

#[test]
fn wrong_derivatives_stall() {
    let fit = solve(|x| x.clone(), |_| dmatrix![-1.0], dvector![1.0]);
    assert_eq!(fit.report.stop, Stop::Stalled);
    assert_eq!(fit.point, dvector![1.0]);
    assert!(fit.report.iterations < 60, "{}", fit.report.iterations);
}

#[test]
fn shapes_that_do_not_fit_and_a_missing_start_are_errors() {
    let problem = || {
        Flat(
            |x: &DVector<f64>| x.clone(),
            |_: &DVector<f64>| dmatrix![1.0; 1.0],
        )
    };
    let error = minimise(problem(), dvector![1.0], &Settings::default()).unwrap_err();
    assert!(matches!(error, FitError::Shape { found: 2, .. }), "{error}");
    let solver = LevenbergMarquardt::new(Settings::default());
    let failed = Executor::new(problem(), solver).run();
    let error = FitError::from(failed.err().unwrap());
    assert!(matches!(error, FitError::NoStart), "{error}");
}

/// Keeps what an observer is shown.
struct Witness(Arc<Mutex<Vec<(f64, f64)>>>);

impl<P: Clone> Observe<FitState<P>> for Witness {
    fn observe_iter(&mut self, state: &FitState<P>, record: &KV) -> Result<(), Error> {
        let gain = record.get("gain").unwrap().get_float().unwrap();
        self.0.lock().unwrap().push((state.get_cost(), gain));
        Ok(())
    }
}

#[test]
fn the_executor_counts_observes_and_limits() {
    let rosenbrock = || {
        Flat(
            |x: &DVector<f64>| dvector![10.0 * (x[1] - x[0] * x[0]), 1.0 - x[0]],
            |x: &DVector<f64>| dmatrix![-20.0 * x[0], 10.0; -1.0, 0.0],
        )
    };
    let run = |limit| {
        let seen = Arc::new(Mutex::new(Vec::new()));
        let solver = LevenbergMarquardt::new(Settings::default()).with_record();
        let outcome = Executor::new(rosenbrock(), solver)
            .configure(|state: FitState<_>| state.param(dvector![-1.2, 1.0]).max_iters(limit))
            .ctrlc(false)
            .add_observer(Witness(Arc::clone(&seen)), ObserverMode::Always)
            .run()
            .unwrap();
        let seen = seen.lock().unwrap().clone();
        assert_eq!(seen.len() as u64, outcome.state.get_iter());
        assert!(seen.is_sorted_by(|before, after| after.0 <= before.0));
        assert!(seen.iter().all(|(_, gain)| gain.is_finite()));
        (
            outcome.state.get_termination_reason().cloned(),
            outcome.solver.stop(),
            outcome.state.get_iter(),
        )
    };
    let (reason, stop, _) = run(100);
    assert_eq!(reason, Some(TerminationReason::SolverConverged));
    assert_eq!(stop, Some(Stop::ResidualSmall));
    let limited = (
        Some(TerminationReason::MaxItersReached),
        Some(Stop::IterationLimit),
        3,
    );
    assert_eq!(run(3), limited);
}
