//! The same distance from two faces.

use serde::Deserialize;

use super::{Recipe, RelationKind, SQUARE};
use crate::source::{Code, Fault, Text};

/// Something lies midway between two faces.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Centred {
    /// What lies there: by its middle.
    pub what: Text,
    /// The two faces.
    pub between: (Text, Text),
}

impl RelationKind for Centred {
    fn says(&self) -> &'static str {
        "The middle of `what` is as far from the one face as from the other."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let middle = recipe.middle(&self.what)?;
        let (a, b) = (recipe.face(&self.between.0)?, recipe.face(&self.between.1)?);
        let cosine = recipe.cosine(&a.normal, &b.normal);
        if cosine.abs() < SQUARE {
            return Err(Fault::error(
                Code::WrongFeature,
                "nothing lies midway between faces that stand square to each other",
            )
            .at(self.between.0.span.clone(), "")
            .also(self.between.1.span.clone(), "")
            .help("name two faces that look along the same axis"));
        }
        // one distance for both, counted into the room between the faces
        let half = recipe.helper_length();
        let sense = if cosine < 0.0 { 1.0 } else { -1.0 };
        recipe.on_plane(middle.clone(), a, half.clone());
        recipe.on_plane(middle, b, half.times(sense));
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.what, &mut self.between.0, &mut self.between.1]
    }
}
