//! The holes that a part has as it lies in a layout, and whether those of another make of it fall on them when it is turned. In: a
//! layout, its joints as they were measured, the part. Out: each hole's place in own coordinates, as far as the model states all.

use super::Standing;
use super::holes::across;
use super::makeup::WORKED_MM;
use super::metal::{own, own_way};
use crate::layout::PlacedPart;

/// A hole in own coordinates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Hole {
    at: [f64; 3],
    along: [f64; 3],
    diameter_mm: Option<f64>,
    /// How far it may be off for its bolt to go in.
    slack_mm: f64,
}

/// All holes of a part: stated ones, and those of the fasteners of its joints. None where it has none, or a joint doesn't say where
/// its fasteners are: then nobody can tell where the holes lie that were drilled for it.
pub(super) fn pattern(standing: Standing<'_>, part: &PlacedPart) -> Option<Vec<Hole>> {
    let stated = part.holes.iter().map(|hole| Hole {
        at: hole.at_own_mm,
        along: hole.along.vector(),
        diameter_mm: hole.diameter_mm,
        slack_mm: 0.0,
    });
    let mut holes: Vec<Hole> = stated.collect();
    let of_part = |name: &str| name == part.name;
    let joined = &standing.layout.joints;
    let known = |name: &str| {
        standing
            .joints
            .iter()
            .any(|one| one.joint.statement == name)
    };
    let mut bolted = joined.iter().filter(|joint| joint.holds(&part.name));
    if bolted.any(|joint| !known(&joint.statement)) {
        return None;
    }
    for one in standing.joints {
        let joint = &one.joint;
        if !joint.layers.iter().any(|layer| of_part(&layer.part)) {
            continue;
        }
        let placed = joined
            .iter()
            .find(|placed| placed.statement == joint.statement);
        let single = placed.filter(|placed| placed.at_stated && joint.count == Some(1));
        let places = match (&joint.places_mm[..], single) {
            ([], Some(single)) => vec![single.at_mm],
            ([], None) => return None,
            (places, _) => places.to_vec(),
        };
        holes.extend(places.into_iter().map(|at| {
            Hole {
                at: own(part, at),
                along: own_way(part, joint.direction),
                diameter_mm: joint.diameter_mm,
                slack_mm: placed
                    .and_then(|placed| placed.slack_mm)
                    .unwrap_or_default(),
            }
        }));
    }
    (!holes.is_empty()).then_some(holes)
}

/// Whether holes, turned about the middle of their metal by signs of the own coordinates, are those of another make about the middle
/// of its metal, and as wide.
pub(super) fn falls_on(
    signs: [f64; 3],
    (old, old_middle): (&[Hole], [f64; 3]),
    (new, new_middle): (&[Hole], [f64; 3]),
) -> bool {
    let turned = |hole: &Hole| Hole {
        at: [0, 1, 2].map(|axis| signs[axis] * (hole.at[axis] - old_middle[axis])),
        along: [0, 1, 2].map(|axis| signs[axis] * hole.along[axis]),
        ..*hole
    };
    let centred = |hole: &Hole| Hole {
        at: [0, 1, 2].map(|axis| hole.at[axis] - new_middle[axis]),
        ..*hole
    };
    let old: Vec<Hole> = old.iter().map(turned).collect();
    let new: Vec<Hole> = new.iter().map(centred).collect();
    let within =
        |these: &[Hole], those: &[Hole]| these.iter().all(|a| those.iter().any(|b| a.is_at(b)));
    within(&old, &new) && within(&new, &old)
}

impl Hole {
    fn is_at(&self, other: &Hole) -> bool {
        let cosine: f64 = (0..3)
            .map(|axis| self.along[axis] * other.along[axis])
            .sum();
        let off = across(self.along, self.at, other.at);
        let off = off.iter().map(|by| by * by).sum::<f64>().sqrt();
        let as_wide = match (self.diameter_mm, other.diameter_mm) {
            (Some(a), Some(b)) => (a - b).abs() <= WORKED_MM,
            _ => true,
        };
        // one drilled from the other side is the same hole
        cosine.abs() > 0.999 && off <= self.slack_mm.min(other.slack_mm).max(WORKED_MM) && as_wide
    }
}
