//! One blank in full: its bends as they are marked, its legs, reliefs, and what is left out.

use strongback_model::blank::{Bend, Blank, Development};
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
            ("setback", Stands::Right),
            ("allowance", Stands::Right),
            ("from", Stands::Right),
            ("to", Stands::Right),
            ("sight line", Stands::Right),
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
            "Legs run to the mold lines. A bend goes from its one tangent line to the other; these and the sight line, for a brake that holds \
             the other side, are measured {from}."
        );
        text.push_str(&wrapped(&told, width, 0));
        text.push('\n');
    }
    text.push_str(&remarks(blank, unit, width));
    for told in not_drawn(blank) {
        text.push_str(&wrapped(&told, width, 2));
    }
    text
}

/// What a pattern doesn't show: the holes of joints, and what is cut out for other parts.
pub(crate) fn not_drawn(blank: &Blank) -> Vec<String> {
    let mut told = Vec::new();
    let joints = &blank.not_drawn.joints;
    if !joints.is_empty() {
        let joints = joints.join(", ");
        told.push(format!(
            "{}: holes of its joints are not on the pattern: {joints}.",
            blank.part
        ));
    }
    let others = &blank.not_drawn.cut_for;
    if !others.is_empty() {
        let others = others.join(", ");
        told.push(format!(
            "{}: to be cut out for {others}, which the pattern doesn't show.",
            blank.part
        ));
    }
    told
}

fn row(bend: &Bend, unit: Unit) -> Vec<String> {
    let [near, far, sight] = bend.from_edge_mm.map(|mm| figures::column(mm, unit));
    let way = if bend.up { "up" } else { "down" };
    vec![
        bend.name.trim_end_matches(" flange").to_owned(),
        format!("{way} {}", figures::angle(bend.angle_deg)),
        figures::column(bend.leg_mm, unit),
        figures::column(bend.flat_mm, unit),
        figures::column(bend.setback_mm, unit),
        figures::column(bend.allowance_mm, unit),
        near,
        far,
        sight,
        figures::column(bend.length_mm, unit),
    ]
}

/// A skin in words: how much longer its edge is, and whether the contour can be developed.
fn developed(part: &str, development: &Development, unit: Unit) -> Vec<String> {
    let length = |mm: f64| figures::length(mm, unit);
    let (first, both) = if development.from_centre {
        ("along the centre line", "edges come out")
    } else {
        ("along its lower edge", "upper edge comes out")
    };
    let [fwd, aft] = development.ends_mm.map(length);
    let by = development.longer_mm;
    let longer = if by.abs() < figures::SHOWN_MM {
        format!("its {both} just as long")
    } else {
        let word = if by > 0.0 { "longer" } else { "shorter" };
        format!("its {both} {} {word}", length(by.abs()))
    };
    let mut told = vec![format!(
        "{part}: {} {first}, and {longer}, {}. Round the section {fwd} at its fwd edge, {aft} at its aft edge. Rolled about lines {} the \
         fuselage; the middle of the sheet's thickness is what is rolled out.",
        length(development.first_mm),
        length(development.last_mm),
        if development.along { "along" } else { "across" },
    )];
    let stretch = format!("{:.2} %", 100.0 * development.stretch);
    let off = if development.off_mm < figures::SHOWN_MM {
        String::new()
    } else {
        format!(
            "; straight from end to end, it lies up to {} off it",
            length(development.off_mm)
        )
    };
    told.push(if development.holds() {
        format!("{part}: the contour can be developed: no length on it differs by more than {stretch} in the flat{off}.")
    } else {
        format!(
            "{part}: CAN'T BE DEVELOPED: its contour is curved both ways or twisted, and the sheet would have to stretch or shrink by up \
             to {stretch} to follow it{off}. The pattern is that of the rolled sheet."
        )
    });
    told
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
    if let Some(development) = &blank.development {
        told.extend(developed(&blank.part, development, unit));
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
    if !blank.into_bends.is_empty() {
        told.push(format!(
            "{}: RUNS INTO A BEND: {}. What lies in a bend is pulled out of shape when it is bent; keep it clear of the tangent lines.",
            blank.part,
            blank.into_bends.join(", ")
        ));
    }
    let mut text: String = told.iter().map(|line| wrapped(line, width, 2)).collect();
    if !text.is_empty() {
        text.push('\n');
    }
    text
}
