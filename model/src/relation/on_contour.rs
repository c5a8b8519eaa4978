//! A point on the outside skin, or so far inside or outside of it. In: a point and a contour. Out: its distance along the skin's
//! normal.

use serde::Deserialize;
use strongback_solver::{Affine, Equation};

use super::{Recipe, RelationKind};
use crate::source::{Code, Fault, Given, Text};

/// The middle of an edge or face, or a point, lies on a contour.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OnContour {
    /// The point, or the edge or face whose middle counts.
    pub point: Text,
    /// The contour.
    pub contour: Text,
    /// How far inside of it, square to the skin.
    #[serde(default)]
    pub inside_by: Option<Given>,
    /// How far outside of it.
    #[serde(default)]
    pub outside_by: Option<Given>,
}

impl RelationKind for OnContour {
    fn says(&self) -> &'static str {
        "A point, or the middle of an edge or face, lies on the outside surface of a contour, or so far inside or outside of it, \
         square to the skin. The contour is taken as it is drawn: no tolerance of its figures is followed. A point beyond its \
         first or last section is refused. A point deeper inside than the skin's radius there has no one nearest place on it."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let surface = recipe.contour(&self.contour)?;
        let point = recipe.middle(&self.point)?;
        let mut off = |what: &str, given: &Given| {
            let by = recipe.length(what, given)?;
            recipe.at_least_zero(&by, || {
                Fault::error(
                    Code::BadSize,
                    "so far inside or outside can't be less than zero",
                )
                .at(given.span(), "")
                .help("say `outside_by` for the other side of the skin, `inside_by` for this one")
            })?;
            Ok(by)
        };
        let offset = match (&self.inside_by, &self.outside_by) {
            (None, None) => Affine::default(),
            (Some(given), None) => off("inside by", given)?.times(-1.0),
            (None, Some(given)) => off("outside by", given)?,
            (Some(inside), Some(outside)) => {
                return Err(Fault::error(
                    Code::BadValue,
                    "a point can't lie inside and outside of the skin",
                )
                .at(outside.span(), "")
                .also(inside.span(), "")
                .help("leave one of them out"));
            }
        };
        recipe.add(
            "off the contour",
            Equation::PointOnSurface {
                point,
                surface,
                offset,
            },
        );
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.point]
    }
}
