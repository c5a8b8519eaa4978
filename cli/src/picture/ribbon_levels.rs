//! The figures of the ribbon. In: its entries, and where their bars stand. Out: one level for each distinct shift, from its
//! first bar to the right-hand margin, where its figure stands apart from the others, and from all bars; in mm of paper.

use std::collections::BTreeMap;

use strongback_model::quantity::Unit;

use super::font;
use super::ink;
use super::ribbon::{BARS, Entry, EntryKind, Upright};
use super::sheet::{Anchor, Lettering, Sheet, number};
use super::spread::spread;
use crate::render::figures;

/// All bars of one shift.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Level {
    /// The shift as it reads.
    pub(super) figure: String,
    pub(super) count: usize,
    /// Paper x of the first bar.
    pub(super) from: f64,
    /// How far the bars' ends lie below the top of the bars' room, and the figure's middle.
    pub(super) end: f64,
    pub(super) place: f64,
}

/// From the middle of one figure to the next.
const PITCH: f64 = 1.3 * ink::NUMBER;
/// More figures than this would make a page of the ribbon.
const MOST: usize = 40;
/// Ends nearer than this can't be told apart by eye.
const CLOSE: f64 = 0.7;

/// The figure of a shift.
pub(super) fn reads(by: f64, unit: Unit) -> String {
    figures::signed_column(by, unit)
}

/// The levels from the top down, and how many shifts have none for want of room.
pub(super) fn levels(
    entries: &[Entry],
    x: &[f64],
    scale: Upright,
    unit: Unit,
) -> (Vec<Level>, usize) {
    let mut of: BTreeMap<String, Level> = BTreeMap::new();
    for (entry, &x) in entries.iter().zip(x) {
        let EntryKind::Bar(by) = entry.kind else {
            continue;
        };
        let end = scale.zero - by * scale.paper_per_mm;
        let level = of
            .entry(reads(by, unit))
            .or_insert_with_key(|figure| Level {
                figure: figure.clone(),
                count: 0,
                from: x,
                end,
                place: end,
            });
        level.count += 1;
        level.from = level.from.min(x);
    }
    let mut levels: Vec<Level> = of.into_values().collect();
    let too_many = levels.len().saturating_sub(MOST);
    // Those of most parts are kept.
    levels.sort_by_key(|level| std::cmp::Reverse(level.count));
    levels.truncate(MOST);
    levels.sort_by(|a, b| a.end.total_cmp(&b.end));
    let over = overhang(levels.len());
    let ends: Vec<f64> = levels.iter().map(|level| level.end).collect();
    let gaps = vec![PITCH; ends.len().saturating_sub(1)];
    let reach = vec![[0.5 * PITCH; 2]; ends.len()];
    if let Some(places) = spread(&ends, &gaps, &reach, [-over, BARS + over]) {
        for (level, place) in levels.iter_mut().zip(places) {
            level.place = place;
        }
    }
    (levels, too_many)
}

/// How far the column of so many figures may reach beyond the bars' room, above and below.
pub(super) fn overhang(count: usize) -> f64 {
    (0.5 * (count.min(MOST) as f64 * PITCH - BARS)).max(0.5 * PITCH) + 1e-3
}

/// Whether another level or zero is so near that the eye can't tell which of them a bar reaches.
pub(super) fn is_close(levels: &[Level], zero: f64, figure: &str) -> bool {
    let Some(own) = levels.iter().find(|level| level.figure == figure) else {
        return false;
    };
    let others = levels.iter().filter(|other| other.figure != figure);
    others
        .map(|other| other.end)
        .chain([zero])
        .any(|end| (end - own.end).abs() < CLOSE)
}

/// Draws the lines of the levels; the bars are to be drawn over them.
pub(super) fn lines(sheet: &mut Sheet, levels: &[Level], top: f64, right: f64) {
    sheet.open(&format!(
        r#"class="levels" fill="none" stroke="{}" stroke-width="{}""#,
        ink::PALE_INK,
        ink::FINE
    ));
    for level in levels {
        let [from, end, place] = [level.from, top + level.end, top + level.place].map(number);
        let [bend, tip] = [right + 0.5, right + 3.0].map(number);
        sheet.put(format_args!(
            r#"<path class="level" d="M{from} {end}H{bend}L{tip} {place}"/>"#
        ));
    }
    sheet.close();
}

/// Writes the figures at the right of the ribbon.
pub(super) fn figures(sheet: &mut Sheet, levels: &[Level], top: f64, right: f64) {
    let lettering = Lettering::new(ink::NUMBER, ink::INK, Anchor::Start);
    let room = super::PAPER - 1.0 - (right + 3.6);
    for level in levels {
        let text = match level.count {
            1 => level.figure.clone(),
            count => format!("{}, {count} parts", level.figure),
        };
        let text = font::fitted(&text, ink::NUMBER, room);
        let y = top + level.place + 0.36 * ink::NUMBER;
        sheet.text([right + 3.6, y], &text, lettering);
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::look::Change;
    use super::super::ribbon::upright;
    use super::*;

    fn bar(by: f64) -> Entry {
        Entry {
            part: String::new(),
            station: 0.0,
            kind: EntryKind::Bar(by),
            change: Change::Moved,
        }
    }

    #[test]
    fn one_for_each_shift_and_none_over_another() {
        // Two shifts that differ by a hundredth of the room, each of parts that are no neighbours.
        let entries = [25.4, 25.1, 25.4, -3.0, 25.1].map(bar);
        let scale = upright(&entries).unwrap();
        let (levels, more) = levels(
            &entries,
            &[10.0, 20.0, 30.0, 40.0, 50.0],
            scale,
            Unit::Millimetre,
        );
        assert_eq!(more, 0);
        let told: Vec<_> = levels.iter().map(|l| (l.count, l.from)).collect();
        assert_eq!(told, [(2, 10.0), (2, 20.0), (1, 40.0)], "from the top down");
        assert!(
            levels
                .windows(2)
                .all(|two| two[1].place - two[0].place >= PITCH - 1e-9)
        );
        assert!(
            is_close(&levels, scale.zero, &levels[0].figure)
                && !is_close(&levels, scale.zero, &levels[2].figure)
        );
    }

    #[test]
    fn hundreds_of_shifts() {
        let entries: Vec<Entry> = (1..=300).map(|by| bar(f64::from(by))).collect();
        let scale = upright(&entries).unwrap();
        let (levels, more) = levels(&entries, &vec![0.0; 300], scale, Unit::Inch);
        assert_eq!((levels.len(), more), (MOST, 300 - MOST));
        let over = overhang(levels.len());
        assert!(
            levels
                .iter()
                .all(|l| -over <= l.place && l.place <= BARS + over)
        );
    }
}
