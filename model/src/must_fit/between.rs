//! A distance that has to lie within limits.

use serde::Deserialize;
use strongback_solver::Affine;

use super::{Measure, MustFitKind};
use crate::quantity::Kind;
use crate::relation::{Recipe, distance, first_name};
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
        if let (Some(least), Some(most)) = (&self.at_least, &self.at_most) {
            in_order(recipe, least, most)?;
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

/// Finds fault with two figures between which nothing lies; figures told by names are left to come out as they will.
fn in_order(recipe: &Recipe<'_>, least: &Given, most: &Given) -> Result<(), Fault> {
    let plain = |given: &Given| {
        let found = matches!(given, Given::Find { .. });
        !found && first_name(given).is_none()
    };
    if !plain(least) || !plain(most) {
        return Ok(());
    }
    if recipe.figure(least, Kind::Length)? > recipe.figure(most, Kind::Length)? {
        return Err(
            Fault::error(Code::BadValue, "`at_least` is more than `at_most`")
                .at(most.span(), "no distance lies between the two")
                .also(least.span(), "the least that will do")
                .help("swap the two, if one stands in the place of the other"),
        );
    }
    Ok(())
}
