//! An end that comes to a face.

use serde::Deserialize;

use super::{Located, Recipe, RelationKind};
use crate::source::{Code, Fault, Given, Text};

/// An end comes to a face, or stops short of it: this finds lengths.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reaches {
    /// The end, edge or point.
    pub end: Text,
    /// The face.
    pub face: Text,
    /// The gap that stays between them.
    #[serde(default)]
    pub short_by: Option<Given>,
}

impl RelationKind for Reaches {
    fn says(&self) -> &'static str {
        "The middle of an end comes to a face, or stops `short_by` before it; nothing is said of turns."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let end = recipe.feature(&self.end)?;
        let face = recipe.face(&self.face)?;
        let short = match &self.short_by {
            None => Default::default(),
            Some(given) => {
                let short = recipe.length("short by", given)?;
                recipe.at_least_zero(&short, || {
                    Fault::error(
                        Code::BadSize,
                        "`short_by` is a gap, and can't be less than zero",
                    )
                    .at(given.span(), "")
                    .help("an end that goes beyond a face is stated by `Spaced`")
                })?;
                short
            }
        };
        let sense = match &end {
            // an end that looks the way of the face goes through to its far side
            Located::Face(end) => {
                if recipe.cosine(&end.normal, &face.normal) > 0.0 {
                    -1.0
                } else {
                    1.0
                }
            }
            Located::Line(_) | Located::Point(_) => 1.0,
        };
        recipe.on_plane(end.middle(), face, short.times(sense));
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.end, &mut self.face]
    }
}
