//! Contours of the outside skin, as they are written: named cross sections, each a station and the points of its right-hand
//! half. What surface they make: `assembly/contours.rs`.

use serde::Deserialize;

use crate::part::Corner;
use crate::source::{Entries, Given, Text};

/// A piece of the outside skin: cross sections, from the foremost to the aftmost, with a smooth surface through all of them.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Contour {
    /// Its sections by name, each `(fs: …, points: [(bl, wl), …])`: two or more, stations growing, with one number of points. The
    /// points go from the bottom to the top of the right-hand half, or from the top to the bottom; the left-hand half is its
    /// mirror image. A first or last point at buttock line 0 in all sections closes the two halves smoothly.
    pub sections: Entries<Section>,
    /// The sheet of the drawings that shows it.
    #[serde(default)]
    pub sheet: Option<Text>,
}

impl Contour {
    /// The smallest contour, as it is written.
    pub const EXAMPLE: &str = r#""outside": (sections: {"front": (fs: 0, points: [(0, 0), (20, 4), (20, 22)]), "rear": (fs: "60 in", points: [(0, 2), (16, 6), (16, 22)])})"#;
}

/// A cross section.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Section {
    /// Its station.
    pub fs: Given,
    /// Its points (bl, wl).
    pub points: Vec<Corner>,
}
