//! The kinds of part: what each has to answer, the list of them, and a file for each.
//!
//! A part is what the builder writes, `"rail": Angle(length: "20 in", …)`: sizes, and choices such as the side of a flange. Its kind
//! makes a [`Shape`] of them, in the part's own frame: the named faces, lines and points that statements refer to, and the metal as
//! prisms. All of a shape is affine in the sizes, so that a size is found as a position is, and a chain can tell the share of each
//! figure. Where a part lies is no question to its kind: it is one rigid body, placed by what it states of itself (`at`, `turn`) and
//! by the relations that name its features ([`relation`](crate::relation)).
//!
//! From these answers follows all the rest: stations, clashes and pictures from the shape, flat patterns from the [`Plan`], what to
//! buy from the [`Stock`], what a change asks of a part that is made from the sizes, the choices and where metal may come off. Nothing
//! else in the program knows a kind by name.
//!
//! To add one: its file in this folder, with a `part! { … }`, which adds the fields that all kinds share (`common`), and its
//! `impl PartKind`; its `mod` line here, and its line in the list with the smallest example. The format reference and the tests over
//! all kinds take it from there. The other files are what kinds are made with: `sizes`, `shape`, `outline`, `legs`, `flanged`, `bend`,
//! `edge`, `path`, `arc` and `round` for the geometry, `plan` and `stock` for the making.

mod angle;
mod arc;
mod bar;
mod bend;
mod bent_tube;
mod channel;
mod common;
mod custom;
mod edge;
mod flanged;
mod frame;
mod intercostal;
mod legs;
mod longeron;
mod outline;
pub(crate) mod path;
mod plan;
mod plate;
mod rib;
pub(crate) mod round;
mod shape;
mod sizes;
mod skin;
mod spacer;
mod spar;
mod stock;
mod stringer;
mod tube;

pub(crate) use common::part;
pub use common::{At, Common, CommonMut, Hole, Turned};
pub(crate) use edge::Edge;
pub use outline::Corner;
pub use plan::{Flange, Plan, Strip, Web};
pub use shape::{Feature, Normal, Place, Shape, Solid, mirror_word};
pub use sizes::{Role, Sizes};
pub use stock::{Section, SectionKind, Stock};

use strongback_solver::Affine;

use crate::source::{Fault, Given, Text};
use crate::words::{Axis, Side};

/// What all kinds share; written by the `part!` macro.
pub trait Shared {
    /// The statements that every kind shares.
    fn common(&self) -> Common<'_>;
    /// The same, to be changed.
    fn common_mut(&mut self) -> CommonMut<'_>;
}

/// What a kind of part has to answer.
pub trait PartKind: Shared {
    // ---- what it is ----

    /// One sentence for the format reference: what it is, where its origin lies, its faces.
    fn says(&self) -> &'static str;

    // ---- its sizes ----

    /// Calls `f` with each quantity that the part states, with its name and its role.
    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given));

    // ---- its geometry, from its sizes ----

    /// Features and metal in the part's own frame.
    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault>;

    /// The contour that it follows: it lies where that lies.
    fn contour(&self) -> Option<&Text> {
        None
    }

    /// The axis through its thickness, for a flat part: holes are drilled along it.
    fn through(&self) -> Option<Axis> {
        None
    }

    /// Lengths that follow from its sizes and that nobody states, such as that of the straight blank: name and form in
    /// millimetres.
    fn derived(&self, _sizes: &Sizes) -> Vec<(String, Affine)> {
        Vec::new()
    }

    /// Whether it only fills a gap, so that another thickness of it is another piece of stock.
    fn fills_a_gap(&self) -> bool {
        false
    }

    // ---- how it is made ----

    /// The stock that it takes, from its sizes as they were found; nothing where the kind can't tell.
    fn stock(&self, _sizes: &Sizes) -> Vec<Stock> {
        Vec::new()
    }

    /// What it is before it is bent, as it is written and not in the mirror; nothing for what is not made of sheet.
    fn plan(&self, _sizes: &Sizes) -> Option<Plan> {
        None
    }

    /// The own sides at which metal may come off to make a size smaller: ends and edges with nothing bent at them. None where
    /// a part that gets smaller is made anew.
    fn trimmed_at(&self, _size: &str) -> Vec<Side> {
        Vec::new()
    }

    // ---- how it can be changed ----

    /// Turns its flange to the other side; false for a kind that has none.
    fn reverse(&mut self) -> bool {
        false
    }

    /// The field that says to which sides it is turned, of a kind that can't be reversed since either of two could be meant, such
    /// as the legs of an angle.
    fn turned_by(&self) -> Option<&'static str> {
        None
    }

    /// What is chosen and not measured, such as the side of a flange: a change of it makes another
    /// part of it.
    fn choices(&self) -> Vec<(&'static str, String)> {
        Vec::new()
    }
}

/// A kind's entry in the list.
#[derive(Clone, Copy, Debug)]
pub struct About {
    /// The word in the file.
    pub word: &'static str,
    /// The smallest part of this kind, as it is written.
    pub example: &'static str,
}

macro_rules! kinds {
    ($($kind:ident => $module:ident, $example:literal;)*) => {
        /// A part, as it is stated.
        #[derive(Clone, Debug, serde::Deserialize, schemars::JsonSchema)]
        pub enum Part {
            $(
                #[doc = concat!("See `", stringify!($module), ".rs`.")]
                $kind($module::$kind),
            )*
        }

        impl Part {
            /// The part as what every kind answers.
            pub fn kind(&self) -> &dyn PartKind {
                match self { $(Part::$kind(part) => part,)* }
            }

            /// The same, to be changed.
            pub fn kind_mut(&mut self) -> &mut dyn PartKind {
                match self { $(Part::$kind(part) => part,)* }
            }

            /// The word of its kind.
            pub fn word(&self) -> &'static str {
                match self { $(Part::$kind(_) => stringify!($kind),)* }
            }
        }

        /// All kinds, in the order of the format reference.
        pub const KINDS: &[About] = &[$(About { word: stringify!($kind), example: $example },)*];
    };
}

kinds! {
    Plate => plate, r#"Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in")"#;
    Frame => frame, r#"Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, width: "30 in", height: "20 in")"#;
    Rib => rib, r#"Rib(thickness: "0.025 in", flange: "5/8 in", flanges: Right, length: "12 in", height: "4 in")"#;
    Intercostal => intercostal, r#"Intercostal(thickness: "0.025 in", flange: "5/8 in", flanges: Right, length: "9 in", height: "3 in")"#;
    Spar => spar, r#"Spar(web: "0.040 in", span: "40 in", height: "6 in", aft_caps: (leg: "3/4 in", thickness: "1/8 in"))"#;
    Angle => angle, r#"Angle(runs: FwdAft, length: "20 in", legs: (down: "1 in", right: "1 in"), thickness: "1/8 in")"#;
    Longeron => longeron, r#"Longeron(runs: FwdAft, legs: (down: "1 in", left: "1 in"), thickness: "1/8 in", path: [Straight("30 in"), Bend(toward: Left, by: "6 deg", radius: "3 in"), Straight("20 in")])"#;
    Channel => channel, r#"Channel(runs: Across, length: "20 in", web: "2 in", flange: "1 in", thickness: "0.063 in", back: Fwd, web_along: Waterline)"#;
    Stringer => stringer, r#"Stringer(length: "40 in", thickness: "0.025 in", width: "2 in", crown: "3/4 in", height: "3/4 in", skin: Right)"#;
    Tube => tube, r#"Tube(runs: FwdAft, length: "30 in", diameter: "3/4 in", wall: "0.049 in")"#;
    BentTube => bent_tube, r#"BentTube(runs: UpDown, diameter: "3/4 in", wall: "0.049 in", path: [Straight("8 in"), Bend(toward: Right, by: "90 deg", radius: "3 in"), Straight("20 in")])"#;
    Bar => bar, r#"Bar(runs: UpDown, length: "10 in", depth: "1/2 in", breadth: "1 in")"#;
    Skin => skin, r#"Skin(contour: "outside", thickness: "0.025 in", from: 0, length: "60 in")"#;
    Spacer => spacer, r#"Spacer(lies: Across, thickness: "3/16 in", diameter: "1 in")"#;
    Custom => custom, r#"Custom(points: {"pin": (fs: "1 in")})"#;
}
