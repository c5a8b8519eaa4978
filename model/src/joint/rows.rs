//! Rows of fasteners. In: a joint in its place, and of each layer the metal in the plane of the joint. Out: where the fasteners of each
//! row lie in that plane, in millimetres.

use schemars::JsonSchema;
use serde::Serialize;

use super::flat::{Flat, Frame, Section};
use super::stacked::Stand;
use crate::assembly::AssembledRow;
use crate::relation::MOST_IN_A_ROW;

/// A row in its place.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PlacedRow {
    /// The edge face that it runs beside.
    pub beside: String,
    /// How far inside of that face.
    pub by_mm: f64,
    /// How many fasteners it has.
    pub count: usize,
    /// From one to the next; none for a single one.
    pub pitch_mm: Option<f64>,
    /// Whether the count follows from a stated pitch.
    pub from_pitch: bool,
    /// Why it has no places, if it has none.
    pub trouble: Option<RowTrouble>,
    /// Where the metal in common is too short: the layers that end it, one at either end, or one at both.
    pub limits: Vec<RowLimit>,
    /// How much its ends keep free together.
    pub ends_mm: f64,
}

/// A layer that ends the metal which a row has.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RowLimit {
    /// The part.
    pub part: String,
    /// How much of it lies along the row.
    pub along_mm: f64,
}

/// Why a row has no places.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum RowTrouble {
    /// The layers have no metal in common along the edge.
    NothingInCommon,
    /// The stretch of common metal is shorter than what its ends keep free: by so much, in millimetres.
    TooShort(f64),
    /// The edge face lies in the plane of the joint now.
    NoEdge,
    /// More would fit than a row may have: the pitch is too small.
    TooMany,
}

/// The places of a row, in the plane's axes.
pub(super) struct Laid {
    pub(super) row: PlacedRow,
    pub(super) places: Vec<Flat>,
}

impl Stand<'_> {
    /// Lays a row over the sections of the layers that have one.
    pub(super) fn lay(
        &self,
        row: &AssembledRow,
        frame: &Frame,
        sections: &[(usize, &Section)],
        name_of: &dyn Fn(usize) -> String,
    ) -> Laid {
        let by = self.form(&row.by);
        let ends = self.form(&row.ends);
        let none = |trouble, limits| Laid {
            row: PlacedRow {
                beside: row.beside.clone(),
                by_mm: by,
                count: row.count.map_or(0, |count| count as usize),
                pitch_mm: None,
                from_pitch: row.pitch.is_some(),
                trouble: Some(trouble),
                limits,
                ends_mm: 2.0 * ends,
            },
            places: Vec::new(),
        };
        let point = self.point(&row.face.point);
        let normal = self.direction(&row.face.normal);
        let outward = Flat::new(normal.dot(&frame.u), normal.dot(&frame.v));
        let share = outward.norm();
        if share < 1e-3 {
            return none(RowTrouble::NoEdge, Vec::new());
        }
        let outward = outward / share;
        // where the face meets the plane of the joint: (x − point) · normal = 0
        let (flat, along) = frame.flat(point);
        let edge = flat + outward * (along * normal.dot(&frame.way) / share);
        let start = edge - outward * by;
        let way = lengthwise(frame, outward);
        let stretches: Option<Vec<(usize, [f64; 2])>> = sections
            .iter()
            .map(|(layer, section)| {
                let stretch = section.along(start, way).or_else(|| {
                    let offset = start.dot(&way);
                    section.extent(way).map(|[a, b]| [a - offset, b - offset])
                });
                Some((*layer, stretch?))
            })
            .collect();
        let stretches = stretches.unwrap_or_default();
        let first = stretches.iter().max_by(|a, b| a.1[0].total_cmp(&b.1[0]));
        let last = stretches.iter().min_by(|a, b| a.1[1].total_cmp(&b.1[1]));
        let (Some(first), Some(last)) = (first, last) else {
            return none(RowTrouble::NothingInCommon, Vec::new());
        };
        let limits = || {
            let mut ends = vec![first, last];
            ends.dedup_by_key(|(layer, _)| *layer);
            let limit = |(layer, [from, to]): &(usize, [f64; 2])| RowLimit {
                part: name_of(*layer),
                along_mm: to - from,
            };
            ends.into_iter().map(limit).collect()
        };
        let (from, to) = (first.1[0], last.1[1]);
        if to <= from {
            return none(RowTrouble::NothingInCommon, limits());
        }
        let (first, last) = (from + ends, to - ends);
        let length = last - first;
        let count = match (row.count, &row.pitch) {
            (Some(count), _) => count as usize,
            (None, Some(pitch)) => {
                let spaces = (length / self.form(pitch).max(1e-3) + 1e-9).floor();
                if spaces >= f64::from(MOST_IN_A_ROW) {
                    return none(RowTrouble::TooMany, Vec::new());
                }
                spaces.max(0.0) as usize + 1
            }
            (None, None) => 1,
        };
        if length < -1e-6 {
            return none(RowTrouble::TooShort(-length), limits());
        }
        let pitch = (count > 1).then(|| length / (count - 1) as f64);
        let at = |index: usize| match pitch {
            Some(pitch) => first + pitch * index as f64,
            None => 0.5 * (first + last),
        };
        Laid {
            places: (0..count).map(|index| start + way * at(index)).collect(),
            row: PlacedRow {
                beside: row.beside.clone(),
                by_mm: by,
                count,
                pitch_mm: pitch,
                from_pitch: row.pitch.is_some(),
                trouble: None,
                limits: Vec::new(),
                ends_mm: 2.0 * ends,
            },
        }
    }
}

/// Along the edge, aft, right or up, whichever it runs most.
fn lengthwise(frame: &Frame, outward: Flat) -> Flat {
    let way = Flat::new(-outward.y, outward.x);
    let placed = frame.u * way.x + frame.v * way.y;
    if placed[placed.iamax()] < 0.0 {
        -way
    } else {
        way
    }
}
