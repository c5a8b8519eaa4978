//! `readings` as text: a table for each group of statements that have to be read together.

use strongback_model::quantity::Unit;
use strongback_model::readings::{Combination, Group, Odd, Readings};

use super::figures;
use super::fit;
use super::table::{Stands, table, wrapped};
use crate::command::ReadingsAnswer;

/// The verdict in one line.
pub fn verdict(readings: &Readings) -> String {
    if readings.statements.is_empty() {
        return "No statement of the model has several readings.".to_owned();
    }
    let statements = figures::count(
        readings.statements.len(),
        "statement has several readings",
        "statements have several readings",
    );
    let ways = |ways: f64| {
        let word = if ways == 1.0 { "way" } else { "ways" };
        format!("{ways} {word}")
    };
    let fit = match readings.ways_that_fit {
        0.0 => "none lets every must-fit come true".to_owned(),
        1.0 => "exactly one lets every must-fit come true".to_owned(),
        n => format!("{n} let every must-fit come true"),
    };
    format!(
        "{statements}: of {} to read them, {fit}.",
        ways(readings.ways)
    )
}

/// The whole answer.
pub fn text(answer: &ReadingsAnswer, width: usize) -> String {
    let readings = &answer.readings;
    let mut text = wrapped(&answer.verdict, width, 0);
    text.push('\n');
    if readings.statements.is_empty() {
        text.push_str(&wrapped(
            "Where a figure can be understood in several ways, write `Readings({\"one way\": …, \"the other\": …})` in place \
             of the relation.",
            width,
            0,
        ));
    }
    for group in &readings.groups {
        text.push_str(&of_group(group, answer.unit, width));
    }
    if !readings.idle.is_empty() {
        let told = format!(
            "No must-fit tells the readings of these apart: {}. Measure, ask the designer, or state a must-fit.",
            readings.idle.join("; ")
        );
        text.push_str(&wrapped(&told, width, 2));
        text.push('\n');
    }
    if readings.pairs_untried > 0 {
        let told = format!(
            "One linkage or cant rests on several of these statements: {} of two of them were not tried together. \
             Allow more with --most.",
            figures::count(readings.pairs_untried, "combination", "combinations")
        );
        text.push_str(&wrapped(&told, width, 2));
        text.push('\n');
    }
    text.push_str(&anyway(readings, answer.unit, width));
    if !readings.statements.is_empty() {
        text.push_str(&wrapped(&next(readings), width, 0));
        text.push('\n');
        text.push_str(&wrapped(&answer.caution, width, 0));
    }
    text
}

fn of_group(group: &Group, unit: Unit, width: usize) -> String {
    /// More combinations than this are counted and not shown.
    const SHOWN: usize = 16;
    let mut head: Vec<(&str, Stands)> = group
        .statements
        .iter()
        .map(|statement| (statement.as_str(), Stands::Left))
        .collect();
    head.push(("comes to", Stands::Left));
    let rows = group.combinations.iter().take(SHOWN).map(|combination| {
        let mut row = combination.readings.clone();
        row.push(comes_to(group, combination, unit));
        row
    });
    let mut text = table(&head, rows, width);
    let hidden = group.combinations.len().saturating_sub(SHOWN);
    if hidden > 0 {
        // the blank line of the table stays last
        text.pop();
        text.push_str(&format!(
            "  and {}, none better than the last of these\n\n",
            figures::count(hidden, "more", "more")
        ));
    }
    text
}

fn comes_to(group: &Group, combination: &Combination, unit: Unit) -> String {
    let mut told: Vec<String> = Vec::new();
    if let Some(refused) = &combination.refused {
        told.push(format!("no layout: {refused}"));
    }
    told.extend(
        combination
            .missed()
            .map(|fit| format!("{}: {}", fit.name, fit::told(fit, unit))),
    );
    told.extend(combination.at_odds.iter().map(|odd| at_odds(odd, unit)));
    if combination.loose > 0 {
        told.push(format!(
            "leaves {} more to move",
            figures::count(combination.loose, "way", "ways")
        ));
    }
    let mut told = told.join("; ");
    if combination.holds {
        told = match &group.must_fits[..] {
            [] => "nothing at odds".to_owned(),
            [one] => format!("{one} comes true"),
            [one, other] => format!("{one} and {other} come true"),
            several => format!("all {} must-fits come true", several.len()),
        };
    }
    if combination.counts_now {
        told.push_str(" (counts now)");
    }
    told
}

fn at_odds(odd: &Odd, unit: Unit) -> String {
    let miss = figures::value(odd.miss.abs(), odd.angle, unit);
    format!("{} at odds by {miss}", odd.statement)
}

/// What is amiss whatever is read.
fn anyway(readings: &Readings, unit: Unit, width: usize) -> String {
    let fits = readings
        .missing_anyway
        .iter()
        .map(|fit| format!("{}: {}", fit.name, fit::told(fit, unit)));
    let odds = readings.at_odds_anyway.iter().map(|odd| at_odds(odd, unit));
    let all: Vec<String> = fits.chain(odds).collect();
    if all.is_empty() {
        return String::new();
    }
    let told = format!("Whatever is read: {}.", all.join("; "));
    wrapped(&told, width, 2) + "\n"
}

/// What the builder would do next.
fn next(readings: &Readings) -> String {
    let best = readings
        .groups
        .iter()
        .filter_map(|group| Some((group, group.combinations.first().filter(|one| one.holds)?)));
    let takes: Vec<String> = best
        .filter(|(_, one)| !one.counts_now)
        .flat_map(|(group, one)| group.statements.iter().zip(&one.readings))
        .map(|(statement, reading)| format!("--take \"{statement}={reading}\""))
        .collect();
    let how = if takes.is_empty() {
        "`--take \"STATEMENT=READING\"` with any command, or `Take` in a deviation, takes one."
            .to_owned()
    } else {
        format!(
            "Take it so with any command by {}, or by `Take` in a deviation.",
            takes.join(" ")
        )
    };
    format!(
        "That the must-fits come true does not make a reading right: measure or ask the designer before metal is cut. {how}"
    )
}
