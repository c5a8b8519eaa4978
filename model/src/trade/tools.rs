//! Tools that drill for fasteners and set them, as the room that they take. In: a tool. Out: its sections outwards from the metal, and its
//! handle, in millimetres. All figures are common practice, no source: tools differ, and a file may state its own.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Known, Source};

const INCH: f64 = 25.4;

/// Where all figures here stand.
pub const TOOLS: Source = Source {
    name: "a usual tool of its kind",
    known: Known::CommonPractice,
};

/// A round section of a tool about the axis of the fastener.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Section {
    /// Its diameter.
    pub wide_mm: f64,
    /// Its length along the axis.
    pub long_mm: f64,
}

/// What leads off to one side from the last section, as high as that.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Handle {
    /// Its width across.
    pub wide_mm: f64,
    /// How far it reaches from the axis.
    pub long_mm: f64,
}

/// The room that a tool takes.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Envelope {
    /// Outwards from the metal.
    pub sections: Vec<Section>,
    /// A handle, which may lead off in any direction.
    pub handle: Option<Handle>,
}

macro_rules! tools {
    ($($tool:ident, $word:literal, $sections:expr, $handle:expr;)*) => {
        /// A tool.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
        #[serde(rename_all = "snake_case")]
        #[allow(missing_docs)]
        pub enum Tool { $($tool,)* }

        impl Tool {
            /// All of them.
            pub const ALL: &[Tool] = &[$(Tool::$tool,)*];

            /// What it is called.
            pub fn word(self) -> &'static str {
                match self { $(Tool::$tool => $word,)* }
            }

            /// The room that a usual one takes: common practice, no source.
            pub fn usual(self) -> Envelope {
                match self { $(Tool::$tool => in_inches(&$sections, $handle),)* }
            }
        }
    };
}

// diameter and length of each section outwards, then width and reach of the handle: inches
tools! {
    // 2 in of the bit, a 3/8 in chuck with its sleeve, the body, and the grip across its end
    Drill, "drill", [(0.25, 2.0), (1.5, 2.0), (2.0, 4.0)], Some((1.5, 6.0));
    // a threaded stub bit; the head comes within 1/2 in of structure
    AngleDrill, "angle drill", [(0.25, 0.5), (1.0, 1.0)], Some((1.0, 6.0));
    // a straight set, then the gun with its grip across the end
    RivetGun, "rivet gun", [(0.5, 3.0), (1.5, 6.0)], Some((1.5, 5.0));
    // a bar held from one side
    BuckingBar, "bucking bar", [(0.625, 1.0)], Some((1.0, 4.0));
    // the nose, then the head; its arms swing farther out than any structure nearby
    RivetPuller, "rivet puller", [(0.375, 0.5), (1.0, 6.0)], None;
    // an open or ring end
    Wrench, "wrench", [(0.75, 0.5)], Some((0.75, 5.0));
    // a socket on a ratchet
    Socket, "socket", [(0.5, 1.25), (1.25, 1.25)], Some((1.0, 6.0));
}

fn in_inches(sections: &[(f64, f64)], handle: Option<(f64, f64)>) -> Envelope {
    let section = |(wide, long): &(f64, f64)| Section {
        wide_mm: wide * INCH,
        long_mm: long * INCH,
    };
    Envelope {
        sections: sections.iter().map(section).collect(),
        handle: handle.map(|(wide, long)| Handle {
            wide_mm: wide * INCH,
            long_mm: long * INCH,
        }),
    }
}

impl Tool {
    /// How far what turns a bolt stands at least beyond the head or the washer all round: common practice, no source.
    pub fn wall_mm(self) -> f64 {
        match self {
            Tool::Wrench => 0.1875 * INCH,
            Tool::Socket => 0.0625 * INCH,
            _ => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_unique_and_every_tool_takes_room() {
        for (at, tool) in Tool::ALL.iter().enumerate() {
            assert!(
                Tool::ALL[..at]
                    .iter()
                    .all(|other| other.word() != tool.word())
            );
            let usual = tool.usual();
            assert!(
                usual
                    .sections
                    .iter()
                    .all(|s| s.wide_mm > 0.0 && s.long_mm > 0.0)
            );
            assert!(!usual.sections.is_empty());
        }
    }

    /// The head of an angle drill comes within half an inch of structure: that is its radius.
    #[test]
    fn the_angle_drill_works_within_half_an_inch() {
        let widest = Tool::AngleDrill.usual().sections;
        let widest = widest.iter().map(|s| s.wide_mm).fold(0.0, f64::max);
        assert!((0.5 * widest - 0.5 * INCH).abs() < 1e-12);
    }
}
