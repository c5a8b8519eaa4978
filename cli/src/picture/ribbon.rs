//! The shift ribbon. In: what moves from one layout to another. Out: for each part what stands for it on the ribbon, in mm.
//! A bar stands where the part now is and is as tall as its shift along one of the three axes, the one along which most is shifted;
//! a shift is new minus old, positive aft, to the right and up.

use std::collections::BTreeMap;

use strongback_model::layout::Layout;
use strongback_model::shift::{MOVED_MM, PartShift, Presence, Shift};

use super::look::{Change, Look};
use super::subject::{Subject, subject};
use super::view::View;

/// Which way a ribbon's bars lead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Course {
    axis: usize,
    /// What a bar that points down, and one that points up, stands for.
    pub(super) ends: [&'static str; 2],
    /// Along what.
    pub(super) along: &'static str,
}

impl Course {
    /// Along the fuselage: what the ribbon tells unless parts shift further another way.
    pub(super) const FUSELAGE: Course = Course {
        axis: 0,
        ends: ["forward", "aft"],
        along: "along the fuselage",
    };
    pub(super) const ACROSS: Course = Course {
        axis: 1,
        ends: ["left", "right"],
        along: "across the fuselage",
    };
    pub(super) const UPRIGHT: Course = Course {
        axis: 2,
        ends: ["down", "up"],
        along: "up or down",
    };

    /// The way of the greatest shift.
    pub(super) fn of_greatest(shift: &Shift) -> Course {
        let greatest = |way: Course| way.greatest(shift).map_or(0.0, |(_, by)| by.abs());
        let mut best = Course::FUSELAGE;
        for way in [Course::ACROSS, Course::UPRIGHT] {
            if greatest(way) > greatest(best) + MOVED_MM {
                best = way;
            }
        }
        best
    }

    /// The part that moves furthest this way, and by how much; the first of equals.
    pub(super) fn greatest(self, shift: &Shift) -> Option<(&PartShift, f64)> {
        let moved = shift.parts.iter();
        let moved = moved.filter_map(|change| Some((change, self.shift_of(change)?)));
        moved.reduce(|best, next| {
            if next.1.abs() > best.1.abs() {
                next
            } else {
                best
            }
        })
    }

    /// What lies in the direction of a shift.
    pub(super) fn end(self, by: f64) -> &'static str {
        let [back, ahead] = self.ends;
        if by > 0.0 { ahead } else { back }
    }

    /// By how much a part moves this way, if it does.
    pub(super) fn shift_of(self, change: &PartShift) -> Option<f64> {
        let by = change.greatest_mm[self.axis];
        (change.presence == Presence::Both && by.is_finite() && by.abs() > MOVED_MM).then_some(by)
    }
}

/// What stands for a part on the ribbon.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Entry {
    pub(super) part: String,
    /// Where it stands, mm.
    pub(super) station: f64,
    pub(super) kind: EntryKind,
    /// What the change does to it; nothing, for what is dropped.
    pub(super) change: Change,
}

/// How a part has changed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum EntryKind {
    /// It moves the ribbon's way by so many mm.
    Bar(f64),
    /// Nothing of it moves.
    Unmoved,
    /// It moves another way, turns or is made differently, but doesn't move the ribbon's way.
    Otherwise,
    Added,
    Dropped,
}

/// All entries, in order along the fuselage.
pub(super) fn entries(
    subjects: &[Subject<'_>],
    old: &Layout,
    (shift, way): (&Shift, Course),
    looks: &[Look],
    view: View,
) -> Vec<Entry> {
    let shifts: BTreeMap<&str, &PartShift> = shift
        .parts
        .iter()
        .map(|change| (change.part.as_str(), change))
        .collect();
    let mut entries: Vec<Entry> = subjects
        .iter()
        .zip(looks)
        .map(|(subject, look)| {
            let shift = shifts.get(subject.part.name.as_str()).copied();
            entry(subject, (shift, way), look.change)
        })
        .collect();
    for change in shift
        .parts
        .iter()
        .filter(|change| change.presence == Presence::Dropped)
    {
        if let Some(was) = old.part(&change.part).and_then(|part| subject(part, view)) {
            entries.push(Entry {
                part: change.part.clone(),
                station: was.station.mm(),
                kind: EntryKind::Dropped,
                change: Change::Same,
            });
        }
    }
    // Rounding must not part what stands at one station: to a thousandth of a millimetre.
    let place = |entry: &Entry| (entry.station * 1000.0).round() + 0.0;
    entries.sort_by(|a, b| {
        place(a)
            .total_cmp(&place(b))
            .then_with(|| a.part.cmp(&b.part))
    });
    entries
}

impl Entry {
    /// Whether both stand at one station and change in one way and, if they move, as far.
    pub(super) fn is_like(&self, other: &Entry) -> bool {
        const ONE_STATION_MM: f64 = 0.01;
        if (self.station - other.station).abs() > ONE_STATION_MM || self.change != other.change {
            return false;
        }
        match (self.kind, other.kind) {
            (EntryKind::Bar(a), EntryKind::Bar(b)) => (a - b).abs() <= MOVED_MM,
            (a, b) => a == b,
        }
    }
}

fn entry(
    subject: &Subject<'_>,
    (shift, way): (Option<&PartShift>, Course),
    change: Change,
) -> Entry {
    let (station, kind) = match shift {
        None if change == Change::Same => (subject.station.mm(), EntryKind::Unmoved),
        None => (subject.station.mm(), EntryKind::Otherwise),
        Some(shift) if shift.presence == Presence::Added => {
            (subject.station.mm(), EntryKind::Added)
        }
        Some(shift) => match way.shift_of(shift) {
            Some(by) => {
                let station = moved_station(subject, shift, (by, way));
                (station, EntryKind::Bar(by))
            }
            None => (subject.station.mm(), EntryKind::Otherwise),
        },
    };
    Entry {
        part: subject.part.name.clone(),
        station,
        kind,
        change,
    }
}

/// Where the part moves that much: of its features that do, the one nearest to the station that stands for it. A frame
/// moves as a whole and stands at its web; of a longeron perhaps only one end moves, and the bar stands there.
fn moved_station(subject: &Subject<'_>, change: &PartShift, (by, way): (f64, Course)) -> f64 {
    let usual = subject.station.mm();
    change
        .features
        .iter()
        .filter(|feature| (feature.shift_mm[way.axis] - by).abs() <= MOVED_MM)
        .map(|feature| feature.to_mm[0])
        .filter(|station| subject.bounds[0][0] <= *station && *station <= subject.bounds[0][1])
        .min_by(|a, b| (a - usual).abs().total_cmp(&(b - usual).abs()))
        .unwrap_or(usual)
}

/// The scale of the bars.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Upright {
    /// mm of paper for a mm of shift.
    pub(super) paper_per_mm: f64,
    /// Paper mm from the top of the bars' room to the zero line.
    pub(super) zero: f64,
    /// Greatest shift down and up the paper, mm, the first not above and the second not below zero.
    pub(super) range: [f64; 2],
}

/// Paper mm that the greatest bars of both directions take together.
pub(super) const BARS: f64 = 32.0;

/// The scale at which all bars take up their room; nothing if none moves.
pub(super) fn upright(entries: &[Entry]) -> Option<Upright> {
    let mut range = [0.0f64; 2];
    for entry in entries {
        if let EntryKind::Bar(by) = entry.kind {
            range = [range[0].min(by), range[1].max(by)];
        }
    }
    let whole = range[1] - range[0];
    (whole > 0.0 && whole.is_finite()).then(|| Upright {
        paper_per_mm: BARS / whole,
        zero: BARS * range[1] / whole,
        range,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn the_scale_takes_both_directions() {
        let bar = |by| Entry {
            part: String::new(),
            station: 0.0,
            kind: EntryKind::Bar(by),
            change: Change::Moved,
        };
        let both = upright(&[bar(-3.0), bar(1.0)]).unwrap();
        assert_eq!(
            (both.paper_per_mm, both.zero, both.range),
            (8.0, 8.0, [-3.0, 1.0])
        );
        let forward = upright(&[bar(-3.0)]).unwrap();
        assert_eq!(forward.zero, 0.0);
        assert_eq!(upright(&[]), None);
        let still = Entry {
            kind: EntryKind::Unmoved,
            ..bar(0.0)
        };
        assert_eq!(upright(&[still]), None);
    }
}
