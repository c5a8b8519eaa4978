//! `joints` as text: a table of all, those that are named in full, what breaks a rule, and the sources.

use strongback_model::joint::{Finding, JointReport, Purchase, What};
use strongback_model::quantity::Unit;
use strongback_model::trade::Source;

use super::figures;
use super::joint;
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
    let bare = joints.iter().filter(|report| report.rows.is_empty());
    let bare = bare.count();
    let full = joints.iter().filter(|report| {
        // rows are stated, and have no room
        !report.rows.is_empty() && report.joint.places_mm.is_empty()
    });
    let full = full.count();
    let these = |count: usize| if count == 1 { "it" } else { "these" };
    let mut rest = match bare {
        0 => String::new(),
        bare if bare == joints.len() => {
            " No rows are stated: edge distance and pitch can't be checked.".to_owned()
        }
        bare => format!(
            " {} no rows: edge distance and pitch of {} can't be checked.",
            figures::count(bare, "states", "state"),
            these(bare)
        ),
    };
    if full > 0 {
        rest.push_str(&format!(
            " The rows of {full} have no room: edge distance and pitch of {} can't be checked.",
            these(full)
        ));
    }
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
            text.push_str(&joint::text(report, unit, width));
        }
    } else {
        text.push_str(&amiss(&answer.joints, unit, width));
    }
    if let Some(written) = &answer.written {
        text.push_str(&format!(
            "{written} is written: the joint as a picture.\n\n"
        ));
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
            let thick = layer.thickness_mm;
            let thick = thick.map_or_else(|| NONE.to_owned(), |mm| figures::column(mm, unit));
            format!("{} {thick}", layer.part)
        })
        .collect();
    vec![
        joint.statement.clone(),
        fasteners,
        layers.join(" + "),
        grip(report, unit),
        report.buy.as_ref().map_or_else(|| "-".to_owned(), short),
        report
            .hole
            .as_ref()
            .map_or_else(|| "-".to_owned(), |hole| hole.drill.clone()),
    ]
}

/// Where there is no figure, since a layer has no metal at the fasteners.
const NONE: &str = "–";

pub(super) fn grip(report: &JointReport, unit: Unit) -> String {
    let grip = report.grip_mm;
    grip.map_or_else(|| NONE.to_owned(), |mm| figures::length(mm, unit))
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

/// What breaks a rule, joint by joint, and metal that a joint goes through unnamed: its grip lacks that.
fn amiss(joints: &[JointReport], unit: Unit, width: usize) -> String {
    let mut text = String::new();
    for report in joints {
        let told = |finding: &&Finding| finding.violates || finding.what == What::OtherMetal;
        for finding in report.findings.iter().filter(told) {
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
