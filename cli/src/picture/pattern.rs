//! A flat pattern at full size. In: a blank. Out: its lines on a sheet, one user unit a millimetre of metal; or an SVG of its own.
//!
//! Bold lines are cut; a bend is a broken line between two thin ones, the tangent lines, at which the flat ends; what is marked is thin and
//! solid.

use std::fmt::Write;

use strongback_model::blank::Blank;
use strongback_model::pattern::{BendLine, Loop, Mark};
use strongback_model::quantity::Unit;

use super::sheet::{Anchor, Lettering, Sheet, number};
use super::{font, ink};
use crate::render::figures;

/// Chords stay as near to an arc, in mm.
const WITHIN: f64 = 0.02;
/// Room around a drawing, mm.
const ROOM: f64 = 8.0;
/// Height of letters, mm.
const LETTERS: f64 = 3.2;
/// Half of the cross that marks a hole, mm.
pub(crate) const CROSS: f64 = 2.5;

/// Where a pattern's own coordinates lie on a sheet: y runs down there.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placed {
    /// Sheet x of the pattern's x = 0.
    pub(super) left: f64,
    /// Sheet y of the pattern's y = 0.
    pub(super) foot: f64,
}

impl Placed {
    fn point(self, [x, y]: [f64; 2]) -> [f64; 2] {
        [self.left + x, self.foot - y]
    }
}

/// Least and greatest x and y of all that is drawn.
pub(super) fn bounds(blank: &Blank) -> [[f64; 2]; 2] {
    let mut bounds = [[f64::INFINITY, f64::NEG_INFINITY]; 2];
    for [from, to] in strokes(blank) {
        for point in [from, to] {
            for (range, at) in bounds.iter_mut().zip(point) {
                *range = [range[0].min(at), range[1].max(at)];
            }
        }
    }
    bounds.map(|range| {
        if range[0] <= range[1] {
            range
        } else {
            [0.0; 2]
        }
    })
}

/// All lines as straights: what decides which pages have something on them.
pub(super) fn strokes(blank: &Blank) -> Vec<[[f64; 2]; 2]> {
    let pattern = &blank.pattern;
    let mut strokes = Vec::new();
    for outline in std::iter::once(&pattern.outline).chain(&pattern.openings) {
        let points = outline.straightened(WITHIN);
        let next = points.iter().cycle().skip(1);
        strokes.extend(points.iter().zip(next).map(|(from, to)| [*from, *to]));
    }
    for bend in &pattern.bends {
        strokes.extend(tangents(bend));
    }
    for mark in &pattern.marks {
        match mark {
            Mark::Line { ends_mm, .. } => strokes.push(*ends_mm),
            Mark::Centre { at_mm: [x, y], .. } => {
                strokes.push([[x - CROSS, *y], [x + CROSS, *y]]);
                strokes.push([[*x, y - CROSS], [*x, y + CROSS]]);
            }
        }
    }
    strokes.retain(|ends| ends.iter().flatten().all(|x| x.is_finite()));
    strokes
}

/// The two tangent lines of a bend.
pub(crate) fn tangents(bend: &BendLine) -> [[[f64; 2]; 2]; 2] {
    let [[x0, y0], [x1, y1]] = bend.ends_mm;
    let (dx, dy) = (x1 - x0, y1 - y0);
    let length = dx.hypot(dy).max(f64::MIN_POSITIVE);
    let half = 0.5 * bend.allowance_mm / length;
    [half, -half].map(|off| {
        [
            [x0 - off * dy, y0 + off * dx],
            [x1 - off * dy, y1 + off * dx],
        ]
    })
}

/// What is to be done at a bend: `bend up 90 deg, R 1/8 in`.
pub(crate) fn told(bend: &BendLine, unit: Unit) -> String {
    format!(
        "bend {} {}, R {}",
        if bend.up { "up" } else { "down" },
        figures::angle(bend.angle_deg),
        figures::length(bend.radius_mm, unit)
    )
}

/// Draws the lines of a blank.
pub(super) fn draw(sheet: &mut Sheet, blank: &Blank, unit: Unit, placed: Placed) {
    let pattern = &blank.pattern;
    let group = |colour: &str, width: f64, class: &str| {
        format!(
            r#"class="{class}" fill="none" stroke="{colour}" stroke-width="{}" stroke-linejoin="round""#,
            number(width)
        )
    };
    sheet.open(&group(ink::INK, 0.35, "cut"));
    for outline in std::iter::once(&pattern.outline).chain(&pattern.openings) {
        sheet.put(format_args!(r#"<path d="{}"/>"#, path(outline, placed)));
    }
    sheet.close();
    sheet.open(&group(ink::PICKED, 0.18, "bend"));
    for bend in &pattern.bends {
        for [from, to] in tangents(bend) {
            sheet.line(placed.point(from), placed.point(to), "");
        }
        let [from, to] = bend.ends_mm.map(|end| placed.point(end));
        sheet.line(from, to, r#" stroke-dasharray="6 1.5 1.5 1.5""#);
    }
    sheet.close();
    sheet.open(&group(ink::PALE_INK, 0.18, "mark"));
    for mark in &pattern.marks {
        match mark {
            Mark::Line { ends_mm, .. } => {
                let [from, to] = ends_mm.map(|end| placed.point(end));
                sheet.line(from, to, r#" stroke-dasharray="1 1""#);
            }
            Mark::Centre {
                at_mm, diameter_mm, ..
            } => {
                let [x, y] = placed.point(*at_mm);
                sheet.line([x - CROSS, y], [x + CROSS, y], "");
                sheet.line([x, y - CROSS], [x, y + CROSS], "");
                if let Some(diameter) = diameter_mm {
                    sheet.put(format_args!(
                        r#"<circle cx="{}" cy="{}" r="{}"/>"#,
                        number(x),
                        number(y),
                        number(0.5 * diameter)
                    ));
                }
            }
        }
    }
    sheet.close();
    words(sheet, blank, unit, placed);
}

/// What stands beside bends and marks.
fn words(sheet: &mut Sheet, blank: &Blank, unit: Unit, placed: Placed) {
    for bend in &blank.pattern.bends {
        let told = format!("{}: {}", bend.name, told(bend, unit));
        along(
            sheet,
            &told,
            (bend.ends_mm, 0.5 * bend.allowance_mm),
            placed,
            ink::PICKED,
        );
    }
    for mark in &blank.pattern.marks {
        match mark {
            Mark::Line { name, ends_mm } => {
                along(sheet, name, (*ends_mm, 0.0), placed, ink::PALE_INK)
            }
            Mark::Centre { name, at_mm, .. } => {
                let [x, y] = placed.point(*at_mm);
                let lettering = Lettering::new(0.8 * LETTERS, ink::PALE_INK, Anchor::Start);
                sheet.text([x + 1.0, y - 1.0], name, lettering);
            }
        }
    }
}

/// From one saying of a bend to the next along it, mm: on every page one is seen.
const AGAIN: f64 = 150.0;

/// Words along a line, clear of what lies so far beside it, where they fit on it; said again along a long one.
fn along(
    sheet: &mut Sheet,
    told: &str,
    (ends, beside): ([[f64; 2]; 2], f64),
    placed: Placed,
    colour: &'static str,
) {
    let [from, to] = ends.map(|end| placed.point(end));
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let length = dx.hypot(dy);
    let size = 0.8 * LETTERS;
    // false for what is no number, too
    let fits = font::width(told, size) <= length;
    if !fits {
        return;
    }
    // read from below or from the right
    let turned = dy.atan2(dx).to_degrees();
    let turn_deg = if turned > 90.0 || turned <= -90.0 {
        turned + 180.0
    } else {
        turned
    };
    let (sin, cos) = turn_deg.to_radians().sin_cos();
    let lift = beside + 0.7;
    let lettering = Lettering {
        turn_deg,
        ..Lettering::new(size, colour, Anchor::Middle)
    };
    let times = (length / AGAIN).floor().clamp(1.0, 1000.0) as u32;
    for time in 0..times {
        let share = (f64::from(time) + 0.5) / f64::from(times);
        let at = [
            from[0] + share * dx + lift * sin,
            from[1] + share * dy - lift * cos,
        ];
        sheet.text(at, told, lettering);
    }
}

fn path(outline: &Loop, placed: Placed) -> String {
    let mut path = String::new();
    for (at, corner) in outline.straightened(WITHIN).into_iter().enumerate() {
        let [x, y] = placed.point(corner);
        let _ = write!(
            path,
            "{}{} {}",
            if at == 0 { "M" } else { "L" },
            number(x),
            number(y)
        );
    }
    path + "Z"
}

/// The head of a blank: part, gauge, alloy, from where it is seen.
pub(super) fn heading(blank: &Blank, unit: Unit) -> String {
    let alloy = blank.alloy.as_deref().map(|alloy| format!(" {alloy}"));
    format!(
        "{}: {}{}, {} by {}, seen from {}",
        blank.part,
        figures::length(blank.gauge_mm, unit),
        alloy.unwrap_or_default(),
        figures::length(blank.size_mm[0], unit),
        figures::length(blank.size_mm[1], unit),
        blank.seen_from
    )
}

/// The blank as an SVG at full size: its width and height are in millimetres, and so is each user unit.
pub(crate) fn template(blank: &Blank, unit: Unit) -> String {
    let [x, y] = bounds(blank);
    let mut sheet = Sheet::default();
    let head = ROOM + 2.0 * LETTERS;
    let placed = Placed {
        left: ROOM - x[0],
        foot: head + y[1],
    };
    let width = x[1] - x[0] + 2.0 * ROOM;
    let words = Lettering::new(LETTERS, ink::INK, Anchor::Start);
    let told = format!("{}; full size, 1 : 1 in mm", heading(blank, unit));
    let told = font::fitted(&told, LETTERS, (width - 2.0 * ROOM).max(40.0));
    sheet.text([ROOM, ROOM], &told, words);
    draw(&mut sheet, blank, unit, placed);
    sheet.finish(
        width.max(40.0 + 2.0 * ROOM),
        head + y[1] - y[0] + ROOM,
        &told,
    )
}
