//! A distance that has to lie within limits.

use serde::Deserialize;
use strongback_solver::{Affine, Equation};

use super::{Measure, MustFitKind};
use crate::relation::{Located, Recipe, sense};
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
        "The distance from a face, aft, right or up unless `toward` says otherwise (or from a point, straight), \
         to the middle of another feature lies between `at_least` and `at_most`, of which one may be left out."
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
        let to = recipe.middle(&self.to)?;
        let equation = match recipe.feature(&self.from)? {
            Located::Face(mut plane) => {
                if sense(recipe, &self.from, &plane.normal, self.toward)? < 0.0 {
                    plane.normal = plane.normal.reversed();
                }
                Equation::PointOnPlane {
                    point: to,
                    plane,
                    offset: Affine::default(),
                }
            }
            from => Equation::Distance {
                from: from.middle(),
                to,
                distance: Affine::default(),
            },
        };
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
