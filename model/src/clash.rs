//! Metal that runs into metal where nothing says so. In: a solution. Out: pairs of parts, with the depth, the way out and the place, in
//! millimetres.
//!
//! The metal is that of the parts' prisms, bends between a web and its flanges with sharp corners. Contact is no clash. What is round
//! or curved is drawn in flats, and runs into something only where it does by more than a flat may lie off the round metal.

mod changes;
mod excused;
mod overlap;
pub(crate) mod prism;
mod way_out;

#[cfg(test)]
mod tests;

pub use changes::{ClashChange, ClashVerdict, changes};

use parry3d_f64::bounding_volume::Aabb;
use parry3d_f64::partitioning::{Bvh, BvhBuildStrategy, BvhWorkspace};
use schemars::JsonSchema;
use serde::Serialize;

use crate::assembly::{AssembledPart, DATUM, Solved};
use crate::layout::PlacedSolid;
use excused::Joints;
use overlap::Metal;

/// Overlaps up to this depth, in millimetres, are contact: a micrometre is far above the rounding of a solution (about 1e-9) and far
/// below what a workshop can cut or measure.
pub const CONTACT_MM: f64 = 1e-3;

/// What runs into what.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Clashes {
    /// The pairs of parts, the deepest first.
    pub found: Vec<Clash>,
    /// Parts that were left out because they, or a size of theirs, are loose.
    pub left_out: Vec<String>,
}

/// A part whose metal runs into that of another one.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Clash {
    /// The two parts, in the order of the file.
    pub parts: [String; 2],
    /// Where, the deepest place first; at least one.
    pub places: Vec<Place>,
}

/// Where metal runs into other metal.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Place {
    /// How deep: the shortest way along the normal of a face, or square to two edges, that the first part's piece would have to go until
    /// the two only touch here, in millimetres.
    pub depth_mm: f64,
    /// That way: components along station, buttock line and waterline, of length one.
    pub way: [f64; 3],
    /// The middle of the metal that both claim: station, buttock line, waterline, in millimetres.
    pub at_mm: [f64; 3],
    /// Its least and greatest station, buttock line and waterline, in millimetres.
    pub overlap_mm: [[f64; 2]; 3],
}

impl Clash {
    /// How deep they run into one another where they do so deepest, in millimetres.
    pub fn depth_mm(&self) -> f64 {
        self.places.first().map_or(0.0, |place| place.depth_mm)
    }
}

/// Where two parts' metal runs into one another, the deepest place first; nowhere where it is apart or only touches.
pub fn between(a: &[PlacedSolid], b: &[PlacedSolid]) -> Vec<Place> {
    let metal = |solids: &[PlacedSolid]| Metal::of(solids.iter().map(|solid| (solid.clone(), 0.0)));
    match (metal(a), metal(b)) {
        (Some(a), Some(b)) => overlap::places(&a, &b, &|_, _| false),
        _ => Vec::new(),
    }
}

impl Solved<'_> {
    /// All pairs of settled parts of which one runs into the other, where no cut-out, notch or joint says so.
    pub fn clashes(&self) -> Clashes {
        let mut left_out = Vec::new();
        let mut looked_at: Vec<(usize, Metal)> = Vec::new();
        for (index, part) in self.assembly.parts.iter().enumerate() {
            let solids = self.at().metal_with_rounds(part);
            if part.name == DATUM || solids.is_empty() {
                continue;
            }
            if !self.is_settled(part) {
                left_out.push(part.name.clone());
            } else if let Some(metal) = Metal::of(solids.into_iter()) {
                looked_at.push((index, metal));
            }
        }
        let joints = Joints::of(self.assembly);
        let mut found: Vec<Clash> = close_pairs(&looked_at)
            .into_iter()
            .filter_map(|(one, other)| {
                self.clash(&joints, looked_at.get(one)?, looked_at.get(other)?)
            })
            .collect();
        found.sort_by(|a, b| b.depth_mm().total_cmp(&a.depth_mm()));
        Clashes { found, left_out }
    }

    fn clash(
        &self,
        joints: &Joints,
        one: &(usize, Metal),
        other: &(usize, Metal),
    ) -> Option<Clash> {
        let parts: [&AssembledPart; 2] = [
            self.assembly.parts.get(one.0)?,
            self.assembly.parts.get(other.0)?,
        ];
        if excused::by_a_cut(parts) {
            return None;
        }
        let clamped = self.clamped(joints, [one.0, other.0], [&one.1, &other.1]);
        let places = overlap::places(&one.1, &other.1, &|a, b| {
            clamped.iter().any(|layers| layers.hold(a, b))
        });
        (!places.is_empty()).then(|| Clash {
            parts: parts.map(|part| part.name.clone()),
            places,
        })
    }
}

/// Pairs whose boxes along the axes meet, each in order.
fn close_pairs(parts: &[(usize, Metal)]) -> Vec<(usize, usize)> {
    let boxes: Vec<Aabb> = parts.iter().map(|(_, metal)| metal.extent).collect();
    let tree = Bvh::from_leaves(BvhBuildStrategy::Binned, &boxes);
    let mut pairs = Vec::new();
    tree.traverse_bvtt_single_tree::<false>(&mut BvhWorkspace::default(), &mut |a, b| {
        let (a, b) = (a as usize, b as usize);
        pairs.push((a.min(b), a.max(b)));
    });
    pairs.sort_unstable();
    pairs.dedup();
    pairs
}
