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
            "other stock: {size} {} in place of {}",
            show(*to_mm),
            show(*from_mm)
        ),
        MakeChange::OtherSide { choice, from, to } => {
            format!("{choice} {to} in place of {from}: another bend, another part")
        }
        MakeChange::OtherShape { size, from, to } => {
            let show = |value: &Option<f64>| value.map_or_else(|| "none".to_owned(), show);
            format!("{size} {} in place of {}", show(to), show(from))
        }
        MakeChange::HolesMove { joint, by_mm } => {
            let ways: Vec<String> = (0..3)
                .filter(|axis| by_mm[*axis].abs() > strongback_model::shift::MOVED_MM)
                .map(|axis| figures::way(by_mm[axis], axis, unit))
                .collect();
            format!("holes of `{joint}` move {}", ways.join(" and "))
        }
    }
}
