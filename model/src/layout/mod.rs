//! A layout: where everything lies, as plain data in millimetres and degrees.

mod build;
mod holes;
mod metal;
mod settled;
mod verdicts;
mod worse;

pub(crate) use build::angles_of;
pub(crate) use holes::lies_in;
pub(crate) use metal::At;
pub use worse::Worse;

use schemars::JsonSchema;
use serde::Serialize;

use crate::document::Trust;
use crate::part::Stock;
use crate::quantity::Unit;
use crate::stock::StockSize;
use crate::words::{Axis, Side};

/// Where every part lies, and what the statements came to.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Layout {
    /// What the model is of.
    pub title: String,
    /// What stations and waterlines are counted from, in words.
    pub datum: Option<String>,
    /// The unit of the file, in which people read figures; all figures here are in millimetres.
    pub unit: Unit,
    /// Tolerance of a must-fit that states none: what the builder takes for a fit, in millimetres.
    pub fit_mm: f64,
    /// Stock as it can be bought, if the file lists any.
    pub stock: Vec<StockSize>,
    /// The parts, in the order of the file.
    pub parts: Vec<PlacedPart>,
    /// Found figures that belong to no part: dimensions and distances of statements.
    pub found: Vec<Found>,
    /// The joints.
    pub joints: Vec<PlacedJoint>,
    /// What can still move.
    pub loose: Vec<Loose>,
    /// Statements that can't hold together with others.
    pub at_odds: Vec<AtOdds>,
    /// Statements that can't be judged as long as something is loose.
    pub waiting: Vec<Waiting>,
    /// Statements that follow from others and agree with them.
    pub spare: Vec<Spare>,
    /// The named dimensions.
    pub dimensions: Vec<Dimension>,
    /// What is probably a slip of the pen, though it can be built so: sentences.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub doubts: Vec<String>,
    /// The most important figures of the solution.
    pub solution: Solution,
}

/// How the solution ended.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Solution {
    /// Unknowns that were to be found.
    pub unknowns: usize,
    /// Rows of all equations.
    pub rows: usize,
    /// Independent rows.
    pub rank: usize,
    /// Ways left to move.
    pub freedoms: usize,
    /// Blocks that were solved one after the other.
    pub blocks: usize,
    /// Unknowns of the largest block.
    pub largest_block: usize,
    /// Steps of the iterative method, over all blocks.
    pub iterations: u64,
    /// Largest residual of the statements that place the parts, in millimetres.
    pub largest_residual_mm: f64,
    /// Time that the solution took, in milliseconds.
    pub milliseconds: f64,
}

/// A part in its place.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PlacedPart {
    /// Its name.
    pub name: String,
    /// Its kind, as the file calls it.
    pub kind: String,
    /// What it is made of, if it is stated.
    pub alloy: Option<String>,
    /// Its origin: station, buttock line, waterline, in millimetres.
    pub origin_mm: [f64; 3],
    /// Its turns in degrees: roll, pitch, yaw.
    pub turn_deg: [f64; 3],
    /// The rotation matrix, own components to the airframe's: rows.
    pub rotation: [[f64; 3]; 3],
    /// Whether nothing of it can move, nor any of its sizes change.
    pub settled: bool,
    /// Whether it is a spacer: it goes where its bolts go.
    pub is_spacer: bool,
    /// Its features.
    pub features: Vec<PlacedFeature>,
    /// Its metal.
    pub solids: Vec<PlacedSolid>,
    /// Its sizes.
    pub sizes: Vec<PlacedSize>,
    /// What is chosen and not measured, such as the side of a flange: name and choice.
    pub choices: Vec<(String, String)>,
    /// Its stated holes.
    pub holes: Vec<PlacedHole>,
    /// The stock that it is made of, as far as its kind tells.
    pub stock: Vec<Stock>,
    /// Least and greatest station, buttock line and waterline of its metal and features, in millimetres.
    pub extent_mm: [[f64; 2]; 3],
    /// Length, width and height over all of its metal in its own frame, in millimetres.
    pub over_all_mm: [f64; 3],
    /// Whether it is sheet that stands across the fuselage, as it lies before it is turned, and no filling of a gap.
    #[serde(skip)]
    pub stands_across: bool,
}

/// A face, line or point in its place.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PlacedFeature {
    /// Its name within the part.
    pub name: String,
    /// What it is.
    pub shape: FeatureShape,
    /// Its middle: station, buttock line, waterline, in millimetres.
    pub at_mm: [f64; 3],
    /// Outward normal of a face, direction of a line; none for a point.
    pub direction: Option<[f64; 3]>,
    /// The axis along which a face looks, if it stands square or nearly so: the coordinate along it is
    /// the face's station, buttock line or waterline.
    pub axis: Option<Axis>,
}

/// What a feature is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FeatureShape {
    /// A flat face.
    Face,
    /// A line or axis.
    Line,
    /// A point.
    Point,
}

/// A prism of metal in its place.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PlacedSolid {
    /// Corners of one end, in millimetres.
    pub outline_mm: Vec<[f64; 3]>,
    /// Corners of the openings in it.
    pub openings_mm: Vec<Vec<[f64; 3]>>,
    /// The way to the other end.
    pub sweep_mm: [f64; 3],
}

/// A size of a part.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PlacedSize {
    /// Its name within the part.
    pub name: String,
    /// What it is for.
    pub role: SizeRole,
    /// Its value: millimetres, or degrees for an angle.
    pub value: f64,
    /// Whether the part says `Find` in its place.
    pub found: bool,
    /// Whether it rests on something that is found, itself included.
    pub rests_on_found: bool,
    /// Whether something settles it; if not, the value only shows where the search ended.
    pub settled: bool,
    /// Whether it only follows from other sizes of the part.
    pub derived: bool,
    /// The own sides at which metal may come off to make it smaller, nothing being bent there; none where that can't be done.
    pub trimmed_at: Vec<Side>,
}

/// A stated hole of a part.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PlacedHole {
    /// Its name within the part.
    pub name: String,
    /// Where it lies in the part's own coordinates, in millimetres.
    pub at_own_mm: [f64; 3],
    /// The own axis that it is drilled along.
    pub along: Axis,
    /// Its diameter in millimetres, if it is stated.
    pub diameter_mm: Option<f64>,
}

/// What a size is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SizeRole {
    /// Thickness of the stock.
    Gauge,
    /// A length that is cut or bent to.
    Extent,
    /// An inside bend radius.
    Radius,
    /// A coordinate within the part.
    Coordinate,
    /// An angle.
    Angle,
}

/// A figure that was found and belongs to no part.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Found {
    /// The dimension, or the statement with the figure's name.
    pub name: String,
    /// Millimetres, or degrees for an angle.
    pub value: f64,
    /// Whether it is an angle.
    pub angle: bool,
    /// Whether something settles it; if not, the value only shows where the search ended.
    pub settled: bool,
}

/// A bolted joint in its place.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PlacedJoint {
    /// The statement that makes it.
    pub statement: String,
    /// The part that is bolted on.
    pub part: String,
    /// The part that it is bolted to.
    pub to: String,
    /// Spacers between them, counted from `to`.
    pub spacers: Vec<String>,
    /// The side of `to` on which `part` lies.
    pub side: Side,
    /// The way through each of the two, `part` and `to`: the unit vector square to its face that touches, from `part` to `to`. They are
    /// one where the faces are parallel, as all do that touch all over.
    pub ways: [[f64; 3]; 2],
    /// Where the bolts go: station, buttock line, waterline, in millimetres.
    pub at_mm: [f64; 3],
    /// Whether that place is stated, by a hole or a point; if not, it is the middle of the face of `part`.
    pub at_stated: bool,
    /// The same place in the own coordinates of `part` and of `to`.
    pub at_own_mm: [[f64; 3]; 2],
    /// Gap between the two faces along the bolts, which the spacers fill, in millimetres.
    pub gap_mm: f64,
    /// The bolts, if they are stated.
    pub bolts: Option<String>,
    /// Their nominal diameter in millimetres.
    pub bolt_mm: Option<f64>,
    /// How far off one another the holes of two parts may be for them to go in, as far as a table has their holes, in millimetres.
    pub slack_mm: Option<f64>,
    /// How many of them.
    pub count: Option<u32>,
}

/// A named dimension.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Dimension {
    /// Its name.
    pub name: String,
    /// Its value: millimetres, or degrees for an angle.
    pub value: f64,
    /// Whether it is an angle.
    pub angle: bool,
    /// Whether it was found, or rests on something that was.
    pub found: bool,
}

/// A way in which something can still move.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Loose {
    /// One sentence.
    pub told: String,
    /// The parts that move together.
    pub parts: Vec<String>,
    /// Each coordinate, turn or size that changes, with its rate.
    pub rates: Vec<(String, f64)>,
}

/// A statement that can't hold together with those that are trusted more.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct AtOdds {
    /// The statement.
    pub statement: String,
    /// How far it is to be trusted.
    pub trust: Trust,
    /// The sheet it stands on.
    pub sheet: Option<String>,
    /// By how much it misses: millimetres, or degrees for an angle.
    pub miss: f64,
    /// Whether the miss is an angle.
    pub angle: bool,
    /// The statements and figures that it can't hold together with.
    pub against: Vec<Against>,
}

/// A statement that follows from others and agrees with them, exactly or within its own tolerance.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Spare {
    /// The statement.
    pub statement: String,
    /// How far it is off: millimetres, or degrees for an angle; within its tolerance.
    pub off: f64,
    /// Whether that is an angle.
    pub angle: bool,
}

/// A statement that was not reached and reads something loose: whether it can hold is known once that is settled.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Waiting {
    /// The statement.
    pub statement: String,
    /// The sheet it stands on.
    pub sheet: Option<String>,
    /// How far it is off where the search ended: millimetres, or degrees for an angle.
    pub miss: f64,
    /// Whether that is an angle.
    pub angle: bool,
}

/// One of the statements in a contradiction.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Against {
    /// The statement, or the figure.
    pub name: String,
    /// The sheet it stands on.
    pub sheet: Option<String>,
    /// What it is.
    pub is: AgainstKind,
}

/// What a contradiction runs through.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum AgainstKind {
    /// A relation, or a position that is stated as one.
    Statement,
    /// A named dimension.
    Dimension,
    /// A size or a stated place of a part.
    OfPart,
}

impl Layout {
    /// A part by its name.
    pub fn part(&self, name: &str) -> Option<&PlacedPart> {
        self.parts.iter().find(|part| part.name == name)
    }

    /// The part of a name such as `PART` or `PART.FACE`, and what is named of it; of two that begin alike the longer one is meant.
    pub fn named<'a>(&'a self, name: &'a str) -> Option<(&'a PlacedPart, Option<&'a str>)> {
        let parts = self.parts.iter().filter_map(|part| {
            let rest = name.strip_prefix(part.name.as_str())?;
            let of_it = rest.strip_prefix('.');
            (rest.is_empty() || of_it.is_some()).then_some((part, of_it))
        });
        parts.max_by_key(|(part, _)| part.name.len())
    }

    /// Whether everything is settled and nothing is at odds.
    pub fn is_sound(&self) -> bool {
        self.loose.is_empty() && self.at_odds.is_empty() && self.waiting.is_empty()
    }
}

impl PlacedPart {
    /// A feature by its name.
    pub fn feature(&self, name: &str) -> Option<&PlacedFeature> {
        self.features.iter().find(|feature| feature.name == name)
    }

    /// A size by its name.
    pub fn size(&self, name: &str) -> Option<&PlacedSize> {
        self.sizes.iter().find(|size| size.name == name)
    }
}
