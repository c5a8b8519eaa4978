//! Turning a flange to the other side.

use serde::Deserialize;

use super::{ChangeKind, cannot, no_part, not_one_hand};
use crate::document::Document;
use crate::source::{Fault, Text};

/// A part's flange is bent to the other side.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Reverse(pub Text);

impl ChangeKind for Reverse {
    fn says(&self) -> &'static str {
        "A part's flange, back or caps look to the other side."
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
            Ok(())
        } else {
            let others: Vec<&str> = document
                .parts
                .iter()
                .filter(|entry| entry.value.clone().kind_mut().reverse())
                .map(|entry| entry.name.value.as_str())
                .take(12)
                .collect();
            let fault = cannot(
                &self.0,
                format!(
                    "`{name}` has no flange, back or caps to reverse: it is of the kind {word}"
                ),
            );
            Err(fault.help_if(
                (!others.is_empty()).then(|| format!("can be reversed: {}", others.join(", "))),
            ))
        }
    }

    fn told(&self) -> String {
        format!("{} reversed", self.0.value)
    }

    fn sets(&self, _document: &Document) -> Option<String> {
        Some(format!("{} reversed", self.0.value))
    }
}
