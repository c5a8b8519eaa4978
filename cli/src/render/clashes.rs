//! Clashes as text: of a plan, and what a deviation does to them.

use strongback_model::clash::{Clash, ClashChange, ClashVerdict, Clashes};
use strongback_model::quantity::Unit;

use super::figures;
use super::table::{Stands, table, wrapped};

/// What runs into what, and which parts were not looked at; nothing where there is neither.
pub(crate) fn text(clashes: &Clashes, unit: Unit, width: usize) -> String {
    let mut text = String::new();
    if !clashes.found.is_empty() {
        let rows = clashes.found.iter().flat_map(|clash| rows(clash, unit));
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
            "Depth: the shortest way that the one would have to go to only touch the other there. Where a part is notched, holed or \
             dressed for another one, say so of it: `cut_for: [\"PART\"]`.",
            width,
            0,
        ));
    }
    text.push_str(&left_out(&clashes.left_out, width));
    text
}

/// A row for each place.
fn rows(clash: &Clash, unit: Unit) -> Vec<Vec<String>> {
    let places = clash.places.iter();
    places
        .map(|place| {
            let depth = figures::length(place.depth_mm, unit);
            let mut row = clash.parts.to_vec();
            row.push(depth);
            row.extend(place.at_mm.map(|at| figures::column(at, unit)));
            row
        })
        .collect()
}

fn left_out(parts: &[String], width: usize) -> String {
    if parts.is_empty() {
        return String::new();
    }
    wrapped(
        &format!("Loose, so not looked at for clashes: {}.", parts.join(", ")),
        width,
        2,
    )
}

/// What a deviation brings, cures or changes, in the words of what it is tried beside.
pub(super) fn changes(
    changes: &[ClashChange],
    parts_left_out: &[String],
    beside: &str,
    unit: Unit,
    width: usize,
) -> String {
    let (stay, told): (Vec<&ClashChange>, Vec<&ClashChange>) = changes
        .iter()
        .partition(|change| change.verdict == ClashVerdict::Stays);
    let rows: Vec<Vec<String>> = told
        .into_iter()
        .filter_map(|change| {
            let shown = change.after.as_ref().or(change.before.as_ref())?;
            let [one, other] = &shown.parts;
            let none = || "none".to_owned();
            let mut row = vec![
                format!("{one} into {other}"),
                change
                    .before
                    .as_ref()
                    .map_or_else(none, |clash| deep(clash, unit)),
                after(change, unit),
            ];
            let place = shown.places.first()?;
            row.extend(place.at_mm.map(|at| figures::column(at, unit)));
            Some(row)
        })
        .collect();
    let mut text = String::new();
    if !rows.is_empty() {
        text.push_str(&table(
            &[
                ("clash", Stands::Left),
                (beside, Stands::Left),
                ("with the deviation", Stands::Left),
                ("fs", Stands::Right),
                ("bl", Stands::Right),
                ("wl", Stands::Right),
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

/// How deep where it is deepest, and in how many places.
fn deep(clash: &Clash, unit: Unit) -> String {
    let depth = figures::length(clash.depth_mm(), unit);
    match clash.places.len() {
        0 | 1 => depth,
        several => format!("{depth}, {several} places"),
    }
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
        |clash| format!("{word}, {}", deep(clash, unit)),
    )
}
