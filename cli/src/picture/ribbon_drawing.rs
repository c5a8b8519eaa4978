//! The ribbon on the paper. In: its entries, and where stations lie. Out: the zero line, ticks in the file's unit, bars,
//! symbols, and figures where they don't overlap; neighbours that shift alike share one figure.

use strongback_model::quantity::format::{self, Sign, Style, figure};
use strongback_model::quantity::{Length, Unit};

use super::ink;
use super::ribbon::{BARS, Entry, EntryKind, Upright, upright};
use super::ribbon_figures::figures;
use super::sheet::{Anchor, Lettering, Sheet, escaped, number};
use super::view::Mapping;

/// Width of a bar on the paper.
pub(super) const BAR: f64 = 1.5;
/// Room for figures and symbols above and below the bars.
const ROOM: f64 = 9.0;

/// Height of the ribbon on the paper.
pub(super) fn height(entries: &[Entry]) -> f64 {
    if upright(entries).is_some() {
        BARS + 2.0 * ROOM
    } else {
        10.0
    }
}

/// Draws the ribbon with its upper edge at `y`, between two paper x.
pub(super) fn draw(
    sheet: &mut Sheet,
    entries: &[Entry],
    mapping: &Mapping,
    y: f64,
    [left, right]: [f64; 2],
    unit: Unit,
) {
    let scale = upright(entries);
    let zero = scale.map_or(y + 5.0, |scale| y + ROOM + scale.zero);
    sheet.open(r#"class="ribbon""#);
    if let Some(scale) = scale {
        ticks(sheet, scale, zero, [left, right], unit);
    }
    sheet.open(&format!(
        r#"class="zero" stroke="{}" stroke-width="0.25""#,
        ink::INK
    ));
    sheet.line([left, zero], [right, zero], "");
    sheet.close();
    if let Some(scale) = scale {
        bars(sheet, entries, mapping, scale, zero, unit);
        figures(sheet, entries, mapping, scale, zero, unit);
    }
    for entry in entries {
        symbol(
            sheet,
            entry.kind,
            Some(&entry.part),
            [mapping.x(entry.station), zero],
        );
    }
    sheet.close();
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

fn ticks(sheet: &mut Sheet, scale: Upright, zero: f64, [left, right]: [f64; 2], unit: Unit) {
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
        let text = figure(Length::from_mm(by), unit, Style::Short, Sign::Both);
        sheet.text([left - 1.5, y + 0.8], &text, words);
    }
    // The words keep clear of the figures of the greatest ticks.
    let words = Lettering::new(ink::NUMBER, ink::INK, Anchor::Start);
    let top = zero - scale.range[1] * scale.paper_per_mm;
    let foot = zero - scale.range[0] * scale.paper_per_mm;
    let start = super::MARGIN;
    if scale.range[1] > 0.0 {
        sheet.text([start, top - 4.0], "↑ shift aft", words);
    }
    if scale.range[0] < 0.0 {
        sheet.text([start, foot + 5.6], "↓ shift forward", words);
    }
}

fn bars(
    sheet: &mut Sheet,
    entries: &[Entry],
    mapping: &Mapping,
    scale: Upright,
    zero: f64,
    unit: Unit,
) {
    let mut bars: Vec<(&Entry, f64)> = entries
        .iter()
        .filter_map(|entry| match entry.kind {
            EntryKind::Bar(by) => Some((entry, by)),
            _ => None,
        })
        .collect();
    // Tall ones first: where two stand at one station, the shorter is seen before the taller.
    bars.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    sheet.open(&format!(
        r##"class="bars" fill="{}" stroke="#ffffff" stroke-width="0.15""##,
        ink::MOVED
    ));
    for (entry, by) in bars {
        let tall = by.abs() * scale.paper_per_mm;
        let top = if by > 0.0 { zero - tall } else { zero };
        let x = mapping.x(entry.station) - 0.5 * BAR;
        sheet.put(format_args!(
            r#"<rect class="bar" data-part="{}" x="{}" y="{}" width="{BAR}" height="{}"><title>{}: {}</title></rect>"#,
            escaped(&entry.part),
            number(x),
            number(top),
            number(tall),
            escaped(&entry.part),
            format::shift(Length::from_mm(by), unit, Style::Short)
        ));
    }
    sheet.close();
}

/// The symbol of a part that has no bar; in a legend it is no part's.
pub(super) fn symbol(sheet: &mut Sheet, kind: EntryKind, part: Option<&str>, [x, y]: [f64; 2]) {
    let [cx, cy] = [x, y].map(number);
    let named = |class: &str, says: &str| {
        part.map_or((String::new(), String::new()), |part| {
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
            let (name, title) = named("otherwise", "changes, but not along the fuselage");
            sheet.put(format_args!(
                r##"<circle{name} cx="{cx}" cy="{cy}" r="0.85" fill="#ffffff" stroke="{}" stroke-width="0.35">{title}</circle>"##,
                ink::MOVED
            ));
        }
        EntryKind::Added => {
            let (name, title) = named("added", "added");
            sheet.put(format_args!(
                r#"<path{name} d="M{} {cy}h2.6M{cx} {}v2.6" stroke="{}" stroke-width="0.7">{title}</path>"#,
                number(x - 1.3),
                number(y - 1.3),
                ink::PICKED
            ));
        }
        EntryKind::Dropped => {
            let (name, title) = named("dropped", "dropped");
            sheet.put(format_args!(
                r#"<path{name} d="M{} {}l2 2m0 -2l-2 2" stroke="{}" stroke-width="0.7">{title}</path>"#,
                number(x - 1.0),
                number(y - 1.0),
                ink::INK
            ));
        }
    }
}
