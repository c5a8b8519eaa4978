//! The answer to what is fitted when. Plain data; places in millimetres.

use schemars::JsonSchema;
use serde::Serialize;

use crate::trade::tools::{Envelope, Tool};
use crate::words::Side;

/// In which order parts are fitted, or why there is none.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Order {
    /// Parts that are in already, by the build record.
    pub fitted: Vec<String>,
    /// What to do in turn; nothing if there is no order.
    pub steps: Vec<Step>,
    /// Joints that stay open while other parts go in.
    pub left_open: Vec<LeftOpen>,
    /// Holes to drill before a part takes the room of the drill.
    pub drill_first: Vec<DrillFirst>,
    /// Why there is no order, if there is none.
    pub circle: Option<Circle>,
    /// Joints that can't be set by these tools in any order.
    pub out_of_reach: Vec<OutOfReach>,
    /// Joints whose access was not looked at.
    pub not_looked_at: Vec<NotLookedAt>,
    /// Statements that what is fitted already has broken.
    pub broken: Vec<String>,
    /// Statements that leave open what is no joint now.
    pub idle: Vec<String>,
    /// The tools.
    pub tools: Vec<ToolInUse>,
}

/// A step.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Step {
    /// The part that goes in, or the two hands of a pair.
    pub parts: Vec<String>,
    /// Why now; at least one.
    pub reasons: Vec<Reason>,
    /// The joints that are closed then.
    pub closes: Vec<Closed>,
}

/// Why a part goes in when it does.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Reason {
    /// It is stated that others are in before it.
    After {
        /// The statement.
        statement: String,
        /// The parts before it.
        parts: Vec<String>,
        /// The builder's reason.
        because: Option<String>,
    },
    /// It would take the room to set a joint, so that this is closed first.
    OutOfTheWay {
        /// The joints.
        joints: Vec<String>,
    },
    /// It is stated that it is in before others.
    Before {
        /// The statement.
        statement: String,
        /// The parts after it.
        parts: Vec<String>,
        /// The builder's reason.
        because: Option<String>,
    },
    /// It is fastened to parts that are in.
    JoinsOn {
        /// The joints.
        joints: Vec<String>,
        /// The parts.
        parts: Vec<String>,
    },
    /// It is located from parts that are in.
    LocatedFrom {
        /// The statements.
        statements: Vec<String>,
        /// The parts; none where it is located from the datum.
        parts: Vec<String>,
    },
    /// Nothing asks for another place: the order of the file.
    AsInTheFile,
}

/// A joint that is closed.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Closed {
    /// The joint.
    pub joint: String,
    /// How many of its fasteners, as far as they have places.
    pub places: usize,
    /// How many it has in all.
    pub of: usize,
    /// How many of these are out of reach.
    pub out_of_reach: usize,
    /// How they are set; nothing of those whose access was not looked at, or that are out of reach.
    pub ways: Vec<WayUsed>,
}

/// How some fasteners are set.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WayUsed {
    /// Each tool with the side on which it stands.
    pub tools: Vec<(Tool, Side)>,
    /// How many fasteners.
    pub places: usize,
}

/// The end of a stack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum End {
    /// Where the head lies.
    Head,
    /// Where the tail lies.
    Tail,
}

/// A joint left open.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LeftOpen {
    /// The joint.
    pub joint: String,
    /// How many of its fasteners, if not all of them.
    pub only: Option<usize>,
    /// The parts for which it waits.
    pub until: Vec<String>,
    /// The step in which the last of them goes in, counted from 1.
    pub step: usize,
    /// Why.
    pub why: WhyOpen,
}

/// Why a joint is left open.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WhyOpen {
    /// It is stated.
    Stated(String),
    /// Its fasteners go through those parts as well, though the joint doesn't name them.
    Shared,
    /// Layers are still to come.
    Layers,
}

/// Holes to drill early.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DrillFirst {
    /// The joint.
    pub joint: String,
    /// How many holes.
    pub places: usize,
    /// Layers that are in by then, and can be drilled where they are.
    pub layers: Vec<String>,
    /// Before this part goes in; none where what is fitted already takes the room.
    pub before: Option<String>,
    /// The step in which it does, counted from 1.
    pub step: Option<usize>,
    /// Whether that part is a layer itself: its own metal takes the room.
    pub own: bool,
}

/// Why there is no order.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Circle {
    /// The parts none of which can go in last.
    pub parts: Vec<String>,
    /// Why not, of each of them.
    pub links: Vec<Link>,
    /// Whether there is no smaller circle for certain.
    pub smallest: bool,
    /// What would break it.
    pub ways_out: Vec<WayOut>,
}

/// Why a part of a circle can't go in last.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Link {
    /// The parts.
    pub parts: Vec<String>,
    /// Why.
    pub why: LinkWhy,
}

/// The cause of a link.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LinkWhy {
    /// It is stated that they are in before another one.
    Stated {
        /// The statement.
        statement: String,
        /// The other part.
        before: String,
        /// The builder's reason.
        because: Option<String>,
    },
    /// A joint closes with them, and can't be set then.
    Joint {
        /// The joint.
        joint: String,
        /// Under the head of the fastener: station, buttock line, waterline.
        at_mm: [f64; 3],
        /// What takes the room.
        in_the_way: Vec<String>,
        /// The statements that keep it open until then.
        kept_open_by: Vec<String>,
    },
}

/// What would break a circle.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WayOut {
    /// A statement taken back.
    TakeBack(String),
    /// Pull rivets, set from one side.
    Pull {
        /// The joint.
        joint: String,
        /// The side.
        from: Side,
    },
    /// A tool that takes less room, of the file's own.
    OtherTools(String),
}

/// A joint that can't be set.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OutOfReach {
    /// The joint.
    pub joint: String,
    /// At how many places.
    pub places: usize,
    /// One of them, under the head: station, buttock line, waterline.
    pub at_mm: [f64; 3],
    /// What takes the room.
    pub in_the_way: Vec<String>,
    /// Whether that is metal of its own layers: so in any order.
    pub own: bool,
    /// The side from which pull rivets could be set at all those places, if there is one.
    pub pull_from: Option<Side>,
}

/// A joint whose access was not looked at.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct NotLookedAt {
    /// The joint.
    pub joint: String,
    /// Why.
    pub why: WhyNot,
}

/// Why access was not looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WhyNot {
    /// No rows are stated, or they have no room.
    NoPlaces,
    /// No fastener is stated.
    NoFastener,
    /// A layer is loose.
    Loose,
}

/// A tool with the room that it takes.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ToolInUse {
    /// The tool.
    pub tool: Tool,
    /// Its room.
    pub envelope: Envelope,
    /// Whether the file states it; else it is a usual one: common practice, no source.
    pub own: bool,
}
