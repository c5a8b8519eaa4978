//! The equations of a recipe.

use strongback_solver::{Affine, BodyId, Direction, Equation, Plane, Point, Turn};

use super::{Built, Purpose, Recipe, SQUARE, Standing};
use crate::source::{Code, Fault, Given, Text};

impl Recipe<'_> {
    /// A length that can't be less than zero, in whatever is found of it later.
    ///
    /// # Errors
    /// The fault of the relation, where it is less as drawn.
    pub fn at_least_zero(
        &mut self,
        length: &Affine,
        refused: impl FnOnce() -> Fault,
    ) -> Result<(), Fault> {
        if self.value(length) < 0.0 {
            return Err(refused());
        }
        self.assembly.gaps.push(length.clone());
        Ok(())
    }

    /// Adds an equation, with a few words on what it compares.
    pub fn add(&mut self, what: impl Into<String>, equation: Equation) {
        self.enter(what, equation, Standing::Stated);
    }

    /// Adds an equation that holds as long as nothing else is stated of what it reads.
    pub fn assume(&mut self, what: impl Into<String>, equation: Equation) {
        if self.purpose == Purpose::Place {
            self.enter(what, equation, Standing::Assumed);
        }
    }

    /// Sets what the equations so far bring together further apart: by the first length among them.
    ///
    /// # Errors
    /// None of them has a length of its own.
    pub(crate) fn set_apart(&mut self, by: &Given) -> Result<(), Fault> {
        let apart = self.length("apart", by)?;
        let stated = |built: &&mut Built| built.standing == Standing::Stated;
        for built in self.equations.iter_mut().filter(stated) {
            if let Some(distance) = built.equation.distance() {
                let distance = distance.clone().plus(&apart);
                built.equation = built.equation.clone().with_figure(distance);
                return Ok(());
            }
        }
        Err(Fault::error(
            Code::BadChange,
            format!(
                "`{}` brings nothing together along a length",
                self.statement
            ),
        )
        .at(by.span(), "")
        .help("only what lies at a distance, or touches, can be set further apart"))
    }

    fn enter(&mut self, what: impl Into<String>, equation: Equation, standing: Standing) {
        self.equations.push(Built {
            what: what.into(),
            equation,
            standing,
        });
    }

    /// Demands that two directions be parallel, unless both are held and are.
    pub fn parallel(&mut self, a: Direction, b: Direction) {
        if self.both_held(&a, &b) && self.parallel_now(&a, &b) {
            return;
        }
        self.add("parallel", Equation::Parallel { a, b });
    }

    /// Demands that a point lie on a plane, at a distance along its normal.
    pub fn on_plane(&mut self, point: Point, plane: Plane, offset: Affine) {
        self.add(
            "position",
            Equation::PointOnPlane {
                point,
                plane,
                offset,
            },
        );
    }

    /// Demands that two faces lie in one plane.
    pub fn one_plane(&mut self, faces: [&Text; 2]) -> Result<(), Fault> {
        let (face, on) = (self.face(faces[0])?, self.face(faces[1])?);
        self.parallel_faces(faces, [&face, &on])?;
        // a must-fit has a line of its own, which says what is off
        let what = match self.purpose {
            Purpose::Place => "position".to_owned(),
            Purpose::Measure => format!("{} off {}", faces[0].value, faces[1].value),
        };
        let (point, plane, offset) = (face.point, on, Affine::default());
        self.add(
            what,
            Equation::PointOnPlane {
                point,
                plane,
                offset,
            },
        );
        Ok(())
    }

    /// Demands that two faces be parallel.
    ///
    /// # Errors
    /// They stand square to each other where they are drawn: one of them is not the face meant.
    pub fn parallel_faces(&mut self, names: [&Text; 2], faces: [&Plane; 2]) -> Result<(), Fault> {
        let [a, b] = faces.map(|face| &face.normal);
        if self.cosine(a, b).abs() < SQUARE {
            return Err(Fault::error(
                Code::WrongFeature,
                "these two faces stand square to each other and can't be parallel",
            )
            .at(names[0].span.clone(), self.looks(a))
            .also(names[1].span.clone(), self.looks(b))
            .help("name faces that look along the same axis; of a bar or tube, its `axis`"));
        }
        self.parallel(faces[0].normal.clone(), faces[1].normal.clone());
        Ok(())
    }

    fn parallel_now(&self, a: &Direction, b: &Direction) -> bool {
        (self.cosine(a, b).abs() - 1.0).abs() < 1e-15
    }

    fn both_held(&self, a: &Direction, b: &Direction) -> bool {
        [a, b]
            .iter()
            .all(|d| matches!(d, Direction::Fixed { body, .. } if self.stands_square(*body)))
    }

    /// Whether a body is held square to the airframe's axes.
    pub fn stands_square(&self, body: BodyId) -> bool {
        self.assembly.system.turn(body) == &Turn::Square
    }
}
