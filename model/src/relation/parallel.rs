//! Two parallel directions.

use serde::Deserialize;
use strongback_solver::Equation;

use super::{Recipe, RelationKind};
use crate::source::{Fault, Text};

/// Two faces or lines are parallel.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Parallel(pub Text, pub Text);

impl RelationKind for Parallel {
    fn says(&self) -> &'static str {
        "Two faces or lines are parallel."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let (a, b) = (recipe.direction(&self.0)?, recipe.direction(&self.1)?);
        if recipe.alike([&self.0, &self.1])? {
            recipe.parallel(a, b);
        } else {
            recipe.add("parallel", Equation::Perpendicular { a, b });
        }
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.0, &mut self.1]
    }
}
