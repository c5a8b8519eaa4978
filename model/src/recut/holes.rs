//! Holes of a part in two layouts: those that it states, and those of the joints that it is in. In: the layouts. Out: where each
//! hole was and is in the part's own coordinates, and which of them move on its metal.
//!
//! Of a joint whose place is not stated, the holes are taken to stay where they are in the part that is bolted on; they move on
//! the other one as far as that moves along it.

use super::lie::Laid;
use super::makeup::{MakeChange, WORKED_MM};
use super::metal::{own, own_way};
use crate::layout::{Layout, PlacedHole, PlacedJoint, PlacedPart};
use crate::words::without_hand;

/// Between the middles of a new hole and of an old one that stays behind, in diameters. Common practice, no source. (The least
/// pitch of rivets in one row is 3 diameters, AC 43.13-1B par. 4-57c, second-hand; here nothing fills the old hole.)
pub(super) const CLEAR_OF_OLD_HOLE: f64 = 2.0;

/// A hole, or the holes of a joint.
#[derive(Clone, Debug)]
pub(super) struct Mark {
    /// The hole, or the joint's statement.
    pub(super) name: String,
    /// Where it was, in own coordinates of the old part; none if it is new.
    pub(super) was: Option<[f64; 3]>,
    /// Where it is, in own coordinates of the new part.
    pub(super) is: [f64; 3],
    /// The way it is drilled, in own coordinates.
    pub(super) along: [f64; 3],
    /// Its diameter before and after, as far as it is known.
    pub(super) diameters: [Option<f64>; 2],
    /// How far it may be off for its bolts to go in: nothing where that isn't known.
    pub(super) slack_mm: f64,
}

/// All holes of a part; joints without a stated place only once the parts are laid on each other.
pub(super) fn marks(
    old: &Layout,
    new: &Layout,
    [before, after]: [&PlacedPart; 2],
    laid: Option<&Laid>,
) -> Vec<Mark> {
    let joints = new.joints.iter().filter(|joint| joint.holds(&after.name));
    let mut marks: Vec<Mark> = joints
        .filter_map(|joint| of_joint(old, new, joint, [before, after], laid))
        .collect();
    for hole in &after.holes {
        let was = before.holes.iter().find(|other| other.name == hole.name);
        let mark = of_hole(was, hole);
        // a joint made at a stated hole tells of it, and of its bolts
        if !marks.iter().any(|joint| joint.is_at(&mark)) {
            marks.push(mark);
        }
    }
    marks
}

fn of_hole(was: Option<&PlacedHole>, is: &PlacedHole) -> Mark {
    Mark {
        name: is.name.clone(),
        was: was.map(|hole| hole.at_own_mm),
        is: is.at_own_mm,
        along: is.along.vector(),
        diameters: [was.and_then(|hole| hole.diameter_mm), is.diameter_mm],
        slack_mm: 0.0,
    }
}

fn of_joint(
    old: &Layout,
    new: &Layout,
    joint: &PlacedJoint,
    [before, after]: [&PlacedPart; 2],
    laid: Option<&Laid>,
) -> Option<Mark> {
    let was = before_it(old, joint, before);
    if joint.spacers.contains(&after.name) && goes_along(joint, was, [before, after]) {
        return None;
    }
    let is = if joint.at_stated {
        joint.at_mm
    } else {
        if joint.part == after.name {
            return None;
        }
        let laid = laid?;
        match was {
            Some(was) if was.part == joint.part => {
                let there = was.at_own_mm[0];
                let lie = laid.of(&joint.part)?.by_mm;
                let there = [0, 1, 2].map(|axis| there[axis] - lie[axis]);
                placed(new.part(&joint.part)?, there)
            }
            _ => joint.at_mm,
        }
    };
    Some(Mark {
        name: joint.statement.clone(),
        was: was.map(|was| own(before, was.at_mm)),
        is: own(after, is),
        along: own_way(after, joint.way_through(&after.name)),
        diameters: [was.and_then(|was| was.bolt_mm), joint.bolt_mm],
        slack_mm: joint.slack_mm.unwrap_or_default(),
    })
}

/// Whether a part between the two that are bolted goes where its bolts go, so that their holes stay where they are in it.
fn goes_along(
    joint: &PlacedJoint,
    was: Option<&PlacedJoint>,
    [before, after]: [&PlacedPart; 2],
) -> bool {
    let there = |was: &PlacedJoint| {
        let (was, is) = (own(before, was.at_mm), own(after, joint.at_mm));
        let by = across(own_way(after, joint.way_through(&after.name)), was, is);
        by.iter().all(|by| by.abs() <= WORKED_MM)
    };
    after.is_spacer || was.is_some_and(there)
}

/// The joint as it was in the old layout. One that was stated for both hands, and is stated once now, is the nearer of the two.
fn before_it<'l>(
    old: &'l Layout,
    joint: &PlacedJoint,
    part: &PlacedPart,
) -> Option<&'l PlacedJoint> {
    let base = |name: &str| without_hand(name).map_or(name.to_owned(), str::to_owned);
    let there = || old.joints.iter().filter(|was| was.holds(&part.name));
    let same = there().find(|was| was.statement == joint.statement);
    same.or_else(|| {
        let far = |was: &PlacedJoint| -> f64 {
            (0..3)
                .map(|axis| (was.at_mm[axis] - joint.at_mm[axis]).powi(2))
                .sum()
        };
        there()
            .filter(|was| base(&was.statement) == base(&joint.statement))
            .min_by(|a, b| far(a).total_cmp(&far(b)))
    })
}

/// A place of a part's own coordinates in the airframe's.
fn placed(part: &PlacedPart, at: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|row| {
        let turned: f64 = (0..3)
            .map(|column| part.rotation[row][column] * at[column])
            .sum();
        part.origin_mm[row] + turned
    })
}

/// The way from one place to another, across a unit vector.
pub(super) fn across(along: [f64; 3], from: [f64; 3], to: [f64; 3]) -> [f64; 3] {
    let by = [0, 1, 2].map(|axis| to[axis] - from[axis]);
    let far: f64 = (0..3).map(|axis| by[axis] * along[axis]).sum();
    [0, 1, 2].map(|axis| by[axis] - far * along[axis])
}

impl PlacedJoint {
    /// Square to a part's face: a hole in a sheet can't move out of it.
    fn way_through(&self, part: &str) -> [f64; 3] {
        let [on, to] = self.ways;
        if part == self.to { to } else { on }
    }

    /// Whether its bolts go through a part.
    pub(super) fn holds(&self, part: &str) -> bool {
        self.part == part || self.to == part || self.spacers.iter().any(|spacer| spacer == part)
    }
}

impl Mark {
    fn is_at(&self, other: &Mark) -> bool {
        self.distance(self.is, other.is) <= WORKED_MM
            && match (self.was, other.was) {
                (Some(a), Some(b)) => self.distance(a, b) <= WORKED_MM,
                (a, b) => a.is_none() && b.is_none(),
            }
    }

    /// The way from one place to another, across the bolts.
    fn across(&self, from: [f64; 3], to: [f64; 3]) -> [f64; 3] {
        across(self.along, from, to)
    }

    /// How far it was from where it is, across the bolts; none if it is new.
    pub(super) fn was_off(&self) -> Option<[f64; 3]> {
        Some(self.across(self.is, self.was?))
    }

    fn distance(&self, from: [f64; 3], to: [f64; 3]) -> f64 {
        let [x, y, z] = self.across(from, to);
        (x * x + y * y + z * z).sqrt()
    }

    /// Whether an own axis lies across the bolts.
    pub(super) fn lies_across(&self, axis: usize) -> bool {
        self.along[axis].abs() < 0.5
    }

    /// Whether a new hole so far from the old one would meet it.
    pub(super) fn is_crowded(&self, apart_mm: f64) -> bool {
        let diameter = self.diameters[1].or(self.diameters[0]);
        diameter.is_some_and(|diameter| apart_mm < CLEAR_OF_OLD_HOLE * diameter - WORKED_MM)
    }

    /// Whether it is used where it was.
    pub(super) fn is_there(&self, lie: [f64; 3]) -> bool {
        self.was.is_some() && self.moves(lie).is_none()
    }

    /// Where it is on the old part's metal, the new one lying on it so.
    fn on_the_old(&self, lie: [f64; 3]) -> [f64; 3] {
        [0, 1, 2].map(|axis| self.is[axis] + lie[axis])
    }

    /// How far it moves on the metal, and which way, what nobody works to left out; none if it doesn't, or is new.
    fn moves(&self, lie: [f64; 3]) -> Option<[f64; 3]> {
        let by = self.across(self.was?, self.on_the_old(lie));
        let worked = by.map(|by| if by.abs() > WORKED_MM { by } else { 0.0 });
        worked.iter().any(|by| *by != 0.0).then_some(worked)
    }
}

/// Whether holes of another name were where a new one goes.
fn there_already(marks: &[Mark], mark: &Mark, lie: [f64; 3]) -> bool {
    let there = mark.on_the_old(lie);
    let mut old = marks.iter().filter_map(|other| other.was);
    old.any(|was| mark.distance(was, there) <= WORKED_MM)
}

/// How far off a hole is.
pub(super) fn off_mm(by_mm: [f64; 3]) -> f64 {
    by_mm.iter().map(|by| by * by).sum::<f64>().sqrt()
}

/// What is different about a part's holes; one that is off by less than `fit_mm` is not drilled anew at once.
pub(super) fn differences(marks: &[Mark], lie: [f64; 3], fit_mm: f64) -> Vec<MakeChange> {
    let mut changes = Vec::new();
    // those that stay behind, empty
    let left = |mark: &&Mark| {
        let moves = mark.moves(lie);
        moves.is_some_and(|by| off_mm(by) > fit_mm.max(mark.slack_mm))
    };
    let empty: Vec<[f64; 3]> = marks
        .iter()
        .filter(left)
        .filter_map(|mark| mark.was)
        .collect();
    for mark in marks {
        if let (Some(from_mm), Some(by_mm)) = (mark.was, mark.moves(lie)) {
            let there = mark.on_the_old(lie);
            let own = std::iter::once(off_mm(by_mm));
            let apart = empty.iter().map(|empty| mark.distance(*empty, there));
            let apart = apart.chain(own);
            changes.push(MakeChange::HolesMove {
                holes: mark.name.clone(),
                from_mm,
                by_mm,
                diameter_mm: mark.diameters[1].or(mark.diameters[0]),
                apart_mm: apart.fold(f64::INFINITY, f64::min),
                slack_mm: mark.slack_mm,
            });
        }
        if mark.was.is_none() && !there_already(marks, mark, lie) {
            changes.push(MakeChange::NewHoles {
                holes: mark.name.clone(),
                at_mm: mark.is,
            });
        }
        if let [Some(from_mm), Some(to_mm)] = mark.diameters
            && (to_mm - from_mm).abs() > WORKED_MM
        {
            changes.push(MakeChange::HoleSize {
                hole: mark.name.clone(),
                from_mm,
                to_mm,
            });
        }
    }
    changes
}
