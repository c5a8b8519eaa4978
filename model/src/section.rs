//! A saw across the fuselage: what metal a plane of constant station goes through, and where the nearest is if it meets none.
//!
//! In: a layout and a station in mm. Out: of each part that is cut its boundaries, seen from behind: buttock line to the right,
//! waterline up, in mm. A station on a face's plane cuts just aft of it, so a web is cut at the station of its forward face
//! and not at that of its aft face.

mod outline;
#[cfg(test)]
mod properties;

use schemars::JsonSchema;
use serde::Serialize;

pub use outline::Boundary;

use crate::layout::{Layout, PlacedPart};

/// The plane lies so far aft of the station, in millimetres: more than rounding moves a face by, and less than any metal is
/// thick.
pub const JUST_AFT_MM: f64 = 1e-6;

/// What a plane of constant station goes through.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Section {
    /// The station, in millimetres.
    pub station_mm: f64,
    /// The parts that are cut, in the order of the file.
    pub parts: Vec<CutPart>,
    /// The nearest metal ahead of the plane, if nothing is cut.
    pub ahead: Option<NearestMetal>,
    /// The nearest metal aft of it, if nothing is cut.
    pub aft: Option<NearestMetal>,
}

/// A part that is cut.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CutPart {
    /// Its name.
    pub part: String,
    /// Of each of its prisms that is cut, what of it lies in the plane.
    pub cuts: Vec<Cut>,
}

/// What of a prism lies in the plane.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Cut {
    /// Its boundaries: outer ones counter-clockwise as seen from behind, those of openings clockwise.
    pub boundaries: Vec<Boundary>,
    /// The area of metal, in square millimetres.
    pub area_mm2: f64,
}

/// Metal that the plane misses.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NearestMetal {
    /// The part that it is of.
    pub part: String,
    /// The station where it ends or begins, in millimetres.
    pub station_mm: f64,
}

impl Layout {
    /// What a saw across the fuselage would cut at a station, in millimetres; just aft of it where that is a face's plane.
    #[must_use]
    pub fn cut_at(&self, station_mm: f64) -> Section {
        let parts: Vec<CutPart> = self
            .parts
            .iter()
            .filter_map(|part| cut_part(part, station_mm))
            .collect();
        let [ahead, aft] = if parts.is_empty() {
            nearest(&self.parts, station_mm)
        } else {
            [None, None]
        };
        Section {
            station_mm,
            parts,
            ahead,
            aft,
        }
    }
}

fn cut_part(part: &PlacedPart, station_mm: f64) -> Option<CutPart> {
    let cuts: Vec<Cut> = part
        .solids
        .iter()
        .filter_map(|solid| outline::of(solid, station_mm + JUST_AFT_MM))
        .collect();
    (!cuts.is_empty()).then(|| CutPart {
        part: part.name.clone(),
        cuts,
    })
}

/// The metal that ends last ahead of a station, and that which begins first aft of it.
fn nearest(parts: &[PlacedPart], station_mm: f64) -> [Option<NearestMetal>; 2] {
    let mut found: [Option<NearestMetal>; 2] = [None, None];
    for part in parts {
        for [from, to] in part.solids.iter().filter_map(outline::stations) {
            let (side, at) = if to <= station_mm + JUST_AFT_MM {
                (0, to)
            } else if from > station_mm {
                (1, from)
            } else {
                continue;
            };
            let apart = |at: f64| (at - station_mm).abs();
            if found[side]
                .as_ref()
                .is_none_or(|known| apart(at) < apart(known.station_mm))
            {
                found[side] = Some(NearestMetal {
                    part: part.name.clone(),
                    station_mm: at,
                });
            }
        }
    }
    found
}
