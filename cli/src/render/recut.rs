//! `recut` as text.

use strongback_model::quantity::Unit;
use strongback_model::recut::{MakeChange, Recut};

use super::figures;
use super::table::{Stands, table, wrapped};
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
        text.push_str(&block(&deviation.recut, answer.unit, width));
    }
    text.push_str(&wrapped(&answer.caution, width, 0));
    text
}

/// The parts that are made differently, those that only move, and how many are as before.
pub(super) fn block(recut: &Recut, unit: Unit, width: usize) -> String {
    let mut text = String::new();
    if recut.parts.is_empty() {
        text.push_str("No part is made differently.\n\n");
    } else {
        let rows = recut.parts.iter().flat_map(|part| {
            part.changes.iter().enumerate().map(move |(at, change)| {
                let name = if at == 0 {
                    part.part.clone()
                } else {
                    String::new()
                };
                vec![name, told(change, unit)]
            })
        });
        text.push_str(&table(
            &[("part to re-cut", Stands::Left), ("how", Stands::Left)],
            rows,
            width,
        ));
    }
    if !recut.only_moved.is_empty() {
        text.push_str(&wrapped(
            &format!("Only elsewhere, as made: {}.", recut.only_moved.join(", ")),
            width,
            2,
        ));
    }
    if !recut.unsettled.is_empty() {
        text.push_str(&wrapped(
            &format!(
                "Loose then, so that it can't be told: {}.",
                recut.unsettled.join(", ")
            ),
            width,
            2,
        ));
    }
    text.push_str(&format!(
        "{} as before in every way.\n\n",
        figures::count(recut.untouched.len(), "part is", "parts are")
    ));
    text
}

fn told(change: &MakeChange, unit: Unit) -> String {
    let show = |mm: f64| figures::length(mm, unit);
    match change {
        MakeChange::New => "new".to_owned(),
        MakeChange::Gone => "not needed any more".to_owned(),
        MakeChange::Longer { size, by_mm, to_mm } => {
            format!("{size} longer by {}: {}", show(*by_mm), show(*to_mm))
        }
        MakeChange::Shorter { size, by_mm, to_mm } => {
            format!("{size} shorter by {}: {}", show(*by_mm), show(*to_mm))
        }
        MakeChange::OtherStock {
            size,
            from_mm,
            to_mm,
        } => format!(
            "other stock: {size} {}, was {}",
            show(*to_mm),
            show(*from_mm)
        ),
        MakeChange::OtherSide { choice, from, to } => {
            format!("{choice} {to} in place of {from}{}", how(choice))
        }
        MakeChange::OtherShape {
            size,
            angle,
            from,
            to,
        } => {
            let show = |value: f64| figures::value(value, *angle, unit);
            match (from, to) {
                (Some(from), Some(to)) => format!("{size} {}, was {}", show(*to), show(*from)),
                (None, Some(to)) => format!("{size} {}, which it had not", show(*to)),
                (Some(from), None) => format!("no {size}, which was {}", show(*from)),
                (None, None) => size.clone(),
            }
        }
        MakeChange::HolesMove { joint, by_mm } => {
            let ways: Vec<String> = (0..3)
                .filter(|axis| by_mm[*axis].abs() > strongback_model::shift::MOVED_MM)
                .map(|axis| figures::way(by_mm[axis], axis, unit))
                .collect();
            format!("holes of `{joint}` move {} on the part", ways.join(" and "))
        }
    }
}

/// What another choice means at the bench: a bend can't be bent back, though some parts are only turned round.
fn how(choice: &str) -> &'static str {
    match choice {
        "flanges" | "back" => ": bent the other way, or turned round if it is alike",
        "legs" => ": bent the other way",
        _ => "",
    }
}
