//! Stock that a part is made of. In: a part's sizes in mm. Out: sheet as the rectangle that holds the flat blank, and lengths of a
//! section.
//!
//! Flanges are unfolded flat: a blank is the sum of web and flanges, each measured over the outside as it is stated. No bend
//! allowance is taken off, so that it is a little large.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Sizes;

/// Metal that a part is cut from.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "form")]
pub enum Stock {
    /// A rectangle of sheet that holds the blank.
    Sheet {
        /// Thickness, in millimetres.
        gauge_mm: f64,
        /// The longer and the shorter side of the rectangle, in millimetres.
        sides_mm: [f64; 2],
    },
    /// A length of a section.
    Length {
        /// The section.
        section: Section,
        /// Its length, in millimetres.
        length_mm: f64,
    },
}

/// What a section is called.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum SectionKind {
    /// An angle.
    Angle,
    /// A solid bar.
    Bar,
    /// A channel.
    Channel,
    /// A hat section.
    Hat,
    /// A round tube.
    Tube,
}

impl SectionKind {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            SectionKind::Angle => "angle",
            SectionKind::Bar => "bar",
            SectionKind::Channel => "channel",
            SectionKind::Hat => "hat",
            SectionKind::Tube => "tube",
        }
    }
}

/// A section that is bought by the length.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Section {
    /// What it is.
    pub what: SectionKind,
    /// Its sizes as they are called in the trade, in millimetres: legs and thickness, diameter and wall.
    pub sizes_mm: Vec<f64>,
}

impl Stock {
    /// A rectangle of sheet.
    pub(super) fn sheet(gauge_mm: f64, [a, b]: [f64; 2]) -> Stock {
        Stock::Sheet {
            gauge_mm,
            sides_mm: [a.max(b), a.min(b)],
        }
    }

    /// A length of a section whose sizes have these names.
    pub(super) fn length(
        what: SectionKind,
        names: &[&str],
        length_mm: f64,
        sizes: &Sizes,
    ) -> Stock {
        Stock::Length {
            section: Section {
                what,
                sizes_mm: names.iter().map(|name| sizes.value(name)).collect(),
            },
            length_mm,
        }
    }
}
