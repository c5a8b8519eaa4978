//! Clashes as text: of a plan, and what a deviation does to them.

use strongback_model::clash::{Clash, ClashChange, ClashVerdict, Clashes};
use strongback_model::quantity::Unit;

use super::figures;
use super::table::{Stands, table, wrapped};

/// What runs into what, and which parts were not looked at; nothing where there is neither.
pub(super) fn text(clashes: &Clashes, unit: Unit, width: usize) -> String {
    let mut text = String::new();
    if !clashes.found.is_empty() {
        let rows = clashes.found.iter().map(|clash| row(clash, unit));
        text.push_str(&table(
            &[
                ("part", Stands::Left),
                ("runs into", Stands::Left),
                ("depth", Stands::Right),
                ("fs", Stands::Right),
                ("bl", Stands::Right),
                ("wl", Stands::Right),
            ],
            rows,
            width,
        ));
        text.push_str(&wrapped(
            "Depth: how far the part would have to go, the shortest way, to only touch. Where one is notched or holed for the other, \
             say so of it by `cut_for`.",
            width,
            0,
        ));
    }
    text.push_str(&left_out(&clashes.left_out, width));
    text
}

fn row(clash: &Clash, unit: Unit) -> Vec<String> {
    let [one, other] = &clash.parts;
    let mut row = vec![
        one.clone(),
        other.clone(),
        figures::length(clash.depth_mm, unit),
    ];
    row.extend(clash.at_mm.map(|at| figures::column(at, unit)));
    row
}

fn left_out(parts: &[String], width: usize) -> String {
    if parts.is_empty() {
        return String::new();
    }
    wrapped(
        &format!(
            "Loose, so not looked at for clashes: {}.",
            parts.join(", ")
        ),
        width,
        2,
    )
}

/// What a deviation brings, cures or changes.
pub(super) fn changes(
    changes: &[ClashChange],
    parts_left_out: &[String],
    unit: Unit,
    width: usize,
) -> String {
    let (stay, told): (Vec<&ClashChange>, Vec<&ClashChange>) = changes
        .iter()
        .partition(|change| change.verdict == ClashVerdict::Stays);
    let rows: Vec<Vec<String>> = told
        .into_iter()
        .filter_map(|change| {
            let [one, other] = &change.after.as_ref().or(change.before.as_ref())?.parts;
            Some(vec![
                format!("{one} into {other}"),
                change
                    .before
                    .as_ref()
                    .map_or_else(|| "none".to_owned(), |clash| deep(clash, unit)),
                after(change, unit),
            ])
        })
        .collect();
    let mut text = String::new();
    if !rows.is_empty() {
        text.push_str(&table(
            &[
                ("clash", Stands::Left),
                ("plan", Stands::Left),
                ("with the deviation", Stands::Left),
            ],
            rows,
            width,
        ));
    }
    if !stay.is_empty() {
        let told = figures::count(
            stay.len(),
            "clash stays as deep as it was",
            "clashes stay as deep as they were",
        );
        text.push_str(&format!("{told}.\n\n"));
    }
    if !changes.is_empty() {
        text.push_str(&left_out(parts_left_out, width));
    }
    text
}

fn deep(clash: &Clash, unit: Unit) -> String {
    format!("{} deep", figures::length(clash.depth_mm, unit))
}

fn after(change: &ClashChange, unit: Unit) -> String {
    let word = match change.verdict {
        ClashVerdict::Brought => "BROUGHT",
        ClashVerdict::Deeper => "DEEPER",
        ClashVerdict::LessDeep => "less deep",
        ClashVerdict::Stays => "stays",
        ClashVerdict::Open => "OPEN: loose then",
        ClashVerdict::Cured => "cured",
    };
    change.after.as_ref().map_or_else(
        || word.to_owned(),
        |clash| {
            let [fs, bl, wl] = clash.at_mm.map(|at| figures::column(at, unit));
            format!("{word}, {} at fs {fs}, bl {bl}, wl {wl}", deep(clash, unit))
        },
    )
}
