//! Turning a flange to the other side.

use serde::Deserialize;

use super::{ChangeKind, cannot, no_part, not_one_hand};
use crate::document::Document;
use crate::relation::listed;
use crate::source::{Fault, Text};

/// A part's flange is bent to the other side.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Reverse(pub Text);

impl ChangeKind for Reverse {
    fn says(&self) -> &'static str {
        "A part's flange, back or caps look to the other side. An angle's leg is turned by `Replace`, which says which."
    }

    fn make(&self, document: &mut Document) -> Result<(), Fault> {
        not_one_hand(document, &self.0, &self.0.value)?;
        let name = self.0.value.clone();
        let Some(word) = document.parts.get(&name).map(|part| part.word()) else {
            return Err(no_part(document, &self.0));
        };
        let mut reversed = false;
        for part in document.parts_mut(&name) {
            reversed = part.kind_mut().reverse();
        }
        if reversed {
            return Ok(());
        }
        let others = document.parts.iter();
        let others: Vec<&str> = others
            .filter(|entry| entry.value.clone().kind_mut().reverse())
            .map(|entry| entry.name.value.as_str())
            .collect();
        let can = (!others.is_empty()).then(|| format!("can be reversed: {}", listed(&others)));
        let field = document
            .parts
            .get(&name)
            .and_then(|part| part.kind().turned_by());
        let otherwise = field.map(|field| {
            format!("say in a deviation what it becomes: `Replace(\"{name}\", {word}(…))`, with other `{field}`")
        });
        Err(cannot(
            &self.0,
            format!("`{name}` has no flange, back or caps to reverse: it is of the kind {word}"),
        )
        .help_if(otherwise.or(can)))
    }

    fn told(&self) -> String {
        format!("{} reversed", self.0.value)
    }

    fn sets(&self, _document: &Document) -> Option<String> {
        Some(format!("{} reversed", self.0.value))
    }
}
