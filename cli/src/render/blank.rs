//! One blank in full: its bends as they are marked, its legs, reliefs, and what is left out.

use strongback_model::blank::{Bend, Blank};
use strongback_model::quantity::Unit;

use super::blanks::rectangle;
use super::figures;
use super::table::{Stands, table, wrapped};

/// The blank in full.
pub fn text(blank: &Blank, unit: Unit, width: usize) -> String {
    let gauge = figures::length(blank.gauge_mm, unit);
    let alloy = blank.alloy.as_ref().map(|alloy| format!(" {alloy}"));
    let mut text = wrapped(
        &format!(
            "{} ({}, {gauge}{}): pattern {}, seen from {}.",
            blank.part,
            blank.kind,
            alloy.unwrap_or_default(),
            rectangle(blank.size_mm, unit),
            blank.seen_from
        ),
        width,
        2,
    );
    text.push('\n');
    if !blank.legs.is_empty() {
        let rows = blank.legs.iter().map(|leg| {
            vec![
                leg.name.clone(),
                figures::column(leg.leg_mm, unit),
                figures::column(leg.flat_mm, unit),
            ]
        });
        let head = [
            ("leg", Stands::Left),
            ("to mold lines", Stands::Right),
            ("flat", Stands::Right),
        ];
        text.push_str(&table(&head, rows, width));
    }
    if !blank.bends.is_empty() {
        let head = [
            ("bend", Stands::Left),
            ("bent", Stands::Left),
            ("leg", Stands::Right),
            ("flat", Stands::Right),
            ("K", Stands::Right),
            ("setback", Stands::Right),
            ("allowance", Stands::Right),
            ("tangent lines at", Stands::Left),
            ("sight line at", Stands::Right),
            ("length", Stands::Right),
        ];
        let rows = blank.bends.iter().map(|bend| row(bend, unit));
        text.push_str(&table(&head, rows, width));
        let from = if blank.legs.is_empty() {
            "from the flange's edge"
        } else {
            "from the blank's first edge"
        };
        let told = format!(
            "Legs run to the mold lines; tangent and sight lines are {from}, the sight line for a brake that holds the other side of the bend."
        );
        text.push_str(&wrapped(&told, width, 0));
    }
    text.push_str(&remarks(blank, unit, width));
    text
}

fn row(bend: &Bend, unit: Unit) -> Vec<String> {
    let [near, far, sight] = bend.from_edge_mm.map(|mm| figures::column(mm, unit));
    let way = if bend.up { "up" } else { "down" };
    vec![
        bend.name.clone(),
        format!("{way} {}", figures::angle(bend.angle_deg)),
        figures::column(bend.leg_mm, unit),
        figures::column(bend.flat_mm, unit),
        format!("{:.4}", bend.setback_number),
        figures::column(bend.setback_mm, unit),
        figures::column(bend.allowance_mm, unit),
        format!("{near} and {far}"),
        sight,
        figures::column(bend.length_mm, unit),
    ]
}

/// What else is to be said of it; nothing of most.
pub fn remarks(blank: &Blank, unit: Unit, width: usize) -> String {
    let mut told: Vec<String> = Vec::new();
    if let Some(reliefs) = blank.reliefs {
        told.push(format!(
            "{}: {} of {} where its tangent lines meet or end.",
            blank.part,
            figures::count(reliefs.count, "relief hole", "relief holes"),
            figures::length(reliefs.diameter_mm, unit)
        ));
    }
    for out in &blank.left_out {
        told.push(format!(
            "{}: {} LEFT OUT: {}.",
            blank.part, out.flange, out.why
        ));
    }
    if !blank.unmarked.is_empty() {
        told.push(format!(
            "{}: not marked, as they don't lie in the flat of its web: {}.",
            blank.part,
            blank.unmarked.join(", ")
        ));
    }
    let mut text: String = told.iter().map(|line| wrapped(line, width, 2)).collect();
    if !text.is_empty() {
        text.push('\n');
    }
    text
}
