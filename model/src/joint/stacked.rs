//! Joints as they are stated, in their places. In: the joints and seams of an assembly, and its solution. Out: of each, the parts in
//! order from the head to the tail, the way of the fasteners, and the plane in which the first layer touches the next.
//!
//! Of a bolted joint the head lies on the outermost face of `part`, the part that is bolted on; of a seam on the side that it says.

use nalgebra::Vector3;
use strongback_solver::{Affine, Direction, Plane, Point};

use crate::assembly::{AssembledJoint, AssembledRow, AssembledSeam, Assembly, Solved};
use crate::layout::At;
use crate::part::{Feature, Role};
use crate::relation::locate;
use crate::trade::fastener::Fastener;

use super::flat::Frame;

/// A joint in its place.
pub(super) struct Stacked<'a> {
    pub(super) statement: &'a str,
    pub(super) fastener: Option<Fastener>,
    /// How many fasteners the statement itself says.
    pub(super) count: Option<u32>,
    pub(super) rows: &'a [AssembledRow],
    pub(super) layers: Vec<Stated>,
    /// The plane in which the first layer touches the next, its way from head to tail.
    pub(super) frame: Frame,
    /// Where the fasteners go if no row says: the place of a contact, or the middle of a face.
    pub(super) middle: Vector3<f64>,
}

/// A layer as it is stated.
pub(super) struct Stated {
    /// The part, by its place in the assembly.
    pub(super) part: usize,
    /// A plane in which the layer ends: a point and a normal.
    pub(super) face: Option<(Vector3<f64>, Vector3<f64>)>,
    /// Which of its two ends lies in that plane.
    pub(super) end: End,
}

/// An end of a layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    /// The one nearer to the head.
    Near,
    /// The one nearer to the tail.
    Far,
}

/// An assembly at a state of its variables: the solution's, or that of one sample of it.
#[derive(Clone, Copy)]
pub(crate) struct Stand<'a> {
    pub(super) assembly: &'a Assembly,
    pub(super) at: At<'a>,
}

impl<'a> Stand<'a> {
    /// An assembly at a state.
    pub(crate) fn new(assembly: &'a Assembly, at: At<'a>) -> Self {
        Stand { assembly, at }
    }

    /// The value of a form.
    pub(super) fn form(&self, form: &Affine) -> f64 {
        self.at.system.form_at(form, self.at.state)
    }

    pub(super) fn point(&self, point: &Point) -> Vector3<f64> {
        Vector3::from(self.at.system.point_at(point, self.at.state))
    }

    pub(super) fn direction(&self, direction: &Direction) -> Vector3<f64> {
        Vector3::from(self.at.system.direction_at(direction, self.at.state))
    }
}

impl Solved<'_> {
    /// At the solution.
    pub(super) fn stand(&self) -> Stand<'_> {
        Stand::new(self.assembly, self.at())
    }
}

impl<'a> Stand<'a> {
    /// Joints and seams in the order in which they are stated, the bolted ones first.
    pub(super) fn stacked(self) -> Vec<Stacked<'a>> {
        let bolted = self
            .assembly
            .joints
            .iter()
            .map(move |joint| self.bolted(joint));
        let seams = self.assembly.seams.iter().map(move |seam| self.seam(seam));
        bolted.chain(seams).collect()
    }

    fn plane(&self, plane: &Plane) -> (Vector3<f64>, Vector3<f64>) {
        (self.point(&plane.point), self.direction(&plane.normal))
    }

    fn bolted(self, joint: &'a AssembledJoint) -> Stacked<'a> {
        let (to, on) = (self.plane(&joint.faces.0), self.plane(&joint.faces.1));
        let mut layers = vec![Stated {
            part: joint.part,
            face: Some(on),
            end: End::Far,
        }];
        // spacers are counted from `to`
        layers.extend(joint.spacers.iter().rev().map(|spacer| Stated {
            part: *spacer,
            face: self.outermost(*spacer, joint.side),
            end: End::Near,
        }));
        layers.push(Stated {
            part: joint.to,
            face: Some(to),
            end: End::Near,
        });
        Stacked {
            statement: &joint.statement,
            fastener: joint.bolts,
            count: joint.count,
            rows: &joint.rows,
            layers,
            // `part` looks to the tail with the face that touches
            frame: Frame::new(on.0, on.1),
            middle: self.point(&joint.at),
        }
    }

    /// The outermost flat face of a part on a side.
    fn outermost(
        &self,
        part: usize,
        side: crate::words::Side,
    ) -> Option<(Vector3<f64>, Vector3<f64>)> {
        let part = self.assembly.parts.get(part)?;
        let feature = part.shape.features.get(side.face())?;
        match (feature, locate(part.body, feature)) {
            (Feature::Face { .. }, crate::relation::Located::Face(plane)) => {
                Some(self.plane(&plane))
            }
            _ => None,
        }
    }

    fn seam(self, seam: &'a AssembledSeam) -> Stacked<'a> {
        let to_tail = -Vector3::from(seam.heads.vector());
        let mut contact: Option<(Vector3<f64>, Vector3<f64>)> = None;
        let mut layers = Vec::with_capacity(seam.layers.len());
        for (at, layer) in seam.layers.iter().enumerate() {
            let face = layer.face.as_ref().map(|plane| self.plane(plane));
            let end = match face {
                Some((_, normal)) if normal.dot(&to_tail) > 0.0 => End::Far,
                Some(_) => End::Near,
                None if at == 0 => End::Far,
                None => End::Near,
            };
            // the first plane that is known to lie between two layers, else the first that is known at all
            if let Some((point, normal)) = face
                && contact.is_none()
            {
                let normal = if normal.dot(&to_tail) < 0.0 {
                    -normal
                } else {
                    normal
                };
                contact = Some((point, normal));
            }
            layers.push(Stated {
                part: layer.part,
                face,
                end,
            });
        }
        let body = seam
            .layers
            .first()
            .and_then(|layer| self.assembly.parts.get(layer.part));
        let origin = || {
            let origin = body.map(|part| [0, 1, 2].map(|axis| self.form(&part.origin[axis])));
            Vector3::from(origin.unwrap_or_default())
        };
        let (point, way) = contact.unwrap_or_else(|| (origin(), to_tail));
        Stacked {
            statement: &seam.statement,
            fastener: Some(seam.with),
            count: seam.count,
            rows: &seam.rows,
            layers,
            frame: Frame::new(point, way),
            middle: point,
        }
    }

    /// The thickness of a part's stock, of one that follows a contour: its metal is drawn in flats.
    pub(super) fn gauge_of_contour(&self, part: usize) -> Option<f64> {
        let part = self.assembly.parts.get(part)?;
        part.contour.as_ref()?;
        let gauge = part.sizes.iter().find(|size| size.role == Role::Gauge)?;
        Some(self.form(&gauge.resolved.form))
    }

    /// Whether a size of a part's stock is found, so that it is chosen when the gap is known.
    pub(super) fn gauge_is_found(&self, part: usize) -> bool {
        let part = self.assembly.parts.get(part);
        let fills = |part: &&crate::assembly::AssembledPart| {
            part.stated
                .as_ref()
                .is_some_and(|stated| stated.kind().fills_a_gap())
        };
        part.filter(fills).is_some_and(|part| {
            part.sizes
                .iter()
                .any(|size| size.role == Role::Gauge && size.resolved.find)
        })
    }
}
