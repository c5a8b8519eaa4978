//! Joints: what lies between the head of a fastener and its tail. In: a solved assembly. Out: each joint as a stack of layers, with
//! the places of its fasteners where a row of them is stated. Plain data in millimetres.

mod around;
mod bought;
mod buy;
mod checks;
mod findings;
mod flat;
mod heads;
mod measured;
mod missing;
mod pitch;
mod reach;
mod report;
mod rows;
mod spacers;
mod stacked;

#[cfg(test)]
mod tests;

pub use bought::{Bought, Packing};
pub use buy::{BoltChoice, HoleSize, Purchase, RivetChoice};
pub use findings::{Finding, Spot, What};
pub use heads::{Block, blocks};
pub(crate) use reach::Fastening;
pub use report::JointReport;
pub use rows::{PlacedRow, RowLimit, RowTrouble};
pub use spacers::{Fill, SpacerChoice};
pub(crate) use stacked::Stand;

use schemars::JsonSchema;
use serde::Serialize;

use crate::assembly::Solved;
use measured::Measured;

/// A joint in its place.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Joint {
    /// The statement that makes it.
    pub statement: String,
    /// The fastener by its standard's number, as `AN3` or `MS20470AD4`, if it is stated.
    pub fastener: Option<String>,
    /// Whether it is riveted: both sides have to be reached to set it.
    pub riveted: bool,
    /// The layers in order along `direction`, the one under the head first.
    pub layers: Vec<Layer>,
    /// From the head to the tail: a unit vector along station, buttock line and waterline.
    pub direction: [f64; 3],
    /// Where fasteners go, in the plane under the head; none where no row is stated.
    pub places_mm: Vec<[f64; 3]>,
    /// How many fasteners there are, if it is stated or follows from a row.
    pub count: Option<usize>,
    /// Nominal diameter of the fastener, if it is known.
    pub diameter_mm: Option<f64>,
}

/// One layer of a joint.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Layer {
    /// The part.
    pub part: String,
    /// Its alloy, if it is stated.
    pub alloy: Option<String>,
    /// How thick it is at the fasteners; none where no fastener meets its metal.
    pub thickness_mm: Option<f64>,
    /// Whether it is a spacer whose thickness is found.
    pub found: bool,
}

impl Solved<'_> {
    /// All joints: the bolted ones, then the seams, in the order of the file.
    pub fn joints(&self) -> Vec<Joint> {
        let stand = self.stand();
        let stacked = stand.stacked().into_iter();
        stacked
            .map(|stacked| self.joint_of(&stand.measure_joint(stacked)))
            .collect()
    }

    fn joint_of(&self, measured: &Measured<'_>) -> Joint {
        let stacked = &measured.stacked;
        let loose = self.is_loose(measured);
        let layers = stacked.layers.iter().enumerate();
        let layers: Vec<Layer> = layers
            .filter_map(|(at, stated)| {
                let part = self.assembly.parts.get(stated.part)?;
                Some(Layer {
                    part: part.name.clone(),
                    alloy: part.alloy.map(|alloy| alloy.name.to_owned()),
                    thickness_mm: measured.thickness(at, loose),
                    found: self.stand().gauge_is_found(stated.part),
                })
            })
            .collect();
        let in_rows: usize = measured.rows.iter().map(|laid| laid.row.count).sum();
        let placed: usize = measured.rows.iter().map(|laid| laid.places.len()).sum();
        let stated = stacked.count.map(|count| count as usize);
        Joint {
            statement: stacked.statement.to_owned(),
            fastener: stacked.fastener.map(|fastener| fastener.name().to_owned()),
            riveted: stacked.fastener.is_some_and(|fastener| fastener.is_rivet()),
            layers,
            // adding zero turns a negative zero into zero
            direction: stacked.frame.way.map(|part| part + 0.0).into(),
            places_mm: (0..placed)
                .map(|index| measured.under_head(index).into())
                .collect(),
            count: stated.or((in_rows > 0).then_some(in_rows)),
            diameter_mm: stacked.fastener.map(|fastener| fastener.diameter_mm()),
        }
    }
}
