//! Metal that has to keep clear of other metal.

use serde::Deserialize;

use super::{Body, Measure, MustFitKind};
use crate::relation::Recipe;
use crate::source::{Code, Fault, Given, Text};

/// Two parts keep clear of each other.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Clear {
    /// The two parts.
    pub between: (Text, Text),
    /// The least distance between their metal.
    pub at_least: Given,
}

impl MustFitKind for Clear {
    fn says(&self) -> &'static str {
        "The metal of two parts keeps at least a distance apart; metal that runs into metal counts as less than nothing."
    }

    fn measures(&self, recipe: &mut Recipe<'_>) -> Result<Vec<Measure>, Fault> {
        let parts = [recipe.part(&self.between.0)?, recipe.part(&self.between.1)?];
        for (part, name) in parts.iter().zip([&self.between.0, &self.between.1]) {
            if recipe.assembled(*part).shape.solids.is_empty() {
                return Err(Fault::error(
                    Code::WrongFeature,
                    format!("`{}` has no metal that could keep clear", name.value),
                )
                .at(name.span.clone(), "")
                .help("state its metal, for a Custom by `boxes`, or measure from a point of it with `Between`"));
            }
        }
        let least = recipe.length("at least", &self.at_least)?;
        let names = [&self.between.0, &self.between.1];
        let between = [0, 1].map(|at| Body {
            name: names[at].value.clone(),
            parts: vec![parts[at]],
            heads_of: Vec::new(),
            figures: Vec::new(),
        });
        Ok(vec![Measure::Clearance { between, least }])
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.between.0, &mut self.between.1]
    }
}
