//! `recut` as text: the verdict on each part, and what all of it comes to.

use strongback_model::quantity::Unit;
use strongback_model::record::Stage;
use strongback_model::recut::{PartVerdict, Totals, Verdict, Verdicts};

use super::table::{Stands, table, wrapped};
use super::{figures, recut_steps, stock, trial};
use crate::command::RecutAnswer;

/// The whole answer.
pub fn text(answer: &RecutAnswer, width: usize) -> String {
    let mut text = String::new();
    for deviation in &answer.deviations {
        text.push_str(&wrapped(
            &format!("{}: {}", deviation.deviation, deviation.verdict),
            width,
            2,
        ));
        text.push('\n');
        text.push_str(&block(&deviation.recut, true, answer.unit, width));
    }
    text.push_str(&wrapped(&answer.caution, width, 0));
    text
}

/// The verdict on each part, those that only move, and how many are as before; where each comes from, unless that is told
/// elsewhere.
pub(super) fn block(verdicts: &Verdicts, with_causes: bool, unit: Unit, width: usize) -> String {
    let mut text = String::new();
    if verdicts.parts.is_empty() {
        text.push_str("No part is made differently.\n\n");
    } else {
        let rows = |part: &PartVerdict| rows(part, with_causes, unit);
        text.push_str(&parts("part to re-cut", &verdicts.parts, rows, width));
    }
    if !verdicts.refit.is_empty() {
        let rows = |part: &PartVerdict| vec![because(part)];
        text.push_str(&parts("fitted part that moves", &verdicts.refit, rows, width));
    }
    if !verdicts.only_moved.is_empty() {
        text.push_str(&wrapped(
            &format!("Only elsewhere, as made: {}.", verdicts.only_moved.join(", ")),
            width,
            2,
        ));
    }
    if !verdicts.unsettled.is_empty() {
        text.push_str(&wrapped(
            &format!(
                "Loose then, so that it can't be told: {}.",
                verdicts.unsettled.join(", ")
            ),
            width,
            2,
        ));
    }
    text.push_str(&format!(
        "{} as before in every way.\n",
        figures::count(verdicts.untouched.len(), "part is", "parts are")
    ));
    text.push_str(&totals(&verdicts.totals, unit, width));
    text.push('\n');
    text
}

/// A table of parts, each with its verdict and as many lines of reasons as it has; how far parts are made is left out where none is.
fn parts(
    head: &str,
    parts: &[PartVerdict],
    told: impl Fn(&PartVerdict) -> Vec<String>,
    width: usize,
) -> String {
    let begun = parts.iter().any(|part| part.stage != Stage::NotStarted);
    let mut columns = vec![(head, Stands::Left)];
    if begun {
        columns.push(("so far", Stands::Left));
    }
    columns.push(("what to do", Stands::Left));
    columns.push(("what changes, and why", Stands::Left));
    let rows = parts.iter().flat_map(|part| {
        let told = told(part).into_iter().enumerate();
        told.map(move |(at, told)| {
            let first = |text: String| if at == 0 { text } else { String::new() };
            let mut row = vec![first(part.part.clone())];
            if begun {
                row.push(first(so_far(part)));
            }
            row.push(first(words(part)));
            row.push(told);
            row
        })
    });
    table(&columns, rows, width)
}

fn rows(part: &PartVerdict, with_cause: bool, unit: Unit) -> Vec<String> {
    let steps = part.steps.iter();
    let mut rows: Vec<String> = steps.map(|step| recut_steps::told(step, unit)).collect();
    if with_cause && (part.from.is_some() || !part.through.is_empty()) {
        rows.push(because(part));
    }
    rows
}

fn because(part: &PartVerdict) -> String {
    match &part.from {
        Some(from) => format!("from {}", trial::way(from, &part.through)),
        None => "moved itself".to_owned(),
    }
}

/// How far a part is made, with the hours put into it.
fn so_far(part: &PartVerdict) -> String {
    let stage = match part.stage {
        Stage::NotStarted => "not started",
        Stage::Cut => "cut",
        Stage::Drilled => "drilled",
        Stage::Fitted => "fitted",
    };
    if part.hours > 0.0 {
        format!("{stage}, {}", figures::hours(part.hours))
    } else {
        stage.to_owned()
    }
}

fn words(part: &PartVerdict) -> String {
    let words = match part.verdict {
        Verdict::AsIs => "as is",
        Verdict::NotStarted => "make to new figures",
        Verdict::LeftOut => "not needed",
        Verdict::OfferUp => "offer up",
        Verdict::Refit => "refit as made",
        Verdict::TurnRound => "turn round",
        Verdict::Trim => "trim",
        Verdict::Redrill => "re-drill",
        Verdict::TooShort => "make longer",
        Verdict::MakeAnew => "make anew",
        Verdict::New => "make: new part",
    };
    if part.take_out {
        format!("take out, {words}")
    } else {
        words.to_owned()
    }
}

fn totals(totals: &Totals, unit: Unit, width: usize) -> String {
    let counts = [
        (totals.make_anew, "to make anew"),
        (totals.too_short, "to make longer or anew"),
        (totals.new, "new"),
        (totals.redrill, "to re-drill"),
        (totals.trim, "to trim"),
        (totals.turn_round, "to turn round"),
        (totals.offer_up, "to offer up"),
        (totals.refit, "to refit as made"),
        (totals.left_out, "not needed"),
        (totals.not_started, "not started, to make to the new figures"),
        (totals.as_is, "right so far"),
    ];
    let counts: Vec<String> = counts
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, what)| format!("{count} {what}"))
        .collect();
    if counts.is_empty() {
        return String::new();
    }
    let mut lines = vec![format!("In all: {}.", counts.join(", "))];
    if totals.take_out > 0 {
        let parts = figures::count(totals.take_out, "fitted part", "fitted parts");
        lines.push(format!("{parts} to take out first."));
    }
    if totals.hours_lost > 0.0 {
        lines.push(format!("Work lost: {}.", figures::hours(totals.hours_lost)));
    }
    if totals.hours_at_stake > 0.0 {
        lines.push(format!(
            "Work at stake in parts that are too short: {}.",
            figures::hours(totals.hours_at_stake)
        ));
    }
    lines.extend(stock::told("Stock to make them of", &totals.stock, unit));
    lines.extend(stock::told(
        "Stock if those too short are made anew",
        &totals.stock_at_stake,
        unit,
    ));
    if !totals.stock.is_empty() || !totals.stock_at_stake.is_empty() {
        lines.push(stock::HOW.to_owned());
    }
    lines.iter().map(|line| wrapped(line, width, 2)).collect()
}
