//! `fit` as text.

use strongback_model::fit::{Fit, FitVerdict, Measured, Remark};
use strongback_model::quantity::Unit;

use super::clashes;
use super::figures;
use super::table::{Stands, table, wrapped};
use crate::command::{CAUTION, FitAnswer};

/// The whole answer.
pub fn text(answer: &FitAnswer, width: usize) -> String {
    let mut text = wrapped(&answer.verdict, width, 0);
    text.push('\n');
    text.push_str(&super::verdict::doubts(&answer.doubts, width));
    if answer.fits.is_empty() {
        text.push_str("The model states no must-fits.\n");
        let clashes = clashes::text(&answer.clashes, answer.unit, width);
        if !clashes.is_empty() {
            text.push_str(&format!("\n{clashes}"));
            text.push_str(&wrapped(CAUTION, width, 0));
        }
        return text;
    }
    text.push_str(&table_of(&answer.fits, answer.unit, width));
    if answer
        .fits
        .iter()
        .any(|fit| fit.verdict == FitVerdict::Open)
    {
        text.push_str(&wrapped(
            "OPEN: it rests on something loose; the figure only shows where that stands now.",
            width,
            0,
        ));
        text.push('\n');
    }
    for told in remarks(&answer.fits) {
        text.push_str(&wrapped(&told, width, 2));
        text.push('\n');
    }
    if answer.fits.iter().any(|fit| !fit.disputed.is_empty()) {
        text.push_str(&wrapped(
            "DISPUTED: it rests on figures that contradict each other; `strongback odds` tells which.",
            width,
            0,
        ));
        text.push('\n');
    }
    text.push_str(&clashes::text(&answer.clashes, answer.unit, width));
    text.push_str(&wrapped(CAUTION, width, 0));
    text
}

/// Must-fits as a table.
pub(crate) fn table_of(fits: &[Fit], unit: Unit, width: usize) -> String {
    table(
        &[
            ("must-fit", Stands::Left),
            ("", Stands::Left),
            ("measured", Stands::Right),
            ("wanted", Stands::Left),
            ("margin", Stands::Right),
            ("worst of it", Stands::Left),
        ],
        fits.iter().map(|fit| row(fit, unit)),
        width,
    )
}

/// What needs a word of must-fits: a sentence each.
pub(crate) fn remarks(fits: &[Fit]) -> Vec<String> {
    let measures = |fit: &Fit| {
        let remarks = fit.measures.iter().filter_map(|it| it.remark.as_ref());
        remarks.map(remark).collect::<Vec<_>>()
    };
    let all = fits.iter().map(|fit| (&fit.name, measures(fit)));
    all.filter(|(_, told)| !told.is_empty())
        .map(|(name, mut told)| {
            told.dedup();
            format!("{name}: {}.", told.join("; "))
        })
        .collect()
}

/// One remark, to be read after a colon.
pub(super) fn remark(remark: &Remark) -> String {
    match remark {
        Remark::NoPlaces { joint } => format!(
            "it can't be measured, since the rows of `{joint}` have no room for fasteners; `strongback joints` tells what limits them"
        ),
        Remark::NoMetal { of } => format!("it can't be measured, since {of} has no metal"),
        Remark::AgainstStack { part, joint } => format!(
            "{part} lies against the stack of `{joint}` and is not among its layers: the fasteners go through it too; name it there"
        ),
    }
}

/// The must-fit that misses most of what it may miss, in words.
pub(crate) fn worst(fits: &[Fit], unit: Unit) -> Option<String> {
    let missing = fits.iter().filter(|fit| fit.verdict == FitVerdict::Misses);
    let left = |fit: &Fit| fit.worst().map_or(0.0, Measured::share_left);
    let worst = missing.min_by(|a, b| left(a).total_cmp(&left(b)))?;
    Some(format!("{} {}", worst.name, told(worst, unit)))
}

fn row(fit: &Fit, unit: Unit) -> Vec<String> {
    let mut row = vec![fit.name.clone(), word(fit).to_owned()];
    match fit.worst() {
        None => row.extend([
            String::new(),
            String::new(),
            String::new(),
            "nothing to measure".to_owned(),
        ]),
        Some(measured) => row.extend([
            shown(measured, unit),
            wanted(measured, unit),
            margin(measured, unit),
            note(fit, &measured.what),
        ]),
    }
    row
}

/// What is worst, and what is at odds behind it.
fn note(fit: &Fit, worst: &str) -> String {
    if fit.disputed.is_empty() {
        worst.to_owned()
    } else {
        format!("{worst}; DISPUTED by {}", fit.disputed.join(", "))
    }
}

/// `fits`, `MISSES` or `OPEN`.
pub(crate) fn word(fit: &Fit) -> &'static str {
    match fit.verdict {
        FitVerdict::Fits => "fits",
        FitVerdict::Misses => "MISSES",
        FitVerdict::Open => "OPEN",
        FitVerdict::Unmeasured => "NOT MEASURED",
    }
}

/// The word with the figure: `MISSES, 0.593 in off` of what should be nought, `fits, 19 3/8 in` of what lies within limits.
pub(super) fn told(fit: &Fit, unit: Unit) -> String {
    match fit.worst() {
        None => word(fit).to_owned(),
        Some(measured) if !measured.value.is_finite() => word(fit).to_owned(),
        Some(measured) => {
            let off = if is_about_zero(measured) { " off" } else { "" };
            format!("{}, {}{off}", word(fit), shown(measured, unit))
        }
    }
}

/// What was measured. What should be nought has no way that a sign could tell.
fn shown(measured: &Measured, unit: Unit) -> String {
    match (measured.value.is_finite(), measured.angle) {
        (false, _) => String::new(),
        (true, angle) if is_about_zero(measured) => {
            figures::value(measured.value.abs(), angle, unit)
        }
        (true, angle) => figures::value(measured.value, angle, unit),
    }
}

fn is_about_zero(measured: &Measured) -> bool {
    matches!((measured.least, measured.most), (Some(least), Some(most)) if least == -most)
}

fn wanted(measured: &Measured, unit: Unit) -> String {
    let show = |value: f64| figures::value(value, measured.angle, unit);
    match (measured.least, measured.most) {
        (Some(_), Some(most)) if is_about_zero(measured) => {
            let over = measured.over_mm.map_or_else(String::new, |over| {
                let length = figures::length(most.to_radians() * over, unit);
                format!(" ({length} over {})", figures::length(over, unit))
            });
            format!("0 within {}{over}", show(most))
        }
        (Some(least), Some(most)) => format!("{} to {}", show(least), show(most)),
        (Some(least), None) => format!("at least {}", show(least)),
        (None, Some(most)) => format!("at most {}", show(most)),
        (None, None) => String::new(),
    }
}

fn margin(measured: &Measured, unit: Unit) -> String {
    if !measured.margin.is_finite() {
        return String::new();
    }
    if measured.angle {
        figures::turn(measured.margin)
    } else {
        figures::signed(measured.margin, unit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fit(value: f64, least: Option<f64>, most: Option<f64>) -> Fit {
        let above = most.map_or(f64::INFINITY, |most| most - value);
        let below = least.map_or(f64::INFINITY, |least| value - least);
        let margin = above.min(below);
        Fit {
            name: "flush".to_owned(),
            kind: "Flush".to_owned(),
            verdict: if margin < 0.0 {
                FitVerdict::Misses
            } else {
                FitVerdict::Fits
            },
            disputed: Vec::new(),
            measures: vec![Measured {
                what: "faces".to_owned(),
                angle: false,
                value,
                least,
                most,
                margin,
                over_mm: None,
                remark: None,
            }],
        }
    }

    #[test]
    fn what_should_be_nought_is_told_without_a_sign() {
        for value in [-15.875, 15.875] {
            let off = fit(value, Some(-1.0), Some(1.0));
            assert_eq!(told(&off, Unit::Inch), "MISSES, 5/8 in off");
        }
        let room = fit(25.4, Some(50.8), None);
        assert_eq!(told(&room, Unit::Inch), "MISSES, 1 in");
        // an overlap is less than no gap: here the sign means something
        let overlap = fit(-25.4, Some(0.0), None);
        assert_eq!(told(&overlap, Unit::Inch), "MISSES, -1 in");
    }
}
