//! Layers that have no metal where the fasteners go. In: a measured joint. Out: a place that all layers have in common, if there is one;
//! else what of a layer lies nearest to the fasteners, in millimetres.

use strongback_solver::Plane;

use super::findings::{Finding, What};
use super::flat::{Flat, Section, stretches};
use super::measured::Measured;
use super::stacked::End;
use crate::assembly::Solved;
use crate::part::Feature;
use crate::relation::{Located, locate};

/// Faces this near to one another, in millimetres, are one.
const SAME_FACE: f64 = 0.02;

impl Solved<'_> {
    /// A layer that has no metal where a fastener goes: on which of its faces the stack lies, and which face of its metal is nearest.
    pub(super) fn no_metal(&self, one: &Measured<'_>, layer: usize, at: &[usize]) -> Finding {
        let places = at.iter().map(|at| (one.under(*at), 0.0));
        let finding = Finding::new(What::NoMetal, true, super::checks::spots(places));
        let finding = finding.about(&self.name_of(one, layer));
        let Some(first) = at.first() else {
            return finding;
        };
        let (Some(measured), Some(stated), Some(place)) = (
            one.layers.get(layer),
            one.stacked.layers.get(layer),
            one.at.get(*first),
        ) else {
            return finding;
        };
        let frame = &one.stacked.frame;
        let expected = stated.face.map_or(0.0, |(point, _)| frame.flat(point).1);
        let ends = stretches(&measured.solids, frame, *place).into_iter();
        let ends = ends.map(|[near, far]| match stated.end {
            End::Near => near,
            End::Far => far,
        });
        let off = |end: &f64| (end - expected).abs();
        if let Some(end) = ends.min_by(|a, b| off(a).total_cmp(&off(b))) {
            return Finding {
                on: self.face_at(one, stated.part, expected),
                other: self.face_at(one, stated.part, end),
                wanted_mm: Some(off(&end)),
                ..finding
            };
        }
        // nothing of it on the line: how far to the side it is
        let aside = measured.section.as_ref();
        let aside = aside.and_then(|section| section.edge_distance(*place));
        Finding {
            wanted_mm: aside.map(|aside| -aside).filter(|aside| *aside > 0.0),
            ..finding
        }
    }

    /// A flat face of a part that lies so far along the way of a joint and square to it; one that has a name of its own before one that is
    /// only the outermost metal on its side.
    fn face_at(&self, one: &Measured<'_>, part: usize, along: f64) -> Option<String> {
        let assembled = self.assembly.parts.get(part)?;
        let frame = &one.stacked.frame;
        let lies_there = |plane: &Plane| {
            let normal = self.stand().direction(&plane.normal);
            let (_, off) = frame.flat(self.stand().point(&plane.point));
            normal.dot(&frame.way).abs() > 0.999 && (off - along).abs() < SAME_FACE
        };
        let outermost = ["fwd", "aft", "left", "right", "top", "bottom"];
        let mut found = assembled
            .shape
            .features
            .iter()
            .filter_map(|(name, feature)| {
                let Feature::Face { .. } = feature else {
                    return None;
                };
                match locate(assembled.body, feature) {
                    Located::Face(plane) if lies_there(&plane) => Some(name),
                    _ => None,
                }
            });
        let mut side = None;
        let own = found.find(|name| {
            let outer = outermost.contains(&name.as_str());
            if outer {
                side = side.or(Some(*name));
            }
            !outer
        });
        let name = own.or(side)?;
        Some(format!("{}.{name}", assembled.name))
    }
}

/// A place that lies in all sections, the one asked for if it does; else the one asked for.
pub(super) fn in_all(asked: Flat, sections: &[&Section]) -> Flat {
    /// Beside a corner of what is common, in millimetres: inside of it on some side.
    const BESIDE: f64 = 0.05;
    let holds = |at: &Flat| sections.iter().all(|section| section.holds(*at));
    if holds(&asked) {
        return asked;
    }
    let boxes = |way: Flat| {
        let stretch =
            sections
                .iter()
                .try_fold([f64::NEG_INFINITY, f64::INFINITY], |[a, b], section| {
                    let [from, to] = section.extent(way)?;
                    Some([a.max(from), b.min(to)])
                });
        stretch
            .map(|[a, b]| 0.5 * (a + b))
            .filter(|middle| middle.is_finite())
    };
    let common = boxes(Flat::x())
        .zip(boxes(Flat::y()))
        .map(|(x, y)| Flat::new(x, y));
    let middles = sections.iter().flat_map(|section| section.middles());
    if let Some(found) = common.into_iter().chain(middles).find(holds) {
        return found;
    }
    // what is common has corners, where sides end or cross
    let corners = corners(sections);
    let inside = |corner: &Flat| {
        let around = (0..8).map(|step| f64::from(step) * std::f64::consts::FRAC_PI_4 + 0.1);
        let mut around = around.map(|turn| corner + Flat::new(turn.cos(), turn.sin()) * BESIDE);
        around.find(holds)
    };
    let inside: Vec<Flat> = corners.iter().filter_map(inside).collect();
    let middle = inside.iter().sum::<Flat>() / inside.len().max(1) as f64;
    let found = (!inside.is_empty()).then_some(middle).filter(holds);
    found.or(inside.first().copied()).unwrap_or(asked)
}

/// Where sides of sections end, and where two cross.
fn corners(sections: &[&Section]) -> Vec<Flat> {
    let sides: Vec<(Flat, Flat)> = sections
        .iter()
        .flat_map(|one| one.edges.iter().copied())
        .collect();
    let cross = |p: Flat, q: Flat| p.x * q.y - p.y * q.x;
    let mut corners: Vec<Flat> = sides.iter().map(|(a, _)| *a).collect();
    for (at, (a, b)) in sides.iter().enumerate() {
        for (c, d) in &sides[at + 1..] {
            let (way, other) = (b - a, d - c);
            let det = cross(way, other);
            if det.abs() < 1e-9 {
                continue;
            }
            let [share, there] = [cross(c - a, other) / det, cross(c - a, way) / det];
            if (0.0..=1.0).contains(&share) && (0.0..=1.0).contains(&there) {
                corners.push(a + way * share);
            }
        }
    }
    corners
}
