//! A joint measured. In: its layers as they are stated, and the metal of the parts. Out: how thick each layer is at the fasteners, where
//! the fasteners lie, and the gaps between layers, in millimetres.

use nalgebra::Vector3;

use super::flat::{Flat, Frame, Section, stretches};
use super::missing::in_all;
use super::rows::Laid;
use super::stacked::{End, Stacked, Stand, Stated};
use crate::layout::PlacedSolid;
use crate::relation::{Located, locate};

/// A joint with all that was measured of it.
pub(super) struct Measured<'a> {
    pub(super) stacked: Stacked<'a>,
    /// Of each layer, in order.
    pub(super) layers: Vec<MeasuredLayer>,
    pub(super) rows: Vec<Laid>,
    /// The places of all rows, or the one where the stack was measured if there are none.
    pub(super) at: Vec<Flat>,
    /// Of each place, from where to where each layer lies along the way; none where the line meets none of it.
    pub(super) spans: Vec<Vec<Option<[f64; 2]>>>,
}

/// A layer of a joint.
pub(super) struct MeasuredLayer {
    /// The part's metal, no stated hole drilled in it.
    pub(super) solids: Vec<PlacedSolid>,
    /// Its stated holes that run the way of the fasteners: middle and radius.
    pub(super) holes: Vec<(Flat, f64)>,
    /// From where to where it lies along the way, where the stack was measured.
    pub(super) span: Option<[f64; 2]>,
    /// Its metal in the plane at its middle; none for one that follows a contour.
    pub(super) section: Option<Section>,
    /// How thick it is: at the fasteners where it is thinnest.
    pub(super) thickness: f64,
    /// Whether a fastener meets its metal; of a layer that follows a contour that is taken for granted.
    pub(super) met: bool,
}

impl<'a> Stand<'a> {
    /// Measures a joint.
    pub(super) fn measure_joint(self, stacked: Stacked<'a>) -> Measured<'a> {
        let solids: Vec<Vec<PlacedSolid>> = stacked
            .layers
            .iter()
            .map(|layer| {
                let part = self.assembly.parts.get(layer.part);
                part.map(|part| self.at.undrilled(part)).unwrap_or_default()
            })
            .collect();
        let frame = &stacked.frame;
        let middle = frame.flat(stacked.middle).0;
        let layers: Vec<MeasuredLayer> = stacked
            .layers
            .iter()
            .zip(solids)
            .map(|(stated, solids)| self.layer(&stacked, stated, solids, middle))
            .collect();
        let sections: Vec<(usize, &Section)> = layers
            .iter()
            .enumerate()
            .filter_map(|(at, layer)| Some((at, layer.section.as_ref()?)))
            .filter(|(_, section)| !section.is_empty())
            .collect();
        let name_of = |layer: usize| -> String {
            let part = stacked.layers.get(layer).map(|stated| stated.part);
            let part = part.and_then(|part| self.assembly.parts.get(part));
            part.map(|part| part.name.clone()).unwrap_or_default()
        };
        let rows: Vec<Laid> = stacked
            .rows
            .iter()
            .map(|row| self.lay(row, frame, &sections, &name_of))
            .collect();
        let mut at: Vec<Flat> = rows
            .iter()
            .flat_map(|row| row.places.iter().copied())
            .collect();
        if at.is_empty() {
            let mut both = stacked.layers.iter().zip(&layers);
            let there = both.all(|(stated, layer)| {
                layer.section.is_none() || span(&stacked, stated, &layer.solids, middle).is_some()
            });
            at.push(if there {
                middle
            } else {
                let sections: Vec<&Section> = sections.iter().map(|(_, one)| *one).collect();
                in_all(middle, &sections)
            });
        }
        let spans: Vec<Vec<Option<[f64; 2]>>> = at
            .iter()
            .map(|at| {
                let both = stacked.layers.iter().zip(&layers);
                both.map(|(stated, layer)| span(&stacked, stated, &layer.solids, *at))
                    .collect()
            })
            .collect();
        let mut measured = Measured {
            stacked,
            layers,
            rows,
            at,
            spans,
        };
        measured.settle_thickness(&self);
        measured
    }

    fn layer(
        &self,
        stacked: &Stacked<'_>,
        stated: &Stated,
        solids: Vec<PlacedSolid>,
        middle: Flat,
    ) -> MeasuredLayer {
        let frame = &stacked.frame;
        if let Some(thickness) = self.gauge_of_contour(stated.part) {
            return MeasuredLayer {
                span: None,
                section: None,
                holes: Vec::new(),
                solids,
                thickness,
                met: true,
            };
        }
        let first = span(stacked, stated, &solids, middle);
        // somewhere on the metal behind the face: the sheet, where a flange of it or another leg stands on it elsewhere
        let behind = stated.face.and_then(|(point, _)| {
            let inwards = match stated.end {
                End::Near => 1e-2,
                End::Far => -1e-2,
            };
            let (flat, along) = frame.flat(point);
            let section = Section::of(&solids, frame, along + inwards);
            let places = std::iter::once(flat).chain(section.middles());
            thinnest(places.filter_map(|at| span(stacked, stated, &solids, at)))
        });
        let span = thinnest(first.into_iter().chain(behind));
        let section = span.map(|[from, to]| Section::of(&solids, frame, 0.5 * (from + to)));
        MeasuredLayer {
            solids,
            holes: self.holes(stated.part, frame),
            span,
            section,
            thickness: span.map_or(0.0, |[from, to]| to - from),
            met: false,
        }
    }
}

impl Stand<'_> {
    /// The stated holes of a part that run the way of a joint's fasteners.
    fn holes(&self, part: usize, frame: &Frame) -> Vec<(Flat, f64)> {
        let part = self.assembly.parts.get(part);
        let named = part.and_then(|part| Some((part, part.stated.as_ref()?)));
        let Some((part, stated)) = named else {
            return Vec::new();
        };
        let holes = stated.kind().common().holes.names();
        holes
            .filter_map(|name| {
                let Located::Line(axis) = locate(part.body, part.shape.features.get(name)?) else {
                    return None;
                };
                let diameter = format!("{name} diameter");
                let size = part.sizes.iter().find(|size| size.name == diameter)?;
                let along = self.direction(&axis.direction).dot(&frame.way).abs() > 0.99;
                let radius = 0.5 * self.form(&size.resolved.form);
                along.then(|| (frame.flat(self.point(&axis.point)).0, radius))
            })
            .collect()
    }
}

impl MeasuredLayer {
    /// How far a place is from the nearest edge of the layer, or of a stated hole but for the one that it lies in, which is the
    /// fastener's own.
    pub(super) fn edge_distance(&self, at: Flat) -> Option<f64> {
        let edge = self.section.as_ref()?.edge_distance(at)?;
        let holes = self
            .holes
            .iter()
            .map(|(middle, radius)| (at - middle).norm() - radius);
        Some(holes.filter(|off| *off > 0.0).fold(edge, f64::min))
    }
}

impl Measured<'_> {
    /// Layers are as thick as they are at the fasteners, and have their edges there.
    fn settle_thickness(&mut self, stand: &Stand<'_>) {
        for (index, layer) in self.layers.iter_mut().enumerate() {
            let stated = self.stacked.layers.get(index);
            if stated.is_some_and(|stated| stand.gauge_of_contour(stated.part).is_some()) {
                continue;
            }
            let spans = self.spans.iter();
            let there = spans.filter_map(|spans| spans.get(index).copied().flatten());
            let Some([from, to]) = thinnest(there) else {
                continue;
            };
            layer.thickness = to - from;
            layer.met = true;
            if layer.span != Some([from, to]) {
                layer.span = Some([from, to]);
                let middle = 0.5 * (from + to);
                layer.section = Some(Section::of(&layer.solids, &self.stacked.frame, middle));
            }
        }
    }

    /// How thick a layer is; none where it has no metal at any fastener, unless the joint is loose.
    pub(super) fn thickness(&self, layer: usize, loose: bool) -> Option<f64> {
        let layer = self.layers.get(layer)?;
        (layer.met || loose).then_some(layer.thickness)
    }

    /// All sheets of metal together; none where one is missing.
    pub(super) fn grip(&self, loose: bool) -> Option<f64> {
        let layers = 0..self.layers.len();
        layers.map(|layer| self.thickness(layer, loose)).sum()
    }

    /// From where to where all layers together lie along the way at a fastener.
    pub(super) fn reach(&self, index: usize) -> Option<[f64; 2]> {
        let spans = self.spans.get(index)?.iter().flatten();
        let (near, far) = spans.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), span| {
            (a.min(span[0]), b.max(span[1]))
        });
        near.is_finite().then_some([near, far])
    }

    /// Between each layer and the next one, the gap at the fastener where it is widest; nothing where they touch, or one of them
    /// follows a contour.
    pub(super) fn gaps(&self) -> Vec<f64> {
        let span = |spans: &[Option<[f64; 2]>], layer: usize| spans.get(layer).copied().flatten();
        let between = |layer: usize| {
            let gaps = self
                .spans
                .iter()
                .filter_map(|spans| Some(span(spans, layer)?[0] - span(spans, layer - 1)?[1]));
            let flat = |at: usize| self.layers.get(at).is_some_and(|one| one.section.is_some());
            let both = flat(layer) && flat(layer - 1);
            gaps.filter(|_| both).fold(0.0, f64::max)
        };
        (1..self.layers.len()).map(between).collect()
    }

    /// The layers, by their places, that a fastener of a row misses; those that follow a contour left out.
    pub(super) fn missed(&self) -> Vec<usize> {
        let placed = self.rows.iter().any(|laid| !laid.places.is_empty());
        let layers = self.layers.iter().enumerate();
        let flat = layers.filter(|(_, layer)| placed && layer.section.is_some());
        let misses = |layer: usize| {
            let mut spans = self.spans.iter();
            spans.any(|spans| spans.get(layer).copied().flatten().is_none())
        };
        flat.map(|(at, _)| at).filter(|at| misses(*at)).collect()
    }

    /// The place under the head of a fastener.
    pub(super) fn under_head(&self, index: usize) -> Vector3<f64> {
        let at = self.at.get(index).copied().unwrap_or_default();
        let here = self
            .spans
            .get(index)
            .and_then(|spans| spans.first().copied().flatten());
        let first = self.layers.first();
        let near = here
            .or_else(|| first.and_then(|layer| layer.span))
            .map(|[from, _]| from);
        let near = near.unwrap_or_else(|| -first.map_or(0.0, |layer| layer.thickness));
        self.stacked.frame.place(at, near)
    }
}

fn thinnest(spans: impl Iterator<Item = [f64; 2]>) -> Option<[f64; 2]> {
    spans.min_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))
}

/// The stretch of a layer's metal on a line, the one of which an end lies nearest to the plane in which the layer ends.
fn span(
    stacked: &Stacked<'_>,
    stated: &Stated,
    solids: &[PlacedSolid],
    at: Flat,
) -> Option<[f64; 2]> {
    let frame = &stacked.frame;
    let expected = match stated.face {
        Some((point, normal)) => {
            let from = frame.place(at, 0.0);
            let slope = normal.dot(&frame.way);
            if slope.abs() < 1e-3 {
                return None;
            }
            (point - from).dot(&normal) / slope
        }
        None => 0.0,
    };
    let end = |stretch: &[f64; 2]| match stated.end {
        End::Near => stretch[0],
        End::Far => stretch[1],
    };
    let all = stretches(solids, frame, at);
    let nearest = all.into_iter().min_by(|a, b| {
        (end(a) - expected)
            .abs()
            .total_cmp(&(end(b) - expected).abs())
    })?;
    // metal of the same part farther off is no layer here
    const FAR: f64 = 0.5;
    (stated.face.is_none() || (end(&nearest) - expected).abs() <= FAR).then_some(nearest)
}
