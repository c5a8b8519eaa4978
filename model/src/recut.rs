//! What a change does to the making of each part: sizes, sides, holes; parts that merely move are apart.

use schemars::JsonSchema;
use serde::Serialize;

use crate::layout::{Layout, PlacedJoint, SizeRole};
use crate::shift::{MOVED_MM, PartShift, Presence, Shift, SizeChange};
use crate::words::Axis;

/// Which parts are made differently.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Recut {
    /// Parts whose sizes, sides or holes change, with what is to be done.
    pub parts: Vec<RecutPart>,
    /// Parts that only lie elsewhere.
    pub only_moved: Vec<String>,
    /// Parts that are as before in every way.
    pub untouched: Vec<String>,
    /// Parts that are loose then: whether they have to be made differently can't be told.
    pub unsettled: Vec<String>,
}

/// A part that is made differently.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RecutPart {
    /// Its name.
    pub part: String,
    /// What changes.
    pub changes: Vec<MakeChange>,
}

/// One change of the making of a part. Lengths in millimetres.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "what")]
pub enum MakeChange {
    /// It is a new part.
    New,
    /// It is no longer needed.
    Gone,
    /// A size grows.
    Longer {
        /// The size.
        size: String,
        /// By how much.
        by_mm: f64,
        /// What it is then.
        to_mm: f64,
    },
    /// A size shrinks.
    Shorter {
        /// The size.
        size: String,
        /// By how much; positive.
        by_mm: f64,
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
    /// The holes of a joint lie elsewhere in the part.
    HolesMove {
        /// The joint.
        joint: String,
        /// By how much, along own station, buttock line and waterline.
        by_mm: [f64; 3],
    },
}

/// From two layouts and the shift between them to what is made differently.
pub fn recut(old: &Layout, new: &Layout, shift: &Shift) -> Recut {
    let mut result = Recut {
        parts: Vec::new(),
        only_moved: Vec::new(),
        untouched: Vec::new(),
        unsettled: Vec::new(),
    };
    for part in &shift.parts {
        let mut changes = changes_of(part);
        changes.extend(holes(old, new, &part.part));
        if changes.is_empty() {
            result.only_moved.push(part.part.clone());
        } else {
            result.parts.push(RecutPart {
                part: part.part.clone(),
                changes,
            });
        }
    }
    for name in &shift.unmoved {
        let changes: Vec<MakeChange> = holes(old, new, name).collect();
        if changes.is_empty() {
            result.untouched.push(name.clone());
        } else {
            result.parts.push(RecutPart {
                part: name.clone(),
                changes,
            });
        }
    }
    result.unsettled.clone_from(&shift.unsettled);
    result
}

fn changes_of(part: &PartShift) -> Vec<MakeChange> {
    match part.presence {
        Presence::Added => return vec![MakeChange::New],
        Presence::Dropped => return vec![MakeChange::Gone],
        Presence::Both => {}
    }
    let sides = part
        .choices
        .iter()
        .map(|(choice, from, to)| MakeChange::OtherSide {
            choice: choice.clone(),
            from: from.clone(),
            to: to.clone(),
        });
    // corners of an outline that follow from a length are told by what they do to the whole
    let outline = |change: &&SizeChange| change.role == SizeRole::Coordinate;
    let over_all: Vec<MakeChange> = if part.sizes.iter().any(|change| outline(&change)) {
        over_all(part)
    } else {
        Vec::new()
    };
    let told_by_whole = !over_all.is_empty();
    let sizes = part
        .sizes
        .iter()
        .filter(|change| !(told_by_whole && outline(change)))
        .filter(|change| !only_on_the_other_side(part, change))
        .map(size_change);
    sides.chain(sizes).chain(over_all).collect()
}

fn over_all(part: &PartShift) -> Vec<MakeChange> {
    ["length over all", "width over all", "height over all"]
        .into_iter()
        .zip(part.over_all_mm)
        .zip(part.over_all_now_mm)
        .filter(|((_, by), _)| *by != 0.0)
        // a width that is a size of its own is told as that
        .filter(|((_, by), now)| {
            !part.sizes.iter().any(|change| {
                let same = |a: f64, b: f64| (a - b).abs() <= MOVED_MM;
                change.role == SizeRole::Extent
                    && matches!((change.from, change.to), (Some(from), Some(to)) if same(to, *now) && same(to - from, *by))
            })
        })
        .map(|((size, by), now)| {
            let (size, by_mm, to_mm) = (size.to_owned(), by.abs(), now);
            if by > 0.0 {
                MakeChange::Longer { size, by_mm, to_mm }
            } else {
                MakeChange::Shorter { size, by_mm, to_mm }
            }
        })
        .collect()
}

/// Whether a size is gone from one side of a part and there on the other as it was, like the leg of caps that were changed
/// over: what is chosen tells it.
fn only_on_the_other_side(part: &PartShift, change: &SizeChange) -> bool {
    let same = |a: Option<f64>, b: Option<f64>| matches!((a, b), (Some(a), Some(b)) if (a - b).abs() <= MOVED_MM);
    let one_sided = change.from.is_none() != change.to.is_none();
    one_sided
        && !part.choices.is_empty()
        && part.sizes.iter().any(|other| {
            other.role == change.role
                && (same(other.from, change.to) && other.to.is_none()
                    || same(other.to, change.from) && other.from.is_none())
        })
}

fn size_change(change: &SizeChange) -> MakeChange {
    match (change.role, change.from, change.to) {
        (SizeRole::Extent, Some(from), Some(to)) if to > from => MakeChange::Longer {
            size: change.name.clone(),
            by_mm: to - from,
            to_mm: to,
        },
        (SizeRole::Extent, Some(from), Some(to)) => MakeChange::Shorter {
            size: change.name.clone(),
            by_mm: from - to,
            to_mm: to,
        },
        (SizeRole::Gauge, Some(from), Some(to)) => MakeChange::OtherStock {
            size: change.name.clone(),
            from_mm: from,
            to_mm: to,
        },
        (role, from, to) => MakeChange::OtherShape {
            size: change.name.clone(),
            angle: role == SizeRole::Angle,
            from,
            to,
        },
    }
}

/// Joints whose holes lie elsewhere in a part: across the bolts, in the part's own frame.
fn holes<'l>(
    old: &'l Layout,
    new: &'l Layout,
    part: &'l str,
) -> impl Iterator<Item = MakeChange> + 'l {
    new.joints.iter().filter_map(move |joint| {
        let before = old
            .joints
            .iter()
            .find(|other| other.statement == joint.statement)?;
        let (was, is) = (own_place(before, part)?, own_place(joint, part)?);
        let mut by = [0, 1, 2].map(|axis| is[axis] - was[axis]);
        by[joint.side.axis().index()] = 0.0;
        let moved = Axis::ALL
            .iter()
            .any(|axis| by[axis.index()].abs() > MOVED_MM);
        moved.then(|| MakeChange::HolesMove {
            joint: joint.statement.clone(),
            by_mm: by,
        })
    })
}

fn own_place(joint: &PlacedJoint, part: &str) -> Option<[f64; 3]> {
    if joint.part == part {
        Some(joint.at_own_mm[0])
    } else if joint.to == part {
        Some(joint.at_own_mm[1])
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::assembly::assemble;
    use crate::change::Change;
    use crate::document::Document;
    use crate::shift::shift;
    use crate::source::read;

    const MODEL: &str = r#"(format: 1, title: "x", unit: Inch, fit: "1/32 in", dimensions: {"cabin": "30 in"}, parts: {
        "spar": Spar(web: "0.050 in", span: "34 in", height: "7 in", fwd_caps: (leg: "1 in", thickness: "1/8 in"), at: (fs: 0, bl: 0, wl: 0)),
        "frame": Frame(thickness: "0.032 in", flange: "3/4 in", flanges: Fwd, width: "cabin", height: "26 in", at: (fs: 20, bl: 0, wl: 0)),
    })"#;

    fn changes(deviation: &str, part: &str) -> Vec<MakeChange> {
        let document: Document = read(MODEL).unwrap();
        let made: Vec<Change> = read(deviation).unwrap();
        let changed = document.with_changes(&made).unwrap();
        let (old, new) = (assemble(&document).unwrap(), assemble(&changed).unwrap());
        let (old, new) = (old.solve().unwrap().layout(), new.solve().unwrap().layout());
        let recut = recut(&old, &new, &shift(&old, &new));
        let mut parts = recut.parts.into_iter();
        parts.find(|one| one.part == part).unwrap().changes
    }

    /// Caps that change over are the same caps: their sizes, gone from one side and there on the other, are no news.
    #[test]
    fn caps_changed_over_are_one_change() {
        let made = changes(r#"[Reverse("spar")]"#, "spar");
        let choice = ("caps".to_owned(), "fwd".to_owned(), "aft".to_owned());
        let (choice, from, to) = choice;
        assert_eq!(made, [MakeChange::OtherSide { choice, from, to }]);
    }

    #[test]
    fn a_width_over_all_that_is_a_size_is_told_once() {
        let made = changes(r#"[Set("cabin", "31 in")]"#, "frame");
        let told = |change: &&MakeChange| matches!(change, MakeChange::Longer { size, .. } if size.contains("width"));
        assert_eq!(made.iter().filter(told).count(), 1, "{made:?}");
    }
}
