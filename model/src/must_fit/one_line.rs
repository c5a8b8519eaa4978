//! Holes and points that have to lie on one line.

use serde::Deserialize;

use super::{Measure, MustFitKind};
use crate::relation::{InLine, Recipe, RelationKind};
use crate::source::{Fault, Text};

/// Holes, axes or points lie on one line.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct OneLine(pub Vec<Text>);

impl MustFitKind for OneLine {
    fn says(&self) -> &'static str {
        "Holes, axes or points lie on one line: that of the first hole or axis, or through the first two points."
    }

    fn measures(&self, recipe: &mut Recipe<'_>) -> Result<Vec<Measure>, Fault> {
        InLine(self.0.clone()).equations(recipe)?;
        Ok(recipe
            .take_equations()
            .into_iter()
            .map(|built| Measure::Zero {
                what: built.what,
                equation: built.equation,
            })
            .collect())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        self.0.iter_mut().collect()
    }
}
