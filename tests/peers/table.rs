//! The table that a person reads. In: what was measured of each solver, and of the floors. Out: text.

use super::evaluate::Evaluator;
use super::measured::{Measured, median_and_least};

/// A solver's name, and what was measured of it or why nothing was.
pub type Line = (&'static str, Result<Measured, String>);

/// A table of solvers, compared with the first one that found something. Residuals are all judged by one evaluator.
pub fn solvers(lines: &[Line], first: &Measured, evaluator: &mut Evaluator<'_>) -> String {
    let mut text = format!(
        "{:<34}{:>12}{:>12}{:>12}{:>7}{:>12}{:>12}{:>8}\n",
        "solver", "set up", "median", "least", "steps", "residual", "apart", "ratio"
    );
    for (name, found) in lines {
        text += &match found {
            Ok(measured) => solver(name, measured, first, evaluator),
            Err(reason) => format!("{name:<34}  not measured: {reason}\n"),
        };
    }
    text
}

fn solver(
    name: &str,
    measured: &Measured,
    first: &Measured,
    evaluator: &mut Evaluator<'_>,
) -> String {
    let (median, least) = median_and_least(&measured.times);
    let ratio = median / median_and_least(&first.times).0;
    let largest = evaluator.evaluate(&measured.x);
    let both = measured.x.iter().zip(&first.x);
    let apart = both.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    // two roots are nearer than this where nothing but rounding parts them
    let remark = if apart > 1e-3 { "  another root" } else { "" };
    let built = measured.built.map_or(String::from("–"), milliseconds);
    format!(
        "{name:<34}{built:>12}{:>12}{:>12}{:>7}{largest:>12.1e}{apart:>12.1e}{ratio:>8.2}{remark}\n",
        milliseconds(median),
        milliseconds(least),
        measured.steps,
    )
}

/// A table of floors: what no search by this arithmetic can be faster than.
pub fn floors(lines: &[(&str, Result<Vec<f64>, String>)], first: &Measured) -> String {
    let (whole, _) = median_and_least(&first.times);
    let mut text = format!(
        "{:<46}{:>12}{:>12}{:>39}\n",
        "floor", "median", "least", "ratio"
    );
    for (name, times) in lines {
        text += &match times {
            Ok(times) => {
                let (median, least) = median_and_least(times);
                let [shown, shortest] = [median, least].map(milliseconds);
                let ratio = median / whole;
                format!("{name:<46}{shown:>12}{shortest:>12}{ratio:>39.3}\n")
            }
            Err(reason) => format!("{name:<46}  not measured: {reason}\n"),
        };
    }
    text
}

fn milliseconds(seconds: f64) -> String {
    format!("{:.2} ms", seconds * 1e3)
}

/// What the columns are.
pub const LEGEND: &str = "\
set up: to make the solver's own form of the equations, before the clock starts. median, least: of several cold searches.
steps: of Strongback, of one block each; of all others, of the whole. residual: the largest, in mm. apart: the greatest
difference of an unknown from the first line's, in mm or radians. ratio: of medians, to the first line's.
";
