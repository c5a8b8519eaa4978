//! Two faces in one plane.

use serde::Deserialize;

use super::{Recipe, RelationKind};
use crate::source::{Fault, Text};

/// Two faces lie in one plane.
#[derive(Clone, Debug, Deserialize)]
pub struct Flush(pub Text, pub Text);

impl RelationKind for Flush {
    fn says(&self) -> &'static str {
        "Two faces lie in one plane."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let (face, on) = (recipe.face(&self.0)?, recipe.face(&self.1)?);
        recipe.faces(face, on, Default::default());
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.0, &mut self.1]
    }
}
