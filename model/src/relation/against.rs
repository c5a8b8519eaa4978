//! Two faces that touch.

use serde::Deserialize;

use super::{Recipe, RelationKind};
use crate::source::{Fault, Text};

/// Two faces touch: they lie in one plane and look at each other.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Against(pub Text, pub Text);

impl RelationKind for Against {
    fn says(&self) -> &'static str {
        "Two faces touch: they lie in one plane and look at each other."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        recipe.one_plane([&self.0, &self.1])
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.0, &mut self.1]
    }
}
