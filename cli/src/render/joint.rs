//! One joint in full: its layers from the head on, its rows, what to buy and what to drill, what fills a gap, and what was found.

use strongback_model::joint::{
    BoltChoice, Fill, HoleSize, JointReport, PlacedRow, Purchase, RivetChoice, SpacerChoice,
};
use strongback_model::quantity::Unit;

use super::joints::{grip, washers};
use super::table::indented;
use super::{figures, joint_findings};

/// Everything about one joint.
pub(super) fn text(report: &JointReport, unit: Unit, width: usize) -> String {
    let mut items = layers(report, unit);
    items.push(format!(
        "grip {}; the head lies {}",
        grip(report, unit),
        heads(report.joint.direction)
    ));
    let rows = report.rows.iter().filter(|row| row.trouble.is_none());
    items.extend(rows.map(|one| row(one, report, unit)));
    match &report.buy {
        Some(Purchase::Bolt(choice)) => items.extend(bolt(choice, report, unit)),
        Some(Purchase::Rivet(choice)) => items.push(rivet(choice, unit)),
        None => {}
    }
    items.extend(report.hole.iter().map(|one| hole(one, unit)));
    items.extend(report.spacers.iter().map(|one| spacer(one, unit)));
    let findings = report.findings.iter();
    items.extend(findings.map(|finding| joint_findings::told(finding, report, unit)));
    let items: String = items.iter().map(|item| indented(item, width)).collect();
    format!("{}\n{items}\n", report.joint.statement)
}

/// Each layer with its alloy, and how near an edge of it the fasteners come.
fn layers(report: &JointReport, unit: Unit) -> Vec<String> {
    let layers = report.joint.layers.iter().enumerate();
    let told = layers.map(|(at, layer)| {
        let alloy = layer
            .alloy
            .as_ref()
            .map_or_else(String::new, |alloy| format!(", {alloy}"));
        let found = if layer.found { ", found" } else { "" };
        let edge = report.edges_mm.get(at).copied().flatten();
        let edge = edge.map_or_else(String::new, |edge| {
            format!(
                "; nearest edge {}{}",
                figures::length(edge, unit),
                diameters(edge, report)
            )
        });
        let thick = layer.thickness_mm.map_or_else(
            || "no metal at the fasteners".to_owned(),
            |mm| figures::length(mm, unit),
        );
        format!("{}. {}: {thick}{alloy}{found}{edge}", at + 1, layer.part)
    });
    told.collect()
}

fn row(row: &PlacedRow, report: &JointReport, unit: Unit) -> String {
    let pitch = row.pitch_mm.map_or_else(String::new, |pitch| {
        format!(
            ", {} apart{}",
            figures::length(pitch, unit),
            diameters(pitch, report)
        )
    });
    let from = if row.from_pitch {
        " (as many as fit)"
    } else {
        ""
    };
    format!(
        "row of {}{from} {} inside of {}{pitch}",
        row.count,
        figures::length(row.by_mm, unit),
        row.beside
    )
}

/// The bolt, and why not the next shorter one.
fn bolt(bolt: &BoltChoice, report: &JointReport, unit: Unit) -> Vec<String> {
    let mut told = vec![format!(
        "{}: grip {}, length {}, thread {}; under the nut {}, {} together",
        bolt.code,
        figures::length(bolt.grip_mm, unit),
        figures::length(bolt.length_mm, unit),
        bolt.thread,
        washers(&bolt.washers),
        figures::length(bolt.washers_mm, unit)
    )];
    if let Some((code, grip)) = &bolt.shorter {
        told.push(format!(
            "the next shorter, {code}, has a grip of {}: {} of its thread would bear in the joint",
            figures::length(*grip, unit),
            figures::length(report.grip_mm.unwrap_or(*grip) - grip, unit)
        ));
    }
    told
}

fn rivet(rivet: &RivetChoice, unit: Unit) -> String {
    let [down, up] = &rivet.beside;
    let between = if down.0 == up.0 {
        "exactly that".to_owned()
    } else {
        let [down, up] =
            [down, up].map(|(dash, mm)| format!("-{dash} ({})", figures::length(*mm, unit)));
        format!("between {down} and {up}, of which the nearer is taken")
    };
    format!(
        "{}: length {}; grip and 1.5 diameters are {}, {between}",
        rivet.code,
        figures::length(rivet.length_mm, unit),
        figures::length(rivet.exact_mm, unit)
    )
}

fn hole(hole: &HoleSize, unit: Unit) -> String {
    let most = hole
        .at_most
        .as_ref()
        .map_or_else(String::new, |(name, mm, _)| {
            format!(
                "; at most {name}, {}, if it is no light-drive fit",
                figures::length(*mm, unit)
            )
        });
    format!(
        "hole: {}, {}{most}",
        hole.drill,
        figures::length(hole.diameter_mm, unit)
    )
}

fn spacer(spacer: &SpacerChoice, unit: Unit) -> String {
    let fills: Vec<String> = spacer.fills.iter().map(|one| fill(one, unit)).collect();
    format!(
        "spacer {}: {} found; nearest: {}",
        spacer.part,
        figures::length(spacer.found_mm, unit),
        fills.join("; ")
    )
}

fn diameters(mm: f64, report: &JointReport) -> String {
    let times = report.joint.diameter_mm.filter(|d| *d > 0.0);
    times.map_or_else(String::new, |d| {
        format!(" ({} D)", figures::hundredths(mm / d))
    })
}

/// The side on which heads lie.
fn heads(direction: [f64; 3]) -> &'static str {
    let words = [
        ["aft", "fwd"],
        ["on the right", "on the left"],
        ["on top", "below"],
    ];
    let axis = (0..3usize)
        .max_by(|a, b| direction[*a].abs().total_cmp(&direction[*b].abs()))
        .unwrap_or(0);
    let [minus, plus] = words[axis];
    if direction[axis] < 0.0 { minus } else { plus }
}

fn fill(fill: &Fill, unit: Unit) -> String {
    let what = if fill.sheets_mm.is_empty() {
        let [plain, thin] = fill.washers;
        let part = |count: u32, name: &str| (count > 0).then(|| format!("{count} {name}"));
        let list: Vec<String> = [part(plain, "AN960"), part(thin, "AN960 L")]
            .into_iter()
            .flatten()
            .collect();
        format!("washers {}", list.join(" + "))
    } else {
        let gauges: Vec<String> = fill
            .sheets_mm
            .iter()
            .map(|mm| figures::column(*mm, unit))
            .collect();
        format!("sheet {}", gauges.join(" + "))
    };
    let cant = fill.cant_deg.map_or_else(String::new, |cant| {
        format!(", cants it {}", figures::angle(cant.abs()))
    });
    let off = if fill.off_mm.abs() < figures::SHOWN_MM {
        "exact".to_owned()
    } else {
        let word = if fill.off_mm > 0.0 { "thick" } else { "thin" };
        format!("{} too {word}", figures::length(fill.off_mm.abs(), unit))
    };
    format!("{what} ({off}{cant})")
}
