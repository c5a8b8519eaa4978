//! What there is to draw. In: a part in its place. Out: its look in one view, its bounds and its mark on the ruler, in mm.
//! A coordinate that is no number, or farther off than any aircraft is long, takes its solid or feature out of the picture.

use strongback_model::layout::{Layout, PlacedPart, PlacedSolid};
use strongback_model::words::Axis;

use super::goes_on::{GoesOn, going_on};
use super::solid::{self, Outlook};
use super::view::View;

/// Farther from the datum than this, in mm, is no place on an aircraft: a kilometre.
pub(super) const FARTHEST_MM: f64 = 1e6;

/// A part as it is drawn.
#[derive(Clone, Debug)]
pub(super) struct Subject<'a> {
    pub(super) part: &'a PlacedPart,
    /// Its prisms.
    pub(super) outlooks: Vec<Outlook>,
    /// Points to mark when it has no prisms.
    pub(super) points: Vec<[f64; 2]>,
    /// Least and greatest along, up and towards the eye.
    pub(super) bounds: [[f64; 2]; 3],
    /// Square mm that its faces cover in the view.
    pub(super) area: f64,
    /// The station that stands for it: of its web or forward face, or of its middle.
    pub(super) station: Station,
}

/// The station that stands for a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Station {
    /// Of a face that looks along the fuselage.
    Face(f64),
    /// Of its middle: it has no such face.
    Middle(f64),
}

impl Station {
    pub(super) fn mm(self) -> f64 {
        match self {
            Station::Face(mm) | Station::Middle(mm) => mm,
        }
    }
}

/// All parts that can be drawn, and how many can't.
pub(super) fn subjects(layout: &Layout, view: View) -> (Vec<Subject<'_>>, usize) {
    let drawn: Vec<_> = layout
        .parts
        .iter()
        .filter_map(|part| subject(part, view))
        .collect();
    let missing = layout.parts.len() - drawn.len();
    (drawn, missing)
}

/// A part as it is drawn; nothing if no place of it is known.
pub(super) fn subject(part: &PlacedPart, view: View) -> Option<Subject<'_>> {
    let mut bounds = Bounds::default();
    let mut outlooks = Vec::new();
    for (solid, goes_on) in sound_solids(part) {
        for &corner in &solid.outline_mm {
            bounds.take(view.turned(corner));
            bounds.take(view.turned([0, 1, 2].map(|i| corner[i] + solid.sweep_mm[i])));
        }
        outlooks.push(solid::look(solid, goes_on, view));
    }
    let mut points = Vec::new();
    if outlooks.is_empty() {
        let mut marked: Vec<[f64; 3]> = part.features.iter().map(|feature| feature.at_mm).collect();
        marked.push(part.origin_mm);
        marked.retain(|at| is_near(*at));
        if marked.len() > 1 {
            // the origin is only drawn for want of anything else
            marked.pop();
        }
        for at in marked {
            let [along, up, towards] = view.turned(at);
            bounds.take([along, up, towards]);
            points.push([along, up]);
        }
    }
    let bounds = bounds.0?;
    let area = outlooks
        .iter()
        .flat_map(|outlook| &outlook.faces)
        .map(|face| solid::shoelace(face))
        .sum();
    Some(Subject {
        part,
        outlooks,
        points,
        area,
        station: station(part, bounds[0]),
        bounds,
    })
}

/// Web first, then the forward face: the face from which a builder measures.
fn station(part: &PlacedPart, along: [f64; 2]) -> Station {
    let faces = || {
        part.features.iter().filter(|feature| {
            feature.axis == Some(Axis::Station)
                && feature.direction.is_some()
                && is_near(feature.at_mm)
        })
    };
    faces()
        .find(|feature| feature.name.starts_with("web"))
        .or_else(|| faces().find(|feature| feature.name == "fwd"))
        .or_else(|| faces().next())
        .map_or(Station::Middle(0.5 * (along[0] + along[1])), |feature| {
            Station::Face(feature.at_mm[0])
        })
}

fn is_near(at: [f64; 3]) -> bool {
    // false for what is no number, too
    at.iter().all(|x| x.abs() <= FARTHEST_MM)
}

/// A part's prisms that can be drawn, each with which of its ends go on in another one.
pub(super) fn sound_solids(part: &PlacedPart) -> Vec<(&PlacedSolid, GoesOn)> {
    let solids: Vec<_> = part.solids.iter().filter(|solid| is_sound(solid)).collect();
    let goes_on = going_on(&solids);
    solids.into_iter().zip(goes_on).collect()
}

fn is_sound(solid: &PlacedSolid) -> bool {
    !solid.outline_mm.is_empty()
        && is_near(solid.sweep_mm)
        && solid.outline_mm.iter().all(|&corner| is_near(corner))
        && solid
            .openings_mm
            .iter()
            .flatten()
            .all(|&corner| is_near(corner))
}

/// Least and greatest of points.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Bounds(pub(super) Option<[[f64; 2]; 3]>);

impl Bounds {
    pub(super) fn take(&mut self, at: [f64; 3]) {
        let known = self.0.unwrap_or(at.map(|x| [x, x]));
        self.0 = Some([0, 1, 2].map(|i| [known[i][0].min(at[i]), known[i][1].max(at[i])]));
    }

    pub(super) fn take_all(&mut self, bounds: [[f64; 2]; 3]) {
        self.take(bounds.map(|of| of[0]));
        self.take(bounds.map(|of| of[1]));
    }
}

/// Lowest and highest of a part at one place along the view: its lines there, or else its bounds.
pub(super) fn heights_at(subject: &Subject<'_>, along: f64) -> [f64; 2] {
    let mut found: Option<[f64; 2]> = None;
    let mut take = |up: f64| {
        let known = found.unwrap_or([up, up]);
        found = Some([known[0].min(up), known[1].max(up)]);
    };
    for line in subject.outlooks.iter().flat_map(|outlook| &outlook.edges) {
        for (a, b) in line.iter().zip(line.iter().skip(1)) {
            let (low, high) = if a[0] <= b[0] { (a, b) } else { (b, a) };
            if low[0] <= along && along <= high[0] {
                if high[0] - low[0] < 1e-9 {
                    take(low[1]);
                    take(high[1]);
                } else {
                    take(low[1] + (high[1] - low[1]) * (along - low[0]) / (high[0] - low[0]));
                }
            }
        }
    }
    found.unwrap_or(subject.bounds[1])
}
