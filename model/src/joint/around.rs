//! What is round a stack of metal: bends and legs beside heads and tails, and metal of parts that the joint doesn't name. In: a measured
//! joint. Out: what is found, the worst place first.

use parry3d_f64::bounding_volume::{Aabb, BoundingVolume};

use super::blocks;
use super::checks::{ROUNDING, spots};
use super::findings::{Finding, What};
use super::flat::{Section, stretches};
use super::measured::Measured;
use super::stacked::Stand;
use crate::assembly::{DATUM, Solved};
use crate::clash::CONTACT_MM;
use crate::layout::PlacedSolid;
use crate::part::Role;
use crate::trade::fastener::Fastener;

/// Just outside of a layer.
const OUTSIDE: f64 = 0.05;

/// The metal of all parts, with boxes round it.
pub(super) struct Metal(Vec<(usize, Vec<PlacedSolid>, Aabb)>);

impl Metal {
    pub(super) fn of(solved: &Solved<'_>) -> Metal {
        Metal::of_parts(solved.stand(), 0..solved.assembly.parts.len())
    }

    /// That of some parts.
    pub(super) fn of_parts(stand: Stand<'_>, parts: impl Iterator<Item = usize>) -> Metal {
        let parts = parts.filter_map(|index| Some((index, stand.assembly.parts.get(index)?)));
        let metal = parts
            .filter(|(_, part)| part.name != DATUM)
            .filter_map(|(index, part)| {
                let solids = stand.at.undrilled(part);
                let corners = solids.iter().flat_map(|solid| {
                    let far = solid
                        .outline_mm
                        .iter()
                        .map(|at| [0, 1, 2].map(|i| at[i] + solid.sweep_mm[i]));
                    solid.outline_mm.iter().copied().chain(far)
                });
                let corners: Vec<_> = corners.map(Into::into).collect();
                (!corners.is_empty()).then(|| (index, solids, Aabb::from_points(corners)))
            });
        Metal(metal.collect())
    }
}

impl Solved<'_> {
    /// Heads and tails beside a bend or a leg of the layer that they lie on.
    pub(super) fn seats(&self, one: &Measured<'_>, fastener: Fastener) -> Vec<Finding> {
        let mut list = Vec::new();
        let [head, tail] = blocks(fastener);
        let last = one.layers.len().saturating_sub(1);
        for (layer, end, block) in [(0, 0, head), (last, 1, tail)] {
            let (Some(measured), Some(stated)) =
                (one.layers.get(layer), one.stacked.layers.get(layer))
            else {
                continue;
            };
            let (Some(span), true) = (measured.span, one.has_places()) else {
                continue;
            };
            let beyond = if end == 0 {
                span[0] - OUTSIDE
            } else {
                span[1] + OUTSIDE
            };
            let rises = Section::of(&measured.solids, &one.stacked.frame, beyond);
            let radius = self.bend_radius(stated.part);
            let near = one.at.iter().enumerate().filter_map(|(at, place)| {
                let to_metal = -rises.edge_distance(*place)?;
                let room = to_metal - radius;
                (room < block.radius_mm - ROUNDING).then(|| (one.under(at), room))
            });
            let near = spots(near);
            if !near.is_empty() {
                let name = self.name_of(one, layer);
                let finding = Finding::new(What::Seat, true, near).about(&name);
                list.push(Finding {
                    wanted_mm: Some(block.radius_mm),
                    source: Some(block.source),
                    other: Some(if end == 0 { "head" } else { "tail" }.to_owned()),
                    ..finding
                });
            }
        }
        list
    }

    /// The greatest inside radius that a part states.
    fn bend_radius(&self, part: usize) -> f64 {
        let sizes = self.assembly.parts.get(part).map(|part| &part.sizes);
        let radii = sizes
            .into_iter()
            .flatten()
            .filter(|size| size.role == Role::Radius);
        let values = radii.map(|size| self.solution.form(&size.resolved.form));
        values.fold(0.0, f64::max)
    }

    /// Parts that the joint doesn't name and whose metal lies against the stack.
    pub(super) fn other_metal(&self, one: &Measured<'_>, metal: &Metal) -> Vec<Finding> {
        let mut list = Vec::new();
        if !one.has_places() {
            return list;
        }
        for (part, against) in metal.against(one) {
            let against = against.into_iter();
            let against = spots(against.map(|(at, [from, to])| (one.under(at), to - from)));
            let part = self.assembly.parts.get(part);
            list.push(Finding {
                part: part.map(|part| part.name.clone()),
                ..Finding::new(What::OtherMetal, false, against)
            });
        }
        list
    }
}

/// A part that lies against a stack, by its place in the assembly: at which fasteners, and from where to where along the way.
pub(super) type Against = (usize, Vec<(usize, [f64; 2])>);

impl Metal {
    /// Parts that a joint doesn't name and whose metal lies against its stack: at which fasteners, and from where to where along the way.
    pub(super) fn against(&self, one: &Measured<'_>) -> Vec<Against> {
        let named: Vec<usize> = one.stacked.layers.iter().map(|layer| layer.part).collect();
        let frame = &one.stacked.frame;
        let others = self.0.iter().filter(|(index, ..)| !named.contains(index));
        let against = others.map(|(index, solids, extent)| {
            let at = one.at.iter().enumerate().filter_map(|(at, place)| {
                let [near, far] = one.reach(at)?;
                let ends = [near, far].map(|along| frame.place(*place, along));
                let line = Aabb::from_points(ends.map(|end| [end.x, end.y, end.z].into()));
                if !line.loosened(2.0 * CONTACT_MM).intersects(extent) {
                    return None;
                }
                let touching = stretches(solids, frame, *place)
                    .into_iter()
                    .find(|[from, to]| *from <= far + CONTACT_MM && *to >= near - CONTACT_MM)?;
                Some((at, touching))
            });
            (*index, at.collect::<Vec<_>>())
        });
        against.filter(|(_, at)| !at.is_empty()).collect()
    }
}
