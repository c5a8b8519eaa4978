//! What a change means for each part, given how far it has been made. In: two layouts, the shift between them and the progress.
//! Out: a verdict for each part with its reasons, the stock that it takes, and what all of it costs.
//!
//! Two make-ups of a part are compared (`makeup`), the new one laid on the old one (`lie`), and each difference is judged by
//! the stage that the part has reached (`judge`). Only what the model states is looked at: rivet holes are in no model.

mod cost;
mod hardware;
mod holes;
mod judge;
mod lie;
mod makeup;
mod metal;
mod pattern;
mod verdict;

#[cfg(test)]
mod laws;
#[cfg(test)]
mod leaning;
#[cfg(test)]
mod limits;
#[cfg(test)]
mod rebuilt;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod turned;

pub use cost::{Cost, StockTotal, Totals};
pub use hardware::{BetweenChange, FastenerChange, HardwareChange};
pub use makeup::MakeChange;
pub(crate) use makeup::WORKED_MM;
pub use metal::Serves;
pub use verdict::{Cut, PartVerdict, Step, Verdict, Why};

use schemars::JsonSchema;
use serde::Serialize;

use crate::joint::Bought;
use crate::layout::{Layout, PlacedPart};
use crate::record::Progress;
use crate::shift::{PartShift, Shift};
use crate::words::other_hand;

/// What is to be done with every part.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Verdicts {
    /// Parts that are made differently, new or left out, in the order of the file.
    pub parts: Vec<PartVerdict>,
    /// Parts that are fitted for good, made as before, and lie elsewhere: to be taken out and fitted again.
    pub refit: Vec<PartVerdict>,
    /// Other parts that only lie elsewhere.
    pub only_moved: Vec<String>,
    /// Parts that are as before in every way.
    pub untouched: Vec<String>,
    /// Parts that are loose then: whether they have to be made differently can't be told.
    pub unsettled: Vec<String>,
    /// Joints whose fasteners, spacers or packing are others, as far as joints were measured.
    pub hardware: Vec<HardwareChange>,
    /// What it comes to.
    pub totals: Totals,
}

/// A layout with its joints. Without them no hardware is told, and no drilled part is found to serve turned round.
#[derive(Clone, Copy, Debug)]
pub struct Standing<'a> {
    /// Where everything lies.
    pub layout: &'a Layout,
    /// The joints, measured, if they were.
    pub joints: &'a [Bought],
}

impl<'a> From<&'a Layout> for Standing<'a> {
    fn from(layout: &'a Layout) -> Self {
        let joints = &[];
        Standing { layout, joints }
    }
}

/// The verdict on every part of the new layout, and on those that are only in the old one.
pub fn verdicts<'a>(
    old: impl Into<Standing<'a>>,
    new: impl Into<Standing<'a>>,
    shift: &Shift,
    progress: &Progress,
) -> Verdicts {
    let standing = [old.into(), new.into()];
    let [old, new] = standing.map(|standing| standing.layout);
    let laid = lie::lay(old, new);
    let mut verdicts = Verdicts {
        parts: Vec::new(),
        refit: Vec::new(),
        only_moved: Vec::new(),
        untouched: Vec::new(),
        unsettled: shift.unsettled.clone(),
        hardware: hardware::changes(standing[0].joints, standing[1].joints),
        totals: Totals::default(),
    };
    let case = |before, after, other, moved| verdict::Case {
        before,
        after,
        other,
        moved,
        laid: &laid,
        standing,
        fit_mm: new.fit_mm,
    };
    for part in in_order(old, new) {
        let moved = shift.parts.iter().find(|moved| moved.part == part);
        let made = progress.of(part);
        let (before, after) = (old.part(part), new.part(part));
        let other = other_hand(part).and_then(|other| new.part(&other));
        if after.is_some_and(|after| before.is_some() && !after.settled) {
            continue;
        }
        let mut verdict = case(before, after, other, moved).judged(part, made);
        if moved.is_none() {
            (verdict.from, verdict.through) = by_joint(new, shift, &verdict);
        }
        if !verdict.steps.is_empty() {
            verdicts.parts.push(verdict);
        } else if moved.is_none() {
            verdicts.untouched.push(part.to_owned());
        } else if verdict.verdict == Verdict::Refit {
            verdicts.refit.push(verdict);
        } else {
            verdicts.only_moved.push(part.to_owned());
        }
    }
    verdicts.totals = Totals::of(&verdicts.parts, &verdicts.refit, &new.stock);
    verdicts
}

/// The parts of the new layout, each part that is only in the old one where it was.
fn in_order<'l>(old: &'l Layout, new: &'l Layout) -> Vec<&'l str> {
    let name = |part: &'l PlacedPart| part.name.as_str();
    let mut order: Vec<&str> = new.parts.iter().map(name).collect();
    for (at, part) in old.parts.iter().enumerate() {
        if new.part(&part.name).is_none() {
            order.insert(at.min(order.len()), &part.name);
        }
    }
    order
}

/// Where a change comes from of a part that stays as it lies, and has only holes moved: from what is bolted to it.
fn by_joint(new: &Layout, shift: &Shift, verdict: &PartVerdict) -> (Option<String>, Vec<String>) {
    let joint = verdict.steps.iter().find_map(|step| match &step.change {
        MakeChange::HolesMove { holes, .. } | MakeChange::NewHoles { holes, .. } => {
            new.joints.iter().find(|joint| joint.statement == *holes)
        }
        _ => None,
    });
    let Some(joint) = joint else {
        return (None, Vec::new());
    };
    let bolted = |part: &&PartShift| {
        part.part != verdict.part && (part.part == joint.part || part.part == joint.to)
    };
    let Some(other) = shift.parts.iter().find(bolted) else {
        return (Some(joint.statement.clone()), Vec::new());
    };
    let from = other.from.clone().unwrap_or_else(|| other.part.clone());
    let mut through = other.through.clone();
    if through.last() != Some(&joint.statement) {
        through.push(joint.statement.clone());
    }
    (Some(from), through)
}

impl Verdicts {
    /// What it costs, to rank changes by: the least is the cheapest.
    pub fn cost(&self) -> Cost {
        self.totals.cost()
    }

    /// The verdict on a part; none where it is made as before and need not come out.
    pub fn of(&self, part: &str) -> Option<&PartVerdict> {
        let all = self.parts.iter().chain(&self.refit);
        all.into_iter().find(|verdict| verdict.part == part)
    }
}
