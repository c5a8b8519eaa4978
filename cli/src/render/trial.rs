//! `try` as text.

use strongback_model::quantity::Unit;
use strongback_model::shift::{PartShift, Presence};

use super::at_odds;
use super::clashes;
use super::columns;
use super::departures;
use super::figures;
use super::fit;
use super::locate;
use super::recut;
use super::table::{Stands, table, wrapped};
use crate::command::{Trial, TryAnswer};
use crate::record::Basis;

/// The whole answer.
pub fn text(answer: &TryAnswer, width: usize) -> String {
    let beside = beside(answer.basis == Basis::AsBuilt);
    let head = answer.basis.head();
    let mut text = wrapped(&format!("{head}: {}", answer.plan), width, 2);
    if answer.basis == Basis::AsBuilt && !answer.adopted.is_empty() {
        let told = format!("Adopted, and part of it: {}.", answer.adopted.join(", "));
        text.push_str(&wrapped(&told, width, 2));
    }
    text.push('\n');
    match &answer.trials[..] {
        [trial] => text.push_str(&one(trial, beside, answer.unit, width)),
        several => text.push_str(&columns::text(several, &answer.columns, answer.unit, width)),
    }
    text.push_str(&departures::text(&answer.departures, answer.unit, width));
    text.push_str(&wrapped(&answer.caution, width, 0));
    text
}

/// What a trial tells, in three pieces.
pub(crate) struct Pieces {
    /// The must-fits before and after, and clashes.
    pub(crate) fits: String,
    /// What shifts.
    pub(crate) shifts: String,
    /// What is to be done with each part.
    pub(crate) recut: String,
}

/// A trial in pieces, for a medium that shows them apart.
pub(crate) fn pieces(trial: &Trial, as_built: bool, unit: Unit, width: usize) -> Pieces {
    Pieces {
        fits: must_fits(trial, beside(as_built), unit, width),
        shifts: shifts(trial, unit, width),
        recut: recut::block(&trial.recut, true, unit, width),
    }
}

/// One trial beside the plan, in full.
pub(crate) fn alone(trial: &Trial, unit: Unit, width: usize) -> String {
    one(trial, beside(false), unit, width)
}

/// What deviations are tried beside.
fn beside(as_built: bool) -> &'static str {
    if as_built { "as built" } else { "plan" }
}

fn one(trial: &Trial, beside: &str, unit: Unit, width: usize) -> String {
    let mut text = wrapped(&format!("{}: {}", trial.deviation, trial.verdict), width, 2);
    for change in &trial.changes {
        text.push_str(&wrapped(&format!("- {change}"), width, 2));
    }
    text.push('\n');
    text.push_str(&shifts(trial, unit, width));
    text.push_str(&must_fits(trial, beside, unit, width));
    text.push_str(&at_odds::text(&trial.at_odds, &trial.worse, unit, width));
    text.push_str(&locate::loose(&trial.loose, width));
    text.push_str(&recut::block(&trial.recut, false, unit, width));
    text
}

fn shifts(trial: &Trial, unit: Unit, width: usize) -> String {
    if trial.shift.parts.is_empty() {
        return "Nothing shifts.\n\n".to_owned();
    }
    let rows = trial
        .shift
        .parts
        .iter()
        .map(|part| vec![part.part.clone(), moved(part, unit), whence(part)]);
    let mut text = table(
        &[
            ("part", Stands::Left),
            ("shifts by up to", Stands::Left),
            ("from → through", Stands::Left),
        ],
        rows,
        width,
    );
    text.push_str(&format!(
        "{}.\n",
        figures::count(
            trial.shift.unmoved.len(),
            "part stays where it was",
            "parts stay where they were"
        )
    ));
    if !trial.shift.unsettled.is_empty() {
        text.push_str(&wrapped(
            &format!(
                "Loose then, so that no shift and no size can be told: {}.",
                trial.shift.unsettled.join(", ")
            ),
            width,
            2,
        ));
    }
    text.push('\n');
    text
}

fn whence(part: &PartShift) -> String {
    match &part.from {
        Some(from) => way(from, &part.through),
        None => "itself changed".to_owned(),
    }
}

/// Where a change comes from and through what; of a long way, its start and its end.
pub(super) fn way(from: &str, through: &[String]) -> String {
    let mut steps = vec![from];
    match through {
        [first, _, .., before, last] => {
            steps.extend([first.as_str(), "…", before.as_str(), last.as_str()]);
        }
        few => steps.extend(few.iter().map(String::as_str)),
    }
    steps.join(" → ")
}

/// The greatest shift along each axis, and any turn.
fn moved(part: &PartShift, unit: Unit) -> String {
    match part.presence {
        Presence::Added => return "new part".to_owned(),
        Presence::Dropped => return "left out".to_owned(),
        Presence::Both => {}
    }
    let ways = ways(&part.greatest_mm, &part.turned_deg, unit);
    if ways.is_empty() {
        "stays; its make changes".to_owned()
    } else {
        ways
    }
}

/// A shift along each axis, and the turns, as far as they show.
pub(super) fn ways(by_mm: &[f64; 3], turned_deg: &[f64; 3], unit: Unit) -> String {
    let mut ways: Vec<String> = (0..3)
        .filter(|axis| by_mm[*axis].abs() > figures::SHOWN_MM)
        .map(|axis| figures::way(by_mm[axis], axis, unit))
        .collect();
    ways.extend(
        turned_deg
            .iter()
            .zip(["roll", "pitch", "yaw"])
            .filter(|(by, _)| by.abs() > figures::SHOWN_DEG)
            .map(|(by, name)| format!("{name} {}", figures::turn(*by))),
    );
    ways.join(", ")
}

/// The must-fits before and after, and clashes.
fn must_fits(trial: &Trial, beside: &str, unit: Unit, width: usize) -> String {
    let rows: Vec<Vec<String>> = trial
        .fits
        .iter()
        .map(|change| {
            let show = |fit: &Option<strongback_model::fit::Fit>| match fit {
                None => "not stated".to_owned(),
                Some(fit) => fit::told(fit, unit),
            };
            vec![
                change.name.clone(),
                show(&change.before),
                show(&change.after),
            ]
        })
        .collect();
    let mut text = String::new();
    if !rows.is_empty() {
        text.push_str(&table(
            &[
                ("must-fit", Stands::Left),
                (beside, Stands::Left),
                ("with the deviation", Stands::Left),
            ],
            rows,
            width,
        ));
    }
    let left_out = &trial.clashes_left_out;
    text + &clashes::changes(&trial.clashes, left_out, beside, unit, width)
}
