//! `joints` as text: a table of all, and a stack layer by layer of those that are named.

use strongback_model::joint::{Fill, JointReport, Purchase};
use strongback_model::quantity::Unit;
use strongback_model::trade::Source;

use super::figures;
use super::joint_findings;
use super::table::{Stands, table, wrapped};
use crate::command::JointsAnswer;

/// What a choice of fastener here is.
pub const BY_GEOMETRY: &str = "Fasteners are chosen by geometry only: how many, of what strength and in what holes they have to be is not asked.";

/// The verdict in one line.
pub fn verdict(joints: &[JointReport]) -> String {
    let all = figures::count(joints.len(), "joint", "joints");
    if joints.is_empty() {
        return "The model states no joints.".to_owned();
    }
    let amiss = joints.iter().filter(|report| !report.is_well()).count();
    let placed = joints
        .iter()
        .filter(|report| !report.joint.places_mm.is_empty())
        .count();
    let rest = match joints.len() - placed {
        0 => String::new(),
        bare if bare == joints.len() => {
            " No rows are stated: edge distance and pitch can't be checked.".to_owned()
        }
        bare => format!(
            " {} no rows: edge distance and pitch of {} can't be checked.",
            figures::count(bare, "states", "state"),
            if bare == 1 { "it" } else { "these" }
        ),
    };
    match amiss {
        0 => format!("{all}: nothing that could be checked breaks a rule.{rest}"),
        n => format!(
            "{all}: {} something amiss.{rest}",
            figures::count(n, "has", "have")
        ),
    }
}

/// The whole answer.
pub fn text(answer: &JointsAnswer, width: usize) -> String {
    let unit = answer.unit;
    let mut text = wrapped(&answer.verdict, width, 0);
    text.push('\n');
    if answer.joints.is_empty() {
        return text;
    }
    let rows = answer.joints.iter().map(|report| row(report, unit));
    text.push_str(&table(
        &[
            ("joint", Stands::Left),
            ("fasteners", Stands::Left),
            ("layers, from the head", Stands::Left),
            ("grip", Stands::Right),
            ("to buy", Stands::Left),
            ("hole", Stands::Left),
        ],
        rows,
        width,
    ));
    if answer.named {
        for report in &answer.joints {
            text.push_str(&full(report, unit, width));
        }
    } else {
        text.push_str(&amiss(&answer.joints, unit, width));
    }
    if let Some(written) = &answer.written {
        text.push_str(&format!("Written: {written}\n\n"));
    }
    text.push_str(&sources(&answer.joints, width));
    text.push_str(&wrapped(BY_GEOMETRY, width, 0));
    text.push_str(&wrapped(&answer.caution, width, 0));
    text
}

fn row(report: &JointReport, unit: Unit) -> Vec<String> {
    let joint = &report.joint;
    let fasteners = match (joint.count, &joint.fastener) {
        (Some(count), Some(name)) => format!("{count} x {name}"),
        (None, Some(name)) => name.clone(),
        (Some(count), None) => format!("{count}, of no size stated"),
        (None, None) => "none stated".to_owned(),
    };
    let layers: Vec<String> = joint
        .layers
        .iter()
        .map(|layer| {
            format!(
                "{} {}",
                layer.part,
                figures::column(layer.thickness_mm, unit)
            )
        })
        .collect();
    vec![
        joint.statement.clone(),
        fasteners,
        layers.join(" + "),
        figures::length(report.grip_mm, unit),
        report.buy.as_ref().map_or_else(|| "-".to_owned(), short),
        report
            .hole
            .as_ref()
            .map_or_else(|| "-".to_owned(), |hole| hole.drill.clone()),
    ]
}

/// What to buy, in a few words.
fn short(buy: &Purchase) -> String {
    match buy {
        Purchase::Bolt(bolt) => format!("{}, {}", bolt.code, washers(&bolt.washers)),
        Purchase::Rivet(rivet) => rivet.code.clone(),
    }
}

pub(super) fn washers(list: &[(u32, String)]) -> String {
    let told: Vec<String> = list
        .iter()
        .map(|(count, name)| format!("{count} x {name}"))
        .collect();
    told.join(" + ")
}

/// Everything about one joint.
fn full(report: &JointReport, unit: Unit, width: usize) -> String {
    let joint = &report.joint;
    let mut text = format!("{}\n", joint.statement);
    let mut item =
        |told: String| text.push_str(&format!("  {}", wrapped(&told, width.saturating_sub(2), 4)));
    for (at, layer) in joint.layers.iter().enumerate() {
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
        let thick = figures::length(layer.thickness_mm, unit);
        item(format!(
            "{}. {}: {thick}{alloy}{found}{edge}",
            at + 1,
            layer.part
        ));
    }
    item(format!(
        "grip {}; the head lies {}",
        figures::length(report.grip_mm, unit),
        heads(joint.direction)
    ));
    for row in report.rows.iter().filter(|row| row.trouble.is_none()) {
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
        item(format!(
            "row of {}{from} {} inside of {}{pitch}",
            row.count,
            figures::length(row.by_mm, unit),
            row.beside
        ));
    }
    match &report.buy {
        Some(Purchase::Bolt(bolt)) => {
            item(format!(
                "{}: grip {}, length {}, thread {}; under the nut {}, {} together",
                bolt.code,
                figures::length(bolt.grip_mm, unit),
                figures::length(bolt.length_mm, unit),
                bolt.thread,
                washers(&bolt.washers),
                figures::length(bolt.washers_mm, unit)
            ));
            if let Some((code, grip)) = &bolt.shorter {
                item(format!(
                    "the next shorter, {code}, has a grip of {}: {} of its thread would bear in the joint",
                    figures::length(*grip, unit),
                    figures::length(report.grip_mm - grip, unit)
                ));
            }
        }
        Some(Purchase::Rivet(rivet)) => {
            let [down, up] = &rivet.beside;
            let between = if down.0 == up.0 {
                "exactly that".to_owned()
            } else {
                let [down, up] = [down, up]
                    .map(|(dash, mm)| format!("-{dash} ({})", figures::length(*mm, unit)));
                format!("between {down} and {up}, of which the nearer is taken")
            };
            item(format!(
                "{}: length {}; grip and 1.5 diameters are {}, {between}",
                rivet.code,
                figures::length(rivet.length_mm, unit),
                figures::length(rivet.exact_mm, unit)
            ));
        }
        None => {}
    }
    if let Some(hole) = &report.hole {
        let most = hole
            .at_most
            .as_ref()
            .map_or_else(String::new, |(name, mm, _)| {
                format!(
                    "; at most {name}, {}, if it is no light-drive fit",
                    figures::length(*mm, unit)
                )
            });
        item(format!(
            "hole: {}, {}{most}",
            hole.drill,
            figures::length(hole.diameter_mm, unit)
        ));
    }
    for spacer in &report.spacers {
        let fills: Vec<String> = spacer.fills.iter().map(|one| fill(one, unit)).collect();
        item(format!(
            "spacer {}: {} found; nearest: {}",
            spacer.part,
            figures::length(spacer.found_mm, unit),
            fills.join("; ")
        ));
    }
    for finding in &report.findings {
        item(joint_findings::told(finding, report, unit));
    }
    text.push('\n');
    text
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

/// What breaks a rule, joint by joint.
fn amiss(joints: &[JointReport], unit: Unit, width: usize) -> String {
    let mut text = String::new();
    for report in joints {
        for finding in report.findings.iter().filter(|finding| finding.violates) {
            let told = joint_findings::told(finding, report, unit);
            text.push_str(&wrapped(
                &format!("{}: {told}", report.joint.statement),
                width,
                2,
            ));
        }
    }
    if !text.is_empty() {
        text.push('\n');
    }
    text
}

/// The sources of the tables that were used, a line each.
fn sources(joints: &[JointReport], width: usize) -> String {
    let mut list: Vec<(&str, Source)> = Vec::new();
    let mut add = |what: &'static str, source: Source| {
        if !list.contains(&(what, source)) {
            list.push((what, source));
        }
    };
    for report in joints {
        match &report.buy {
            Some(Purchase::Bolt(bolt)) => add("bolts", bolt.source),
            Some(Purchase::Rivet(rivet)) => {
                add("rivet lengths", rivet.source);
                add("which of two lengths", rivet.nearest);
            }
            None => {}
        }
        if let Some(hole) = &report.hole {
            let what = if report.joint.riveted {
                "rivet holes"
            } else {
                "bolt holes"
            };
            add(what, hole.source);
        }
        for fill in report.spacers.iter().flat_map(|spacer| &spacer.fills) {
            let what = if fill.sheets_mm.is_empty() {
                "washers"
            } else {
                "sheet"
            };
            add(what, fill.source);
        }
    }
    // the order of the file is not that of the tables
    list.sort_by_key(|(what, _)| *what);
    let mut text = String::new();
    for (what, source) in &list {
        let told = format!("{what}: {} ({})", source.name, source.known.words());
        text.push_str(&wrapped(&told, width, 2));
    }
    if !text.is_empty() {
        text.push('\n');
    }
    text
}
