//! What every kind of part may state: where its origin lies, how it is turned, its sides and holes.

use serde::Deserialize;

use crate::source::{Entries, Given, Text};
use crate::words::{Axis, Sides};

/// Stated coordinates of an origin; what is not stated is to be found.
#[derive(Clone, Debug, Default, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct At {
    /// Station, aft of the datum.
    pub fs: Option<Given>,
    /// Buttock line, to the right of the middle.
    pub bl: Option<Given>,
    /// Waterline, above the datum.
    pub wl: Option<Given>,
}

impl At {
    /// The coordinate along an axis.
    pub fn along(&self, axis: Axis) -> Option<&Given> {
        match axis {
            Axis::Station => self.fs.as_ref(),
            Axis::ButtockLine => self.bl.as_ref(),
            Axis::Waterline => self.wl.as_ref(),
        }
    }

    /// The place of the coordinate along an axis, to be changed.
    pub fn along_mut(&mut self, axis: Axis) -> &mut Option<Given> {
        match axis {
            Axis::Station => &mut self.fs,
            Axis::ButtockLine => &mut self.bl,
            Axis::Waterline => &mut self.wl,
        }
    }
}

/// Stated turns; what is not stated is none.
#[derive(Clone, Debug, Default, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Turned {
    /// About the station axis; positive moves the top to the left.
    pub roll: Option<Given>,
    /// About the buttock-line axis; positive leans the top aft.
    pub pitch: Option<Given>,
    /// About the waterline axis; positive moves the aft end to the right.
    pub yaw: Option<Given>,
}

impl Turned {
    /// The three turns with their names.
    pub fn named(&self) -> [(&'static str, Option<&Given>); 3] {
        [
            ("roll", self.roll.as_ref()),
            ("pitch", self.pitch.as_ref()),
            ("yaw", self.yaw.as_ref()),
        ]
    }

    /// A turn by its name, to be changed.
    pub fn named_mut(&mut self, name: &str) -> Option<&mut Option<Given>> {
        match name {
            "roll" => Some(&mut self.roll),
            "pitch" => Some(&mut self.pitch),
            "yaw" => Some(&mut self.yaw),
            _ => None,
        }
    }
}

/// A hole of a part, in the part's own coordinates. What is not stated is zero.
#[derive(Clone, Debug, Default, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Hole {
    /// Own station.
    pub fs: Option<Given>,
    /// Own buttock line.
    pub bl: Option<Given>,
    /// Own waterline.
    pub wl: Option<Given>,
    /// Diameter.
    pub diameter: Option<Given>,
    /// The axis that it is drilled along; a flat part's thickness when not stated.
    pub along: Option<Axis>,
}

impl Hole {
    /// Its three coordinates in order.
    pub fn coordinates(&mut self) -> [(Axis, &mut Option<Given>); 3] {
        [
            (Axis::Station, &mut self.fs),
            (Axis::ButtockLine, &mut self.bl),
            (Axis::Waterline, &mut self.wl),
        ]
    }
}

/// The statements that every kind shares.
#[derive(Clone, Copy, Debug)]
pub struct Common<'a> {
    /// Where its origin lies.
    pub at: &'a At,
    /// How it is turned.
    pub turn: &'a Turned,
    /// One part, or a left and a right one.
    pub sides: Sides,
    /// Its holes.
    pub holes: &'a Entries<Hole>,
    /// The sheet of the drawings that shows it.
    pub sheet: Option<&'a Text>,
    /// What it is made of.
    pub alloy: Option<&'a Text>,
    /// The parts for which it has a notch or hole that is not drawn.
    pub cut_for: &'a [Text],
}

/// The same, to be changed.
#[derive(Debug)]
pub struct CommonMut<'a> {
    /// Where its origin lies.
    pub at: &'a mut At,
    /// How it is turned.
    pub turn: &'a mut Turned,
    /// One part, or a left and a right one.
    pub sides: &'a mut Sides,
    /// Its holes.
    pub holes: &'a mut Entries<Hole>,
    /// The parts for which it has a notch or hole that is not drawn.
    pub cut_for: &'a mut Vec<Text>,
}

/// Writes a part kind's struct with the fields that all kinds share (serde's `flatten`, which would
/// do it, can't be read from RON).
macro_rules! part {
    ($(#[$doc:meta])* pub struct $name:ident { $($(#[$field_doc:meta])* pub $field:ident: $type:ty,)* }) => {
        $(#[$doc])*
        #[derive(Clone, Debug, serde::Deserialize, schemars::JsonSchema)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            $($(#[$field_doc])* pub $field: $type,)*
            /// Where its origin lies.
            #[serde(default)]
            pub at: $crate::part::At,
            /// How it is turned.
            #[serde(default)]
            pub turn: $crate::part::Turned,
            /// One part, or a left and a right one.
            #[serde(default)]
            pub sides: $crate::words::Sides,
            /// Its holes, by name.
            #[serde(default)]
            pub holes: $crate::source::Entries<$crate::part::Hole>,
            /// The sheet of the drawings that shows it.
            #[serde(default)]
            pub sheet: Option<$crate::source::Text>,
            /// What it is made of, as `2024-T3`; the file's `alloy` when not stated.
            #[serde(default)]
            pub alloy: Option<$crate::source::Text>,
            /// The parts for which it is notched, holed or dressed in a way that is not drawn: their metal may lie in its own. A part on both
            /// sides by its name, both of it; with ` L` or ` R`, one. In the mirror the hands are exchanged.
            #[serde(default)]
            pub cut_for: Vec<$crate::source::Text>,
        }

        impl $crate::part::Shared for $name {
            fn common(&self) -> $crate::part::Common<'_> {
                $crate::part::Common {
                    at: &self.at,
                    turn: &self.turn,
                    sides: self.sides,
                    holes: &self.holes,
                    sheet: self.sheet.as_ref(),
                    alloy: self.alloy.as_ref(),
                    cut_for: &self.cut_for,
                }
            }

            fn common_mut(&mut self) -> $crate::part::CommonMut<'_> {
                $crate::part::CommonMut {
                    at: &mut self.at,
                    turn: &mut self.turn,
                    sides: &mut self.sides,
                    holes: &mut self.holes,
                    cut_for: &mut self.cut_for,
                }
            }
        }
    };
}
pub(crate) use part;
