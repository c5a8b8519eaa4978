//! Other stock for a part.

use serde::Deserialize;

use super::{ChangeKind, cannot, no_part, not_one_hand};
use crate::document::Document;
use crate::part::Role;
use crate::source::{Fault, Given, Text};

/// A part is made of sheet or stock of another thickness.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Swap {
    /// The part.
    pub part: Text,
    /// Its new thickness.
    pub thickness: Given,
}

impl ChangeKind for Swap {
    fn says(&self) -> &'static str {
        "A part is made of stock of another thickness: its first gauge (sheet, web or wall) is replaced."
    }

    fn make(&self, document: &mut Document) -> Result<(), Fault> {
        not_one_hand(document, &self.part, &self.part.value)?;
        let name = self.part.value.clone();
        let Some(word) = document.parts.get(&name).map(|part| part.word()) else {
            return Err(no_part(document, &self.part));
        };
        let mut done = false;
        for part in document.parts_mut(&name) {
            done = false;
            part.kind_mut().visit_sizes(&mut |_, role, given| {
                if role == Role::Gauge && !done {
                    *given = self.thickness.clone();
                    done = true;
                }
            });
        }
        if done {
            Ok(())
        } else {
            Err(cannot(
                &self.part,
                format!("`{name}` is a {word}, which is made of no stock of a thickness"),
            ))
        }
    }

    fn told(&self) -> String {
        let figure = match &self.thickness {
            Given::Text(text) => text.value.clone(),
            Given::Number(number) => number.value.to_string(),
            Given::Find { .. } => "a thickness to be found".to_owned(),
        };
        format!("{} of {figure}", self.part.value)
    }

    fn sets(&self, document: &Document) -> Option<String> {
        let mut part = document.parts.get(&self.part.value)?.clone();
        let mut gauge = None;
        part.kind_mut().visit_sizes(&mut |own, role, _| {
            if role == Role::Gauge && gauge.is_none() {
                gauge = Some(format!("{}.{own}", self.part.value));
            }
        });
        gauge
    }
}
