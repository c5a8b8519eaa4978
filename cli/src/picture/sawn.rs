//! What a saw across the fuselage leaves to be seen. In: a part, and what of it is cut. Out: the cut, and what of the part lies
//! ahead of it, as they look from behind; in mm of the aircraft.

use strongback_model::layout::{Layout, PlacedPart};
use strongback_model::section::{Cut, CutPart, Section};

use super::solid::{self, Outlook};
use super::subject::{self, Bounds, FARTHEST_MM, Station, Subject};
use super::view::View;

/// Cuts whose corners lie within this, in mm, are the same.
const SAME_MM: f64 = 0.01;

/// The parts that are cut, as the saw shows them.
pub(super) fn cut<'a>(layout: &'a Layout, section: &Section) -> Vec<Subject<'a>> {
    let parts = section.parts.iter();
    parts
        .filter_map(|cut| cut_part(layout.part(&cut.part)?, cut, section.station_mm))
        .collect()
}

fn cut_part<'a>(part: &'a PlacedPart, cut: &CutPart, station: f64) -> Option<Subject<'a>> {
    let outlooks: Vec<Outlook> = cut
        .cuts
        .iter()
        .filter(|cut| is_near(cut))
        .map(|cut| Outlook {
            faces: cut.boundaries.clone(),
            edges: cut
                .boundaries
                .iter()
                .map(|ring| ring.iter().chain(ring.first()).copied().collect())
                .collect(),
        })
        .collect();
    shown(part, outlooks, [station, station])
}

fn is_near(cut: &Cut) -> bool {
    cut.boundaries
        .iter()
        .flatten()
        .flatten()
        .all(|x| x.abs() <= FARTHEST_MM)
}

/// What lies ahead of a station.
pub(super) fn ahead(layout: &Layout, station: f64) -> Vec<Subject<'_>> {
    let parts = layout.parts.iter();
    parts
        .filter_map(|part| {
            let (mut outlooks, mut depth) = (Vec::new(), [f64::INFINITY, f64::NEG_INFINITY]);
            for (solid, goes_on) in subject::sound_solids(part) {
                let corners = solid.outline_mm.iter().map(|corner| corner[0]);
                let from = corners.fold(f64::INFINITY, f64::min) + solid.sweep_mm[0].min(0.0);
                let corners = solid.outline_mm.iter().map(|corner| corner[0]);
                let to = corners.fold(f64::NEG_INFINITY, f64::max) + solid.sweep_mm[0].max(0.0);
                if from < station {
                    depth = [depth[0].min(from), depth[1].max(to.min(station))];
                    outlooks.push(solid::look_beyond(solid, goes_on, View::Front, station));
                }
            }
            shown(part, outlooks, depth)
        })
        .collect()
}

fn shown(part: &PlacedPart, outlooks: Vec<Outlook>, depth: [f64; 2]) -> Option<Subject<'_>> {
    let mut bounds = Bounds::default();
    for outlook in &outlooks {
        for [along, up] in outlook.edges.iter().chain(&outlook.faces).flatten() {
            bounds.take([*along, *up, depth[0]]);
            bounds.take([*along, *up, depth[1]]);
        }
    }
    let faces = outlooks.iter().flat_map(|outlook| &outlook.faces);
    Some(Subject {
        part,
        area: faces.map(|face| solid::shoelace(face)).sum(),
        points: Vec::new(),
        bounds: bounds.0?,
        station: Station::Middle(depth[1]),
        outlooks,
    })
}

/// The cuts of an old layout that are not the same in the new one.
pub(super) fn otherwise<'a>(old: Vec<Subject<'a>>, new: &[Subject<'_>]) -> Vec<Subject<'a>> {
    let same = |old: &Subject<'_>, new: &Subject<'_>| {
        let rings = |of: &Subject<'_>| -> Vec<Vec<[f64; 2]>> {
            of.outlooks.iter().flat_map(|o| o.faces.clone()).collect()
        };
        let (old_rings, new_rings) = (rings(old), rings(new));
        let near = |a: &[f64; 2], b: &[f64; 2]| (0..2).all(|i| (a[i] - b[i]).abs() < SAME_MM);
        let ring = |a: &Vec<[f64; 2]>, b: &Vec<[f64; 2]>| {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| near(a, b))
        };
        old.part.name == new.part.name
            && old_rings.len() == new_rings.len()
            && old_rings.iter().zip(&new_rings).all(|(a, b)| ring(a, b))
    };
    old.into_iter()
        .filter(|old| !new.iter().any(|new| same(old, new)))
        .collect()
}
