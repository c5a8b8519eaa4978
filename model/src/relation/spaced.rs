//! A distance between faces, lines and points.

use serde::Deserialize;
use strongback_solver::{Affine, Direction, Equation, Plane, Point, System};

use super::{Located, Recipe, RelationKind, SQUARE};
use crate::source::{Code, Fault, Given, Text};
use crate::words::{Axis, Side};

/// One thing lies a distance from another.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Spaced {
    /// What is measured from: a face, a line or a point.
    pub from: Text,
    /// What is measured to.
    pub to: Text,
    /// The distance. From a face it has a sign: positive is aft, right or up.
    pub by: Given,
    /// The side to which a positive distance leads, when not aft, right or up.
    #[serde(default)]
    pub toward: Option<Side>,
}

impl RelationKind for Spaced {
    fn says(&self) -> &'static str {
        "`to` lies a distance from `from`: from or to a face along its normal, aft, right or up unless `toward` \
         says otherwise; between points and parallel lines straight, or counted towards the side of `toward`. Of a line \
         between faces its middle counts. Two faces have to be parallel as well: to say only how far off one lies that is turned, \
         measure to a hole of it, or another point or line."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let by = recipe.length("by", &self.by)?;
        if let (Located::Face(from), Located::Face(to)) =
            (recipe.feature(&self.from)?, recipe.feature(&self.to)?)
        {
            recipe.parallel_faces([&self.to, &self.from], [&to, &from])?;
        }
        let equation = distance(recipe, [&self.from, &self.to], by.clone(), self.toward)?;
        let straight = matches!(
            equation,
            Equation::Distance { .. } | Equation::PointFromAxis { .. }
        );
        if straight {
            recipe.at_least_zero(&by, || {
                Fault::error(
                    Code::BadSize,
                    "between points and lines the distance is measured straight, and can't be less than zero",
                )
                .at(self.by.span(), "")
                .help("measure from a face, or say `toward` which side: those distances have a sign")
            })?;
        }
        recipe.add("distance", equation);
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.from, &mut self.to]
    }
}

/// The equation that says how far the second thing lies from the first, less `by`: from or to a face along its normal;
/// between points and lines straight, across a line; or along the axis of a side where one is stated.
///
/// # Errors
/// The side can't be led to, or the distance isn't one figure: two lines that are not parallel, or a line to a face that
/// it isn't parallel to.
pub(crate) fn distance(
    recipe: &Recipe<'_>,
    [from_name, to_name]: [&Text; 2],
    by: Affine,
    toward: Option<Side>,
) -> Result<Equation, Fault> {
    let along = |plane: Plane, point: Point| Equation::PointOnPlane {
        point,
        plane,
        offset: by.clone(),
    };
    match (recipe.feature(from_name)?, recipe.feature(to_name)?) {
        (Located::Face(from), to) => {
            let from = led(recipe, from_name, from, toward)?;
            Ok(along(from, to.middle()))
        }
        (from, Located::Face(to)) => {
            // from the point to the face is as far as from the face to the point, the other way
            let mut to = led(recipe, to_name, to, toward)?;
            to.normal = to.normal.reversed();
            Ok(along(to, from.middle()))
        }
        (from, to) if toward.is_some() => {
            let side = recipe.side(toward.unwrap_or(Side::Aft));
            for (name, located) in [(from_name, &from), (to_name, &to)] {
                across(recipe, name, located, side)?;
            }
            let normal = Direction::Fixed {
                body: System::FIXED,
                vector: side.vector(),
            };
            let point = from.middle();
            Ok(along(Plane { point, normal }, to.middle()))
        }
        (Located::Line(axis), to) => {
            if let Located::Line(other) = &to
                && recipe.cosine(&axis.direction, &other.direction).abs() < PARALLEL
            {
                return Err(Fault::error(
                    Code::WrongFeature,
                    "these two lines aren't parallel, and have no one distance",
                )
                .at(from_name.span.clone(), "")
                .also(to_name.span.clone(), "")
                .help("name a point of one of them, or say `toward` which side the distance is counted"));
            }
            Ok(Equation::PointFromAxis {
                point: to.middle(),
                axis,
                distance: by,
            })
        }
        (from, Located::Line(axis)) => Ok(Equation::PointFromAxis {
            point: from.middle(),
            axis,
            distance: by,
        }),
        (from, to) => Ok(Equation::Distance {
            from: from.middle(),
            to: to.middle(),
            distance: by,
        }),
    }
}

/// Lines count as parallel from this cosine on: some two degrees.
const PARALLEL: f64 = 0.999;

/// A line whose distance is counted towards a side has to run across it.
fn across(recipe: &Recipe<'_>, name: &Text, located: &Located, side: Side) -> Result<(), Fault> {
    let Located::Line(line) = located else {
        return Ok(());
    };
    let direction = recipe.drawn(&line.direction);
    let along: f64 = direction
        .iter()
        .zip(side.vector())
        .map(|(a, b)| a * b)
        .sum();
    if along.abs() < SQUARE {
        return Ok(());
    }
    Err(Fault::error(
        Code::WrongFeature,
        format!(
            "`{}` runs towards that side, and has no one distance along it",
            name.value
        ),
    )
    .at(name.span.clone(), "")
    .help("name an end or a point of it, or another side"))
}

/// A face with its normal towards a side, or in the positive sense of the axis that it looks along.
pub(super) fn led(
    recipe: &Recipe<'_>,
    name: &Text,
    mut face: Plane,
    toward: Option<Side>,
) -> Result<Plane, Fault> {
    if sense(recipe, name, &face.normal, toward)? < 0.0 {
        face.normal = face.normal.reversed();
    }
    Ok(face)
}

/// A point lies `by` from a face, in the positive sense of the axis that the face looks along, or
/// towards a side.
pub(super) fn apart(
    recipe: &mut Recipe<'_>,
    name: &Text,
    from: Plane,
    to: Point,
    by: Affine,
    toward: Option<Side>,
) -> Result<(), Fault> {
    let sense = sense(recipe, name, &from.normal, toward)?;
    recipe.on_plane(to, from, by.times(sense));
    Ok(())
}

/// +1 when a face's normal leads towards a side, or in the positive sense of the axis that it looks along,
/// and -1 when it leads the other way.
///
/// # Errors
/// The side lies along the face, so that a distance from it can't lead there.
fn sense(
    recipe: &Recipe<'_>,
    name: &Text,
    normal: &Direction,
    toward: Option<Side>,
) -> Result<f64, Fault> {
    let normal = recipe.drawn(normal);
    let side = match toward {
        Some(side) => recipe.side(side),
        None => recipe.side(Axis::dominant(normal).positive()),
    };
    let along: f64 = normal.iter().zip(side.vector()).map(|(a, b)| a * b).sum();
    if along.abs() < SQUARE {
        let axis = Axis::dominant(normal);
        return Err(Fault::error(
            Code::BadValue,
            format!(
                "a distance from `{}` doesn't lead {side:?}: the face looks along {}",
                name.value,
                axis.short()
            ),
        )
        .at(name.span.clone(), "")
        .help("name another face, or a side that it looks to or away from"));
    }
    Ok(if along < 0.0 { -1.0 } else { 1.0 })
}
