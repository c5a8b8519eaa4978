//! Joints as they are told. In: a solution. Out: each joint with its stack, what to buy, its hole, its rows, and what is wrong with it.

use schemars::JsonSchema;
use serde::Serialize;

use super::around::Metal;
use super::buy::{HoleSize, Purchase, hole, purchase};
use super::findings::Finding;
use super::measured::Measured;
use super::rows::PlacedRow;
use super::spacers::SpacerChoice;
use super::{Joint, blocks};
use crate::assembly::Solved;
use crate::trade::Source;

/// A joint with all that is to be known of it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct JointReport {
    /// The stack and its places.
    pub joint: Joint,
    /// The sheets of metal together; none where a layer has no metal at any fastener.
    pub grip_mm: Option<f64>,
    /// Of each layer in order, the least distance of a fastener from an edge; none where no row is stated, or the layer follows a contour.
    pub edges_mm: Vec<Option<f64>>,
    /// Its rows.
    pub rows: Vec<PlacedRow>,
    /// What to buy.
    pub buy: Option<Purchase>,
    /// What to drill.
    pub hole: Option<HoleSize>,
    /// Spacers whose thickness is found.
    pub spacers: Vec<SpacerChoice>,
    /// Head and tail: radius and height, and where they stand.
    pub ends: Vec<(f64, f64, Source)>,
    /// What is wrong or worth knowing, what breaks a rule first.
    pub findings: Vec<Finding>,
}

impl JointReport {
    /// Whether it breaks no rule.
    pub fn is_well(&self) -> bool {
        !self.findings.iter().any(|finding| finding.violates)
    }
}

impl Solved<'_> {
    /// Whether a layer of a joint is loose: where it stands says nothing.
    pub(super) fn is_loose(&self, one: &Measured<'_>) -> bool {
        let layers = one.stacked.layers.iter();
        let mut parts = layers.filter_map(|layer| self.assembly.parts.get(layer.part));
        parts.any(|part| !self.is_settled(part))
    }

    /// All joints with what is to be known of them, in the order of [`Solved::joints`].
    pub fn joint_reports(&self) -> Vec<JointReport> {
        let stand = self.stand();
        let stacked = stand.stacked().into_iter();
        let measured: Vec<Measured<'_>> = stacked.map(|s| stand.measure_joint(s)).collect();
        let metal = Metal::of(self);
        measured
            .iter()
            .enumerate()
            .map(|(index, one)| {
                let fastener = one.stacked.fastener;
                let grip_mm = one.grip(self.is_loose(one));
                let buy = fastener.zip(grip_mm);
                let buy = buy.and_then(|(fastener, grip)| purchase(fastener, grip));
                let no_size = grip_mm.is_some() && buy.is_none();
                let mut findings = self.findings(one, &measured, index, &metal, no_size);
                findings.sort_by_key(|finding| (!finding.violates, finding.what));
                JointReport {
                    joint: self.joint_of(one),
                    grip_mm,
                    edges_mm: one.least_edges(),
                    rows: one.rows.iter().map(|laid| laid.row.clone()).collect(),
                    buy,
                    hole: fastener.and_then(hole),
                    spacers: self.spacers(one),
                    ends: fastener.map_or_else(Vec::new, |fastener| {
                        let ends = blocks(fastener);
                        ends.map(|end| (end.radius_mm, end.high_mm, end.source))
                            .into()
                    }),
                    findings,
                }
            })
            .collect()
    }
}
