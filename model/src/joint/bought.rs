//! What is to buy for each joint once it is packed. In: a solution. Out: each joint with its stack, the packing that its layers leave
//! room for, and the fastener that holds all of it.

use super::Joint;
use super::buy::{Purchase, purchase};
use super::measured::Measured;
use crate::assembly::Solved;
use crate::clash::CONTACT_MM;

/// A joint with what is to buy for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Bought {
    /// The stack and its places.
    pub joint: Joint,
    /// What fills the gaps between its layers.
    pub packing: Vec<Packing>,
    /// Layers that a fastener of a row misses: nothing is bought for such a joint.
    pub outside: Vec<String>,
    /// What to buy for the layers and their packing; none for a grip that nothing holds, where a fastener misses a layer, or where none
    /// is stated.
    pub buy: Option<Purchase>,
}

/// What fills a gap between two layers.
#[derive(Clone, Debug, PartialEq)]
pub struct Packing {
    /// The layers, the one nearer to the head first.
    pub between: [String; 2],
    /// How thick it is, in millimetres: the gap where it is widest.
    pub thickness_mm: f64,
}

impl Solved<'_> {
    /// All joints with what is to buy for them, in the order of [`Solved::joints`].
    pub fn bought(&self) -> Vec<Bought> {
        let stand = self.stand();
        let stacked = stand.stacked().into_iter();
        stacked
            .map(|stacked| self.bought_for(&stand.measure_joint(stacked)))
            .collect()
    }

    fn bought_for(&self, measured: &Measured<'_>) -> Bought {
        let joint = self.joint_of(measured);
        let packing: Vec<Packing> = measured
            .gaps()
            .into_iter()
            .zip(joint.layers.windows(2))
            .filter(|(gap, _)| *gap > CONTACT_MM)
            .filter_map(|(thickness_mm, pair)| {
                let [before, after] = pair else { return None };
                Some(Packing {
                    between: [before, after].map(|layer| layer.part.clone()),
                    thickness_mm,
                })
            })
            .collect();
        let packed: f64 = packing.iter().map(|one| one.thickness_mm).sum();
        let grip = measured.grip(self.is_loose(measured));
        let missed = measured.missed().into_iter();
        let outside = missed.filter_map(|layer| Some(joint.layers.get(layer)?.part.clone()));
        let outside: Vec<String> = outside.collect();
        let fastener = measured.stacked.fastener.filter(|_| outside.is_empty());
        Bought {
            outside,
            buy: fastener
                .zip(grip)
                .and_then(|(fastener, grip)| purchase(fastener, grip + packed)),
            joint,
            packing,
        }
    }
}
