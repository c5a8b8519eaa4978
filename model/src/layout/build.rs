//! From a solution to a layout.

use std::collections::BTreeMap;

use strongback_solver::{EquationId, Measure, Var, Verdict};

use super::{
    Against, AtOdds, Dimension, FeatureShape, Found, Layout, Loose, PlacedFeature,
    PlacedJoint, PlacedPart, PlacedSize, PlacedSolid, SizeRole, Solution,
};
use crate::assembly::{Assembly, AssembledJoint, AssembledPart, DATUM, Solved};
use crate::quantity::Kind;
use crate::part::{Place, Role, Sizes};
use crate::relation::{Hand, Located, locate, split_name};
use crate::words::Axis;

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
                settled: !loose.iter().any(|motion| motion.parts.contains(&part.name)),
                ..self.part(part)
            })
            .collect();
        Layout {
            title: assembly.title.clone(),
            datum: assembly.datum.clone(),
            unit: assembly.unit,
            parts,
            found: self.found(),
            joints: assembly.joints.iter().map(|joint| self.joint(joint)).collect(),
            loose,
            at_odds: self.at_odds(),
            spare: self.spare(),
            dimensions: self.dimensions(),
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
        let solids = self.metal(part);
        let rotation = self.solution.rotation(part.body);
        PlacedPart {
            name: part.name.clone(),
            kind: part.word.to_owned(),
            origin_mm: [0, 1, 2].map(|axis| self.solution.form(&part.origin[axis])),
            turn_deg: angles_of(&rotation),
            rotation,
            settled: true,
            extent_mm: extent(&features, &solids),
            over_all_mm: over_all(&rotation, &solids),
            features,
            solids,
            sizes: part.sizes.iter().map(|size| self.size(size)).collect(),
            choices: part
                .choices
                .iter()
                .map(|(name, choice)| ((*name).to_owned(), choice.clone()))
                .collect(),
        }
    }

    /// The metal of a part in its place, built anew from the sizes as they were found.
    pub(crate) fn metal(&self, part: &AssembledPart) -> Vec<PlacedSolid> {
        let Some(stated) = &part.stated else {
            return Vec::new();
        };
        let mut sizes = Sizes::default();
        for size in &part.sizes {
            let form = &size.resolved.form;
            sizes.insert(size.name.clone(), form.clone(), self.solution.form(form));
        }
        let Ok(shape) = stated.kind().shape(&sizes) else {
            // the solution was looked over for this before: see assembly/outcome.rs
            return Vec::new();
        };
        let shape = match part.hand {
            Hand::AsWritten => shape,
            Hand::Mirrored => shape.mirrored(),
        };
        let place = |at: &Place| self.own_point(part, at);
        let nowhere = [(); 3].map(|()| strongback_solver::Affine::default());
        let start = place(&nowhere);
        shape
            .solids
            .iter()
            .map(|solid| {
                let end = place(&solid.sweep);
                PlacedSolid {
                    outline_mm: solid.outline.iter().map(place).collect(),
                    openings_mm: solid
                        .openings
                        .iter()
                        .map(|opening| opening.iter().map(place).collect())
                        .collect(),
                    sweep_mm: [0, 1, 2].map(|axis| end[axis] - start[axis]),
                }
            })
            .collect()
    }

    fn size(&self, size: &crate::assembly::AssembledSize) -> PlacedSize {
        let role = match size.role {
            Role::Gauge => SizeRole::Gauge,
            Role::Extent => SizeRole::Extent,
            Role::Radius => SizeRole::Radius,
            Role::Coordinate => SizeRole::Coordinate,
            Role::Angle => SizeRole::Angle,
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
        }
    }

    fn own_point(&self, part: &AssembledPart, at: &Place) -> [f64; 3] {
        self.solution.point(&strongback_solver::Point {
            body: part.body,
            at: at.clone(),
        })
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
        let way = joint.side.vector();
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
            at_mm: at,
            at_own_mm: [own(joint.part), own(joint.to)],
            gap_mm: along(&joint.faces.1) - along(&joint.faces.0),
            bolts: joint.bolts.map(|bolts| format!("{bolts:?}")),
            count: joint.count,
        }
    }

    fn dimensions(&self) -> Vec<Dimension> {
        self.assembly
            .dimensions
            .iter()
            .map(|dimension| {
                let value = self.solution.form(&dimension.resolved.form);
                let angle = dimension.kind == Kind::Angle;
                Dimension {
                    name: dimension.name.clone(),
                    value: if angle { value.to_degrees() } else { value },
                    angle,
                    found: dimension.resolved.find,
                }
            })
            .collect()
    }

    fn found(&self) -> Vec<Found> {
        let assembly = self.assembly;
        let is_part = |name: &str| assembly.names.contains_key(name);
        self.solution
            .blocks()
            .flat_map(|(_, unknowns)| unknowns)
            .filter_map(|var| {
                let label = assembly.quantities.label(var)?;
                if is_part(&label.text) {
                    return None;
                }
                let angle = assembly.system.get(var).measure == Measure::Angle;
                let value = self.solution.state().value(var);
                Some(Found {
                    name: label.told(),
                    value: if angle { value.to_degrees() } else { value },
                    angle,
                })
            })
            .collect()
    }

    /// The part that a variable belongs to, and what of it the variable is.
    fn part_of(&self, var: Var) -> (Option<String>, String) {
        let assembly = self.assembly;
        if let Some((body, component)) = self.solution.tangent(var) {
            let turn = ["roll", "pitch", "yaw"][component].to_owned();
            let part = assembly.parts.iter().find(|part| part.body == body);
            return (part.map(|part| part.name.clone()), turn);
        }
        match assembly.quantities.label(var) {
            None => (None, String::new()),
            Some(label) if assembly.names.contains_key(label.text.as_str()) => {
                (Some(label.text.clone()), label.detail.clone())
            }
            Some(label) => (None, label.told()),
        }
    }

    fn loose(&self) -> Vec<Loose> {
        self.solution
            .motions()
            .into_iter()
            .map(|motion| {
                let mut parts: Vec<String> = Vec::new();
                let mut rates = Vec::new();
                let mut ways: BTreeMap<String, Vec<String>> = BTreeMap::new();
                for (var, rate) in motion {
                    let (part, what) = self.part_of(var);
                    let who = part.clone().unwrap_or_default();
                    if let Some(part) = part {
                        if !parts.contains(&part) {
                            parts.push(part.clone());
                        }
                        rates.push((format!("{part} {what}"), rate));
                    } else {
                        rates.push((what.clone(), rate));
                    }
                    ways.entry(what).or_default().push(who);
                }
                Loose {
                    told: tell_motion(&ways),
                    parts,
                    rates,
                }
            })
            .collect()
    }

    fn at_odds(&self) -> Vec<AtOdds> {
        let assembly = self.assembly;
        let mut list = Vec::new();
        for statement in &assembly.statements {
            let worst = statement
                .equations
                .iter()
                .filter_map(|(_, id)| match self.solution.verdict(*id) {
                    Verdict::AtOdds { miss } => Some((*id, miss)),
                    Verdict::Places | Verdict::Spare => None,
                })
                .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
            let Some((id, miss)) = worst else { continue };
            let angle = assembly.system.get_equation(id).measure() == Measure::Angle;
            list.push(AtOdds {
                statement: statement.name.clone(),
                trust: statement.trust,
                sheet: statement.sheet.clone(),
                miss: if angle { miss.to_degrees() } else { miss },
                angle,
                against: self.circuit(id, &statement.name),
            });
        }
        list
    }

    /// The statements and figures that an equation's value rests on, itself left out.
    fn circuit(&self, id: EquationId, own: &str) -> Vec<Against> {
        let assembly = self.assembly;
        let mut names: Vec<Against> = Vec::new();
        let mut push = |name: String, sheet: Option<String>| {
            if name != own && !names.iter().any(|other| other.name == name) {
                names.push(Against { name, sheet });
            }
        };
        for sensitivity in self.solution.sensitivity(assembly.system.get_equation(id)) {
            for (equation, _, _) in &sensitivity.equations {
                let statement = assembly.statement_of(*equation);
                push(statement.name.clone(), statement.sheet.clone());
            }
            for (var, _) in &sensitivity.givens {
                if let Some(label) = assembly.quantities.label(*var)
                    && !assembly.statements.iter().any(|s| s.name == label.text)
                {
                    push(label.told(), label.origin.sheet.clone());
                }
            }
        }
        names
    }

    fn spare(&self) -> Vec<String> {
        self.assembly
            .statements
            .iter()
            .filter(|statement| {
                statement
                    .equations
                    .iter()
                    .all(|(_, id)| self.solution.verdict(*id) == Verdict::Spare)
            })
            .map(|statement| statement.name.clone())
            .collect()
    }
}

impl Assembly {
    /// A feature by its name `PART.FEATURE`.
    pub(crate) fn located(&self, name: &str) -> Option<Located> {
        let (part, face) = split_name(self.names.keys().map(String::as_str), name)?;
        let part = &self.parts[self.names.get_index_of(part)?];
        Some(locate(part.body, part.shape.features.get(face)?))
    }
}

/// Roll, pitch and yaw in degrees of R = Rz(yaw) · Ry(pitch) · Rx(roll).
fn angles_of(r: &[[f64; 3]; 3]) -> [f64; 3] {
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
        let most = places.iter().map(|p| p[axis]).fold(f64::NEG_INFINITY, f64::max);
        if least.is_finite() { [least, most] } else { [0.0, 0.0] }
    })
}

/// The extents of the metal in the part's own frame.
fn over_all(rotation: &[[f64; 3]; 3], solids: &[PlacedSolid]) -> [f64; 3] {
    let own = |p: &[f64; 3]| {
        [0, 1, 2].map(|column| (0..3).map(|row| rotation[row][column] * p[row]).sum::<f64>())
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

/// A motion in one sentence, from what moves and the parts that do.
fn tell_motion(ways: &BTreeMap<String, Vec<String>>) -> String {
    let phrase = |what: &str, who: &[String]| {
        let who: Vec<String> = {
            let mut seen = Vec::new();
            for name in who {
                if !seen.contains(name) {
                    seen.push(name.clone());
                }
            }
            seen
        };
        let names = match &who[..] {
            [] => String::new(),
            [one] => one.clone(),
            [a, b] => format!("{a} and {b}"),
            [a, b, rest @ ..] => format!("{a}, {b} and {} more", rest.len()),
        };
        let (one, many) = match what {
            "fs" => ("slides along the station axis", "slide along the station axis"),
            "bl" => ("slides along the buttock-line axis", "slide along the buttock-line axis"),
            "wl" => ("slides along the waterline axis", "slide along the waterline axis"),
            "roll" => ("turns about the station axis", "turn about the station axis"),
            "pitch" => ("turns about the buttock-line axis", "turn about the buttock-line axis"),
            "yaw" => ("turns about the waterline axis", "turn about the waterline axis"),
            other if names.is_empty() => return format!("{other} is not settled"),
            other => return format!("{other} of {names} is not settled"),
        };
        format!("{names} {}", if who.len() == 1 { one } else { many })
    };
    let told: Vec<String> = ways.iter().map(|(what, who)| phrase(what, who)).collect();
    match &told[..] {
        [] => String::new(),
        [one] => one.clone(),
        [first, rest @ ..] => format!("{first}; with it {}", rest.join("; ")),
    }
}
