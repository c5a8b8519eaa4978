//! Two sizes that are equal.

use serde::Deserialize;
use strongback_solver::{Equation, Measure};

use super::{Recipe, RelationKind};
use crate::quantity::Kind;
use crate::source::{Code, Fault, Text};

/// Two sizes are equal.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct SameSize(pub Text, pub Text);

impl RelationKind for SameSize {
    fn says(&self) -> &'static str {
        "Two sizes, each named as `PART.SIZE`, are equal."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let (a, b) = (recipe.size(&self.0)?, recipe.size(&self.1)?);
        let kinds = [&self.0, &self.1].map(|name| recipe.kind_of_size(name));
        if kinds[0] != kinds[1] {
            return Err(
                Fault::error(Code::BadQuantity, "a length and an angle can't be the same")
                    .at(self.1.span.clone(), "")
                    .also(self.0.span.clone(), ""),
            );
        }
        let measure = match kinds[0] {
            Some(Kind::Angle) => Measure::Angle,
            Some(Kind::Length | Kind::Number) | None => Measure::Length,
        };
        let form = a.minus(&b);
        recipe.add("size", Equation::Held { form, measure });
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.0, &mut self.1]
    }
}
