//! How the new make of a part lies on the old one. In: the part in two layouts, and its holes. Out: the way from the old origin to
//! the new one on the metal, in own coordinates and mm.
//!
//! A part that is shortened at the end that it is counted from has its holes where they were, though their coordinates change. So
//! along each own axis the lie is taken that leaves the fewest holes and ends to be altered. Unless both its ends move the same way,
//! the part is left lying where it is in the airframe if no other lie saves two alterations: the rivets of its
//! neighbours, which no model holds, then stay where they are. One that grows to both sides of a middle that stays is left too.

use std::collections::HashMap;

use super::holes::{Mark, marks};
use super::makeup::WORKED_MM;
use super::metal::{Extents, extents, own};
use crate::layout::{Layout, PlacedPart};

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
    /// Whether the metal that is kept lies elsewhere in the airframe then, turns aside.
    pub(super) moves: bool,
}

/// All parts that are in both layouts and settled.
#[derive(Debug, Default)]
pub(super) struct Laid(HashMap<String, Lie>);

impl Laid {
    pub(super) fn of(&self, part: &str) -> Option<&Lie> {
        self.0.get(part)
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
    // a part that is bolted on carries holes with it: those of the other one are known once it is laid
    let first = pass(None);
    pass(Some(&first))
}

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
        let moves = (0..3).any(|axis| (by_mm[axis] - stays[axis]).abs() > WORKED_MM);
        Lie {
            by_mm,
            marks,
            old_ends: self.ends.map(|[old, _]| old),
            beyond_mm,
            moves,
        }
    }
}

/// The lie along one own axis: of those that bring two ends or two holes together, the one that leaves the least to be altered.
fn along(axis: usize, ends: Option<[[f64; 2]; 2]>, stays: f64, marks: &[Mark]) -> f64 {
    let off = |by: f64| by.abs() > WORKED_MM;
    let holes: Vec<f64> = marks
        .iter()
        .filter(|mark| mark.lies_across(axis))
        .filter_map(|mark| Some(mark.was?[axis] - mark.is[axis]))
        .collect();
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
    let moves = |sense: f64| {
        ends.iter()
            .all(|end| off(end - stays) && (end - stays) * sense > 0.0)
    };
    let all_ends_move = moves(1.0) || moves(-1.0);
    let altered = |lie: f64| {
        let meets = holes.iter().chain(&ends);
        let moved_along = usize::from(!all_ends_move && off(lie - stays));
        meets.filter(|place| off(*place - lie)).count() + moved_along
    };
    // without metal or holes nothing is altered: it lies where its origin does
    if ends.is_empty() && holes.is_empty() {
        return 0.0;
    }
    let mut best = (altered(stays), stays);
    for lie in holes.iter().chain(&ends).copied().chain([0.0]) {
        let altered = altered(lie);
        if altered < best.0 {
            best = (altered, lie);
        }
    }
    best.1
}
