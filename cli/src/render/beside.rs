//! The plan and what is built beside each other, as a table.

use strongback_model::quantity::Unit;
use strongback_model::record::Beside;

use super::figures::{self, SHOWN_MM};
use super::table::{Stands, table};

/// The parts that are asked for, or all.
pub fn text(list: &[Beside], only: &[String], unit: Unit, width: usize) -> String {
    let shown = list
        .iter()
        .filter(|beside| only.is_empty() || only.contains(&beside.part));
    let range = |stations: Option<[f64; 2]>| {
        stations.map_or_else(
            || "not there".to_owned(),
            |stations| figures::range(stations, unit),
        )
    };
    let rows = shown.map(|beside| {
        vec![
            beside.part.clone(),
            beside.stage.told().to_owned(),
            range(beside.plan_mm),
            range(beside.built_mm),
            difference(beside, unit),
        ]
    });
    let symbol = unit.symbol();
    table(
        &[
            ("part", Stands::Left),
            ("stage", Stands::Left),
            (&format!("station in the plan, {symbol}"), Stands::Right),
            (&format!("as built, {symbol}"), Stands::Right),
            ("lies elsewhere by", Stands::Left),
        ],
        rows,
        width,
    )
}

/// By how much a part lies elsewhere; both of its ends, where they don't go the same way.
fn difference(beside: &Beside, unit: Unit) -> String {
    let (Some([fwd, aft]), Some([_, bl, wl])) = (beside.ends_moved_mm, beside.origin_moved_mm)
    else {
        return String::new();
    };
    let is_shown = |mm: f64| mm.abs() >= SHOWN_MM;
    let mut list = Vec::new();
    if is_shown(fwd - aft) {
        for (end, moved) in [("fwd end", fwd), ("aft end", aft)] {
            if is_shown(moved) {
                list.push(format!("{end} {}", figures::way(moved, 0, unit)));
            }
        }
    } else if is_shown(fwd) {
        list.push(figures::way(fwd, 0, unit));
    }
    for (axis, moved) in [(1, bl), (2, wl)] {
        if is_shown(moved) {
            list.push(figures::way(moved, axis, unit));
        }
    }
    list.join(", ")
}
