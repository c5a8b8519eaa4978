//! One joint as a stack. In: its report. Out: an SVG in mm of paper, to a round scale: the layers across the fastener with their parts and
//! thicknesses, the grip bracketed, head and tail, washers and nut.

use strongback_model::joint::{BoltChoice, JointReport, Layer, Purchase};
use strongback_model::quantity::Unit;

use super::composition::note;
use super::sheet::{Anchor, Lettering, Sheet, number};
use super::{MARGIN, PAPER, font, ink};
use crate::render::figures;
use crate::render::joints::BY_GEOMETRY;

/// Height that a stack may take up.
const TALL: f64 = 110.0;
/// Where the middle of the fastener stands.
const MIDDLE: f64 = 95.0;
/// Half of what of the layers is shown.
const HALF: f64 = 60.0;
/// Where the names of layers begin.
const NAMES: f64 = MIDDLE + HALF + 12.0;
/// From one line of words to the next.
const LINE: f64 = 1.5 * ink::CAPTION;
/// Scales that are drawn, paper to metal.
const SCALES: [f64; 9] = [20.0, 15.0, 10.0, 8.0, 5.0, 4.0, 2.0, 1.0, 0.5];

/// Where things lie on the paper.
struct Paper {
    scale: f64,
    /// Under the head.
    top: f64,
}

impl Paper {
    /// Down from under the head.
    fn y(&self, mm: f64) -> f64 {
        self.top + mm * self.scale
    }

    /// A block about the fastener's axis, from one depth to another.
    fn block(&self, sheet: &mut Sheet, radius: f64, [from, to]: [f64; 2], fill: &str) {
        let half = radius * self.scale;
        let [x, y, w, h] = [
            MIDDLE - half,
            self.y(from),
            2.0 * half,
            (to - from) * self.scale,
        ]
        .map(number);
        sheet.put(format_args!(
            r#"<rect x="{x}" y="{y}" width="{w}" height="{h}" fill="{fill}" stroke="{}" stroke-width="{}"/>"#,
            ink::INK,
            ink::BOLD
        ));
    }
}

/// The picture as SVG, [`PAPER`] mm wide.
#[must_use]
pub fn joint(title: &str, report: &JointReport, unit: Unit) -> String {
    let mut sheet = Sheet::default();
    let room = PAPER - 2.0 * MARGIN;
    let words = |size, colour| Lettering::new(size, colour, Anchor::Start);
    let title = format!("{}: {}", title.trim(), report.joint.statement);
    let mut y = MARGIN + ink::TITLE;
    sheet.text(
        [MARGIN, y],
        &font::fitted(&title, ink::TITLE, room),
        words(ink::TITLE, ink::INK),
    );
    let (head, tail) = ends(report);
    let grip_mm: f64 = report.joint.layers.iter().map(drawn).sum();
    let whole = head + grip_mm + tail;
    let scale = SCALES.into_iter().find(|scale| whole * scale <= TALL);
    let scale = scale.unwrap_or_else(|| TALL / whole.max(1.0));
    for line in font::wrapped(&subtitle(report, scale), ink::CAPTION, room) {
        y += 1.6 * ink::CAPTION;
        sheet.text([MARGIN, y], &line, words(ink::CAPTION, ink::PALE_INK));
    }
    let paper = Paper {
        scale,
        top: y + 8.0 + head * scale,
    };
    let lowest = layers(&mut sheet, &paper, report, unit);
    if let Some(known) = report.grip_mm {
        fastener(&mut sheet, &paper, report, known);
        grip(&mut sheet, &paper, known, unit);
    }
    y = lowest.max(paper.y(grip_mm + tail)) + 6.0;
    let foot = format!("{}{BY_GEOMETRY}", source(report));
    for line in font::wrapped(&foot, ink::NOTE, room) {
        y += 1.4 * ink::NOTE;
        sheet.text([MARGIN, y], &line, words(ink::NOTE, ink::PALE_INK));
    }
    y = note(&mut sheet, y);
    sheet.finish(PAPER, y, &title)
}

fn subtitle(report: &JointReport, scale: f64) -> String {
    let joint = &report.joint;
    let buy = match &report.buy {
        Some(Purchase::Bolt(bolt)) => bolt.code.clone(),
        Some(Purchase::Rivet(rivet)) => rivet.code.clone(),
        None => joint
            .fastener
            .clone()
            .unwrap_or_else(|| "no fastener stated".to_owned()),
    };
    let count = joint
        .count
        .map_or_else(String::new, |count| format!("{count} x "));
    let hole = report
        .hole
        .as_ref()
        .map_or_else(String::new, |hole| format!(", hole {}", hole.drill));
    let scale = if scale < 1.0 {
        format!("1 : {}", figures::hundredths(1.0 / scale))
    } else {
        format!("{} : 1", figures::hundredths(scale))
    };
    format!("{count}{buy}{hole}; scale {scale}")
}

/// Where the size that is drawn stands.
fn source(report: &JointReport) -> String {
    let source = match &report.buy {
        Some(Purchase::Bolt(bolt)) => bolt.source,
        Some(Purchase::Rivet(rivet)) => rivet.source,
        None => return String::new(),
    };
    format!(
        "Size: {} ({}); heads and nuts in usual sizes. ",
        source.name,
        source.known.words()
    )
}

/// How far head and tail stand out, in mm of metal.
fn ends(report: &JointReport) -> (f64, f64) {
    let high = |at: usize| report.ends.get(at).map_or(0.0, |end| end.1);
    let tail = match &report.buy {
        Some(Purchase::Bolt(bolt)) => {
            let nut = bolt.washers_mm + bolt.nut_mm;
            nut.max(bolt.length_mm - report.grip_mm.unwrap_or(bolt.length_mm))
        }
        _ => high(1),
    };
    (high(0), tail)
}

/// The layers with their names; gives how far down the names reach.
fn layers(sheet: &mut Sheet, paper: &Paper, report: &JointReport, unit: Unit) -> f64 {
    let mut from = 0.0;
    let mut line = f64::NEG_INFINITY;
    for (at, layer) in report.joint.layers.iter().enumerate() {
        let to = from + drawn(layer);
        let fill = if at % 2 == 0 { ink::METAL } else { ink::GUIDE };
        let (stroke, width) = if layer.found {
            (ink::PICKED, ink::BOLD)
        } else {
            (ink::INK, ink::LINE)
        };
        let [x, y, w, h] = [
            MIDDLE - HALF,
            paper.y(from),
            2.0 * HALF,
            (to - from) * paper.scale,
        ]
        .map(number);
        sheet.put(format_args!(
            r#"<rect x="{x}" y="{y}" width="{w}" height="{h}" fill="{fill}" stroke="{stroke}" stroke-width="{}"/>"#,
            number(width)
        ));
        let middle = paper.y(0.5 * (from + to));
        line = middle.max(line + LINE);
        let leader = format!(r#"stroke="{}" stroke-width="{}""#, ink::PALE_INK, ink::FINE);
        sheet.line([MIDDLE + HALF, middle], [NAMES - 1.5, line], &leader);
        let alloy = layer
            .alloy
            .as_ref()
            .map_or_else(String::new, |alloy| format!(", {alloy}"));
        let found = if layer.found { ", found" } else { "" };
        let thick = layer.thickness_mm.map_or_else(
            || "no metal here:".to_owned(),
            |mm| figures::length(mm, unit),
        );
        let told = format!("{thick} {}{alloy}{found}", layer.part);
        let told = font::fitted(&told, ink::CAPTION, PAPER - MARGIN - NAMES);
        sheet.text(
            [NAMES, line + 0.35 * ink::CAPTION],
            &told,
            Lettering::new(ink::CAPTION, ink::INK, Anchor::Start),
        );
        from = to;
    }
    line.max(paper.y(from))
}

/// How thick a layer is drawn: one that has no metal at the fasteners as thin sheet.
fn drawn(layer: &Layer) -> f64 {
    const SHEET_MM: f64 = 1.0;
    layer.thickness_mm.unwrap_or(SHEET_MM)
}

fn fastener(sheet: &mut Sheet, paper: &Paper, report: &JointReport, grip: f64) {
    let (Some(diameter), [head, tail]) = (report.joint.diameter_mm, &report.ends[..]) else {
        return;
    };
    let shank = 0.5 * diameter;
    match &report.buy {
        Some(Purchase::Bolt(bolt)) => {
            paper.block(sheet, head.0, [-head.1, 0.0], "#ffffff");
            nut(sheet, paper, bolt, grip, tail.0);
            paper.block(sheet, shank, [0.0, bolt.grip_mm], "#ffffff");
            paper.block(sheet, shank, [bolt.grip_mm, bolt.length_mm], "#ffffff");
            thread(sheet, paper, shank, [bolt.grip_mm, bolt.length_mm]);
        }
        _ => {
            if head.1 > 0.0 {
                dome(sheet, paper, head.0, -head.1);
            } else {
                countersunk(sheet, paper, [head.0, shank]);
            }
            paper.block(sheet, shank, [0.0, grip], "#ffffff");
            paper.block(sheet, tail.0, [grip, grip + tail.1], "#ffffff");
        }
    }
    let axis = format!(
        r#"stroke="{}" stroke-width="{}" stroke-dasharray="4 1 0.6 1""#,
        ink::PALE_INK,
        ink::FINE
    );
    let ends = [paper.y(-head.1) - 3.0, paper.y(grip + tail.1) + 3.0];
    sheet.line([MIDDLE, ends[0]], [MIDDLE, ends[1]], &axis);
}

/// Washers and nut.
fn nut(sheet: &mut Sheet, paper: &Paper, bolt: &BoltChoice, grip: f64, radius: f64) {
    let under = grip + bolt.washers_mm;
    let count: u32 = bolt.washers.iter().map(|(count, _)| *count).sum();
    let mut from = grip;
    for (count_of, name) in &bolt.washers {
        // a thin one is half as thick as a plain one
        let share = |thin: bool| if thin { 1.0 } else { 2.0 };
        let all: f64 = bolt
            .washers
            .iter()
            .map(|(n, name)| f64::from(*n) * share(name.ends_with('L')))
            .sum();
        let each = bolt.washers_mm * share(name.ends_with('L')) / all.max(f64::from(count.max(1)));
        for _ in 0..*count_of {
            paper.block(sheet, radius, [from, from + each], ink::METAL);
            from += each;
        }
    }
    paper.block(sheet, 0.9 * radius, [under, under + bolt.nut_mm], "#ffffff");
}

fn thread(sheet: &mut Sheet, paper: &Paper, radius: f64, [from, to]: [f64; 2]) {
    let colour = format!(r#"stroke="{}" stroke-width="{}""#, ink::PALE_INK, ink::FINE);
    let half = radius * paper.scale;
    let (mut y, end) = (paper.y(from) + 1.0, paper.y(to));
    while y < end - 1.0 {
        sheet.line([MIDDLE - half, y], [MIDDLE + half, y + 0.6], &colour);
        y += 1.2;
    }
}

fn dome(sheet: &mut Sheet, paper: &Paper, radius: f64, top: f64) {
    let half = radius * paper.scale;
    let [left, right, base, rx, ry] = [
        MIDDLE - half,
        MIDDLE + half,
        paper.y(0.0),
        half,
        -top * paper.scale,
    ]
    .map(number);
    sheet.put(format_args!(
        r##"<path d="M{left} {base}A{rx} {ry} 0 0 1 {right} {base}Z" fill="#ffffff" stroke="{}" stroke-width="{}"/>"##,
        ink::INK,
        ink::BOLD
    ));
}

/// A head of 100 degrees that lies in the metal.
fn countersunk(sheet: &mut Sheet, paper: &Paper, [head, shank]: [f64; 2]) {
    let deep = (head - shank) / 50_f64.to_radians().tan();
    let [a, b] = [head, shank].map(|radius| radius * paper.scale);
    let x = [MIDDLE - a, MIDDLE + a, MIDDLE + b, MIDDLE - b].map(number);
    let [top, foot] = [0.0, deep].map(|at| number(paper.y(at)));
    sheet.put(format_args!(
        r##"<path d="M{} {top}L{} {top}L{} {foot}L{} {foot}Z" fill="#ffffff" stroke="{}" stroke-width="{}"/>"##,
        x[0],
        x[1],
        x[2],
        x[3],
        ink::INK,
        ink::BOLD
    ));
}

/// The bracket beside the grip.
fn grip(sheet: &mut Sheet, paper: &Paper, grip: f64, unit: Unit) {
    let colour = format!(r#"stroke="{}" stroke-width="{}""#, ink::INK, ink::LINE);
    let [x, end] = [MIDDLE - HALF - 6.0, MIDDLE - HALF - 2.0];
    let [top, foot] = [paper.y(0.0), paper.y(grip)];
    sheet.line([x, top], [x, foot], &colour);
    for y in [top, foot] {
        sheet.line([x, y], [end, y], &colour);
    }
    let told = format!("grip {}", figures::length(grip, unit));
    sheet.text(
        [x - 1.5, 0.5 * (top + foot) + 0.35 * ink::CAPTION],
        &told,
        Lettering::new(ink::CAPTION, ink::INK, Anchor::End),
    );
}
