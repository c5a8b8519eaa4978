//! What is wrong with a joint, and what to know of it. Millimetres.

use schemars::JsonSchema;
use serde::Serialize;

use crate::trade::Source;

/// Something found about a joint.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Finding {
    /// What it is.
    pub what: What,
    /// Whether a rule is broken, or it is only worth knowing.
    pub violates: bool,
    /// The part that it is about.
    pub part: Option<String>,
    /// The other part, joint or row, if there is one.
    pub other: Option<String>,
    /// The face of the part on which the stack lies, where it has no metal at the fasteners.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub on: Option<String>,
    /// What is wanted: the least or the most. Of metal that is missing: how far off the nearest is.
    pub wanted_mm: Option<f64>,
    /// The same in diameters of the fastener.
    pub diameters: Option<f64>,
    /// Where it is so, the worst first.
    pub places: Vec<Spot>,
    /// Where the rule stands.
    pub source: Option<Source>,
}

/// A place with what was measured there.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Spot {
    /// Under the head of the fastener: station, buttock line, waterline.
    pub at_mm: [f64; 3],
    /// What was measured; less than nothing where the fastener is outside of the metal, or layers overlap.
    pub value_mm: f64,
}

/// What can be found about a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum What {
    /// Two layers don't touch.
    Gap,
    /// Two layers lie in one another.
    Overlap,
    /// A layer has no metal where a fastener goes.
    NoMetal,
    /// A layer is thicker at some fasteners than at others.
    Uneven,
    /// A row has no room.
    Row,
    /// The rows don't have as many fasteners as the joint says.
    Count,
    /// Too near to an edge.
    Edge,
    /// Nearer to an edge than is better.
    EdgeSlim,
    /// Farther from any edge than is usual.
    EdgeWide,
    /// Too near to the next fastener.
    Pitch,
    /// Nearer to the next one than a stricter opinion has it.
    PitchStrict,
    /// Farther from the next one than is usual.
    PitchWide,
    /// Too near to a fastener of another joint in the same part.
    OtherJoint,
    /// Head, washer or shop head doesn't sit flat beside a bend or a leg.
    Seat,
    /// Other metal lies against the stack: the holes go through it too.
    OtherMetal,
    /// The diameter is unusual for the thickest sheet.
    Diameter,
    /// Nothing that can be bought holds so much metal.
    NoSize,
    /// A layer is a tube, which is measured as if it were solid.
    Hollow,
    /// It rests on something that is loose: all figures only show where that stands now.
    Loose,
}
