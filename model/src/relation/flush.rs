//! Two faces in one plane.

use serde::Deserialize;

use super::{Recipe, RelationKind};
use crate::source::{Fault, Text};

/// Two faces lie in one plane.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Flush(pub Text, pub Text);

impl RelationKind for Flush {
    fn says(&self) -> &'static str {
        "Two faces lie in one plane, and so are parallel. Of a turned part `Touches` holds the middle of a face alone."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        recipe.one_plane([&self.0, &self.1])
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.0, &mut self.1]
    }
}
