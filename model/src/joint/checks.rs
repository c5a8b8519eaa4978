//! Rules of edge distance, pitch and seat. In: measured joints. Out: what breaks a rule and what is worth knowing, the worst place first.

use nalgebra::Vector3;

use super::around::Metal;
use super::findings::{Finding, Spot, What};
use super::measured::Measured;
use super::pitch::pitch_rules;
use crate::assembly::{AssembledPart, Solved};
use crate::clash::CONTACT_MM;
use crate::part::{Section, Stock};
use crate::trade::fastener::{Fastener, Make};
use crate::trade::rivets::{self, InDiameters};
use crate::trade::{Source, bolts};

/// A rule counts as kept when it is missed by less than this: rounding.
pub(super) const ROUNDING: f64 = 1e-6;

/// The rules of a fastener.
pub(super) struct Rules {
    edge: InDiameters,
    pub(super) pitch: InDiameters,
    pub(super) rivet: bool,
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
    pub(super) fn new(what: What, violates: bool, places: Vec<Spot>) -> Finding {
        Finding {
            what,
            violates,
            part: None,
            other: None,
            on: None,
            wanted_mm: None,
            diameters: None,
            places,
            source: None,
        }
    }

    pub(super) fn rule(self, rule: InDiameters, diameter: f64) -> Finding {
        Finding {
            wanted_mm: Some(rule.times * diameter),
            diameters: Some(rule.times),
            source: Some(rule.source),
            ..self
        }
    }

    pub(super) fn about(self, part: &str) -> Finding {
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

pub(super) fn spots(places: impl Iterator<Item = ([f64; 3], f64)>) -> Vec<Spot> {
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

    pub(super) fn under(&self, index: usize) -> [f64; 3] {
        self.under_head(index).into()
    }

    /// Of each layer the distance of each fastener from an edge of it.
    fn edges(&self, layer: usize) -> Option<Vec<f64>> {
        if !self.has_places() {
            return None;
        }
        let layer = self.layers.get(layer)?;
        self.at.iter().map(|at| layer.edge_distance(*at)).collect()
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
        for part in parts {
            if self.is_hollow(part) {
                list.push(Finding::new(What::Hollow, false, Vec::new()).about(&part.name));
            }
            if !self.is_settled(part) {
                list.push(Finding::new(What::Loose, true, Vec::new()).about(&part.name));
            }
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

    /// Whether a part is a tube whose wall leaves something of its inside.
    fn is_hollow(&self, part: &AssembledPart) -> bool {
        let sizes = self.at().sizes(part);
        let stated = part.stated.as_ref();
        let stock = stated.map_or_else(Vec::new, |stated| stated.kind().stock(&sizes));
        let mut sections = stock.iter().filter_map(Stock::section);
        sections.any(Section::is_hollow)
    }

    pub(super) fn name_of(&self, one: &Measured<'_>, layer: usize) -> String {
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
            if stated.is_some_and(|part| self.stand().gauge_of_contour(part).is_some()) {
                continue;
            }
            let name = self.name_of(one, layer);
            // beside metal that is there, it is a matter of edge distance
            let ruled = one.stacked.fastener.is_some();
            let told_by_edges = one.has_places() && flat(layer) && ruled;
            let missing = fasteners.clone().filter(|at| span(*at, layer).is_none());
            let missing: Vec<usize> = missing.collect();
            if !missing.is_empty() && !told_by_edges && !self.is_loose(one) {
                list.push(self.no_metal(one, layer, &missing));
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

/// The diameter against the thickest sheet.
fn diameter(one: &Measured<'_>, fastener: Fastener) -> Option<Finding> {
    if !fastener.is_rivet() {
        return None;
    }
    let thickest = one
        .layers
        .iter()
        .filter(|layer| layer.met)
        .map(|layer| layer.thickness)
        .fold(0.0, f64::max);
    let [least, most] = rivets::DIAMETER.map(|rule| rule.times * thickest);
    // the size next above three times the thickness will do
    let sizes = Fastener::ALL.iter().filter(|size| size.is_rivet());
    let above = sizes
        .map(|size| size.diameter_mm())
        .filter(|size| *size >= most - ROUNDING);
    let most = above.min_by(f64::total_cmp).unwrap_or(f64::INFINITY);
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
