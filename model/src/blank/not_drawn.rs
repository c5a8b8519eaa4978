//! What a part gets that its pattern doesn't show: the holes of its joints, and what is cut out for other parts.
//! In: a part of an assembly. Out: names, in the order of the file.

use schemars::JsonSchema;
use serde::Serialize;

use crate::assembly::{AssembledPart, Assembly};

/// What a pattern doesn't show.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct NotDrawn {
    /// Joints whose fasteners go through the part.
    pub joints: Vec<String>,
    /// Parts for which it is cut out.
    pub cut_for: Vec<String>,
}

impl NotDrawn {
    pub(super) fn of(assembly: &Assembly, part: &AssembledPart) -> Self {
        let is_own = |at: &usize| {
            let other = assembly.parts.get(*at);
            other.is_some_and(|other| other.name == part.name)
        };
        let bolted = assembly.joints.iter().filter(|joint| {
            let ends = [joint.part, joint.to];
            ends.iter().chain(&joint.spacers).any(is_own)
        });
        let seams = assembly.seams.iter().filter(|seam| {
            let mut layers = seam.layers.iter();
            layers.any(|layer| is_own(&layer.part))
        });
        let bolted = bolted.map(|joint| joint.statement.clone());
        Self {
            joints: bolted
                .chain(seams.map(|seam| seam.statement.clone()))
                .collect(),
            cut_for: part.cut_for.clone(),
        }
    }
}
