//! Rules of edge distance, pitch and seat. In: measured joints. Out: what breaks a rule and what is worth knowing, the worst place first.

use nalgebra::Vector3;
use parry3d_f64::bounding_volume::Aabb;

use super::blocks;
use super::findings::{Finding, Spot, What};
use super::flat::{Section, stretches};
use super::measured::Measured;
use crate::assembly::{DATUM, Solved};
use crate::clash::CONTACT_MM;
use crate::layout::PlacedSolid;
use crate::part::Role;
use crate::trade::fastener::{Fastener, Make};
use crate::trade::rivets::{self, InDiameters};
use crate::trade::{Source, bolts};

/// A rule counts as kept when it is missed by less than this: rounding.
const ROUNDING: f64 = 1e-6;
/// Just outside of a layer.
const OUTSIDE: f64 = 0.05;

/// The metal of all parts, with boxes round it.
pub(super) struct Metal(Vec<(usize, Vec<PlacedSolid>, Aabb)>);

impl Metal {
    pub(super) fn of(solved: &Solved<'_>) -> Metal {
        let parts = solved.assembly.parts.iter().enumerate();
        let metal = parts
            .filter(|(_, part)| part.name != DATUM)
            .filter_map(|(index, part)| {
                let solids = solved.at().undrilled(part);
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

/// The rules of a fastener.
struct Rules {
    edge: InDiameters,
    pitch: InDiameters,
    rivet: bool,
}

impl Rules {
    fn of(fastener: Fastener) -> Rules {
        match fastener.make() {
            Make::Bolt(_) => Rules {
                edge: bolts::EDGE_LEAST,
                pitch: bolts::PITCH_LEAST,
                rivet: false,
            },
            Make::Universal(_) => Rules {
                edge: rivets::EDGE_LEAST,
                pitch: rivets::PITCH_LEAST,
                rivet: true,
            },
            Make::Countersunk(_) => Rules {
                edge: rivets::EDGE_BETTER,
                pitch: rivets::PITCH_LEAST,
                rivet: true,
            },
        }
    }
}

impl Finding {
    fn new(what: What, violates: bool, places: Vec<Spot>) -> Finding {
        Finding {
            what,
            violates,
            part: None,
            other: None,
            wanted_mm: None,
            diameters: None,
            places,
            source: None,
        }
    }

    fn rule(self, rule: InDiameters, diameter: f64) -> Finding {
        Finding {
            wanted_mm: Some(rule.times * diameter),
            diameters: Some(rule.times),
            source: Some(rule.source),
            ..self
        }
    }

    fn about(self, part: &str) -> Finding {
        Finding {
            part: Some(part.to_owned()),
            ..self
        }
    }
}

/// The least first.
fn worst(mut spots: Vec<Spot>) -> Vec<Spot> {
    spots.sort_by(|a, b| a.value_mm.total_cmp(&b.value_mm));
    spots
}

fn spots(places: impl Iterator<Item = ([f64; 3], f64)>) -> Vec<Spot> {
    worst(
        places
            .map(|(at_mm, value_mm)| Spot { at_mm, value_mm })
            .collect(),
    )
}

impl Measured<'_> {
    /// Whether places are stated, by rows that have some.
    pub(super) fn has_places(&self) -> bool {
        self.rows.iter().any(|laid| !laid.places.is_empty())
    }

    fn under(&self, index: usize) -> [f64; 3] {
        self.under_head(index).into()
    }

    /// Of each layer the distance of each fastener from an edge of it.
    fn edges(&self, layer: usize) -> Option<Vec<f64>> {
        if !self.has_places() {
            return None;
        }
        let section = self.layers.get(layer)?.section.as_ref()?;
        self.at
            .iter()
            .map(|at| section.edge_distance(*at))
            .collect()
    }

    pub(super) fn least_edges(&self) -> Vec<Option<f64>> {
        let layers = 0..self.layers.len();
        layers
            .map(|layer| self.edges(layer)?.into_iter().min_by(f64::total_cmp))
            .collect()
    }
}

impl Solved<'_> {
    pub(super) fn findings(
        &self,
        one: &Measured<'_>,
        all: &[Measured<'_>],
        index: usize,
        metal: &Metal,
        no_size: bool,
    ) -> Vec<Finding> {
        let mut list = self.of_layers(one);
        list.extend(of_rows(one));
        list.extend(self.other_metal(one, metal));
        let parts = one
            .stacked
            .layers
            .iter()
            .filter_map(|layer| self.assembly.parts.get(layer.part));
        for part in parts.filter(|part| !self.is_settled(part)) {
            list.push(Finding::new(What::Loose, true, Vec::new()).about(&part.name));
        }
        if let Some(fastener) = one.stacked.fastener {
            if no_size {
                list.push(Finding::new(What::NoSize, true, Vec::new()));
            }
            list.extend(diameter(one, fastener));
            if one.has_places() {
                let rules = Rules::of(fastener);
                list.extend(self.edge_rules(one, &rules, fastener.diameter_mm()));
                list.extend(pitch_rules(one, &rules, fastener.diameter_mm()));
                list.extend(self.other_joints(one, all, index));
            }
            list.extend(self.seats(one, fastener));
        }
        list
    }

    fn name_of(&self, one: &Measured<'_>, layer: usize) -> String {
        let stated = one.stacked.layers.get(layer);
        let part = stated.and_then(|stated| self.assembly.parts.get(stated.part));
        part.map(|part| part.name.clone()).unwrap_or_default()
    }

    /// Gaps between layers, layers that aren't there, and layers of uneven thickness.
    fn of_layers(&self, one: &Measured<'_>) -> Vec<Finding> {
        let mut list = Vec::new();
        let flat = |layer: usize| one.layers.get(layer).is_some_and(|l| l.section.is_some());
        let span = |at: usize, layer: usize| one.spans.get(at)?.get(layer).copied().flatten();
        let fasteners = 0..one.at.len();
        for layer in 0..one.layers.len() {
            let stated = one.stacked.layers.get(layer).map(|stated| stated.part);
            if stated.is_some_and(|part| self.gauge_of_contour(part).is_some()) {
                continue;
            }
            let name = self.name_of(one, layer);
            let missing = fasteners.clone().filter(|at| span(*at, layer).is_none());
            let missing = spots(missing.map(|at| (one.under(at), 0.0)));
            if !missing.is_empty() {
                list.push(Finding::new(What::NoMetal, true, missing).about(&name));
            }
            let least = one.layers.get(layer).map_or(0.0, |layer| layer.thickness);
            let thick = fasteners.clone().filter_map(|at| {
                let [from, to] = span(at, layer)?;
                (to - from > least + CONTACT_MM).then(|| (one.under(at), to - from))
            });
            let thick = spots(thick);
            if !thick.is_empty() {
                let finding = Finding::new(What::Uneven, true, thick).about(&name);
                list.push(Finding {
                    wanted_mm: Some(least),
                    ..finding
                });
            }
            if layer == 0 || !flat(layer) || !flat(layer - 1) {
                continue;
            }
            let gaps = fasteners.clone().filter_map(|at| {
                let gap = span(at, layer)?[0] - span(at, layer - 1)?[1];
                Some((one.under(at), gap))
            });
            let gaps: Vec<_> = gaps.collect();
            let before = self.name_of(one, layer - 1);
            for (what, sign) in [(What::Gap, 1.0), (What::Overlap, -1.0)] {
                let far = gaps.iter().filter(|(_, gap)| gap * sign > CONTACT_MM);
                let mut far = spots(far.copied());
                if what == What::Gap {
                    far.reverse();
                }
                if !far.is_empty() {
                    let finding = Finding::new(what, true, far).about(&before);
                    list.push(Finding {
                        other: Some(name.clone()),
                        ..finding
                    });
                }
            }
        }
        list
    }

    fn edge_rules(&self, one: &Measured<'_>, rules: &Rules, d: f64) -> Vec<Finding> {
        let mut list = Vec::new();
        let mut near_some = vec![f64::INFINITY; one.at.len()];
        for layer in 0..one.layers.len() {
            let Some(edges) = one.edges(layer) else {
                continue;
            };
            for (least, edge) in near_some.iter_mut().zip(&edges) {
                *least = least.min(*edge);
            }
            let below = |rule: InDiameters, from: f64| {
                let places = edges.iter().enumerate();
                spots(
                    places
                        .filter(|(_, edge)| {
                            **edge < rule.times * d - ROUNDING && **edge >= from * d - ROUNDING
                        })
                        .map(|(at, edge)| (one.under(at), *edge)),
                )
            };
            let name = self.name_of(one, layer);
            let under = below(rules.edge, f64::NEG_INFINITY);
            if !under.is_empty() {
                list.push(
                    Finding::new(What::Edge, true, under)
                        .rule(rules.edge, d)
                        .about(&name),
                );
            }
            let better = rivets::EDGE_BETTER;
            let slim = below(better, rules.edge.times);
            if rules.rivet && !slim.is_empty() {
                list.push(
                    Finding::new(What::EdgeSlim, false, slim)
                        .rule(better, d)
                        .about(&name),
                );
            }
        }
        let most = rivets::EDGE_MOST;
        let wide = near_some.iter().enumerate();
        let wide = wide.filter(|(_, edge)| edge.is_finite() && **edge > most.times * d + ROUNDING);
        let mut wide = spots(wide.map(|(at, edge)| (one.under(at), *edge)));
        wide.reverse();
        if rules.rivet && !wide.is_empty() {
            list.push(Finding::new(What::EdgeWide, false, wide).rule(most, d));
        }
        list
    }

    /// Fasteners of other joints that go through the same part side by side.
    fn other_joints(&self, one: &Measured<'_>, all: &[Measured<'_>], index: usize) -> Vec<Finding> {
        let mut list = Vec::new();
        let parts = |joint: &Measured<'_>| -> Vec<usize> {
            joint
                .stacked
                .layers
                .iter()
                .map(|layer| layer.part)
                .collect()
        };
        let (mine, way) = (parts(one), one.stacked.frame.way);
        let thick =
            |joint: &Measured<'_>| -> f64 { joint.layers.iter().map(|l| l.thickness).sum() };
        let d = |joint: &Measured<'_>| joint.stacked.fastener.map_or(0.0, |f| f.diameter_mm());
        for (at, other) in all.iter().enumerate() {
            let shared = parts(other).into_iter().find(|part| mine.contains(part));
            let along = other.stacked.frame.way.dot(&way).abs() > 0.9;
            let (Some(shared), true, true) = (shared, at != index && along, other.has_places())
            else {
                continue;
            };
            let diameter = d(one).max(d(other));
            let rule = rivets::PITCH_LEAST;
            let reach = thick(one) + thick(other) + 1.0;
            let near = (0..one.at.len()).filter_map(|mine| {
                let here = one.under_head(mine);
                let distances = (0..other.at.len()).filter_map(|theirs| {
                    let away: Vector3<f64> = other.under_head(theirs) - here;
                    let along = away.dot(&way);
                    (along.abs() < reach).then(|| (away - way * along).norm())
                });
                let least = distances.min_by(f64::total_cmp)?;
                (least < rule.times * diameter - ROUNDING).then(|| (one.under(mine), least))
            });
            let near = spots(near);
            if near.is_empty() {
                continue;
            }
            let part = self
                .assembly
                .parts
                .get(shared)
                .map(|part| part.name.clone());
            let finding = Finding::new(What::OtherJoint, true, near).rule(rule, diameter);
            list.push(Finding {
                part,
                other: Some(other.stacked.statement.to_owned()),
                ..finding
            });
        }
        list
    }

    /// Heads and tails beside a bend or a leg of the layer that they lie on.
    fn seats(&self, one: &Measured<'_>, fastener: Fastener) -> Vec<Finding> {
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
    fn other_metal(&self, one: &Measured<'_>, metal: &Metal) -> Vec<Finding> {
        let mut list = Vec::new();
        if !one.has_places() {
            return list;
        }
        let named: Vec<usize> = one.stacked.layers.iter().map(|layer| layer.part).collect();
        let frame = &one.stacked.frame;
        for (index, solids, extent) in &metal.0 {
            if named.contains(index) {
                continue;
            }
            let against = one.at.iter().enumerate().filter_map(|(at, place)| {
                let spans = one.spans.get(at)?.iter().flatten();
                let (near, far) = spans.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), span| {
                    (a.min(span[0]), b.max(span[1]))
                });
                let ends = [near, far].map(|along| frame.place(*place, along));
                let line = Aabb::from_points(ends.map(|end| [end.x, end.y, end.z].into()));
                use parry3d_f64::bounding_volume::BoundingVolume;
                if !near.is_finite() || !line.loosened(2.0 * CONTACT_MM).intersects(extent) {
                    return None;
                }
                let touching = stretches(solids, frame, *place)
                    .into_iter()
                    .find(|[from, to]| *from <= far + CONTACT_MM && *to >= near - CONTACT_MM)?;
                Some((one.under(at), touching[1] - touching[0]))
            });
            let against = spots(against);
            if !against.is_empty() {
                let part = self
                    .assembly
                    .parts
                    .get(*index)
                    .map(|part| part.name.clone());
                list.push(Finding {
                    part,
                    ..Finding::new(What::OtherMetal, false, against)
                });
            }
        }
        list
    }
}

/// Rows without room, and rows that don't add up.
fn of_rows(one: &Measured<'_>) -> Vec<Finding> {
    let troubled = one.rows.iter().filter(|laid| laid.row.trouble.is_some());
    let mut list: Vec<Finding> = troubled
        .map(|laid| Finding {
            other: Some(laid.row.beside.clone()),
            wanted_mm: match laid.row.trouble {
                Some(super::RowTrouble::TooShort(by)) => Some(by),
                _ => None,
            },
            ..Finding::new(What::Row, true, Vec::new())
        })
        .collect();
    let placed: usize = one.rows.iter().map(|laid| laid.row.count).sum();
    if let Some(count) = one.stacked.count
        && !one.rows.is_empty()
        && list.is_empty()
        && count as usize != placed
    {
        list.push(Finding {
            other: Some(format!("{placed} of {count}")),
            ..Finding::new(What::Count, true, Vec::new())
        });
    }
    list
}

fn pitch_rules(one: &Measured<'_>, rules: &Rules, d: f64) -> Vec<Finding> {
    let mut list = Vec::new();
    let row_of: Vec<usize> = one
        .rows
        .iter()
        .enumerate()
        .flat_map(|(row, laid)| laid.places.iter().map(move |_| row))
        .collect();
    let least = |same: bool| -> Vec<(usize, f64)> {
        let all = one.at.iter().enumerate();
        all.filter_map(|(a, here)| {
            let others = one
                .at
                .iter()
                .enumerate()
                .filter(|(b, _)| *b != a && (row_of.get(*b) == row_of.get(a)) == same);
            let near = others.map(|(_, there)| (there - here).norm());
            Some((a, near.min_by(f64::total_cmp)?))
        })
        .collect()
    };
    let within = |list: &[(usize, f64)], from: f64, to: f64| {
        let inside = list.iter().filter(|(_, distance)| {
            *distance >= from * d - ROUNDING && *distance < to * d - ROUNDING
        });
        spots(inside.map(|(at, distance)| (one.under(*at), *distance)))
    };
    let (in_row, across) = (least(true), least(false));
    let mut push = |what, violates, rule: InDiameters, spots: Vec<Spot>| {
        if !spots.is_empty() {
            list.push(Finding::new(what, violates, spots).rule(rule, d));
        }
    };
    let none = f64::NEG_INFINITY;
    push(
        What::Pitch,
        true,
        rules.pitch,
        within(&in_row, none, rules.pitch.times),
    );
    let apart = rivets::ROWS_APART;
    push(What::Pitch, true, apart, within(&across, none, apart.times));
    let strict = rivets::PITCH_STRICTER;
    push(
        What::PitchStrict,
        false,
        strict,
        within(&in_row, rules.pitch.times, strict.times),
    );
    if rules.rivet {
        let most = rivets::PITCH_USUAL_MOST;
        let mut wide = within(&in_row, most.times + 2.0 * ROUNDING / d, f64::INFINITY);
        wide.reverse();
        push(What::PitchWide, false, most, wide);
    }
    list
}

/// The diameter against the thickest sheet.
fn diameter(one: &Measured<'_>, fastener: Fastener) -> Option<Finding> {
    if !fastener.is_rivet() {
        return None;
    }
    let thickest = one
        .layers
        .iter()
        .map(|layer| layer.thickness)
        .fold(0.0, f64::max);
    let [least, most] = rivets::DIAMETER.map(|rule| rule.times * thickest);
    let d = fastener.diameter_mm();
    let (wanted, source): (f64, Source) = if d < least - ROUNDING {
        (least, rivets::DIAMETER[0].source)
    } else if d > most + ROUNDING {
        (most, rivets::DIAMETER[1].source)
    } else {
        return None;
    };
    Some(Finding {
        wanted_mm: Some(wanted),
        source: Some(source),
        ..Finding::new(What::Diameter, false, Vec::new())
    })
}
