//! From a solution to a layout.

use super::{
    FeatureShape, Layout, PlacedFeature, PlacedHole, PlacedJoint, PlacedPart, PlacedSize,
    PlacedSolid, SizeRole, Solution,
};
use crate::assembly::{AssembledJoint, AssembledPart, Assembly, DATUM, Solved};
use crate::part::{Feature, Role};
use crate::relation::{Hand, Located, locate, split_name};
use crate::words::{Axis, Side};

/// A face counts as square to an axis when its normal keeps this much of its length along it: a
/// third of a degree off is still read as a station.
const NEARLY_SQUARE: f64 = 0.999_98;

impl Solved<'_> {
    /// Where everything lies.
    pub fn layout(&self) -> Layout {
        let assembly = self.assembly;
        let loose = self.loose();
        let parts = assembly
            .parts
            .iter()
            .filter(|part| part.name != DATUM)
            .map(|part| PlacedPart {
                settled: self.is_settled(part),
                ..self.part(part)
            })
            .collect();
        Layout {
            title: assembly.title.clone(),
            datum: assembly.datum.clone(),
            unit: assembly.unit,
            fit_mm: assembly.fit,
            stock: assembly.stock.clone(),
            parts,
            found: self.found(),
            joints: assembly
                .joints
                .iter()
                .map(|joint| self.joint(joint))
                .collect(),
            loose,
            at_odds: self.at_odds(),
            waiting: self.waiting(),
            spare: self.spare(),
            dimensions: self.dimensions(),
            doubts: assembly.doubts.clone(),
            solution: self.figures(),
        }
    }

    fn figures(&self) -> Solution {
        let report = self.solution.report();
        Solution {
            unknowns: report.unknowns,
            rows: report.rows,
            rank: report.rank,
            freedoms: report.freedoms,
            blocks: report.blocks,
            largest_block: report.largest_block,
            iterations: report.iterations,
            largest_residual_mm: report.largest_residual,
            milliseconds: report.seconds * 1e3,
        }
    }

    fn part(&self, part: &AssembledPart) -> PlacedPart {
        let features: Vec<PlacedFeature> = part
            .shape
            .features
            .iter()
            .map(|(name, feature)| self.feature(name, &locate(part.body, feature)))
            .collect();
        let solids = self.at().metal(part);
        let rotation = self.solution.rotation(part.body);
        PlacedPart {
            name: part.name.clone(),
            kind: part.word.to_owned(),
            alloy: part.alloy.map(|alloy| alloy.name.to_owned()),
            origin_mm: [0, 1, 2].map(|axis| self.solution.form(&part.origin[axis])),
            turn_deg: self.turns(part, &rotation),
            rotation,
            settled: true,
            extent_mm: extent(&features, &solids),
            over_all_mm: over_all(&rotation, &solids),
            is_spacer: part
                .stated
                .as_ref()
                .is_some_and(|stated| stated.kind().fills_a_gap()),
            features,
            solids,
            sizes: part
                .sizes
                .iter()
                .map(|size| self.size(part, size))
                .collect(),
            choices: part
                .choices
                .iter()
                .map(|(name, choice)| ((*name).to_owned(), choice.clone()))
                .collect(),
            holes: self.holes(part),
            stock: part
                .stated
                .as_ref()
                .map(|stated| stated.kind().stock(&self.at().sizes(part)))
                .unwrap_or_default(),
            stands_across: part.stated.as_ref().is_some_and(|stated| {
                let kind = stated.kind();
                kind.through() == Some(Axis::Station) && !kind.fills_a_gap()
            }),
        }
    }

    /// Roll, pitch and yaw in degrees: those that the part states, else those of its rotation.
    fn turns(&self, part: &AssembledPart, rotation: &[[f64; 3]; 3]) -> [f64; 3] {
        match &part.turns[..] {
            [roll, pitch, yaw] => [roll, pitch, yaw].map(|(_, form)| {
                let degrees = self.solution.form(form).to_degrees();
                // adding zero turns a negative zero into zero
                degrees - 360.0 * (degrees / 360.0).round() + 0.0
            }),
            _ => angles_of(rotation),
        }
    }

    pub(crate) fn holes(&self, part: &AssembledPart) -> Vec<PlacedHole> {
        let Some(stated) = &part.stated else {
            return Vec::new();
        };
        let names = stated.kind().common().holes.names();
        names
            .filter_map(|name| {
                let Some(Feature::Line { middle, along }) = part.shape.features.get(name) else {
                    return None;
                };
                let diameter = format!("{name} diameter");
                let size = part.sizes.iter().find(|size| size.name == diameter);
                Some(PlacedHole {
                    name: name.to_owned(),
                    at_own_mm: [0, 1, 2].map(|axis| self.solution.form(&middle[axis])),
                    along: Axis::dominant(*along),
                    diameter_mm: size.map(|size| self.solution.form(&size.resolved.form)),
                })
            })
            .collect()
    }

    fn size(&self, part: &AssembledPart, size: &crate::assembly::AssembledSize) -> PlacedSize {
        let role = match size.role {
            Role::Gauge => SizeRole::Gauge,
            Role::Extent => SizeRole::Extent,
            Role::Radius => SizeRole::Radius,
            Role::Coordinate => SizeRole::Coordinate,
            Role::Angle | Role::Bend => SizeRole::Angle,
        };
        let value = self.solution.form(&size.resolved.form);
        PlacedSize {
            name: size.name.clone(),
            role,
            value: if role == SizeRole::Angle {
                value.to_degrees()
            } else {
                value
            },
            found: size.says_find,
            rests_on_found: size.resolved.find,
            settled: self.holds_still(size.resolved.form.vars()),
            derived: size.derived,
            trimmed_at: part.trimmed_at(&size.name),
        }
    }

    fn feature(&self, name: &str, located: &Located) -> PlacedFeature {
        let (shape, at, direction) = match located {
            Located::Face(plane) => (
                FeatureShape::Face,
                &plane.point,
                Some(self.solution.direction(&plane.normal)),
            ),
            Located::Line(axis) => (
                FeatureShape::Line,
                &axis.point,
                Some(self.solution.direction(&axis.direction)),
            ),
            Located::Point(point) => (FeatureShape::Point, point, None),
        };
        let axis = match (shape, direction) {
            (FeatureShape::Face, Some(normal)) => {
                let axis = Axis::dominant(normal);
                (normal[axis.index()].abs() > NEARLY_SQUARE).then_some(axis)
            }
            _ => None,
        };
        PlacedFeature {
            name: name.to_owned(),
            shape,
            at_mm: self.solution.point(at),
            direction,
            axis,
        }
    }

    fn joint(&self, joint: &AssembledJoint) -> PlacedJoint {
        let parts = &self.assembly.parts;
        let at = self.solution.point(&joint.at);
        let own = |part: usize| {
            let part = &parts[part];
            let rotation = self.solution.rotation(part.body);
            let origin = [0, 1, 2].map(|axis| self.solution.form(&part.origin[axis]));
            [0, 1, 2].map(|column| {
                (0..3)
                    .map(|row| rotation[row][column] * (at[row] - origin[row]))
                    .sum()
            })
        };
        // where the bolt's line passes through each face
        // the face of `part` looks to `to`, and the other one back
        let direction = self.solution.direction(&joint.faces.1.normal);
        let back = self.solution.direction(&joint.faces.0.normal);
        let way = direction.map(|part| -part);
        let along = |plane: &strongback_solver::Plane| {
            let (q, n) = (
                self.solution.point(&plane.point),
                self.solution.direction(&plane.normal),
            );
            let reach: f64 = (0..3).map(|i| n[i] * (q[i] - at[i])).sum();
            let slope: f64 = (0..3).map(|i| n[i] * way[i]).sum();
            reach / slope
        };
        PlacedJoint {
            statement: joint.statement.clone(),
            part: parts[joint.part].name.clone(),
            to: parts[joint.to].name.clone(),
            spacers: joint
                .spacers
                .iter()
                .map(|spacer| parts[*spacer].name.clone())
                .collect(),
            side: joint.side,
            // adding zero turns a negative zero into zero
            ways: [direction, back.map(|part| -part)].map(|way| way.map(|part| part + 0.0)),
            at_mm: at,
            at_own_mm: [own(joint.part), own(joint.to)],
            gap_mm: along(&joint.faces.1) - along(&joint.faces.0),
            at_stated: joint.at_stated,
            bolts: joint.bolts.map(|bolts| bolts.name().to_owned()),
            bolt_mm: joint
                .bolts
                .map(crate::trade::fastener::Fastener::diameter_mm),
            slack_mm: joint.bolts.and_then(crate::trade::drills::slack_mm),
            count: joint.stated_count(),
        }
    }
}

impl AssembledPart {
    /// The own sides at which metal may come off to make a size smaller, in the hand in which it is built.
    fn trimmed_at(&self, size: &str) -> Vec<Side> {
        let stated = self.stated.as_ref();
        let sides = stated.map(|stated| stated.kind().trimmed_at(size));
        let sides = sides.unwrap_or_default().into_iter();
        match self.hand {
            Hand::AsWritten => sides.collect(),
            Hand::Mirrored => sides.map(Side::mirrored).collect(),
        }
    }
}

impl Assembly {
    /// A feature by its name `PART.FEATURE`.
    pub(crate) fn located(&self, name: &str) -> Option<Located> {
        let (part, face) = split_name(|part| self.names.contains_key(part), name)?;
        let part = &self.parts[self.names.get_index_of(part)?];
        Some(locate(part.body, part.shape.features.get(face)?))
    }
}

/// Roll, pitch and yaw in degrees of R = Rz(yaw) · Ry(pitch) · Rx(roll).
pub(crate) fn angles_of(r: &[[f64; 3]; 3]) -> [f64; 3] {
    let pitch = (-r[2][0]).clamp(-1.0, 1.0).asin();
    let roll = r[2][1].atan2(r[2][2]);
    let yaw = r[1][0].atan2(r[0][0]);
    // adding zero turns a negative zero into zero
    [roll, pitch, yaw].map(|angle| angle.to_degrees() + 0.0)
}

fn extent(features: &[PlacedFeature], solids: &[PlacedSolid]) -> [[f64; 2]; 3] {
    let corners: Vec<[f64; 3]> = solids
        .iter()
        .flat_map(|solid| {
            solid.outline_mm.iter().flat_map(|corner| {
                let far = [0, 1, 2].map(|axis| corner[axis] + solid.sweep_mm[axis]);
                [*corner, far]
            })
        })
        .collect();
    let places: Vec<[f64; 3]> = if corners.is_empty() {
        features.iter().map(|feature| feature.at_mm).collect()
    } else {
        corners
    };
    [0, 1, 2].map(|axis| {
        let least = places.iter().map(|p| p[axis]).fold(f64::INFINITY, f64::min);
        let most = places
            .iter()
            .map(|p| p[axis])
            .fold(f64::NEG_INFINITY, f64::max);
        if least.is_finite() {
            [least, most]
        } else {
            [0.0, 0.0]
        }
    })
}

/// The extents of the metal in the part's own frame.
fn over_all(rotation: &[[f64; 3]; 3], solids: &[PlacedSolid]) -> [f64; 3] {
    let own = |p: &[f64; 3]| {
        [0, 1, 2].map(|column| {
            (0..3)
                .map(|row| rotation[row][column] * p[row])
                .sum::<f64>()
        })
    };
    let turned_back: Vec<PlacedSolid> = solids
        .iter()
        .map(|solid| PlacedSolid {
            outline_mm: solid.outline_mm.iter().map(own).collect(),
            openings_mm: Vec::new(),
            sweep_mm: own(&solid.sweep_mm),
        })
        .collect();
    extent(&[], &turned_back).map(|[least, most]| most - least)
}
