//! NIST StRD nonlinear regression: 27 data sets with certified minima, fitted with the Levenberg–Marquardt solver.
//! Data and certified values: files in `data/nist-strd`, of which its README names the source.
//! Score: LRE = -log10(|q - c| / |c|), the number of agreeing digits, for every parameter and the sum of squares.

use crate::dual_problem::{DualProblem, Residuals};
use nalgebra::DVector;
use num_dual::DualNum;
use std::f64::consts::PI;
use strongback_solver::levenberg_marquardt::{Settings, Stop, minimise};

/// Certified values carry 11 digits.
const CERTIFIED_DIGITS: f64 = 11.0;

/// One data file.
struct DataSet {
    name: &'static str,
    starts: [DVector<f64>; 2],
    certified: Vec<f64>,
    sum_of_squares: f64,
    /// y, x1, x2 (0 where there is none).
    rows: Vec<[f64; 3]>,
}

impl DataSet {
    fn read(name: &'static str) -> Self {
        let path = format!("{}/data/nist-strd/{name}.dat", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).unwrap();
        let number = |word: &str| word.parse::<f64>().unwrap();
        let (mut starts, mut certified, mut sum_of_squares) = ([vec![], vec![]], vec![], None);
        for line in text.lines().take(60) {
            let words: Vec<_> = line.split_whitespace().collect();
            match words[..] {
                [parameter, "=", first, second, value, _] if parameter.starts_with('b') => {
                    starts[0].push(number(first));
                    starts[1].push(number(second));
                    certified.push(number(value));
                }
                ["Residual", "Sum", "of", "Squares:", value] => {
                    sum_of_squares = Some(number(value));
                }
                _ => {}
            }
        }
        let rows = text
            .lines()
            .skip(60)
            .filter(|line| !line.trim().is_empty())
            .map(|line| {
                let mut row = [0.0; 3];
                for (entry, word) in row.iter_mut().zip(line.split_whitespace()) {
                    *entry = number(word);
                }
                row
            })
            .collect();
        Self {
            name,
            starts: starts.map(DVector::from_vec),
            certified,
            sum_of_squares: sum_of_squares.unwrap(),
            rows,
        }
    }
}

impl Residuals for DataSet {
    fn residuals<D: DualNum<f64> + Copy>(&self, b: &[D]) -> Vec<D> {
        let residual =
            |row: &[f64; 3]| model(self.name, b, row[1], row[2]) - response(self.name, row[0]);
        self.rows.iter().map(residual).collect()
    }
}

/// What is fitted: y itself but for Nelson, whose model is of log y.
fn response(name: &str, y: f64) -> f64 {
    if name == "Nelson" { y.ln() } else { y }
}

/// The model of a set at x, as its file states it.
fn model<D: DualNum<f64> + Copy>(name: &str, b: &[D], x: f64, x2: f64) -> D {
    let one = D::one();
    let bell = |top: D, centre: D, width: D| {
        let u = (-centre + x) / width;
        top * (-u * u).exp()
    };
    // Horner's scheme, coefficients from the constant up.
    let polynomial = |coefficients: &[D]| {
        coefficients
            .iter()
            .rev()
            .fold(D::zero(), |sum, c| sum * x + *c)
    };
    let wave = |cosine: D, sine: D, period: D| {
        let angle = period.recip() * (2.0 * PI * x);
        cosine * angle.cos() + sine * angle.sin()
    };
    match name {
        "Bennett5" => b[0] * (b[1] + x).powd(-b[2].recip()),
        "BoxBOD" | "Misra1a" => b[0] * (one - (-b[1] * x).exp()),
        "Chwirut1" | "Chwirut2" => (-b[0] * x).exp() / (b[1] + b[2] * x),
        "DanWood" => b[0] * (b[1] * x.ln()).exp(),
        "ENSO" => {
            b[0] + wave(b[1], b[2], D::from(12.0)) + wave(b[4], b[5], b[3]) + wave(b[7], b[8], b[6])
        }
        "Eckerle4" => {
            let u = (-b[2] + x) / b[1];
            b[0] / b[1] * (u * u * -0.5).exp()
        }
        "Gauss1" | "Gauss2" | "Gauss3" => {
            b[0] * (-b[1] * x).exp() + bell(b[2], b[3], b[4]) + bell(b[5], b[6], b[7])
        }
        "Hahn1" | "Thurber" => polynomial(&b[..4]) / polynomial(&[one, b[4], b[5], b[6]]),
        "Kirby2" => polynomial(&b[..3]) / polynomial(&[one, b[3], b[4]]),
        "Lanczos1" | "Lanczos2" | "Lanczos3" => {
            b[0] * (-b[1] * x).exp() + b[2] * (-b[3] * x).exp() + b[4] * (-b[5] * x).exp()
        }
        "MGH09" => b[0] * (b[1] * x + x * x) / (b[2] * x + x * x + b[3]),
        "MGH10" => b[0] * (b[1] / (b[2] + x)).exp(),
        "MGH17" => b[0] + b[1] * (-b[3] * x).exp() + b[2] * (-b[4] * x).exp(),
        "Misra1b" => b[0] * (one - (b[1] * (x / 2.0) + 1.0).powi(-2)),
        "Misra1c" => b[0] * (one - (b[1] * (2.0 * x) + 1.0).sqrt().recip()),
        "Misra1d" => b[0] * b[1] * x / (b[1] * x + 1.0),
        "Nelson" => b[0] - b[1] * x * (-b[2] * x2).exp(),
        "Rat42" => b[0] / ((b[1] - b[2] * x).exp() + 1.0),
        "Rat43" => b[0] / ((b[1] - b[2] * x).exp() + 1.0).powd(b[3].recip()),
        "Roszman1" => b[0] - b[1] * x - (b[2] / (-b[3] + x)).atan() / PI,
        _ => panic!("no model for {name}"),
    }
}

fn lre(found: f64, certified: f64) -> f64 {
    let relative = ((found - certified) / certified).abs();
    (-relative.log10()).min(CERTIFIED_DIGITS)
}

/// Which of the two starts of the file.
#[derive(Clone, Copy, Debug)]
enum Start {
    First,
    Second,
}

/// Fits the set and holds it to at least `digits` in every parameter and in the residual sum of squares.
fn assert_certified(name: &'static str, start: Start, digits: f64) {
    let set = DataSet::read(name);
    let from = set.starts[start as usize].clone();
    let (certified, sum_of_squares) = (set.certified.clone(), set.sum_of_squares);
    let fit = minimise(DualProblem(set), from, &Settings::data_fit()).unwrap();
    let told = format!(
        "{name}, start {start:?}: {:?} at {}",
        fit.report.stop, fit.point
    );
    for (found, value) in fit.point.iter().zip(&certified) {
        assert!(lre(*found, *value) >= digits, "{told}");
    }
    assert_eq!(fit.point.len(), certified.len());
    if name == "Lanczos1" {
        // Its certified sum, 1.4e-25, is below the rounding of the residuals: only that it is nothing can be asked,
        // and the run ends where rounding hides any gain.
        assert!(fit.report.cost < 1e-24, "{told}");
        assert_eq!(fit.report.stop, Stop::Stalled, "{told}");
    } else {
        assert!(
            lre(2.0 * fit.report.cost, sum_of_squares) >= digits,
            "{told}"
        );
        assert_eq!(fit.report.stop, Stop::StepSmall, "{told}");
    }
}

const LOWER: [&str; 8] = [
    "Misra1a", "Chwirut2", "Chwirut1", "Lanczos3", "Gauss1", "Gauss2", "DanWood", "Misra1b",
];
const AVERAGE: [&str; 11] = [
    "Kirby2", "Hahn1", "Nelson", "MGH17", "Lanczos1", "Lanczos2", "Gauss3", "Misra1c", "Misra1d",
    "Roszman1", "ENSO",
];
const HIGHER: [&str; 8] = [
    "MGH09", "Thurber", "BoxBOD", "Rat42", "MGH10", "Eckerle4", "Rat43", "Bennett5",
];

/// Measured: 7.9 digits in the worst parameter (Lanczos3, second start), 8.5 in the next (Lanczos2, first start), 8.9
/// to 11 in all others. The sets from Lanczos are sums of exponentials whose parameters the data hardly fix.
const DIGITS: f64 = 7.5;

#[test]
fn lower_difficulty_from_both_starts() {
    for name in LOWER {
        assert_certified(name, Start::First, DIGITS);
        assert_certified(name, Start::Second, DIGITS);
    }
}

#[test]
fn average_difficulty_from_both_starts() {
    for name in AVERAGE {
        assert_certified(name, Start::First, DIGITS);
        assert_certified(name, Start::Second, DIGITS);
    }
}

#[test]
fn higher_difficulty_from_the_second_start() {
    for name in HIGHER {
        assert_certified(name, Start::Second, DIGITS);
    }
}

/// The far start of the hard sets is asked of no solver; this one gets there all the same.
#[test]
fn higher_difficulty_from_the_first_start() {
    for name in HIGHER {
        assert_certified(name, Start::First, DIGITS);
    }
}

/// The three levels are those that the files themselves state, and none of the 27 is left out.
#[test]
fn levels_are_those_of_the_files() {
    let levels = [
        ("Lower", LOWER.as_slice()),
        ("Average", &AVERAGE),
        ("Higher", &HIGHER),
    ];
    let folder = format!("{}/data/nist-strd", env!("CARGO_MANIFEST_DIR"));
    for (level, names) in levels {
        for name in names {
            let text = std::fs::read_to_string(format!("{folder}/{name}.dat")).unwrap();
            assert!(
                text.contains(&format!("{level} Level of Difficulty")),
                "{name}"
            );
        }
    }
    let files = std::fs::read_dir(folder).unwrap();
    let sets = files.filter(|file| {
        file.as_ref()
            .unwrap()
            .path()
            .extension()
            .is_some_and(|e| e == "dat")
    });
    assert_eq!(sets.count(), LOWER.len() + AVERAGE.len() + HIGHER.len());
}
