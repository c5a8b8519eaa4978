//! Two faces that touch.

use serde::Deserialize;

use super::{Recipe, RelationKind, SQUARE};
use crate::source::{Code, Fault, Text};

/// Two faces touch: they lie in one plane and look at each other.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Against(pub Text, pub Text);

impl RelationKind for Against {
    fn says(&self) -> &'static str {
        "Two faces touch: they lie in one plane and look at each other."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let names = [&self.0, &self.1];
        let looks = [recipe.face(names[0])?, recipe.face(names[1])?].map(|face| face.normal);
        if recipe.cosine(&looks[0], &looks[1]) > SQUARE {
            return Err(Fault::error(
                Code::WrongFeature,
                "these two faces look the same way: touching, the parts would run into each other",
            )
            .at(names[0].span.clone(), recipe.looks(&looks[0]))
            .also(names[1].span.clone(), recipe.looks(&looks[1]))
            .help("name the face on the other side of one of them, or say `Flush` if the parts stand beside each other"));
        }
        recipe.one_plane(names)
    }

    fn can_be_packed(&self) -> bool {
        true
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.0, &mut self.1]
    }
}
