//! Bolted joints: a chain of contacts between two parts, through spacers.

use std::num::NonZeroU32;

use serde::Deserialize;
use strongback_solver::{Affine, Equation, Plane, Point};

use super::{Located, Recipe, RelationKind, Row, SQUARE, row};
use crate::assembly::AssembledJoint;
use crate::source::{Code, Fault, Text};
use crate::trade::fastener::Fastener;
use crate::words::Side;

macro_rules! bolted {
    ($(#[$doc:meta])* $name:ident, $says:literal $(, $(#[$side_doc:meta])* $side:ident: $type:ty)?) => {
        $(#[$doc])*
        #[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            /// The part that is bolted on; `PART.FACE` where another face than its outermost metal touches.
            pub part: Text,
            /// The part that it is bolted to; `PART.FACE` likewise.
            pub to: Text,
            $($(#[$side_doc])* pub $side: $type,)?
            /// What lies between them, counted from `to`: spacers, or plates.
            #[serde(default)]
            pub through: Vec<Text>,
            /// A hole or point of either part where the contact is made. Without it the faces touch all
            /// over, so that they are parallel; with it they touch there, and another contact settles the
            /// turn.
            #[serde(default)]
            pub at: Option<Text>,
            /// The bolts, or rivets; their heads lie on the side of `part`.
            #[serde(default)]
            pub with: Option<Fastener>,
            /// How many of them; with rows it has to be what these come to.
            #[serde(default)]
            pub count: Option<NonZeroU32>,
            /// Where they go: rows, each `(beside: "rail.right", by: "1/2 in", ends: "3/4 in", count: 12)`: beside an edge face of one of
            /// the layers, `by` inside of it, from `ends` inside of either end of the metal that all layers have in common along it; or
            /// `pitch`, the least from one to the next, in place of `count`.
            #[serde(default)]
            pub rows: Vec<Row>,
        }

        impl RelationKind for $name {
            fn says(&self) -> &'static str {
                concat!("`part` is bolted or riveted ", $says, ", or the spacers between them, which the joint places too.")
            }

            fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
                let chain = Chain {
                    part: &self.part,
                    to: &self.to,
                    side: recipe.side(self.joint_side()),
                    through: &self.through,
                    at: self.at.as_ref(),
                    bolts: self.with,
                    count: self.count,
                    rows: &self.rows,
                };
                chain.equations(recipe)
            }

            fn can_be_packed(&self) -> bool {
                true
            }

            fn names(&mut self) -> Vec<&mut Text> {
                let mut names = vec![&mut self.part, &mut self.to];
                names.extend(self.through.iter_mut());
                names.extend(self.at.as_mut());
                names.extend(row::names(&mut self.rows));
                names
            }

            fn compared(&mut self) -> Vec<&mut Text> {
                let mut names = vec![&mut self.part, &mut self.to];
                names.extend(self.through.iter_mut());
                names.extend(self.at.as_mut());
                names
            }

            fn leave_out(&mut self, part: &str) -> bool {
                let before = self.through.len();
                self.through.retain(|name| name.value != part);
                if self.through.len() == before {
                    return false;
                }
                self.rows.retain(|row| !row.beside.value.starts_with(&format!("{part}.")));
                true
            }
        }
    };
}

bolted! {
    /// A part is bolted behind another one: its foremost metal to the other's aftmost.
    BoltedBehind, "behind `to`: its foremost metal meets the aftmost of `to`"
}
bolted! {
    /// A part is bolted ahead of another one: its aftmost metal to the other's foremost.
    BoltedAhead, "ahead of `to`: its aftmost metal meets the foremost of `to`"
}
bolted! {
    /// A part is bolted to a named side of another one.
    BoltedTo, "to the side of `to` that is named: its outermost metal towards `to` meets the outermost of `to` there",
    /// The side of `to` on which `part` lies.
    side: Side
}

impl BoltedBehind {
    fn joint_side(&self) -> Side {
        Side::Aft
    }
}

impl BoltedAhead {
    fn joint_side(&self) -> Side {
        Side::Fwd
    }
}

impl BoltedTo {
    fn joint_side(&self) -> Side {
        self.side
    }
}

/// A chain of contacts from one part to another.
struct Chain<'a> {
    part: &'a Text,
    to: &'a Text,
    side: Side,
    through: &'a [Text],
    at: Option<&'a Text>,
    bolts: Option<Fastener>,
    count: Option<NonZeroU32>,
    rows: &'a [Row],
}

impl Chain<'_> {
    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let (to_part, to_face) = self.touching(recipe, self.to, self.side)?;
        let (on_part, on_face) = self.touching(recipe, self.part, self.side.opposite())?;
        let place = match self.at {
            None => None,
            Some(name) => Some(self.place(recipe, name, [on_part, to_part])?),
        };
        let axis = match &place {
            Some(place) => place.clone(),
            None => on_face.point.clone(),
        };
        let spacers = self
            .through
            .iter()
            .map(|name| self.spacer(recipe, name))
            .collect::<Result<Vec<_>, _>>()?;
        // spacers sit on the bolts, in line with the place of the contact, unless their own place is stated
        for (_, _, far) in &spacers {
            for across in self.side.axis().others() {
                let normal = super::level::fixed(across);
                let plane = Plane {
                    point: axis.clone(),
                    normal,
                };
                recipe.assume(
                    "spacer on the bolts",
                    Equation::PointOnPlane {
                        point: far.point.clone(),
                        plane,
                        offset: Affine::default(),
                    },
                );
            }
        }
        let mut surface = to_face.clone();
        for (_, near, far) in &spacers {
            recipe.on_plane(near.point.clone(), surface, Affine::default());
            surface = far.clone();
        }
        match place {
            None => {
                recipe.parallel_faces([self.part, self.to], [&on_face, &to_face])?;
                recipe.on_plane(on_face.point.clone(), surface, Affine::default());
            }
            Some(_) if !spacers.is_empty() => {
                // the far side of the spacer touches the part
                recipe.on_plane(surface.point, on_face.clone(), Affine::default());
            }
            Some(place) => {
                let (point, face) = if place.body == on_face.point.body {
                    (onto(&on_face, &place, self.side), surface)
                } else {
                    (onto(&to_face, &place, self.side), on_face.clone())
                };
                recipe.on_plane(point, face, Affine::default());
            }
        }
        let mut parts = vec![on_part, to_part];
        parts.extend(spacers.iter().map(|(part, _, _)| *part));
        let axis_drawn = recipe.drawn(&to_face.normal);
        let rows = row::assembled(self.rows, recipe, &parts, axis_drawn, self.count)?;
        recipe.note_joint(AssembledJoint {
            statement: recipe.statement().to_owned(),
            part: on_part,
            to: to_part,
            spacers: spacers.iter().map(|(part, _, _)| *part).collect(),
            side: self.side,
            at: axis,
            at_stated: self.at.is_some(),
            faces: (to_face, on_face),
            bolts: self.bolts,
            count: self.count.map(NonZeroU32::get),
            rows,
        });
        Ok(())
    }

    /// The part and the face that touches: the one named, or the outermost metal on a side.
    fn touching(
        &self,
        recipe: &Recipe<'_>,
        name: &Text,
        side: Side,
    ) -> Result<(usize, Plane), Fault> {
        if let Ok((part, _)) = recipe.split(name) {
            let face = recipe.face(name)?;
            looks_to(recipe, name, &face, side)?;
            return Ok((part, face));
        }
        let part = recipe.part(name)?;
        self.outermost(recipe, name, part, side)
    }

    fn outermost(
        &self,
        recipe: &Recipe<'_>,
        name: &Text,
        part: usize,
        side: Side,
    ) -> Result<(usize, Plane), Fault> {
        match recipe.feature_of(part, side.face(), name)? {
            Located::Face(plane) => Ok((part, plane)),
            Located::Line(_) | Located::Point(_) => Err(Fault::error(
                Code::WrongFeature,
                format!("`{}.{}` is no flat face", name.value, side.face()),
            )
            .at(name.span.clone(), "")),
        }
    }

    /// A spacer with its near and its far face.
    fn spacer(&self, recipe: &Recipe<'_>, name: &Text) -> Result<(usize, Plane, Plane), Fault> {
        let part = recipe.part(name)?;
        let (_, near) = self.outermost(recipe, name, part, self.side.opposite())?;
        let (_, far) = self.outermost(recipe, name, part, self.side)?;
        Ok((part, near, far))
    }

    fn place(&self, recipe: &Recipe<'_>, name: &Text, parts: [usize; 2]) -> Result<Point, Fault> {
        let (part, _) = recipe.split(name)?;
        if !parts.contains(&part) {
            return Err(Fault::error(
                Code::WrongFeature,
                format!("`{}` belongs to neither of the two parts", name.value),
            )
            .at(name.span.clone(), "")
            .help("the contact is made at a hole or a point of one of the parts that are bolted"));
        }
        recipe.middle(name)
    }
}

/// A face that is bolted against has to look to its side of the joint: one that looks the other way would put the
/// part on the wrong side of the other one, and one square to it is never met by the bolts.
fn looks_to(recipe: &Recipe<'_>, name: &Text, face: &Plane, side: Side) -> Result<(), Fault> {
    let normal = recipe.drawn(&face.normal);
    let along: f64 = normal.iter().zip(side.vector()).map(|(n, s)| n * s).sum();
    if along > SQUARE {
        return Ok(());
    }
    Err(Fault::error(
        Code::WrongFeature,
        format!(
            "`{}` doesn't look {}, as this joint needs it to",
            name.value,
            side.face()
        ),
    )
    .at(name.span.clone(), "")
    .help("name a face on the side where the parts meet, or only the part for its outermost metal"))
}

/// A point of a body moved along an own axis onto one of that body's own faces.
fn onto(face: &Plane, place: &Point, side: Side) -> Point {
    let mut point = place.clone();
    let axis = side.axis().index();
    point.at[axis] = face.point.at[axis].clone();
    point
}
