//! A shift: how far and which way each face moves between two layouts. Positive is aft, right or up;
//! a shift is new minus old.

use schemars::JsonSchema;
use serde::Serialize;

use crate::layout::{Layout, PlacedFeature, PlacedPart, SizeRole};

/// A face counts as moved beyond this, in millimetres: far below metal, far above rounding.
pub const MOVED_MM: f64 = 1e-6;
/// A part counts as turned beyond this, in degrees.
pub const TURNED_DEG: f64 = 1e-7;

/// What changes from one layout to another.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Shift {
    /// The parts that differ, in the order of the file; those only in one layout included.
    pub parts: Vec<PartShift>,
    /// Parts that are the same to the last face.
    pub unmoved: Vec<String>,
    /// Parts that nothing settles in the new layout: where they stand there is nobody's figure.
    pub unsettled: Vec<String>,
    /// Dimensions whose figure is another one, found ones left out.
    pub dimensions: Vec<DimensionChange>,
}

/// A dimension that changes.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DimensionChange {
    /// Its name.
    pub name: String,
    /// Whether it is an angle.
    pub angle: bool,
    /// What it was: millimetres, or degrees for an angle.
    pub from: f64,
    /// What it is now.
    pub to: f64,
}

/// What changes of one part.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PartShift {
    /// Its name.
    pub part: String,
    /// In which of the layouts it is.
    pub presence: Presence,
    /// Its features that move.
    pub features: Vec<FeatureShift>,
    /// The greatest shift of a feature along station, buttock line and waterline, with its sign.
    pub greatest_mm: [f64; 3],
    /// Change of its turns in degrees: roll, pitch, yaw.
    pub turned_deg: [f64; 3],
    /// Its sizes that change.
    pub sizes: Vec<SizeChange>,
    /// How much longer, wider and higher its metal is over all, in its own frame.
    pub over_all_mm: [f64; 3],
    /// Its length, width and height over all in the new layout.
    pub over_all_now_mm: [f64; 3],
    /// Its choices that change, such as the side of a flange: name, old, new.
    pub choices: Vec<(String, String, String)>,
    /// Where the shift comes from: a part that is itself changed, a dimension or a statement. None for a part
    /// that is itself changed, and before [`Solved::trace`](crate::assembly::Solved::trace) has looked.
    pub from: Option<String>,
    /// The statements through which it comes, from there on.
    pub through: Vec<String>,
}

/// In which layouts a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Presence {
    /// In both.
    Both,
    /// Only in the new one.
    Added,
    /// Only in the old one.
    Dropped,
}

/// A feature that moves.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FeatureShift {
    /// Its name.
    pub name: String,
    /// Where it was, in millimetres.
    pub from_mm: [f64; 3],
    /// Where it is now.
    pub to_mm: [f64; 3],
    /// New minus old.
    pub shift_mm: [f64; 3],
}

/// A size that changes.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SizeChange {
    /// Its name.
    pub name: String,
    /// What it is for.
    pub role: SizeRole,
    /// What it was: millimetres, or degrees for an angle; none if the part had no such size.
    pub from: Option<f64>,
    /// What it is now.
    pub to: Option<f64>,
}

/// Compares two layouts.
pub fn shift(old: &Layout, new: &Layout) -> Shift {
    let mut parts = Vec::new();
    let mut unmoved = Vec::new();
    let mut unsettled = Vec::new();
    for part in &new.parts {
        match old.part(&part.name) {
            None => parts.push(only(part, Presence::Added)),
            // where it stands now, and how long it is, is nobody's figure
            Some(_) if !part.settled => unsettled.push(part.name.clone()),
            Some(before) => {
                let change = compare(before, part);
                if change.is_nothing() {
                    unmoved.push(part.name.clone());
                } else {
                    parts.push(change);
                }
            }
        }
    }
    for (at, part) in old.parts.iter().enumerate() {
        if new.part(&part.name).is_none() {
            parts.insert(at.min(parts.len()), only(part, Presence::Dropped));
        }
    }
    Shift {
        parts,
        unmoved,
        unsettled,
        dimensions: dimensions(old, new),
    }
}

fn only(part: &PlacedPart, presence: Presence) -> PartShift {
    PartShift {
        part: part.name.clone(),
        presence,
        features: Vec::new(),
        greatest_mm: [0.0; 3],
        turned_deg: [0.0; 3],
        sizes: Vec::new(),
        choices: Vec::new(),
        over_all_mm: [0.0; 3],
        over_all_now_mm: part.over_all_mm,
        from: None,
        through: Vec::new(),
    }
}

fn dimensions(old: &Layout, new: &Layout) -> Vec<DimensionChange> {
    new.dimensions
        .iter()
        .filter(|dimension| !dimension.found)
        .filter_map(|dimension| {
            let before = old
                .dimensions
                .iter()
                .find(|other| other.name == dimension.name)?;
            (before.value != dimension.value).then(|| DimensionChange {
                name: dimension.name.clone(),
                angle: dimension.angle,
                from: before.value,
                to: dimension.value,
            })
        })
        .collect()
}

/// How far a part shifts along an axis, of whose features the one shifts least and another one most: as far as the
/// furthest; but one that only grows, to both sides, as far as its middle.
fn shift_of([least, most]: [f64; 2], turned: bool) -> f64 {
    let by = if !turned && least < -MOVED_MM && most > MOVED_MM {
        0.5 * (least + most)
    } else if most > -least {
        most
    } else {
        least
    };
    if by.abs() > MOVED_MM { by } else { 0.0 }
}

fn compare(old: &PlacedPart, new: &PlacedPart) -> PartShift {
    let mut change = only(new, Presence::Both);
    let mut ranges = [[0.0_f64; 2]; 3];
    for feature in &new.features {
        let Some(before) = old.feature(&feature.name) else {
            continue;
        };
        let moved = feature_shift(before, feature);
        for (range, by) in ranges.iter_mut().zip(moved.shift_mm) {
            *range = [range[0].min(by), range[1].max(by)];
        }
        if moved.shift_mm.iter().any(|by| by.abs() > MOVED_MM) {
            change.features.push(moved);
        }
    }
    for axis in 0..3 {
        let by = new.turn_deg[axis] - old.turn_deg[axis];
        let by = by - 360.0 * (by / 360.0).round();
        if by.abs() > TURNED_DEG {
            change.turned_deg[axis] = by;
        }
    }
    for (axis, range) in ranges.into_iter().enumerate() {
        // a turn about an axis moves nothing along it
        let turned = (0..3).any(|about| about != axis && change.turned_deg[about] != 0.0);
        change.greatest_mm[axis] = shift_of(range, turned);
    }
    for axis in 0..3 {
        let by = new.over_all_mm[axis] - old.over_all_mm[axis];
        if by.abs() > MOVED_MM {
            change.over_all_mm[axis] = by;
        }
    }
    change.sizes = size_changes(old, new);
    change.choices = choice_changes(old, new);
    change
}

/// The sizes of a part that change.
pub(crate) fn size_changes(old: &PlacedPart, new: &PlacedPart) -> Vec<SizeChange> {
    let mut changes = Vec::new();
    for size in &new.sizes {
        let before = old.size(&size.name).map(|size| size.value);
        if before.is_none_or(|before| (size.value - before).abs() > MOVED_MM) {
            changes.push(SizeChange {
                name: size.name.clone(),
                role: size.role,
                from: before,
                to: Some(size.value),
            });
        }
    }
    for size in &old.sizes {
        if new.size(&size.name).is_none() {
            changes.push(SizeChange {
                name: size.name.clone(),
                role: size.role,
                from: Some(size.value),
                to: None,
            });
        }
    }
    changes
}

/// The choices of a part that change: name, old, new.
pub(crate) fn choice_changes(old: &PlacedPart, new: &PlacedPart) -> Vec<(String, String, String)> {
    let mut changes = Vec::new();
    for (name, choice) in &new.choices {
        let before = old.choices.iter().find(|(other, _)| other == name);
        if let Some((_, before)) = before
            && before != choice
        {
            changes.push((name.clone(), before.clone(), choice.clone()));
        }
    }
    changes
}

fn feature_shift(old: &PlacedFeature, new: &PlacedFeature) -> FeatureShift {
    FeatureShift {
        name: new.name.clone(),
        from_mm: old.at_mm,
        to_mm: new.at_mm,
        shift_mm: [0, 1, 2].map(|axis| new.at_mm[axis] - old.at_mm[axis]),
    }
}

impl PartShift {
    fn is_nothing(&self) -> bool {
        self.features.is_empty()
            && self.sizes.is_empty()
            && self.choices.is_empty()
            && self.turned_deg.iter().all(|by| *by == 0.0)
    }

    /// Whether the part itself was changed, and not only carried along: in a choice, or in a size that is not
    /// found.
    pub(crate) fn is_source(&self, new: &Layout) -> bool {
        let stated = |change: &SizeChange| {
            new.part(&self.part)
                .and_then(|part| part.size(&change.name))
                .is_none_or(|size| !size.rests_on_found)
        };
        self.presence != Presence::Both || !self.choices.is_empty() || self.sizes.iter().any(stated)
    }
}
