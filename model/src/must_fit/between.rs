//! A distance that has to lie within limits.

use serde::Deserialize;
use strongback_solver::Affine;

use super::{Measure, MustFitKind};
use crate::relation::{Recipe, distance};
use crate::source::{Code, Fault, Given, Text};
use crate::words::Side;

/// The distance from one feature to another lies within limits.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Between {
    /// What is measured from: a face along its normal, or a point.
    pub from: Text,
    /// What is measured to.
    pub to: Text,
    /// The least that will do.
    #[serde(default)]
    pub at_least: Option<Given>,
    /// The most that will do.
    #[serde(default)]
    pub at_most: Option<Given>,
    /// The side to which the distance is counted, when not aft, right or up.
    #[serde(default)]
    pub toward: Option<Side>,
}

impl MustFitKind for Between {
    fn says(&self) -> &'static str {
        "The distance from one feature to another, as `Spaced` counts it, lies between `at_least` and `at_most`, of which \
         one may be left out. Of a face that is measured to, its middle counts."
    }

    fn measures(&self, recipe: &mut Recipe<'_>) -> Result<Vec<Measure>, Fault> {
        if self.at_least.is_none() && self.at_most.is_none() {
            return Err(Fault::error(Code::MissingField, "no limit is stated")
                .at(self.from.span.clone(), "")
                .help("give `at_least`, `at_most` or both"));
        }
        let limit = |recipe: &mut Recipe<'_>, what: &str, given: &Option<Given>| {
            given
                .as_ref()
                .map(|given| recipe.length(what, given))
                .transpose()
        };
        let least = limit(recipe, "at least", &self.at_least)?;
        let most = limit(recipe, "at most", &self.at_most)?;
        let names = [&self.from, &self.to];
        let equation = distance(recipe, names, Affine::default(), self.toward)?;
        Ok(vec![Measure::Within {
            what: format!("from {} to {}", self.from.value, self.to.value),
            equation,
            least,
            most,
        }])
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.from, &mut self.to]
    }
}
