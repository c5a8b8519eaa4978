//! A row of faces at equal distances.

use serde::Deserialize;

use super::centred::{facing, midway};
use super::spaced::{apart, led};
use super::{Purpose, Recipe, RelationKind};
use crate::source::{Code, Fault, Given, Text};
use crate::words::Side;

/// Faces follow each other at one distance.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EvenlySpaced {
    /// The faces, in order.
    pub faces: Vec<Text>,
    /// The distance; found from what else is stated when it isn't given.
    #[serde(default)]
    pub by: Option<Given>,
    /// The side to which the row leads, when not aft, right or up.
    #[serde(default)]
    pub toward: Option<Side>,
}

impl RelationKind for EvenlySpaced {
    fn says(&self) -> &'static str {
        "Parallel faces follow each other at one distance, which is given or found."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        if self.faces.len() < 2 {
            let fault = Fault::error(Code::WrongCount, "a row has at least two faces");
            return Err(match self.faces.first() {
                None => fault,
                Some(only) => fault.at(only.span.clone(), "only this one"),
            });
        }
        let by = match &self.by {
            Some(given) => recipe.length("by", given)?,
            None if recipe.purpose() == Purpose::Measure => return self.measured(recipe),
            None => recipe.found_length("distance from face to face", 0.0),
        };
        for pair in self.faces.windows(2) {
            let (from, to) = (recipe.face(&pair[0])?, recipe.face(&pair[1])?);
            recipe.parallel_faces([&pair[1], &pair[0]], [&to, &from])?;
            apart(recipe, &pair[0], from, to.point, by.clone(), self.toward)?;
        }
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        self.faces.iter_mut().collect()
    }
}

impl EvenlySpaced {
    /// Each face midway between its neighbours: no distance has to be found.
    fn measured(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        for pair in self.faces.windows(2) {
            let faces = [recipe.face(&pair[0])?, recipe.face(&pair[1])?];
            recipe.parallel_faces([&pair[1], &pair[0]], [&faces[1], &faces[0]])?;
        }
        for row in self.faces.windows(3) {
            let before = led(recipe, &row[0], recipe.face(&row[0])?, self.toward)?;
            let after = facing(recipe, &before, recipe.face(&row[2])?);
            let what = format!("{} midway", row[1].value);
            let point = recipe.face(&row[1])?.point;
            recipe.add(what, midway(point, before, after));
        }
        Ok(())
    }
}
