//! How the new make of a part lies on the old one. In: the part in two layouts, and its holes. Out: the way from the old origin to
//! the new one on the metal, in own coordinates and mm.
//!
//! A part that is shortened at the end that it is counted from has its holes where they were, though their coordinates change. So
//! along each own axis the lie is taken that leaves the fewest holes and ends to be altered. None is taken in which metal comes off
//! one end and is missing at the other, whatever it saves: such a part would be told to be trimmed and be too short. So holes move
//! on the metal then. Unless both its ends move the same way, the part is left lying where it is in the airframe if no other lie
//! saves two alterations: the rivets of its neighbours, which no model holds, then stay where they are. One that grows to both
//! sides of a middle that stays is left too. Of two lies that are alike otherwise, the one whose new holes clear the old ones.

use std::collections::HashMap;

use super::holes::{Mark, marks};
use super::makeup::WORKED_MM;
use super::metal::{Extents, extents, own};
use super::verdict::Cut;
use crate::layout::{Layout, PlacedPart};
use crate::words::Axis;

/// The new make of a part on the old one.
#[derive(Clone, Debug, Default)]
pub(super) struct Lie {
    /// Own coordinates on the old part are those on the new one plus this.
    pub(super) by_mm: [f64; 3],
    /// Its holes.
    pub(super) marks: Vec<Mark>,
    /// Least and greatest own coordinates of the old metal, if it has any.
    pub(super) old_ends: Option<Extents>,
    /// Ends of the new metal beyond those of the old, negative where metal comes off: along each own axis, the one in the
    /// negative sense first.
    pub(super) beyond_mm: [[f64; 2]; 3],
    /// How far the metal that is kept lies elsewhere in the airframe then, turns aside, along each own axis.
    pub(super) moves_mm: [f64; 3],
}

impl Lie {
    /// Whether the metal that is kept lies elsewhere in the airframe then, turns aside.
    pub(super) fn moves(&self) -> bool {
        self.moves_mm.iter().any(|by| by.abs() > WORKED_MM)
    }

    /// Whether all its metal lies as it does on another one.
    fn is_as(&self, other: &Lie) -> bool {
        let pairs = self.by_mm.iter().zip(&other.by_mm);
        pairs.into_iter().all(|(a, b)| (a - b).abs() <= WORKED_MM)
    }

    /// The end at which metal would be missing, and how much, if a hole that moves on the metal stayed in it, and the part were
    /// moved with it; none if the part lies where it did.
    pub(super) fn missing_with(&self, hole_by_mm: [f64; 3]) -> Option<Cut> {
        (0..3).find_map(|axis| {
            let by = hole_by_mm[axis];
            if self.moves_mm[axis].abs() <= WORKED_MM || by.abs() <= WORKED_MM {
                return None;
            }
            let [low, high] = self.beyond_mm[axis];
            let (end, by_mm) = if by > 0.0 {
                (0, low + by)
            } else {
                (1, high - by)
            };
            let at = *Axis::ALL.get(axis)?.sides().get(end)?;
            (by_mm > WORKED_MM).then_some(Cut { at, by_mm })
        })
    }
}

/// All parts that are in both layouts and settled.
#[derive(Debug, Default)]
pub(super) struct Laid(HashMap<String, Lie>);

impl Laid {
    pub(super) fn of(&self, part: &str) -> Option<&Lie> {
        self.0.get(part)
    }

    /// Whether no part lies otherwise, and none has holes that the other one doesn't know.
    fn is_as(&self, other: &Laid) -> bool {
        self.0.iter().all(|(part, lie)| {
            let same = |other: &Lie| lie.is_as(other) && lie.marks.len() == other.marks.len();
            other.of(part).is_some_and(same)
        })
    }
}

/// A part in both layouts, with the extents of its metal.
struct Pair<'l> {
    parts: [&'l PlacedPart; 2],
    ends: Option<[Extents; 2]>,
}

/// Lays all parts.
pub(super) fn lay(old: &Layout, new: &Layout) -> Laid {
    let settled = new.parts.iter().filter(|after| after.settled);
    let pairs: Vec<Pair<'_>> = settled
        .filter_map(|after| {
            let before = old.part(&after.name)?;
            let ends = extents(before).zip(extents(after));
            Some(Pair {
                parts: [before, after],
                ends: ends.map(|(before, after)| [before, after]),
            })
        })
        .collect();
    let pass = |laid: Option<&Laid>| -> Laid {
        let laid = pairs.iter().map(|pair| {
            let lie = pair.laid(marks(old, new, pair.parts, laid));
            (pair.parts[1].name.clone(), lie)
        });
        Laid(laid.collect())
    };
    // a part that is bolted on carries holes with it: those of the other one are known once it is laid, and so on along a row
    let mut laid = pass(None);
    for _ in 0..pairs.len().clamp(1, MOST_PASSES) {
        let next = pass(Some(&laid));
        let settled = next.is_as(&laid);
        laid = next;
        if settled {
            break;
        }
    }
    laid
}

/// Parts bolted to one another in a row are laid one after the other, a pass for each; no row is that long.
const MOST_PASSES: usize = 32;

impl Pair<'_> {
    fn laid(&self, marks: Vec<Mark>) -> Lie {
        let [before, after] = self.parts;
        let stays = own(before, after.origin_mm);
        let mut by_mm = [0.0; 3];
        let mut beyond_mm = [[0.0; 2]; 3];
        for axis in 0..3 {
            let ends = self.ends.map(|ends| ends.map(|end| end[axis]));
            by_mm[axis] = along(axis, ends, stays[axis], &marks);
            if let Some([old, new]) = ends {
                let low = old[0] - (new[0] + by_mm[axis]);
                beyond_mm[axis] = [low, new[1] + by_mm[axis] - old[1]];
            }
        }
        let moves_mm = [0, 1, 2].map(|axis| by_mm[axis] - stays[axis]);
        Lie {
            by_mm,
            marks,
            old_ends: self.ends.map(|[old, _]| old),
            beyond_mm,
            moves_mm,
        }
    }
}

/// The lie along one own axis: of those that bring two ends or two holes together, the one that leaves the least to be altered.
fn along(axis: usize, ends: Option<[[f64; 2]; 2]>, stays: f64, marks: &[Mark]) -> f64 {
    let off = |by: f64| by.abs() > WORKED_MM;
    let drilled = || marks.iter().filter(|mark| mark.lies_across(axis));
    let moved = |mark: &Mark| Some(mark.was_off()?[axis]);
    let holes: Vec<f64> = drilled().filter_map(moved).collect();
    let ends: Vec<f64> = ends
        .map(|[old, new]| vec![old[0] - new[0], old[1] - new[1]])
        .unwrap_or_default();
    // wider or narrower to both sides alike, about a middle that stays
    if let [low, high] = ends[..]
        && off(low)
        && !off(low + high)
        && !off(stays)
    {
        return stays;
    }
    // without metal or holes nothing is altered: it lies where its origin does
    if ends.is_empty() && holes.is_empty() {
        return 0.0;
    }
    // metal comes off both ends or is missing at both, or an end is kept
    let serves = |lie: f64| match ends[..] {
        [a, b] => lie > a.min(b) - WORKED_MM && lie < a.max(b) + WORKED_MM,
        _ => true,
    };
    let leaves = serves(stays);
    let altered = |lie: f64| {
        let meets = holes.iter().chain(&ends);
        let moved_along = usize::from(leaves && off(lie - stays));
        let crowded = drilled().filter(|mark| {
            let by = moved(mark).map_or(0.0, |hole| lie - hole);
            off(by) && mark.is_crowded(by.abs())
        });
        let altered = meets.filter(|place| off(*place - lie)).count() + moved_along;
        (altered, crowded.count())
    };
    let lies = [stays]
        .into_iter()
        .chain(holes.iter().chain(&ends).copied());
    lies.chain([0.0])
        .filter(|lie| serves(*lie))
        .min_by_key(|lie| altered(*lie))
        .unwrap_or(stays)
}
