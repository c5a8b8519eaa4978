//! The same equations solved by Strongback and by general-purpose least-squares libraries, from the same start to the same residual.
//!
//! `tests/peers/run` builds the peers that are programs of their own and calls this for each family and length; alone:
//! `cargo bench --bench peers -- FAMILY BAYS [--peers-only] [--ceres PROGRAM] [--python INTERPRETER]`.
//!
//! Every solver runs on one thread and ends where the largest residual is within Strongback's own criterion, which is
//! checked for all by one evaluator. Strongback's time is that of a whole cold `solve`, the choice of what to keep, the
//! rank and the verdicts included; the peers are given the equations that agree, and their own form of them is made
//! before the clock starts (`set up`).

#[path = "../long_fuselage/mod.rs"]
mod long_fuselage;

#[path = "../peers/mod.rs"]
mod peers;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use strongback_solver::{Solution, Tolerances, Verdict, solve};

use long_fuselage::Family;
use peers::cholesky::Cholesky;
use peers::dense::{argmin_gauss_newton, levenberg_marquardt};
use peers::equations::Equations;
use peers::evaluate::{ByRows, Evaluator};
use peers::export::{Exported, export};
use peers::fuselage::fuselage;
use peers::gauss_newton::{Ended, gauss_newton};
use peers::lu::Lu;
use peers::measured::{Measured, measure, timed};
use peers::outside;
use peers::qr::Qr;
use peers::sparse::Factorisation;
use peers::table::{self, Line};

/// Dense libraries take no more unknowns than this.
const DENSE: usize = 400;

struct Asked {
    family: Family,
    bays: usize,
    strongback: bool,
    ceres: Option<PathBuf>,
    python: Option<PathBuf>,
}

fn main() -> Result<(), String> {
    report(&compare(&asked()?)?);
    Ok(())
}

/// What the command line asks; `cargo test --benches`, which only asks whether it runs, gets a short fuselage.
fn asked() -> Result<Asked, String> {
    let mut asked = Asked {
        family: Family::Chain,
        bays: 100,
        strongback: true,
        ceres: None,
        python: None,
    };
    let mut plain = 0;
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        match word.as_str() {
            "--bench" => {}
            "--test" => asked.bays = 3,
            "--peers-only" => asked.strongback = false,
            "--ceres" => asked.ceres = words.next().map(PathBuf::from),
            "--python" => asked.python = words.next().map(PathBuf::from),
            _ if plain == 0 => {
                let named = |family: &Family| family.to_string() == word;
                let found = Family::ALL.into_iter().find(named);
                asked.family = found.ok_or(format!("no family `{word}`"))?;
                plain = 1;
            }
            _ => {
                asked.bays = word
                    .parse()
                    .map_err(|_| format!("`{word}` is no number of bays"))?
            }
        }
    }
    Ok(asked)
}

fn compare(asked: &Asked) -> Result<String, String> {
    let (text, planted) = long_fuselage::model(asked.family, asked.bays);
    let fuselage = fuselage(&text, &planted.at_odds)?;
    let system = &fuselage.assembly.system;
    let exported = export(system, &fuselage.at_odds)?;
    let equations = &exported.equations;
    let runs = if asked.bays > 300 { 7 } else { 15 };
    let begun = Instant::now();
    let mut evaluator = Evaluator::new(equations);
    let built = begun.elapsed().as_secs_f64();

    let mut solution = None;
    let mut lines: Vec<Line> = Vec::new();
    if asked.strongback {
        let cold = || solve(system, &Tolerances::default()).map_err(|error| error.to_string());
        let (times, found) = timed(runs, cold)?;
        let ours = strongback(times, &exported, solution.insert(found));
        lines.push(("Strongback", Ok(ours)));
    }
    let mut inside = |name, search: Search, dense: bool| {
        let found = if dense && equations.start.len() > DENSE {
            Err(format!("dense, for no more than {DENSE} unknowns"))
        } else {
            measure(runs, Some(built), || search(equations, &mut evaluator))
        };
        lines.push((name, found));
    };
    inside(
        "Gauss-Newton, faer Cholesky of JᵀJ",
        gauss_newton::<Cholesky>,
        false,
    );
    inside("Gauss-Newton, faer QR of J", gauss_newton::<Qr>, false);
    inside("argmin GaussNewton", argmin_gauss_newton, true);
    inside("levenberg-marquardt", levenberg_marquardt, true);
    lines.extend(programs(asked, &exported, runs)?);

    let found = lines.iter().find_map(|(_, found)| found.as_ref().ok());
    let first = found.ok_or("no solver found anything")?;
    let floors = floors(&exported, solution.as_ref(), &mut evaluator, &first.x, runs);
    let largest = solution.map_or(String::new(), |solution| {
        format!("; largest block {}", solution.report().largest_block)
    });
    Ok(format!(
        "{}, {} bays: {} unknowns, {} equations that agree{largest}; to {:.1e} mm\n\n{}\n{}\n{}\n",
        asked.family,
        asked.bays,
        equations.start.len(),
        equations.rows(),
        equations.within,
        table::solvers(&lines, first, &mut evaluator),
        table::floors(&floors, first),
        table::LEGEND,
    ))
}

fn strongback(times: Vec<f64>, exported: &Exported, solution: &Solution<'_>) -> Measured {
    let unknowns = exported.unknowns.iter();
    Measured {
        built: None,
        times,
        steps: solution.report().iterations,
        x: unknowns.map(|var| solution.state().value(*var)).collect(),
    }
}

type Search = fn(&Equations, &mut Evaluator<'_>) -> Result<Ended, String>;

/// The peers that are programs of their own.
fn programs(asked: &Asked, exported: &Exported, runs: usize) -> Result<Vec<Line>, String> {
    let name = format!("{}-{}.equations", asked.family, asked.bays);
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::write(&path, exported.equations.to_string()).map_err(|error| error.to_string())?;
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("peers/least_squares.py");
    let ceres = |variant| match &asked.ceres {
        Some(program) => outside::run(&mut Command::new(program), variant, &path, runs),
        None => Err("no Ceres (Debian: libceres-dev, g++)".into()),
    };
    let scipy = |variant| match &asked.python {
        Some(python) => outside::run(Command::new(python).arg(&script), variant, &path, runs),
        None => Err("no SciPy (Debian: python3-venv)".into()),
    };
    Ok(vec![
        ("Ceres, trust region from 1e16", ceres("tuned")),
        ("Ceres, trust region as it comes", ceres("default")),
        ("SciPy least_squares, LSMR", scipy("lsmr")),
        ("Gauss-Newton, SciPy SuperLU of JᵀJ", scipy("superlu")),
    ])
}

/// One evaluation and one numeric factorisation, at the solution.
fn floors(
    exported: &Exported,
    solution: Option<&Solution<'_>>,
    evaluator: &mut Evaluator<'_>,
    x: &[f64],
    runs: usize,
) -> Vec<(&'static str, Result<Vec<f64>, String>)> {
    let evaluation = timed(10 * runs, || {
        evaluator.evaluate(x);
        evaluator.differentiate(x);
        Ok(())
    });
    let jacobian = &evaluator.jacobian;
    let of_square = |solution: &Solution<'_>| {
        let ids = exported.ids.iter();
        let places: Vec<bool> = ids
            .map(|id| solution.verdict(*id) == Verdict::Places)
            .collect();
        factorisation::<Lu>(&jacobian.only(&places), runs)
    };
    let unknown = || Err("Strongback, which finds them, was left out".into());
    vec![
        (
            "residuals and derivatives once",
            evaluation.map(|(times, ())| times),
        ),
        ("numeric QR of J", factorisation::<Qr>(jacobian, runs)),
        (
            "numeric Cholesky of JᵀJ, product included",
            factorisation::<Cholesky>(jacobian, runs),
        ),
        (
            "numeric LU of the rows that place",
            solution.map_or_else(unknown, of_square),
        ),
    ]
}

fn factorisation<F: Factorisation>(jacobian: &ByRows, runs: usize) -> Result<Vec<f64>, String> {
    let mut analysed = F::analyse(jacobian)?;
    timed(runs, || analysed.solve(jacobian, None)).map(|(times, ())| times)
}

#[allow(clippy::print_stdout)]
fn report(text: &str) {
    println!("{text}");
}
