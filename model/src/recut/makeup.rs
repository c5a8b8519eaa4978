//! What makes a part what it is, wherever it lies. In: a part in its place in two layouts. Out: what is different about its make,
//! each with the figure before and after.

use schemars::JsonSchema;
use serde::Serialize;

use super::metal::{Served, Serves};
use crate::layout::{PlacedPart, SizeRole};
use crate::shift::{MOVED_MM, SizeChange, choice_changes, size_changes};
use crate::words::Axis;

/// One change of the making of a part. Lengths in millimetres.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "what")]
pub enum MakeChange {
    /// It is a new part.
    New,
    /// It is no longer needed.
    Gone,
    /// It is of another kind under the same name.
    OtherKind {
        /// What it was.
        from: String,
        /// What it is then.
        to: String,
    },
    /// A size grows.
    Longer {
        /// The size.
        size: String,
        /// By how much.
        by_mm: f64,
        /// What it was.
        from_mm: f64,
        /// What it is then.
        to_mm: f64,
    },
    /// A size shrinks.
    Shorter {
        /// The size.
        size: String,
        /// By how much; positive.
        by_mm: f64,
        /// What it was.
        from_mm: f64,
        /// What it is then.
        to_mm: f64,
    },
    /// Other stock.
    OtherStock {
        /// The size.
        size: String,
        /// What it was.
        from_mm: f64,
        /// What it is then.
        to_mm: f64,
    },
    /// A side or another choice.
    OtherSide {
        /// What is chosen.
        choice: String,
        /// What it was.
        from: String,
        /// What it is then.
        to: String,
        /// Whether the metal that is there serves all the same.
        serves: Serves,
        /// Whether it does with the holes that it has, once it is drilled.
        drilled: Serves,
        /// Whether the model states where all of its holes are.
        holes_known: bool,
    },
    /// A bend radius, a coordinate of the outline or an angle.
    OtherShape {
        /// The size.
        size: String,
        /// Whether it is an angle.
        angle: bool,
        /// What it was: millimetres, or degrees for an angle.
        from: Option<f64>,
        /// What it is then.
        to: Option<f64>,
    },
    /// Holes lie elsewhere in the part.
    HolesMove {
        /// The joint that they are for, or the stated hole.
        holes: String,
        /// Where they were, in the part's own coordinates.
        from_mm: [f64; 3],
        /// By how much, along own station, buttock line and waterline.
        by_mm: [f64; 3],
        /// Nominal diameter, if it is known.
        diameter_mm: Option<f64>,
        /// From the middle of the new hole to the nearest hole that is there and not used any more.
        apart_mm: f64,
        /// How far they may be off for their bolts to go in; nothing where that isn't known.
        slack_mm: f64,
    },
    /// Holes where there were none.
    NewHoles {
        /// The joint that they are for, or the stated hole.
        holes: String,
        /// Where they go, in the part's own coordinates.
        at_mm: [f64; 3],
    },
    /// A hole is of another size.
    HoleSize {
        /// The hole.
        hole: String,
        /// Its diameter as it was.
        from_mm: f64,
        /// Its diameter then.
        to_mm: f64,
    },
}

/// A hundredth of a millimetre: nobody saws, files or drills truer. Common practice, no source. A part that leans a little
/// less is longer by less than that.
pub(crate) const WORKED_MM: f64 = 0.01;

/// What is different about a part's sizes, sides and shape; holes are told by [`holes`](super::holes).
/// `serves` tells where the old metal serves when a side is another one.
pub(super) fn differences(
    old: &PlacedPart,
    new: &PlacedPart,
    serves: impl FnOnce() -> Served,
) -> Vec<MakeChange> {
    if old.kind != new.kind {
        let (from, to) = (old.kind.clone(), new.kind.clone());
        return vec![MakeChange::OtherKind { from, to }];
    }
    let choices = choice_changes(old, new);
    let mut sizes = size_changes(old, new);
    let one_sided = |change: &SizeChange| only_on_the_other_side(&choices, &sizes, change);
    let one_sided: Vec<bool> = sizes.iter().map(one_sided).collect();
    let mut keep = one_sided.into_iter();
    sizes.retain(|change| {
        let gone_over = keep.next().unwrap_or_default();
        !gone_over
            && !too_little(change)
            && !of_a_hole(old, new, change)
            && !is_derived(old, new, change)
    });
    // corners of an outline that follow from a length are told by what they do to the whole
    let outline = |change: &SizeChange| change.role == SizeRole::Coordinate;
    let over_all = if sizes.iter().any(outline) {
        over_all(old, new, &sizes)
    } else {
        Vec::new()
    };
    if !over_all.is_empty() {
        sizes.retain(|change| !outline(change));
    }
    let served = (!choices.is_empty()).then(serves);
    choices
        .into_iter()
        .zip(served.into_iter().cycle())
        .map(|((choice, from, to), served)| MakeChange::OtherSide {
            choice,
            from,
            to,
            serves: served.bare,
            drilled: served.drilled,
            holes_known: served.known,
        })
        .chain(sizes.iter().map(size_change))
        .chain(over_all)
        .collect()
}

/// Whether a size changes by less than anybody works to.
fn too_little(change: &SizeChange) -> bool {
    let worked = change.role != SizeRole::Angle;
    let by = change.from.zip(change.to).map(|(from, to)| to - from);
    worked && by.is_some_and(|by| by.abs() <= WORKED_MM)
}

/// Whether a size is a coordinate or the diameter of a stated hole.
fn of_a_hole(old: &PlacedPart, new: &PlacedPart, change: &SizeChange) -> bool {
    let holes = old.holes.iter().chain(&new.holes);
    holes
        .filter_map(|hole| change.name.strip_prefix(&hole.name))
        .any(|rest| matches!(rest, " fs" | " bl" | " wl" | " diameter"))
}

fn is_derived(old: &PlacedPart, new: &PlacedPart, change: &SizeChange) -> bool {
    let size = new.size(&change.name).or_else(|| old.size(&change.name));
    size.is_some_and(|size| size.derived)
}

/// What the part's extents are called, along its three own axes.
const OVER_ALL: [&str; 3] = ["length over all", "width over all", "height over all"];

/// The own axis of an extent over all.
pub(super) fn over_all_axis(size: &str) -> Option<Axis> {
    let mut axes = Axis::ALL.into_iter();
    axes.find(|axis| OVER_ALL[axis.index()] == size)
}

fn over_all(old: &PlacedPart, new: &PlacedPart, sizes: &[SizeChange]) -> Vec<MakeChange> {
    let pairs = old.over_all_mm.into_iter().zip(new.over_all_mm);
    OVER_ALL
        .into_iter()
        .zip(pairs)
        .filter(|(_, (from, to))| (to - from).abs() > WORKED_MM)
        // a width that is a size of its own is told as that
        .filter(|(_, (from, to))| {
            let same = |a: f64, b: f64| (a - b).abs() <= MOVED_MM;
            !sizes.iter().any(|change| {
                change.role == SizeRole::Extent
                    && matches!((change.from, change.to), (Some(was), Some(is)) if same(is, *to) && same(was, *from))
            })
        })
        .map(|(size, (from, to))| extent_change(size.to_owned(), from, to))
        .collect()
}

/// Whether a size is gone from one side of a part and there on the other as it was, like the leg of caps that were changed
/// over: what is chosen tells it.
fn only_on_the_other_side(
    choices: &[(String, String, String)],
    sizes: &[SizeChange],
    change: &SizeChange,
) -> bool {
    let same = |a: Option<f64>, b: Option<f64>| matches!((a, b), (Some(a), Some(b)) if (a - b).abs() <= MOVED_MM);
    let one_sided = change.from.is_none() != change.to.is_none();
    one_sided
        && !choices.is_empty()
        && sizes.iter().any(|other| {
            other.role == change.role
                && (same(other.from, change.to) && other.to.is_none()
                    || same(other.to, change.from) && other.from.is_none())
        })
}

fn extent_change(size: String, from_mm: f64, to_mm: f64) -> MakeChange {
    let by_mm = (to_mm - from_mm).abs();
    if to_mm > from_mm {
        MakeChange::Longer {
            size,
            by_mm,
            from_mm,
            to_mm,
        }
    } else {
        MakeChange::Shorter {
            size,
            by_mm,
            from_mm,
            to_mm,
        }
    }
}

fn size_change(change: &SizeChange) -> MakeChange {
    let size = change.name.clone();
    match (change.role, change.from, change.to) {
        (SizeRole::Extent, Some(from), Some(to)) => extent_change(size, from, to),
        (SizeRole::Gauge, Some(from_mm), Some(to_mm)) => MakeChange::OtherStock {
            size,
            from_mm,
            to_mm,
        },
        (role, from, to) => MakeChange::OtherShape {
            size,
            angle: role == SizeRole::Angle,
            from,
            to,
        },
    }
}
