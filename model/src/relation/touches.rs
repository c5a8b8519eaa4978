//! An edge or a point on a face: two of them find a cant.

use serde::Deserialize;

use super::{Recipe, RelationKind};
use crate::source::{Fault, Text};

/// The middle of an edge or face, or a point, lies on a face; nothing is said of turns.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Touches(pub Text, pub Text);

impl RelationKind for Touches {
    fn says(&self) -> &'static str {
        "The middle of an edge or face, or a point, lies on a face; nothing is said of turns."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let point = recipe.middle(&self.0)?;
        let face = recipe.face(&self.1)?;
        recipe.on_plane(point, face, Default::default());
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.0, &mut self.1]
    }
}
