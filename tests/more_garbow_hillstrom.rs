//! Classic test problems for least squares: J. J. Moré, B. S. Garbow, K. E. Hillstrom, "Testing unconstrained optimization
//! software", ACM Transactions on Mathematical Software 7 (1981), 17–41, numbered as there.
//! Minimum sums of squares as read in the documentation of the R package funconstrain (MIT, jlmelville/funconstrain);
//! minimisers that are not round numbers were computed with MINPACK's Levenberg–Marquardt through scipy 1.17.

use crate::dual_problem::{DualProblem, Residuals};
use nalgebra::DVector;
use num_dual::DualNum;
use std::f64::consts::PI;
use strongback_solver::levenberg_marquardt::{Fit, Settings, Stop, minimise};

/// Runs a problem whose residuals vanish at the minimum.
fn zero_residual<R: Residuals>(problem: R, start: &[f64]) -> Fit<DVector<f64>> {
    let start = DVector::from_column_slice(start);
    let fit = minimise(DualProblem(problem), start, &Settings::default()).unwrap();
    assert_eq!(fit.report.stop, Stop::ResidualSmall, "{}", fit.point);
    fit
}

/// Runs a problem with a published minimum, printed with its digits cut off after the last: `unit` is one of that digit.
fn published_minimum<R: Residuals>(
    problem: R,
    start: &[f64],
    minimum: f64,
    unit: f64,
) -> Fit<DVector<f64>> {
    let start = DVector::from_column_slice(start);
    let fit = minimise(DualProblem(problem), start, &Settings::data_fit()).unwrap();
    let sum = 2.0 * fit.report.cost;
    assert!(fit.report.stop.is_converged(), "{} {sum}", fit.report.stop);
    assert!((minimum..=minimum + unit).contains(&sum), "{sum}");
    fit
}

#[track_caller]
fn assert_point(fit: &Fit<DVector<f64>>, expected: &[f64], relative: f64) {
    for (found, value) in fit.point.iter().zip(expected) {
        let scale = value.abs().max(f64::from(u8::from(*value == 0.0)));
        assert!((found - value).abs() <= relative * scale, "{}", fit.point);
    }
    assert_eq!(fit.point.len(), expected.len());
}

struct Rosenbrock;
impl Residuals for Rosenbrock {
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D> {
        vec![(x[1] - x[0] * x[0]) * 10.0, -x[0] + 1.0]
    }
}

#[test]
fn problem_01_rosenbrock() {
    let fit = zero_residual(Rosenbrock, &[-1.2, 1.0]);
    assert_point(&fit, &[1.0, 1.0], 1e-11);
}

struct FreudensteinRoth;
impl Residuals for FreudensteinRoth {
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D> {
        vec![
            x[0] + ((-x[1] + 5.0) * x[1] - 2.0) * x[1] - 13.0,
            x[0] + ((x[1] + 1.0) * x[1] - 14.0) * x[1] - 29.0,
        ]
    }
}

/// From this start the way leads to the local minimum, not to the root at (5, 4). The Jacobian has rank 1 there, and
/// a minimum that only the cost can tell is known to half its digits.
#[test]
fn problem_02_freudenstein_roth() {
    let fit = published_minimum(FreudensteinRoth, &[0.5, -2.0], 48.9842, 1e-4);
    assert_point(&fit, &[11.412_779_18, -0.896_805_24], 1e-6);
}

#[test]
fn problem_02_freudenstein_roth_near_its_root() {
    let fit = zero_residual(FreudensteinRoth, &[6.0, 5.0]);
    assert_point(&fit, &[5.0, 4.0], 1e-11);
}

struct PowellBadlyScaled;
impl Residuals for PowellBadlyScaled {
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D> {
        vec![
            x[0] * x[1] * 1e4 - 1.0,
            (-x[0]).exp() + (-x[1]).exp() - 1.0001,
        ]
    }
}

#[test]
fn problem_03_powell_badly_scaled() {
    let fit = zero_residual(PowellBadlyScaled, &[0.0, 1.0]);
    assert_point(&fit, &[1.098_159_33e-5, 9.106_146_74], 1e-8);
}

struct Beale;
impl Residuals for Beale {
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D> {
        [(1.5, 1), (2.25, 2), (2.625, 3)]
            .map(|(y, power)| -x[0] * (-x[1].powi(power) + 1.0) + y)
            .to_vec()
    }
}

#[test]
fn problem_05_beale() {
    let fit = zero_residual(Beale, &[1.0, 1.0]);
    assert_point(&fit, &[3.0, 0.5], 1e-11);
}

struct JennrichSampson;
impl Residuals for JennrichSampson {
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D> {
        (1..=10)
            .map(f64::from)
            .map(|t| -(x[0] * t).exp() - (x[1] * t).exp() + (2.0 + 2.0 * t))
            .collect()
    }
}

#[test]
fn problem_06_jennrich_sampson() {
    let fit = published_minimum(JennrichSampson, &[0.3, 0.4], 124.362, 1e-3);
    assert_point(&fit, &[0.257_825_21, 0.257_825_21], 1e-6);
}

struct HelicalValley;
impl Residuals for HelicalValley {
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D> {
        let half = if x[0].re() < 0.0 { 0.5 } else { 0.0 };
        let turns = (x[1] / x[0]).atan() / (2.0 * PI) + half;
        let radius = (x[0] * x[0] + x[1] * x[1]).sqrt();
        vec![(x[2] - turns * 10.0) * 10.0, (radius - 1.0) * 10.0, x[2]]
    }
}

#[test]
fn problem_07_helical_valley() {
    let fit = zero_residual(HelicalValley, &[-1.0, 0.0, 0.0]);
    assert_point(&fit, &[1.0, 0.0, 0.0], 1e-11);
}

struct Bard;
impl Residuals for Bard {
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D> {
        let y = [
            0.14, 0.18, 0.22, 0.25, 0.29, 0.32, 0.35, 0.39, 0.37, 0.58, 0.73, 0.96, 1.34, 2.10,
            4.39,
        ];
        (1..=15)
            .map(f64::from)
            .zip(y)
            .map(|(u, y)| {
                let v = 16.0 - u;
                -(x[0] + (x[1] * v + x[2] * u.min(v)).recip() * u) + y
            })
            .collect()
    }
}

#[test]
fn problem_08_bard() {
    let fit = published_minimum(Bard, &[1.0, 1.0, 1.0], 8.21487e-3, 1e-8);
    assert_point(&fit, &[0.082_410_56, 1.133_036_1, 2.343_695_17], 1e-6);
}

struct Meyer;
impl Residuals for Meyer {
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D> {
        let y = [
            34780.0, 28610.0, 23650.0, 19630.0, 16370.0, 13720.0, 11540.0, 9744.0, 8261.0, 7030.0,
            6005.0, 5147.0, 4427.0, 3820.0, 3307.0, 2872.0,
        ];
        (1..=16)
            .map(|i| 45.0 + 5.0 * f64::from(i))
            .zip(y)
            .map(|(t, y)| x[0] * (x[1] / (x[2] + t)).exp() - y)
            .collect()
    }
}

#[test]
fn problem_10_meyer() {
    let fit = published_minimum(Meyer, &[0.02, 4000.0, 250.0], 87.9458, 1e-4);
    assert_point(&fit, &[5.609_636_9e-3, 6_181.346_28, 345.223_632], 1e-6);
}

struct PowellSingular;
impl Residuals for PowellSingular {
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D> {
        vec![
            x[0] + x[1] * 10.0,
            (x[2] - x[3]) * 5.0_f64.sqrt(),
            (x[1] - x[2] * 2.0).powi(2),
            (x[0] - x[3]).powi(2) * 10.0_f64.sqrt(),
        ]
    }
}

/// The Jacobian has rank 2 at the solution, so each step only halves the error: a quarter of the residual a step.
#[test]
fn problem_13_powell_singular() {
    let fit = zero_residual(PowellSingular, &[3.0, -1.0, 0.0, 1.0]);
    assert_point(&fit, &[0.0; 4], 1e-5);
    assert!(
        (15..40).contains(&fit.report.iterations),
        "{}",
        fit.report.iterations
    );
}

struct KowalikOsborne;
impl Residuals for KowalikOsborne {
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D> {
        let y = [
            0.1957, 0.1947, 0.1735, 0.16, 0.0844, 0.0627, 0.0456, 0.0342, 0.0323, 0.0235, 0.0246,
        ];
        let u = [
            4.0, 2.0, 1.0, 0.5, 0.25, 0.167, 0.125, 0.1, 0.0833, 0.0714, 0.0625,
        ];
        u.into_iter()
            .zip(y)
            .map(|(u, y)| -x[0] * (x[1] * u + u * u) / (x[2] * u + u * u + x[3]) + y)
            .collect()
    }
}

#[test]
fn problem_15_kowalik_osborne() {
    let start = [0.25, 0.39, 0.415, 0.39];
    published_minimum(KowalikOsborne, &start, 3.07505e-4, 1e-9);
}

struct BrownDennis;
impl Residuals for BrownDennis {
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D> {
        (1..=20)
            .map(|i| f64::from(i) / 5.0)
            .map(|t| {
                (x[0] + x[1] * t - t.exp()).powi(2) + (x[2] + x[3] * t.sin() - t.cos()).powi(2)
            })
            .collect()
    }
}

/// Large residuals and curvature: the Gauss–Newton model is poor to the end.
#[test]
fn problem_16_brown_dennis() {
    let fit = published_minimum(BrownDennis, &[25.0, 5.0, -5.0, -1.0], 85822.2, 0.1);
    let point = [-11.594_438_36, 13.203_629_48, -0.403_439_46, 0.236_778_57];
    assert_point(&fit, &point, 1e-5);
}

struct Osborne1;
impl Residuals for Osborne1 {
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D> {
        let y = [
            0.844, 0.908, 0.932, 0.936, 0.925, 0.908, 0.881, 0.85, 0.818, 0.784, 0.751, 0.718,
            0.685, 0.658, 0.628, 0.603, 0.58, 0.558, 0.538, 0.522, 0.506, 0.49, 0.478, 0.467,
            0.457, 0.448, 0.438, 0.431, 0.424, 0.42, 0.414, 0.411, 0.406,
        ];
        (0..33)
            .map(|i| 10.0 * f64::from(i))
            .zip(y)
            .map(|(t, y)| -(x[0] + x[1] * (-x[3] * t).exp() + x[2] * (-x[4] * t).exp()) + y)
            .collect()
    }
}

#[test]
fn problem_17_osborne_1() {
    let start = [0.5, 1.5, -1.0, 0.01, 0.02];
    let fit = published_minimum(Osborne1, &start, 5.46489e-5, 1e-10);
    let point = [
        0.375_410_05,
        1.935_846_98,
        -1.464_687_21,
        0.012_867_53,
        0.022_122_7,
    ];
    assert_point(&fit, &point, 1e-6);
}

struct Osborne2;
impl Residuals for Osborne2 {
    /// Data written down from memory; that the published minimum comes out is the check on them.
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D> {
        let y = [
            1.366, 1.191, 1.112, 1.013, 0.991, 0.885, 0.831, 0.847, 0.786, 0.725, 0.746, 0.679,
            0.608, 0.655, 0.616, 0.606, 0.602, 0.626, 0.651, 0.724, 0.649, 0.649, 0.694, 0.644,
            0.624, 0.661, 0.612, 0.558, 0.533, 0.495, 0.5, 0.423, 0.395, 0.375, 0.372, 0.391,
            0.396, 0.405, 0.428, 0.429, 0.523, 0.562, 0.607, 0.653, 0.672, 0.708, 0.633, 0.668,
            0.645, 0.632, 0.591, 0.559, 0.597, 0.625, 0.739, 0.71, 0.729, 0.72, 0.636, 0.581,
            0.428, 0.292, 0.162, 0.098, 0.054,
        ];
        let bell = |t: f64, top: D, sharpness: D, centre: D| {
            top * (-(-centre + t).powi(2) * sharpness).exp()
        };
        (0..65)
            .map(|i| f64::from(i) / 10.0)
            .zip(y)
            .map(|(t, y)| {
                -(x[0] * (-x[4] * t).exp()
                    + bell(t, x[1], x[5], x[8])
                    + bell(t, x[2], x[6], x[9])
                    + bell(t, x[3], x[7], x[10]))
                    + y
            })
            .collect()
    }
}

#[test]
fn problem_19_osborne_2() {
    let start = [1.3, 0.65, 0.65, 0.7, 0.6, 3.0, 5.0, 7.0, 2.0, 4.5, 5.5];
    published_minimum(Osborne2, &start, 4.01377e-2, 1e-7);
}

struct Watson;
impl Residuals for Watson {
    fn residuals<D: DualNum<f64> + Copy>(&self, x: &[D]) -> Vec<D> {
        let mut residuals: Vec<D> = (1..=29)
            .map(|i| f64::from(i) / 29.0)
            .map(|t| {
                // Horner's scheme for the polynomial with coefficients x and its derivative.
                let (value, slope) = x
                    .iter()
                    .rev()
                    .fold((D::zero(), D::zero()), |(v, s), c| (v * t + *c, s * t + v));
                slope - value * value - 1.0
            })
            .collect();
        residuals.extend([x[0], x[1] - x[0] * x[0] - 1.0]);
        residuals
    }
}

#[test]
fn problem_20_watson() {
    published_minimum(Watson, &[0.0; 6], 2.28767e-3, 1e-8);
    published_minimum(Watson, &[0.0; 9], 1.39976e-6, 1e-11);
    published_minimum(Watson, &[0.0; 12], 4.72238e-10, 1e-15);
}
