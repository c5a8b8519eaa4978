//! Joints: what lies between the head of a fastener and its tail. In: a solved assembly. Out: each joint as a stack of layers, with
//! the places of its fasteners where a row of them is stated. Plain data in millimetres.

use schemars::JsonSchema;
use serde::Serialize;

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
    /// How thick it is at the fasteners.
    pub thickness_mm: f64,
    /// Whether it is a spacer whose thickness is found.
    pub found: bool,
}
