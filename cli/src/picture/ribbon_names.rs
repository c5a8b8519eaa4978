//! Whose bar is whose. In: the entries of the ribbon, and where they stand. Out: slanted names under it, each with a leader to
//! its bar or symbol; like neighbours such as both hands of a part share one. Leaders keep their order, so they never cross.

use super::font;
use super::ink;
use super::joined::joined;
use super::ribbon::{Entry, EntryKind};
use super::sheet::{Anchor, Lettering, Sheet, number};
use super::spread::spread;

/// A name in its place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Name {
    pub(super) text: String,
    /// The entries that it stands for.
    pub(super) of: Vec<usize>,
    /// Paper x where the leader starts, and where the name is.
    pub(super) x: [f64; 2],
}

/// All names in their places.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Names {
    pub(super) placed: Vec<Name>,
    pub(super) size: f64,
    /// Height of the zone in which leaders bend, and of all.
    pub(super) bend: f64,
    pub(super) height: f64,
    /// Parts that are not named for want of room.
    pub(super) left_out: usize,
}

/// Text sizes, the first that gives room for all is taken.
const SIZES: [f64; 3] = [2.5, 2.2, 1.9];
/// The longest name shown in full, in ems.
const LONGEST_EM: f64 = 20.0;
/// Sine and cosine of the slant of 45 degrees.
const HALF_RIGHT: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// Between names along the row, in ems.
const PITCH_EM: f64 = 1.22 / HALF_RIGHT;

/// Places the names between the paper's `left` and `right`; `figure` adds what a name has to tell of its bar.
pub(super) fn place(
    entries: &[Entry],
    x: &[f64],
    figure: impl Fn(&Entry) -> Option<String>,
    [left, right]: [f64; 2],
) -> Names {
    let wanted = grouped(entries, x, figure);
    let asked: usize = wanted.iter().map(|name| name.of.len()).sum();
    for size in SIZES {
        let reach = LONGEST_EM * size * HALF_RIGHT + 2.0 * size;
        let room = ((right - left - reach) / (size * PITCH_EM)).max(0.0) as usize;
        if wanted.len() > room && size > SIZES[2] {
            continue;
        }
        let mut chosen = wanted.clone();
        // Tall bars first, then what is added or dropped, then the others.
        chosen.sort_by(|a, b| weight(entries, b).total_cmp(&weight(entries, a)));
        chosen.truncate(room);
        chosen.sort_by(|a, b| a.x[0].total_cmp(&b.x[0]));
        let named: usize = chosen.iter().map(|name| name.of.len()).sum();
        if let Some(mut names) = arranged(chosen, size, [left, right]) {
            names.left_out = asked - named;
            return names;
        }
    }
    Names {
        left_out: asked,
        ..Names::default()
    }
}

fn weight(entries: &[Entry], name: &Name) -> f64 {
    match name.of.first().map(|&at| entries[at].kind) {
        Some(EntryKind::Bar(by)) => 1.0 + by.abs(),
        Some(EntryKind::Added | EntryKind::Dropped) => 1.0,
        _ => 0.0,
    }
}

/// A name for each entry that is more than unmoved; neighbours that change alike and differ in one word share it.
fn grouped(entries: &[Entry], x: &[f64], figure: impl Fn(&Entry) -> Option<String>) -> Vec<Name> {
    let mut names: Vec<Name> = Vec::new();
    for (at, entry) in entries.iter().enumerate() {
        if entry.kind == EntryKind::Unmoved {
            continue;
        }
        if let Some(last) = names.last_mut()
            && last.of.iter().all(|&other| entries[other].is_like(entry))
        {
            let mut of = last.of.clone();
            of.push(at);
            let parts: Vec<&str> = of.iter().map(|&at| entries[at].part.as_str()).collect();
            if let Some(text) = joined(&parts) {
                last.x[0] = 0.5 * (x[of[0]] + x[at]);
                last.text = text;
                last.of = of;
                continue;
            }
        }
        names.push(Name {
            text: entry.part.trim().to_owned(),
            of: vec![at],
            x: [x[at]; 2],
        });
    }
    for name in &mut names {
        if let Some(figure) = name.of.first().and_then(|&at| figure(&entries[at])) {
            name.text = format!("{} {figure}", name.text);
        }
    }
    names
}

/// The names at one size; nothing if they don't fit.
fn arranged(mut names: Vec<Name>, size: f64, bounds: [f64; 2]) -> Option<Names> {
    for name in &mut names {
        name.text = font::fitted(&name.text, size, LONGEST_EM * size);
    }
    let long: Vec<f64> = names
        .iter()
        .map(|name| font::width(&name.text, size) * HALF_RIGHT + size)
        .collect();
    let at: Vec<f64> = names.iter().map(|name| name.x[0]).collect();
    let gaps = vec![size * PITCH_EM; at.len().saturating_sub(1)];
    let reach: Vec<[f64; 2]> = long.iter().map(|&long| [long, 0.5 * size]).collect();
    let places = spread(&at, &gaps, &reach, bounds)?;
    let mut farthest = 0.0f64;
    for (name, place) in names.iter_mut().zip(places) {
        farthest = farthest.max((place - name.x[0]).abs());
        name.x[1] = place;
    }
    let bend = (0.4 * farthest).clamp(2.0, 12.0);
    let tall = long.into_iter().fold(0.0, f64::max);
    Some(Names {
        height: if names.is_empty() { 0.0 } else { bend + tall },
        placed: names,
        size,
        bend,
        left_out: 0,
    })
}

/// Draws leaders and names below `y`; `start` is the paper y where the leader of an entry starts.
pub(super) fn draw(sheet: &mut Sheet, names: &Names, y: f64, start: impl Fn(usize) -> f64) {
    sheet.open(&format!(
        r#"class="leaders" fill="none" stroke="{}" stroke-width="{}""#,
        ink::PALE_INK,
        ink::FINE
    ));
    for name in &names.placed {
        let from = name.of.iter().map(|&at| start(at)).fold(f64::MIN, f64::max);
        let [x, px, from, bend, end] = [name.x[0], name.x[1], from, y, y + names.bend].map(number);
        sheet.put(format_args!(r#"<path d="M{x} {from}V{bend}L{px} {end}"/>"#));
    }
    sheet.close();
    let size = names.size;
    for name in &names.placed {
        let lettering = Lettering {
            turn_deg: -45.0,
            ..Lettering::new(size, ink::INK, Anchor::End)
        };
        let at = [name.x[1] + 0.3 * size, y + names.bend + 0.75 * size];
        sheet.text(at, &name.text, lettering);
    }
}

#[cfg(test)]
mod tests {
    use super::super::look::Change;
    use super::*;

    fn entry(part: &str, kind: EntryKind) -> Entry {
        Entry {
            part: part.to_owned(),
            station: 0.0,
            kind,
            change: Change::Moved,
        }
    }

    #[test]
    fn both_hands_share_a_name_if_they_shift_alike() {
        let entries = [
            entry("rail L", EntryKind::Bar(1.0)),
            entry("rail R", EntryKind::Bar(1.0)),
            entry("clip L", EntryKind::Bar(1.0)),
            entry("clip R", EntryKind::Bar(2.0)),
            entry("still", EntryKind::Unmoved),
            entry("rib L", EntryKind::Bar(1.0)),
            Entry {
                change: Change::Remade,
                ..entry("rib R", EntryKind::Bar(1.0))
            },
            Entry {
                station: 10.0,
                change: Change::Remade,
                ..entry("rib X", EntryKind::Bar(1.0))
            },
        ];
        let x = [20.0, 22.0, 24.0, 26.0, 28.0, 30.0, 32.0, 34.0];
        let names = place(&entries, &x, |_| None, [0.0, 200.0]);
        let told: Vec<_> = names
            .placed
            .iter()
            .map(|n| (n.text.as_str(), n.x[0]))
            .collect();
        assert_eq!(
            told,
            [
                ("rail L/R", 21.0),
                ("clip L", 24.0),
                ("clip R", 26.0),
                ("rib L", 30.0),
                ("rib R", 32.0),
                ("rib X", 34.0)
            ]
        );
        let least = names.size * PITCH_EM - 1e-9;
        assert!(
            names
                .placed
                .windows(2)
                .all(|two| two[1].x[1] - two[0].x[1] >= least)
        );
    }

    #[test]
    fn without_room_tall_bars_keep_their_names() {
        let entries: Vec<Entry> = (0..300)
            .map(|i| entry(&format!("{i}x part"), EntryKind::Bar(f64::from(i))))
            .collect();
        let x: Vec<f64> = (0..300).map(|i| 20.0 + 0.5 * f64::from(i)).collect();
        let names = place(&entries, &x, |_| None, [0.0, 200.0]);
        assert!(!names.placed.is_empty());
        let named: usize = names.placed.iter().map(|name| name.of.len()).sum();
        assert_eq!(named + names.left_out, 300);
        assert!(names.placed.iter().all(|name| name.of[0] > 200));
    }
}
