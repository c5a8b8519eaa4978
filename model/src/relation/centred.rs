//! The same distance from two faces.

use serde::Deserialize;
use strongback_solver::{Equation, Plane, Point};

use super::spaced::led;
use super::{Recipe, RelationKind, SQUARE};
use crate::source::{Code, Fault, Text};

/// Something lies midway between two faces.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Centred {
    /// What lies there: by its middle.
    pub what: Text,
    /// The two faces.
    pub between: (Text, Text),
}

impl RelationKind for Centred {
    fn says(&self) -> &'static str {
        "The middle of `what` is as far from the one face as from the other."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let middle = recipe.middle(&self.what)?;
        let (a, b) = (recipe.face(&self.between.0)?, recipe.face(&self.between.1)?);
        let cosine = recipe.cosine(&a.normal, &b.normal);
        if cosine.abs() < SQUARE {
            return Err(Fault::error(
                Code::WrongFeature,
                "nothing lies midway between faces that stand square to each other",
            )
            .at(self.between.0.span.clone(), "")
            .also(self.between.1.span.clone(), "")
            .help("name two faces that look along the same axis"));
        }
        // counted aft, right or up of the middle
        let a = led(recipe, &self.between.0, a, None)?;
        let b = facing(recipe, &a, b);
        recipe.add("midway", midway(middle, a, b));
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.what, &mut self.between.0, &mut self.between.1]
    }
}

/// The second plane, turned where needed so that the room between them lies ahead of both.
pub(super) fn facing(recipe: &Recipe<'_>, a: &Plane, mut b: Plane) -> Plane {
    if recipe.cosine(&a.normal, &b.normal) > 0.0 {
        b.normal = b.normal.reversed();
    }
    b
}

/// A point is as far from the one plane as from the other.
pub(super) fn midway(point: Point, a: Plane, b: Plane) -> Equation {
    Equation::Midway {
        point,
        between: Box::new([a, b]),
    }
}
