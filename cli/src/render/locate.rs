//! `locate` as text.

use strongback_model::fit::FitVerdict;
use strongback_model::layout::{FeatureShape, Layout, PlacedPart};
use strongback_model::quantity::Unit;
use strongback_model::words::Axis;

use super::figures;
use super::table::{Stands, table, wrapped};
use super::{at_odds, neighbours};
use crate::command::LocateAnswer;

/// The whole answer.
pub fn text(answer: &LocateAnswer, faces: bool, only: &[String], width: usize) -> String {
    let layout = &answer.layout;
    let mut text = wrapped(&format!("{}: {}", layout.title, answer.verdict), width, 0);
    if let Some(datum) = &layout.datum {
        text.push_str(&wrapped(
            &format!("Stations count aft from {datum}."),
            width,
            0,
        ));
    }
    text.push('\n');
    let parts: Vec<&PlacedPart> = layout
        .parts
        .iter()
        .filter(|part| only.is_empty() || only.contains(&part.name))
        .collect();
    if let Some(beside) = &answer.beside_plan {
        text.push_str(&super::beside::text(beside, only, layout.unit, width));
    } else if faces || !only.is_empty() {
        text.push_str(&faces_table(layout, &parts, width));
    } else {
        text.push_str(&parts_table(layout, &parts, width));
    }
    text.push_str(&found(layout, &parts, width));
    if only.is_empty() {
        text.push_str(&super::verdict::doubts(&layout.doubts, width));
        text.push_str(&amiss(answer, width));
        text.push_str(&neighbours::text(&answer.neighbours, layout.unit, width));
    }
    text.push_str(&format!(
        "{} found from {} in {} ms; largest residual {:.1e} mm.\n",
        figures::count(layout.solution.unknowns, "unknown", "unknowns"),
        figures::count(layout.solution.rows, "equation", "equations"),
        round(layout.solution.milliseconds),
        layout.solution.largest_residual_mm,
    ));
    text
}

fn round(ms: f64) -> String {
    if ms < 10.0 {
        format!("{ms:.1}")
    } else {
        format!("{ms:.0}")
    }
}

fn parts_table(layout: &Layout, parts: &[&PlacedPart], width: usize) -> String {
    let unit = layout.unit;
    let rows = parts.iter().map(|part| {
        let range = |axis: usize| figures::range(part.extent_mm[axis], unit);
        let turned: Vec<String> = part
            .turn_deg
            .iter()
            .zip(["roll", "pitch", "yaw"])
            .filter(|(by, _)| by.abs() > 5e-4)
            .map(|(by, name)| format!("{name} {}", figures::turn(*by)))
            .collect();
        let note = if part.settled {
            turned.join(", ")
        } else {
            [loose_in(layout, &part.name)]
                .into_iter()
                .chain(turned)
                .collect::<Vec<_>>()
                .join(", ")
        };
        vec![
            part.name.clone(),
            part.kind.clone(),
            range(0),
            range(1),
            range(2),
            note,
        ]
    });
    let symbol = unit.symbol();
    let all_settled = parts.iter().all(|part| part.settled);
    let turned = if all_settled {
        "turned"
    } else {
        "turned, loose"
    };
    table(
        &[
            ("part", Stands::Left),
            ("kind", Stands::Left),
            (&format!("station, {symbol}"), Stands::Right),
            (&format!("buttock line, {symbol}"), Stands::Right),
            (&format!("waterline, {symbol}"), Stands::Right),
            (turned, Stands::Left),
        ],
        rows,
        width,
    )
}

fn faces_table(layout: &Layout, parts: &[&PlacedPart], width: usize) -> String {
    let unit = layout.unit;
    let rows = parts.iter().flat_map(|part| {
        part.features.iter().map(move |feature| {
            let at = |axis: usize| figures::column(feature.at_mm[axis], unit);
            let what = match (feature.shape, feature.axis) {
                (FeatureShape::Face, Some(Axis::Station)) => "face, station",
                (FeatureShape::Face, Some(Axis::ButtockLine)) => "face, buttock line",
                (FeatureShape::Face, Some(Axis::Waterline)) => "face, waterline",
                (FeatureShape::Face, None) => "canted face, its middle",
                (FeatureShape::Line, _) => "line, its middle",
                (FeatureShape::Point, _) => "point",
            };
            // a face that looks along an axis is known by that coordinate alone
            let own = |axis: Axis| match feature.axis {
                Some(looks) if looks != axis => "·".to_owned(),
                _ => at(axis.index()),
            };
            vec![
                format!("{}.{}", part.name, feature.name),
                what.to_owned(),
                own(Axis::Station),
                own(Axis::ButtockLine),
                own(Axis::Waterline),
            ]
        })
    });
    let symbol = unit.symbol();
    table(
        &[
            ("face", Stands::Left),
            ("what", Stands::Left),
            (&format!("fs, {symbol}"), Stands::Right),
            (&format!("bl, {symbol}"), Stands::Right),
            (&format!("wl, {symbol}"), Stands::Right),
        ],
        rows,
        width,
    )
}

fn found(layout: &Layout, parts: &[&PlacedPart], width: usize) -> String {
    let unit = layout.unit;
    let mut rows: Vec<Vec<String>> = Vec::new();
    for part in parts {
        for size in part.sizes.iter().filter(|size| size.found) {
            let angle = size.role == strongback_model::layout::SizeRole::Angle;
            let name = format!("{} {}", part.name, size.name);
            rows.push(vec![name, shown(size.settled, size.value, angle, unit)]);
        }
    }
    for found in &layout.found {
        rows.push(vec![
            found.name.clone(),
            shown(found.settled, found.value, found.angle, unit),
        ]);
    }
    if rows.is_empty() {
        return String::new();
    }
    let mut text = String::from("Found, since no sheet gives it:\n");
    text.push_str(&table(
        &[("figure", Stands::Left), ("found", Stands::Right)],
        rows,
        width,
    ));
    text
}

/// A figure, unless nothing settles it: it would only show where the search ended.
fn shown(settled: bool, value: f64, angle: bool, unit: Unit) -> String {
    if settled {
        figures::value(value, angle, unit)
    } else {
        "not settled".to_owned()
    }
}

fn amiss(answer: &LocateAnswer, width: usize) -> String {
    let layout = &answer.layout;
    let mut text = at_odds::text(&layout.at_odds, &[], layout.unit, width);
    text.push_str(&loose(&layout.loose, width));
    text.push_str(&waiting(&layout.waiting, width));
    for (verdict, what, more) in [
        (FitVerdict::Misses, "Must-fits that miss", "by how much"),
        (
            FitVerdict::Unmeasured,
            "Must-fits that can't be measured",
            "why",
        ),
    ] {
        let fits = answer.fits.iter().filter(|fit| fit.verdict == verdict);
        let names: Vec<&str> = fits.map(|fit| fit.name.as_str()).collect();
        if !names.is_empty() {
            let names = names.join("; ");
            let told = format!("{what}: {names}. `strongback fit` tells {more}.");
            text.push_str(&wrapped(&told, width, 2));
            text.push('\n');
        }
    }
    text + &at_odds::spare(&layout.spare, layout.unit, width)
}

/// What can't be judged yet.
fn waiting(list: &[strongback_model::layout::Waiting], width: usize) -> String {
    if list.is_empty() {
        return String::new();
    }
    let names: Vec<&str> = list.iter().map(|one| one.statement.as_str()).collect();
    let told = format!(
        "Waiting: {}. Not met where the search ended, and something there is loose: settle that first.",
        names.join("; ")
    );
    wrapped(&told, width, 2) + "\n"
}

/// The mark of a part that something of can still move, with what that is.
fn loose_in(layout: &Layout, part: &str) -> String {
    let mut ways: Vec<&str> = Vec::new();
    let rates = layout.loose.iter().flat_map(|motion| &motion.rates);
    for (what, _) in rates {
        // `frame` is no beginning of `frame 2 fs`: the longest name of a part that fits is meant
        let names = layout.parts.iter().map(|part| part.name.as_str());
        let own = names
            .filter_map(|name| Some((name, what.strip_prefix(name)?.strip_prefix(' ')?)))
            .max_by_key(|(name, _)| name.len());
        if let Some((name, way)) = own
            && name == part
            && !ways.contains(&way)
        {
            ways.push(way);
        }
    }
    if ways.is_empty() {
        "loose".to_owned()
    } else {
        format!("loose in {}", ways.join(", "))
    }
}

/// What can still move, in short.
pub(super) fn loose(list: &[strongback_model::layout::Loose], width: usize) -> String {
    let mut text = String::new();
    for motion in list {
        // the sentence counts the parts beyond two of a kind
        let all = if motion.parts.len() > 2 {
            format!(" All that move: {}.", motion.parts.join(", "))
        } else {
            String::new()
        };
        let told = format!("Loose: {}.{all}", motion.told);
        text.push_str(&wrapped(&told, width, 2));
    }
    if !text.is_empty() {
        text.push('\n');
    }
    text
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    /// The model of a frame with nothing that says where its two namesakes lie along the fuselage.
    const LOOSE: &str = r#"(format: 1, title: "x", unit: Inch, fit: "1/32 in", parts: {
        "frame": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in", at: (bl: 0, wl: 0)),
        "frame 2": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: Find, at: (bl: 0, wl: 0)),
        "frame 3": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in", at: (bl: 0, wl: 0)),
    }, relations: {
        "first gap": Flush("frame.aft", "frame 2.fwd"),
        "second gap": Flush("frame 2.aft", "frame 3.fwd"),
    })"#;

    #[test]
    fn a_loose_part_says_in_what_and_a_loose_group_names_all() {
        let document = strongback_model::source::read(LOOSE).unwrap();
        let assembly = strongback_model::assembly::assemble(&document).unwrap();
        let layout = assembly.solve().unwrap().layout();
        assert_eq!(loose_in(&layout, "frame"), "loose in fs");
        let second = loose_in(&layout, "frame 2");
        assert!(
            second.contains("fs") && second.contains("height"),
            "{second}"
        );
        let told = loose(&layout.loose, 200);
        assert!(
            told.contains("All that move: frame, frame 2, frame 3."),
            "{told}"
        );
    }
}
