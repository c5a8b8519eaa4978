//! Several deviations as columns: what misses, what is to be re-cut, what it takes, and which is better whatever one cares for.

use std::collections::BTreeSet;

use strongback_model::beside::Column;
use strongback_model::fit::Fit;
use strongback_model::quantity::Unit;
use strongback_model::recut::Verdict;

use super::table::{Stands, table, wrapped};
use super::{figures, fit, recut};
use crate::command::Trial;

/// The tables of several trials.
pub(super) fn text(trials: &[Trial], columns: &[Column], unit: Unit, width: usize) -> String {
    let mut text = counts(columns, unit, width);
    text.push_str(&better(columns, width));
    text.push_str(&misses(trials, unit, width));
    text.push_str(&parts(trials, width));
    text.push_str("Tried alone, each is told in full.\n\n");
    text
}

fn head<'c>(first: &'c str, names: impl Iterator<Item = &'c str>) -> Vec<(&'c str, Stands)> {
    let names = names.map(|name| (name, Stands::Left));
    [(first, Stands::Left)].into_iter().chain(names).collect()
}

fn counts(columns: &[Column], unit: Unit, width: usize) -> String {
    let count = |what: &str, of: &dyn Fn(&Column) -> usize| {
        row(what, columns, |one| match of(one) {
            0 => "-".to_owned(),
            n => n.to_string(),
        })
    };
    let amount = |what: &str, told: &dyn Fn(&Column) -> Option<String>| {
        row(what, columns, |one| {
            told(one).unwrap_or_else(|| "-".to_owned())
        })
    };
    let some = |is: bool, told: String| is.then_some(told);
    let rows = [
        count("must-fits that miss", &|one| one.misses),
        count("at odds", &|one| one.at_odds),
        count("loose or open", &|one| one.open),
        count("clashes", &|one| one.clashes),
        count("parts to make anew", &|one| one.totals.make_anew),
        count("too short", &|one| one.totals.too_short),
        count("new parts", &|one| one.totals.new),
        count("fitted, to take out", &|one| one.totals.take_out),
        count("to re-drill", &|one| one.totals.redrill),
        count("to trim", &|one| one.totals.trim),
        count("to turn round", &|one| one.totals.turn_round),
        count("to change sides", &|one| one.totals.change_sides),
        count("to offer up", &|one| one.totals.offer_up),
        count("to refit as made", &|one| one.totals.refit),
        count("not started, other figures", &|one| one.totals.not_started),
        amount("hours lost", &|one| {
            some(
                one.totals.hours_lost > 0.0,
                figures::hours(one.totals.hours_lost),
            )
        }),
        amount("hours at stake", &|one| {
            some(
                one.totals.hours_at_stake > 0.0,
                figures::hours(one.totals.hours_at_stake),
            )
        }),
        amount("sheet", &|one| {
            some(one.sheet_mm2 > 0.0, figures::area(one.sheet_mm2, unit))
        }),
        amount("angle, bar and tube", &|one| {
            some(one.length_mm > 0.0, figures::length(one.length_mm, unit))
        }),
    ];
    // what no deviation has anything of is no news
    let rows = rows
        .into_iter()
        .filter(|row| row.iter().skip(1).any(|cell| cell != "-"));
    let names = columns.iter().map(|one| one.deviation.as_str());
    table(&head("", names), rows, width)
}

fn row<T>(what: &str, columns: &[T], told: impl Fn(&T) -> String) -> Vec<String> {
    [what.to_owned()]
        .into_iter()
        .chain(columns.iter().map(told))
        .collect()
}

fn better(columns: &[Column], width: usize) -> String {
    let lines: Vec<String> = columns
        .iter()
        .filter(|one| !one.better_than.is_empty())
        .map(|one| {
            format!(
                "{}: in nothing worse, and in something better, than {}.",
                one.deviation,
                one.better_than.join(", ")
            )
        })
        .collect();
    let lines = if lines.is_empty() {
        vec!["Each has something for it: none is better than another in everything.".to_owned()]
    } else {
        lines
    };
    let mut text: String = lines.iter().map(|line| wrapped(line, width, 2)).collect();
    text.push('\n');
    text
}

/// Must-fits that miss in one of them.
fn misses(trials: &[Trial], unit: Unit, width: usize) -> String {
    let after = |trial: &Trial, name: &str| -> Option<Fit> {
        let change = trial.fits.iter().find(|change| change.name == name)?;
        change.after.clone()
    };
    let mut names: Vec<&str> = Vec::new();
    for change in trials.iter().flat_map(|trial| &trial.fits) {
        let misses = change.after.as_ref().is_some_and(|fit| !fit.holds());
        if misses && !names.contains(&change.name.as_str()) {
            names.push(&change.name);
        }
    }
    if names.is_empty() {
        return "Every must-fit comes true in each.\n\n".to_owned();
    }
    let rows = names.into_iter().map(|name| {
        row(name, trials, |trial| match after(trial, name) {
            None => "left out".to_owned(),
            Some(fit) if fit.holds() => "fits".to_owned(),
            Some(fit) => fit::told(&fit, unit),
        })
    });
    let names = trials.iter().map(|trial| trial.deviation.as_str());
    table(&head("must-fit", names), rows, width)
}

/// Parts that one of them asks something of.
fn parts(trials: &[Trial], width: usize) -> String {
    let mut names: Vec<&str> = Vec::new();
    let mut seen = BTreeSet::new();
    for trial in trials {
        for part in trial.recut.parts.iter().chain(&trial.recut.refit) {
            if part.verdict != Verdict::AsIs && seen.insert(part.part.as_str()) {
                names.push(&part.part);
            }
        }
    }
    if names.is_empty() {
        return "No part is made differently in any.\n\n".to_owned();
    }
    let rows = names.into_iter().map(|name| {
        row(name, trials, |trial| match trial.recut.of(name) {
            None => "-".to_owned(),
            Some(part) => recut::words(part),
        })
    });
    let names = trials.iter().map(|trial| trial.deviation.as_str());
    table(&head("part", names), rows, width)
}
