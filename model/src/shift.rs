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
    /// Its choices that change, such as the side of a flange: name, old, new.
    pub choices: Vec<(String, String, String)>,
    /// The way the shift comes: from the nearest part that is itself changed, each step a statement and
    /// the part it carries to.
    pub through: Vec<Step>,
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

/// A step on the way of a shift.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Step {
    /// The part that carries the shift.
    pub from: String,
    /// The statement through which it does.
    pub statement: String,
}

/// Compares two layouts.
pub fn shift(old: &Layout, new: &Layout) -> Shift {
    let mut parts = Vec::new();
    let mut unmoved = Vec::new();
    for part in &new.parts {
        match old.part(&part.name) {
            None => parts.push(only(part, Presence::Added)),
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
    let traced: Vec<Vec<Step>> = (0..parts.len()).map(|at| trace(&parts, at, new)).collect();
    for (part, through) in parts.iter_mut().zip(traced) {
        part.through = through;
    }
    Shift { parts, unmoved }
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
        through: Vec::new(),
    }
}

fn compare(old: &PlacedPart, new: &PlacedPart) -> PartShift {
    let mut change = only(new, Presence::Both);
    for feature in &new.features {
        let Some(before) = old.feature(&feature.name) else {
            continue;
        };
        let moved = feature_shift(before, feature);
        if moved.shift_mm.iter().any(|by| by.abs() > MOVED_MM) {
            for axis in 0..3 {
                if moved.shift_mm[axis].abs() > change.greatest_mm[axis].abs() {
                    change.greatest_mm[axis] = moved.shift_mm[axis];
                }
            }
            change.features.push(moved);
        }
    }
    for axis in 0..3 {
        let by = new.turn_deg[axis] - old.turn_deg[axis];
        if by.abs() > TURNED_DEG {
            change.turned_deg[axis] = by;
        }
    }
    for size in &new.sizes {
        let before = old.size(&size.name).map(|size| size.value);
        if before.is_none_or(|before| (size.value - before).abs() > MOVED_MM) {
            change.sizes.push(SizeChange {
                name: size.name.clone(),
                role: size.role,
                from: before,
                to: Some(size.value),
            });
        }
    }
    for size in &old.sizes {
        if new.size(&size.name).is_none() {
            change.sizes.push(SizeChange {
                name: size.name.clone(),
                role: size.role,
                from: Some(size.value),
                to: None,
            });
        }
    }
    for (name, choice) in &new.choices {
        let before = old.choices.iter().find(|(other, _)| other == name);
        if let Some((_, before)) = before
            && before != choice
        {
            change
                .choices
                .push((name.clone(), before.clone(), choice.clone()));
        }
    }
    change
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

    /// Whether the part itself was changed, and not only carried along.
    fn is_source(&self) -> bool {
        self.presence != Presence::Both || !self.choices.is_empty()
    }
}

/// The way from the nearest changed part to the part at `at`, along what places each part in the new
/// layout. Breadth first, so that the way is as short as any; empty for a part that is itself changed.
fn trace(parts: &[PartShift], at: usize, new: &Layout) -> Vec<Step> {
    if parts[at].is_source() {
        return Vec::new();
    }
    let differs = |name: &str| parts.iter().position(|part| part.part == name);
    let mut seen = vec![false; parts.len()];
    let mut queue = std::collections::VecDeque::from([(at, Vec::<Step>::new())]);
    seen[at] = true;
    let mut longest: Vec<Step> = Vec::new();
    while let Some((here, way)) = queue.pop_front() {
        if parts[here].is_source() {
            return way.into_iter().rev().collect();
        }
        if way.len() > longest.len() {
            longest.clone_from(&way);
        }
        let name = &parts[here].part;
        for placing in new.placed_by.iter().filter(|p| p.finds.contains(name)) {
            for carrier in &placing.rests_on {
                let Some(next) = differs(&carrier.part) else {
                    continue;
                };
                if !seen[next] {
                    seen[next] = true;
                    let mut on = way.clone();
                    on.push(Step {
                        from: carrier.part.clone(),
                        statement: carrier.statement.clone(),
                    });
                    queue.push_back((next, on));
                }
            }
        }
    }
    // a change of a dimension has no part of its own: the way ends at the part it places first
    longest.into_iter().rev().collect()
}
