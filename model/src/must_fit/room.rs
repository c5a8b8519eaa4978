//! Room round the heads of a joint for a part that is fitted later.

use serde::Deserialize;

use super::{Body, Measure, MustFitKind};
use crate::relation::Recipe;
use crate::source::{Code, Fault, Given, Text};

/// The heads and tails of a joint's fasteners leave room for a part.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Room {
    /// The joint, by the name of its statement; its rows say where its fasteners are.
    pub round: Text,
    /// The part, which is none of its layers.
    #[serde(rename = "for")]
    pub part: Text,
    /// The least distance between them.
    pub at_least: Given,
}

impl MustFitKind for Room {
    fn says(&self) -> &'static str {
        "Round the heads and tails of a joint's fasteners is room for a part that is fitted later. Measured is the metal of the part \
         against the head, and against the shop head, or washers, nut and the bolt's end, in usual sizes; not the room that a tool takes."
    }

    fn measures(&self, recipe: &mut Recipe<'_>) -> Result<Vec<Measure>, Fault> {
        let part = recipe.part(&self.part)?;
        if recipe.assembled(part).shape.solids.is_empty() {
            return Err(Fault::error(
                Code::WrongFeature,
                format!(
                    "`{}` has no metal that room could be left for",
                    self.part.value
                ),
            )
            .at(self.part.span.clone(), "")
            .help("state its metal, for a Custom by `boxes`"));
        }
        let heads = recipe.heads_of(&self.round)?;
        if heads.parts.contains(&part) {
            return Err(Fault::error(
                Code::WrongFeature,
                format!(
                    "`{}` is a layer of `{}`: its heads lie on it",
                    self.part.value, self.round.value
                ),
            )
            .at(self.part.span.clone(), "")
            .help("name a part that comes beside the joint"));
        }
        let least = recipe.length("at least", &self.at_least)?;
        let part = Body {
            name: self.part.value.clone(),
            parts: vec![part],
            heads_of: Vec::new(),
            figures: Vec::new(),
        };
        Ok(vec![Measure::Clearance {
            between: [heads, part],
            least,
        }])
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.part]
    }

    fn about(&self) -> Option<&Text> {
        Some(&self.round)
    }
}
