//! Two directions at a right angle.

use serde::Deserialize;
use strongback_solver::Equation;

use super::{Recipe, RelationKind};
use crate::source::{Fault, Text};

/// Two faces or lines stand square to each other.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Square(pub Text, pub Text);

impl RelationKind for Square {
    fn says(&self) -> &'static str {
        "Two faces or lines stand square to each other."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let (a, b) = (recipe.direction(&self.0)?, recipe.direction(&self.1)?);
        if recipe.alike([&self.0, &self.1])? {
            recipe.add("square", Equation::Perpendicular { a, b });
        } else {
            recipe.parallel(a, b);
        }
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.0, &mut self.1]
    }
}
