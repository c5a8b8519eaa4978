//! Two sizes that are equal.

use serde::Deserialize;
use strongback_solver::{Equation, Measure};

use super::{Recipe, RelationKind};
use crate::source::{Fault, Text};

/// Two sizes are equal.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct SameSize(pub Text, pub Text);

impl RelationKind for SameSize {
    fn says(&self) -> &'static str {
        "Two sizes, each named as `PART.SIZE`, are equal."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let (a, b) = (recipe.size(&self.0)?, recipe.size(&self.1)?);
        recipe.add(
            "size",
            Equation::Held {
                form: a.minus(&b),
                measure: Measure::Length,
            },
        );
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.0, &mut self.1]
    }
}
