//! What a relation is written with: features by their names, quantities, and equations to add.

mod equations;
mod heads;

use std::collections::BTreeSet;
use std::sync::Arc;

use nalgebra::Vector3;
use strongback_solver::{Affine, Direction, Equation, Plane, Point, Surface, Var};

use crate::assembly::{Assembly, Label, Origin, Quantities};
use crate::quantity::Kind;
use crate::source::{Code, Fault, Given, Text};

use super::located::{Located, locate};
use super::names::{no_face, split_name, unknown};
use crate::words::Side;

/// Closer to a right angle than this cosine, faces count as square to each other: nobody means parallel.
pub(crate) const SQUARE: f64 = 0.05;

/// Whether a statement is read as written or in the mirror, for the left-hand one of two parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// As written.
    AsWritten,
    /// In the mirror at buttock line 0: what points right, points left.
    Mirrored,
}

/// The hands with which a relation builds its equations.
pub struct Recipe<'a> {
    assembly: &'a mut Assembly,
    hand: Hand,
    statement: String,
    origin: Origin,
    purpose: Purpose,
    equations: Vec<Built>,
    /// The variables in the figures that the statement gives.
    figures: BTreeSet<Var>,
}

/// What the equations of a recipe are for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// They place parts.
    Place,
    /// They are measured only: nothing is to be found for them.
    Measure,
}

/// An equation that a recipe made.
pub struct Built {
    /// What it compares, in a few words.
    pub what: String,
    /// The equation.
    pub equation: Equation,
    /// How it stands against others.
    pub standing: Standing,
}

/// How an equation of a statement stands against those of others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It is stated, and trusted as its statement is.
    Stated,
    /// It is taken for granted where nothing else is stated, and gives way without a word.
    Assumed,
}

impl<'a> Recipe<'a> {
    pub(crate) fn new(
        assembly: &'a mut Assembly,
        hand: Hand,
        statement: String,
        origin: Origin,
        purpose: Purpose,
    ) -> Self {
        Self {
            assembly,
            hand,
            statement,
            origin,
            purpose,
            equations: Vec::new(),
            figures: BTreeSet::new(),
        }
    }

    /// What the equations are for.
    pub fn purpose(&self) -> Purpose {
        self.purpose
    }

    /// The name of the statement that is being built.
    pub fn statement(&self) -> &str {
        &self.statement
    }

    // ---- what is named ----

    /// A part by its name.
    pub fn part(&self, name: &Text) -> Result<usize, Fault> {
        let names = &self.assembly.names;
        match names.get_index_of(name.value.as_str()) {
            Some(at) => Ok(at),
            None => Err(unknown(
                "part",
                name,
                &name.value,
                names.keys().map(String::as_str),
            )),
        }
    }

    /// A contour by its name.
    pub fn contour(&self, name: &Text) -> Result<Arc<Surface>, Fault> {
        self.assembly.contour(name)
    }

    /// A feature by its name, `PART.FEATURE`.
    pub fn feature(&self, name: &Text) -> Result<Located, Fault> {
        let (part, face) = self.split(name)?;
        self.feature_of(part, &face, name)
    }

    /// A part's feature.
    pub fn feature_of(&self, part: usize, face: &str, name: &Text) -> Result<Located, Fault> {
        let part = &self.assembly.parts[part];
        match part.shape.features.get(face) {
            Some(feature) => Ok(locate(part.body, feature)),
            None => {
                let faces: Vec<&str> = part.shape.features.keys().map(String::as_str).collect();
                Err(no_face(&part.name, &faces, face, name))
            }
        }
    }

    /// Splits `PART.FEATURE`; a part's name may hold full stops.
    pub fn split(&self, name: &Text) -> Result<(usize, String), Fault> {
        let names = &self.assembly.names;
        if let Some(found) = split_name(|part| names.contains_key(part), &name.value) {
            let (part, face) = found;
            return Ok((names.get_index_of(part).unwrap_or(0), face.to_owned()));
        }
        if names.contains_key(name.value.as_str()) {
            return Err(Fault::error(
                Code::UnknownName,
                format!("`{}` is a whole part; a face of it is wanted", name.value),
            )
            .at(name.span.clone(), "")
            .help(format!(
                "write it as `{}.fwd`, or another of its faces",
                name.value
            )));
        }
        let part = name
            .value
            .rsplit_once('.')
            .map_or(name.value.as_str(), |(part, _)| part);
        Err(unknown(
            "part",
            name,
            part,
            names.keys().map(String::as_str),
        ))
    }

    /// A flat face by its name.
    pub fn face(&self, name: &Text) -> Result<Plane, Fault> {
        match self.feature(name)? {
            Located::Face(plane) => Ok(plane),
            Located::Line(_) => Err(self.unfit(name, "a line", "a flat face")),
            Located::Point(_) => Err(self.unfit(name, "a point", "a flat face")),
        }
    }

    /// The direction of a line or the normal of a face.
    pub fn direction(&self, name: &Text) -> Result<Direction, Fault> {
        match self.feature(name)? {
            Located::Face(plane) => Ok(plane.normal),
            Located::Line(axis) => Ok(axis.direction),
            Located::Point(_) => Err(self.unfit(name, "a point", "a face or a line")),
        }
    }

    /// Whether the two are of one sort, faces or lines. A line runs as the normal of a face that stands square to it, so
    /// that what is parallel for two of one sort is square for a face and a line.
    pub fn alike(&self, names: [&Text; 2]) -> Result<bool, Fault> {
        let [a, b] = [self.feature(names[0])?, self.feature(names[1])?];
        Ok(matches!(a, Located::Line(_)) == matches!(b, Located::Line(_)))
    }

    /// The middle of a feature.
    pub fn middle(&self, name: &Text) -> Result<Point, Fault> {
        Ok(self.feature(name)?.middle())
    }

    fn unfit(&self, name: &Text, is: &str, wanted: &str) -> Fault {
        Fault::error(
            Code::WrongFeature,
            format!("`{}` is {is}; {wanted} is wanted", name.value),
        )
        .at(name.span.clone(), "")
    }

    // ---- quantities ----

    /// A length that the statement gives, under a name of its own.
    pub fn length(&mut self, what: &str, given: &Given) -> Result<Affine, Fault> {
        self.quantity(what, given, Kind::Length)
    }

    /// An angle that the statement gives, under a name of its own.
    pub fn angle(&mut self, what: &str, given: &Given) -> Result<Affine, Fault> {
        self.quantity(what, given, Kind::Angle)
    }

    fn quantity(&mut self, what: &str, given: &Given, kind: Kind) -> Result<Affine, Fault> {
        let label = Label {
            text: self.statement.clone(),
            detail: what.to_owned(),
            origin: Origin {
                span: given.span(),
                ..self.origin.clone()
            },
        };
        let Assembly {
            system, quantities, ..
        } = &mut *self.assembly;
        let form = quantities.resolve(system, given, kind, label)?.form;
        self.figures.extend(form.vars());
        Ok(form)
    }

    /// The value of a figure that becomes no variable, in millimetres or radians.
    pub(crate) fn figure(&self, given: &Given, kind: Kind) -> Result<f64, Fault> {
        self.assembly.quantities.value(given, kind)
    }

    /// A figure as a form over what is named, which makes no variable of its own: nothing in the system reads it.
    pub(crate) fn plain_form(&self, given: &Given, kind: Kind) -> Result<Affine, Fault> {
        self.assembly.quantities.plain_form(given, kind)
    }

    /// A length that nobody states and that is to be found.
    pub fn found_length(&mut self, what: &str, start: f64) -> Affine {
        let label = Label {
            text: self.statement.clone(),
            detail: what.to_owned(),
            origin: self.origin.clone(),
        };
        let Assembly {
            system, quantities, ..
        } = &mut *self.assembly;
        Affine::var(quantities.unknown(system, start, Kind::Length, label))
    }

    /// The size of a part by its name, `PART.SIZE`.
    pub fn size(&self, name: &Text) -> Result<Affine, Fault> {
        let quantities: &Quantities = &self.assembly.quantities;
        match quantities.named(&name.value) {
            Some(form) => Ok(form),
            None => Err(unknown("size", name, &name.value, quantities.names())),
        }
    }

    /// Whether a size is a length or an angle.
    pub fn kind_of_size(&self, name: &Text) -> Option<Kind> {
        self.assembly.quantities.kind(&name.value)
    }

    // ---- sense ----

    /// A side as this hand of the statement means it.
    pub fn side(&self, side: Side) -> Side {
        match self.hand {
            Hand::AsWritten => side,
            Hand::Mirrored => side.mirrored(),
        }
    }

    /// The sense of a turn about an axis as this hand of the statement means it: a mirror at buttock
    /// line 0 reverses turns about the station and the waterline axis.
    pub fn turn_sense(&self, axis: crate::words::Axis) -> f64 {
        match (self.hand, axis) {
            (Hand::Mirrored, crate::words::Axis::Station | crate::words::Axis::Waterline) => -1.0,
            _ => 1.0,
        }
    }

    /// A direction's components at the drawn position.
    pub fn drawn(&self, direction: &Direction) -> [f64; 3] {
        self.assembly.system.direction_drawn(direction)
    }

    /// To which side a face looks where it is drawn, in words.
    pub(crate) fn looks(&self, normal: &Direction) -> String {
        format!("looks {}", Side::towards(self.drawn(normal)).word())
    }

    /// The cosine between two directions where they are drawn.
    pub fn cosine(&self, a: &Direction, b: &Direction) -> f64 {
        Vector3::from(self.drawn(a)).dot(&Vector3::from(self.drawn(b)))
    }

    /// An affine form at the drawn position.
    pub fn value(&self, form: &Affine) -> f64 {
        self.assembly.system.form_drawn(form)
    }

    /// The equations added so far.
    pub fn take_equations(&mut self) -> Vec<Built> {
        std::mem::take(&mut self.equations)
    }

    /// The variables in the figures given so far.
    pub(crate) fn take_figures(&mut self) -> BTreeSet<Var> {
        std::mem::take(&mut self.figures)
    }

    /// What is known of a part.
    pub(crate) fn assembled(&self, part: usize) -> &crate::assembly::AssembledPart {
        &self.assembly.parts[part]
    }

    /// Notes a joint that the statement makes.
    pub(crate) fn note_joint(&mut self, joint: crate::assembly::AssembledJoint) {
        if self.purpose == Purpose::Place {
            self.assembly.joints.push(joint);
        }
    }

    /// Notes a seam that the statement makes.
    pub(crate) fn note_seam(&mut self, seam: crate::assembly::AssembledSeam) {
        if self.purpose == Purpose::Place {
            self.assembly.seams.push(seam);
        }
    }
}
