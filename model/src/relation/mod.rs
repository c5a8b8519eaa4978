//! The kinds of relation: what each has to answer, the list of them, and a file for each.
//!
//! A relation is a statement that locates parts, `Spaced(from: "firewall.aft", to: "frame.web_fwd", by: "19 3/8 in")`. Its kind is a
//! recipe over the solver's closed set of equations: it asks a [`Recipe`] for the features that it names, each [`Located`] on the body
//! of its part, and for its figures, and adds equations between them. It sees faces, lines, points and quantities, never a kind of
//! part, and it places nothing by itself: where everything lies follows from the equations of all relations together.
//!
//! A recipe is written once and serves several times. Under `relations` its equations place parts, as far as they are trusted;
//! what is only assumed gives way without a word ([`Standing`]). Under `must_fit` the same equations are measured and locate nothing
//! ([`Purpose`]), so that nearly every kind is a must-fit too. Of a part on both sides it is followed once for each [`Hand`], for the left
//! one in the mirror. What a kind names is how the rest of the program knows which parts a statement is about, when a deviation
//! drops one or a picture marks what is at odds.
//!
//! To add one: its file in this folder, with a struct and its `impl RelationKind`; its `mod` line here, and its line in the list below
//! with an example. An equation of a new sort is rarely needed: see what a `Recipe` can add. The other files are what kinds are made
//! with: `recipe`, `located` (features on bodies), `names` and `row` (of fasteners).

mod against;
mod bolted;
mod canted;
mod centred;
mod evenly_spaced;
mod flush;
mod in_line;
mod level;
mod lies_at;
mod located;
mod mirror_of;
mod names;
mod on_contour;
mod parallel;
mod reaches;
mod readings;
mod recipe;
mod row;
mod same_size;
mod seam;
mod spaced;
mod square;
mod touches;
mod upright;

pub use in_line::InLine;
pub use lies_at::LiesAt;
pub use located::{Located, locate};
pub(crate) use names::{SHOWN, first_name, listed, no_face, split_name, unknown};
pub(crate) use recipe::SQUARE;
pub use recipe::{Built, Hand, Purpose, Recipe, Standing};
pub(crate) use row::MOST_IN_A_ROW;
pub use row::Row;
pub(crate) use spaced::distance;

use serde::Deserialize;

use crate::document::Stated;
use crate::part::About;
use crate::source::{Entries, Fault, Text};

/// What a kind of relation has to answer.
pub trait RelationKind {
    // ---- what it is ----

    /// One sentence for the format reference: what comes true.
    fn says(&self) -> &'static str;

    // ---- what it demands ----

    /// Adds its equations.
    ///
    /// # Errors
    /// A name that there is not, a feature that is of no use here, or a figure that can't be understood.
    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault>;

    // ---- what it names ----

    /// The names of parts and faces that it refers to.
    fn names(&mut self) -> Vec<&mut Text>;
    /// Those of its names of which none can stand twice.
    fn compared(&mut self) -> Vec<&mut Text> {
        self.names()
    }

    // ---- how it can be changed ----

    /// Leaves a part out of a chain; false when the relation can't do without it.
    fn leave_out(&mut self, _part: &str) -> bool {
        false
    }
    /// Whether it makes faces touch, so that packing can be put between them.
    fn can_be_packed(&self) -> bool {
        false
    }

    // ---- how it is understood ----

    /// The ways to understand it, if it is a statement with several.
    fn readings(&self) -> Option<&Entries<Stated<Relation>>> {
        None
    }
}

macro_rules! kinds {
    ($($kind:ident => $module:ident, $example:literal;)*) => {
        /// A relation, as it is stated.
        #[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
        pub enum Relation {
            $(
                #[doc = concat!("See `", stringify!($module), ".rs`.")]
                $kind($module::$kind),
            )*
        }

        impl Relation {
            /// The relation as what every kind answers.
            pub fn kind(&self) -> &dyn RelationKind {
                match self { $(Relation::$kind(it) => it,)* }
            }

            /// The same, to be changed.
            pub fn kind_mut(&mut self) -> &mut dyn RelationKind {
                match self { $(Relation::$kind(it) => it,)* }
            }

            /// The word of its kind.
            pub fn word(&self) -> &'static str {
                match self { $(Relation::$kind(_) => stringify!($kind),)* }
            }
        }

        /// All kinds, in the order of the format reference.
        pub const KINDS: &[About] = &[$(About { word: stringify!($kind), example: $example },)*];
    };
}

kinds! {
    Flush => flush, r#"Flush("frame.web_fwd", "firewall.aft")"#;
    Against => against, r#"Against("plate.fwd", "frame.web_aft")"#;
    BoltedBehind => bolted, r#"BoltedBehind(part: "spar", to: "frame", through: ["packer"], with: AN3, count: 4)"#;
    BoltedAhead => bolted, r#"BoltedAhead(part: "spar", to: "frame")"#;
    BoltedTo => bolted, r#"BoltedTo(part: "angle", to: "rib", side: Right)"#;
    Seam => seam, r#"Seam(layers: ["floor", "rail"], heads: Up, with: MS20470AD4, rows: [(beside: "rail.right", by: "1/2 in", ends: "3/4 in", count: 24)])"#;
    Spaced => spaced, r#"Spaced(from: "firewall.aft", to: "frame.web_fwd", by: "19 3/8 in")"#;
    Reaches => reaches, r#"Reaches(end: "rail.aft_end", face: "spar.fwd", short_by: "1/16 in")"#;
    Touches => touches, r#"Touches("spar.upper edge", "frame.web_aft")"#;
    Centred => centred, r#"Centred(what: "packer.axis", between: ("rib.bottom", "rib.top"))"#;
    EvenlySpaced => evenly_spaced, r#"EvenlySpaced(faces: ["a.fwd", "b.fwd", "c.fwd"], by: "11 in")"#;
    Square => square, r#"Square("rib.web_left", "frame.web_fwd")"#;
    Parallel => parallel, r#"Parallel("a.web_fwd", "b.web_fwd")"#;
    Level => level, r#"Level("floor.top")"#;
    Upright => upright, r#"Upright("spar.web")"#;
    Canted => canted, r#"Canted(face: "frame.web_fwd", by: "8 deg")"#;
    InLine => in_line, r#"InLine(["a.hole", "b.hole"])"#;
    LiesAt => lies_at, r#"LiesAt(part: "frame", fs: "60 in", wl: "2 in")"#;
    OnContour => on_contour, r#"OnContour(point: "step.foot", contour: "outside", outside_by: "0.032 in")"#;
    MirrorOf => mirror_of, r#"MirrorOf(part: "left step", of: "right step")"#;
    SameSize => same_size, r#"SameSize("left rail.length", "right rail.length")"#;
    Readings => readings, r#"Readings({"from the web": Spaced(from: "frame.web_fwd", to: "rail.aft_end", by: "26 1/4 in"), "from the flange": Spaced(from: "frame.flange_edge", to: "rail.aft_end", by: "26 1/4 in")})"#;
}
