//! A distance between two faces, a face and a point, or two points.

use serde::Deserialize;
use strongback_solver::{Affine, Direction, Equation, Plane, Point};

use super::{Located, Recipe, RelationKind};
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
        "`to` lies a distance from `from`: from a face along its normal, aft, right or up unless `toward` \
         says otherwise; between two points straight."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let by = recipe.length("by", &self.by)?;
        match (recipe.feature(&self.from)?, recipe.feature(&self.to)?) {
            (Located::Face(from), Located::Face(to)) => {
                recipe.parallel_faces([&self.to, &self.from], [&to, &from])?;
                apart(recipe, &self.from, from, to.point, by, self.toward)?;
            }
            (Located::Face(from), to) => {
                apart(recipe, &self.from, from, to.middle(), by, self.toward)?;
            }
            (from, Located::Face(to)) => {
                // measured from a point or line to a face: the same distance, told the other way
                let toward = self.toward;
                apart(recipe, &self.to, to, from.middle(), by.times(-1.0), toward)?;
            }
            (_, _) if recipe.value(&by) < 0.0 => {
                return Err(Fault::error(
                    Code::BadSize,
                    "between two points the distance is measured straight, and can't be less than zero",
                )
                .at(self.by.span(), "")
                .help("measure from a face, whose distances have a sign"));
            }
            (from, to) => recipe.add(
                "distance",
                Equation::Distance {
                    from: from.middle(),
                    to: to.middle(),
                    distance: by,
                },
            ),
        }
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.from, &mut self.to]
    }
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
pub(crate) fn sense(
    recipe: &Recipe<'_>,
    name: &Text,
    normal: &Direction,
    toward: Option<Side>,
) -> Result<f64, Fault> {
    /// Closer to a right angle than this cosine, a distance doesn't lead to the side.
    const SQUARE: f64 = 0.05;
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
