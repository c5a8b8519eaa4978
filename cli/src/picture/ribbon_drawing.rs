//! The ribbon on the paper. In: its entries, and where stations lie. Out: the zero line, ticks in the file's unit, bars and
//! symbols side by side, a level with a figure for each distinct shift, and the names of the parts.

use strongback_model::quantity::Unit;

use super::ink;
use super::look::Change;
use super::ribbon::{BARS, Course, Entry, EntryKind, Upright, upright};
use super::ribbon_levels::{self, Level};
use super::ribbon_names::{self, Names};
use super::sheet::{Anchor, Lettering, Sheet, escaped, number};
use super::spread::spread;
use super::view::Mapping;
use crate::render::figures;

/// Width of a bar on the paper, and what is left free between two.
const BAR: f64 = 1.4;
const FREE: f64 = 0.3;
/// Room for words and symbols above the bars, and below them.
const ABOVE: f64 = 6.0;
const BELOW: f64 = 2.0;
/// Room below them for the words where they point down.
const BELOW_WORDS: f64 = 7.0;

/// Where everything on the ribbon stands.
#[derive(Clone, Debug)]
pub(super) struct Plan {
    way: Course,
    scale: Option<Upright>,
    /// Paper x of each entry, and the width of the bars.
    x: Vec<f64>,
    bar: f64,
    levels: Vec<Level>,
    names: Names,
    /// From the ribbon's upper edge to the top of the bars' room, and to where the leaders bend.
    top: f64,
    foot: f64,
    /// Between which paper x the zero line runs.
    across: [f64; 2],
    /// Whether a bar stands visibly beside its station.
    moved_aside: bool,
    /// Distinct shifts without a figure.
    no_figure: usize,
}

impl Plan {
    /// Finds all places; the zero line runs between two paper x, and names lie within the margins.
    pub(super) fn of(
        (entries, way): (&[Entry], Course),
        mapping: &Mapping,
        across: [f64; 2],
        margins: [f64; 2],
        unit: Unit,
    ) -> Plan {
        let scale = upright(entries);
        let at: Vec<f64> = entries
            .iter()
            .map(|entry| mapping.x(entry.station))
            .collect();
        let (x, bar) = side_by_side(entries, &at, across);
        let moved_aside = at.iter().zip(&x).any(|(at, x)| (at - x).abs() > 0.5 * BAR);
        let (levels, no_figure) = scale.map_or((Vec::new(), 0), |scale| {
            ribbon_levels::levels(entries, &x, scale, unit)
        });
        // Where two levels are too close for the eye, the names tell which of them a bar reaches.
        let told = |entry: &Entry| match entry.kind {
            EntryKind::Bar(by) => {
                let figure = ribbon_levels::reads(by, unit);
                let zero = scale.map_or(0.0, |scale| scale.zero);
                ribbon_levels::is_close(&levels, zero, &figure).then_some(figure)
            }
            _ => None,
        };
        let names = ribbon_names::place(entries, &x, told, margins);
        let (top, foot) = match scale {
            None => (5.0, 7.0),
            Some(scale) => {
                let over = ribbon_levels::overhang(levels.len());
                let below = if scale.range[0] < 0.0 {
                    BELOW_WORDS
                } else {
                    BELOW
                };
                let top = over.max(ABOVE);
                (top, top + BARS + over.max(below))
            }
        };
        Plan {
            way,
            scale,
            bar,
            no_figure,
            x,
            levels,
            names,
            top,
            foot,
            across,
            moved_aside,
        }
    }

    /// Height on the paper of the bars' room with what is around it.
    pub(super) fn bars_height(&self) -> f64 {
        self.foot
    }

    /// Height of all.
    pub(super) fn height(&self) -> f64 {
        self.foot + self.names.height
    }

    /// What the ribbon doesn't show, or not where it is.
    pub(super) fn remarks(&self) -> Vec<String> {
        let mut remarks = Vec::new();
        if self.moved_aside {
            remarks.push("Bars of nearly the same station stand side by side.".to_owned());
        }
        if self.no_figure > 0 {
            remarks.push(format!(
                "Bars without a figure for want of room: {} more shifts.",
                self.no_figure
            ));
        }
        if self.names.left_out > 0 {
            remarks.push(format!(
                "Changed, but not named under the ribbon for want of room: {} of the parts.",
                self.names.left_out
            ));
        }
        remarks
    }

    /// Draws the ribbon with its upper edge at `y`.
    pub(super) fn draw(&self, sheet: &mut Sheet, entries: &[Entry], y: f64, unit: Unit, id: &str) {
        let [left, right] = self.across;
        let top = y + self.top;
        let zero = top + self.scale.map_or(0.0, |scale| scale.zero);
        sheet.open(r#"class="ribbon""#);
        if let Some(scale) = self.scale {
            ticks(sheet, (scale, self.way), zero, [left, right], unit);
            ribbon_levels::lines(sheet, &self.levels, top, right);
        }
        let start = |at: usize| match (self.scale, entries[at].kind) {
            (Some(scale), EntryKind::Bar(by)) => zero + (-by * scale.paper_per_mm).max(0.0) + 0.3,
            _ => zero + 1.5,
        };
        ribbon_names::draw(sheet, &self.names, y + self.foot, start);
        sheet.open(&format!(
            r#"class="zero" stroke="{}" stroke-width="0.25""#,
            ink::INK
        ));
        sheet.line([left, zero], [right, zero], "");
        sheet.close();
        if let Some(scale) = self.scale {
            self.bars(sheet, entries, (scale, zero), unit, id);
            ribbon_levels::figures(sheet, &self.levels, top, right);
        }
        // Dots of unmoved parts lie beneath all other symbols.
        for still in [true, false] {
            for (entry, &x) in entries.iter().zip(&self.x) {
                if (entry.kind == EntryKind::Unmoved) == still {
                    symbol(
                        sheet,
                        entry.kind,
                        entry.change,
                        Some((&entry.part, self.way)),
                        [x, zero],
                    );
                }
            }
        }
        sheet.close();
    }

    fn bars(
        &self,
        sheet: &mut Sheet,
        entries: &[Entry],
        (scale, zero): (Upright, f64),
        unit: Unit,
        id: &str,
    ) {
        sheet.open(r#"class="bars" stroke-width="0.2""#);
        for (entry, x) in entries.iter().zip(&self.x) {
            let EntryKind::Bar(by) = entry.kind else {
                continue;
            };
            let tall = by.abs() * scale.paper_per_mm;
            let top = if by > 0.0 { zero - tall } else { zero };
            let part = escaped(&entry.part);
            sheet.put(format_args!(
                r#"<rect class="bar" data-part="{part}" x="{}" y="{}" width="{}" height="{}" fill="{}" stroke="{}"><title>{part}: {}</title></rect>"#,
                number(x - 0.5 * self.bar),
                number(top),
                number(self.bar),
                number(tall),
                fill(entry.change, id),
                entry.change.colour(),
                figures::signed(by, unit)
            ));
        }
        sheet.close();
    }
}

/// Places of all that is more than unmoved, side by side where stations are too close, and the width of a bar.
fn side_by_side(entries: &[Entry], at: &[f64], [left, right]: [f64; 2]) -> (Vec<f64>, f64) {
    let mut x = at.to_vec();
    let signs: Vec<usize> = (0..entries.len())
        .filter(|&i| entries[i].kind != EntryKind::Unmoved)
        .collect();
    // A view narrower than the paper keeps its bars; one with hundreds of them gets thin ones.
    let widest = (right - left) / (signs.len().max(1) as f64);
    let pitch = (BAR + FREE).min(0.99 * widest);
    let bar = pitch * BAR / (BAR + FREE);
    let wishes: Vec<f64> = signs.iter().map(|&i| at[i]).collect();
    let gaps = vec![pitch; signs.len().saturating_sub(1)];
    let reach = vec![[0.5 * bar; 2]; signs.len()];
    if let Some(places) = spread(&wishes, &gaps, &reach, [left - BAR, right + BAR]) {
        for (i, place) in signs.into_iter().zip(places) {
            x[i] = place;
        }
    }
    (x, bar)
}

/// Round distances of ticks, in mm of shift: inches as thousandths and then as a rule is divided, others by tens.
fn tick_step(unit: Unit, least: f64) -> f64 {
    const INCHES: [f64; 17] = [
        0.0001, 0.0002, 0.0005, 0.001, 0.002, 0.005, 0.015_625, 0.031_25, 0.0625, 0.125, 0.25, 0.5,
        1.0, 2.0, 4.0, 6.0, 12.0,
    ];
    let own: &[f64] = match unit {
        Unit::Inch | Unit::Foot => &INCHES,
        Unit::Millimetre | Unit::Centimetre | Unit::Metre => &[],
    };
    let tens = (-6..=9).flat_map(|power: i32| [1.0, 2.0, 5.0].map(|step| step * 10f64.powi(power)));
    own.iter()
        .map(|step| step * Unit::Inch.mm())
        .chain(tens)
        .find(|&step| step >= least)
        .unwrap_or(least)
}

fn ticks(
    sheet: &mut Sheet,
    (scale, way): (Upright, Course),
    zero: f64,
    [left, right]: [f64; 2],
    unit: Unit,
) {
    let [down, up] = way.ends;
    let step = tick_step(unit, 5.5 / scale.paper_per_mm);
    let [first, last] = scale
        .range
        .map(|end| (end / step + end.signum() * 1e-6).trunc() as i64);
    let words = Lettering::new(ink::NUMBER, ink::PALE_INK, Anchor::End);
    for count in first..=last {
        let by = count as f64 * step;
        let y = zero - by * scale.paper_per_mm;
        if count != 0 {
            let guide = format!(
                r#"class="tick" stroke="{}" stroke-width="{}""#,
                ink::GUIDE,
                ink::LINE
            );
            sheet.line([left, y], [right, y], &guide);
        }
        let text = figures::signed_column(by, unit);
        sheet.text([left - 1.5, y + 0.8], &text, words);
    }
    // The words keep clear of the figures of the greatest ticks.
    let words = Lettering::new(ink::NUMBER, ink::INK, Anchor::Start);
    let top = zero - scale.range[1] * scale.paper_per_mm;
    let foot = zero - scale.range[0] * scale.paper_per_mm;
    let start = super::MARGIN;
    if scale.range[1] > 0.0 {
        sheet.text([start, top - 4.0], &format!("↑ shift {up}"), words);
    }
    if scale.range[0] < 0.0 {
        sheet.text([start, foot + 5.6], &format!("↓ shift {down}"), words);
    }
}

/// Bars of what only moves are full: on a bar as on a part, a hatch means metal to be cut.
fn fill(change: Change, id: &str) -> String {
    match change {
        Change::Same | Change::Moved => change.colour().to_owned(),
        Change::Remade | Change::Added => change.fill(id),
    }
}

/// The symbol of a part that has no bar; in a legend it is no part's.
pub(super) fn symbol(
    sheet: &mut Sheet,
    kind: EntryKind,
    change: Change,
    part: Option<(&str, Course)>,
    [x, y]: [f64; 2],
) {
    let [cx, cy] = [x, y].map(number);
    let named = |class: &str, says: &str| {
        part.map_or((String::new(), String::new()), |(part, _)| {
            let part = escaped(part);
            (
                format!(r#" class="{class}" data-part="{part}""#),
                format!("<title>{part}: {says}</title>"),
            )
        })
    };
    match kind {
        EntryKind::Bar(_) => {}
        EntryKind::Unmoved => {
            let (name, title) = named("unmoved", "unmoved");
            sheet.put(format_args!(
                r#"<circle{name} cx="{cx}" cy="{cy}" r="0.45" fill="{}">{title}</circle>"#,
                ink::PALE_INK
            ));
        }
        EntryKind::Otherwise => {
            let along = part.map_or("", |(_, way)| way.along);
            let (name, title) = named("otherwise", &format!("changes, but not {along}"));
            let colour = change.colour();
            if change == Change::Remade {
                // a square, as the hatch would be lost at this size
                sheet.put(format_args!(
                    r##"<rect{name} x="{}" y="{}" width="1.5" height="1.5" fill="#ffffff" stroke="{colour}" stroke-width="0.35">{title}</rect>"##,
                    number(x - 0.75),
                    number(y - 0.75)
                ));
            } else {
                sheet.put(format_args!(
                    r##"<circle{name} cx="{cx}" cy="{cy}" r="0.8" fill="#ffffff" stroke="{colour}" stroke-width="0.35">{title}</circle>"##
                ));
            }
        }
        EntryKind::Added => {
            let (name, title) = named("added", "added");
            sheet.put(format_args!(
                r#"<path{name} d="M{} {cy}h2.6M{cx} {}v2.6" stroke="{}" stroke-width="0.7">{title}</path>"#,
                number(x - 1.3),
                number(y - 1.3),
                ink::ADDED
            ));
        }
        EntryKind::Dropped => {
            let (name, title) = named("dropped", "left out");
            sheet.put(format_args!(
                r#"<path{name} d="M{} {}l2 2m0 -2l-2 2" stroke="{}" stroke-width="0.7">{title}</path>"#,
                number(x - 1.0),
                number(y - 1.0),
                ink::INK
            ));
        }
    }
}
