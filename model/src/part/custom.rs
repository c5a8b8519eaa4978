//! A part of named planes, lines and points, given by hand.

use serde::Deserialize;
use strongback_solver::Affine;

use super::shape::{Feature, Place, Shape, Solid, origin};
use super::sizes::{fault, visit};
use super::{PartKind, Role, Sizes, part};
use crate::source::{Entries, Fault, Given};
use crate::words::{Axis, Side};

/// A place in the part's own coordinates; what is not stated is zero.
#[derive(Clone, Debug, Default, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Spot {
    /// Own station.
    pub fs: Option<Given>,
    /// Own buttock line.
    pub bl: Option<Given>,
    /// Own waterline.
    pub wl: Option<Given>,
}

/// A plane through a place.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlaneGiven {
    /// The side it looks to.
    pub looks: Side,
    /// A place on it.
    #[serde(default)]
    pub at: Spot,
}

/// A line through a place.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LineGiven {
    /// The axis it lies along.
    pub along: Axis,
    /// A place on it.
    #[serde(default)]
    pub at: Spot,
}

/// A box of metal, for pictures and clearances.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BoxGiven {
    /// Its least coordinates.
    pub low: Spot,
    /// Its greatest coordinates.
    pub high: Spot,
}

part! {
    /// A part of named planes, lines and points: a fitting, an engine, a seat.
    pub struct Custom {
        /// Planes by name.
        #[serde(default)]
        pub planes: Entries<PlaneGiven>,
        /// Lines by name.
        #[serde(default)]
        pub lines: Entries<LineGiven>,
        /// Points by name.
        #[serde(default)]
        pub points: Entries<Spot>,
        /// Boxes of metal by name.
        #[serde(default)]
        pub boxes: Entries<BoxGiven>,
    }
}

fn visit_spot(name: &str, spot: &mut Spot, f: &mut dyn FnMut(String, Role, &mut Given)) {
    visit(&format!("{name} fs"), Role::Coordinate, &mut spot.fs, f);
    visit(&format!("{name} bl"), Role::Coordinate, &mut spot.bl, f);
    visit(&format!("{name} wl"), Role::Coordinate, &mut spot.wl, f);
}

fn place(name: &str, sizes: &Sizes) -> Place {
    Axis::ALL.map(|axis| sizes.form(&format!("{name} {}", axis.short())))
}

impl PartKind for Custom {
    fn says(&self) -> &'static str {
        "A part of named planes, lines and points, in its own coordinates. Origin: wherever they count from. \
         Planes look to a side, lines lie along an axis; boxes are only drawn and kept clear of."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        let planes: Vec<String> = self.planes.names().map(str::to_owned).collect();
        for (name, plane) in planes.iter().zip(self.planes.values_mut()) {
            visit_spot(name, &mut plane.at, f);
        }
        let lines: Vec<String> = self.lines.names().map(str::to_owned).collect();
        for (name, line) in lines.iter().zip(self.lines.values_mut()) {
            visit_spot(name, &mut line.at, f);
        }
        let points: Vec<String> = self.points.names().map(str::to_owned).collect();
        for (name, point) in points.iter().zip(self.points.values_mut()) {
            visit_spot(name, point, f);
        }
        let boxes: Vec<String> = self.boxes.names().map(str::to_owned).collect();
        for (name, given) in boxes.iter().zip(self.boxes.values_mut()) {
            visit_spot(&format!("{name} low"), &mut given.low, f);
            visit_spot(&format!("{name} high"), &mut given.high, f);
        }
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        let mut shape = Shape::default();
        for entry in self.planes.iter() {
            let name = entry.name.value.as_str();
            shape.face(name, entry.value.looks, place(name, sizes));
        }
        for entry in self.lines.iter() {
            let name = entry.name.value.as_str();
            refuse_twice(&shape, name, entry.name.span.clone())?;
            shape.line(name, entry.value.along, place(name, sizes));
        }
        for entry in self.points.iter() {
            let name = entry.name.value.as_str();
            refuse_twice(&shape, name, entry.name.span.clone())?;
            let at = place(name, sizes);
            shape.add(name, Feature::Point { at });
        }
        for entry in self.boxes.iter() {
            let name = entry.name.value.as_str();
            let (low, high) = (
                place(&format!("{name} low"), sizes),
                place(&format!("{name} high"), sizes),
            );
            let mut sweep = origin();
            sweep[0] = high[0].clone().minus(&low[0]);
            let corner = |y: usize, z: usize| {
                let pick = |at: usize, axis: usize| [&low, &high][at][axis].clone();
                [low[0].clone(), pick(y, 1), pick(z, 2)]
            };
            shape.solids.push(Solid {
                outline: vec![corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)],
                openings: Vec::new(),
                sweep,
                beyond: Affine::default(),
            });
        }
        Ok(shape)
    }
}

fn refuse_twice(shape: &Shape, name: &str, span: std::ops::Range<usize>) -> Result<(), Fault> {
    if !shape.features.contains_key(name) {
        return Ok(());
    }
    Err(fault(
        span,
        format!("`{name}` is named twice in this part"),
        "planes, lines and points of a part share one list of names",
    ))
}
