//! A part or a relation in place of another one of the same name.

use serde::{Deserialize, Deserializer};

use super::{ChangeKind, cannot, not_one_hand};
use crate::document::{Document, Stated};
use crate::part::Part;
use crate::relation::Relation;
use crate::source::{Code, Fault, Text, Unread, nearest, refuse, words_of};

/// A part or a relation is replaced.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Replace(pub Text, pub Replacement);

/// What takes its place.
#[derive(Clone, Debug, schemars::JsonSchema)]
#[schemars(untagged)]
pub enum Replacement {
    /// A part.
    Part(Box<Part>),
    /// A relation.
    Relation(Box<Stated<Relation>>),
}

impl<'de> Deserialize<'de> for Replacement {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let value = Unread::deserialize(deserializer)?;
        let (parts, relations) = (words_of::<Part>(), words_of::<Relation>());
        match value.word() {
            Some(word) if parts.contains(&word) => {
                value.read().map(|part| Replacement::Part(Box::new(part)))
            }
            Some(word) if !relations.contains(&word) => {
                Err(refuse(value.unknown_word(&[parts, relations].concat())))
            }
            _ => value
                .read()
                .map(|relation| Replacement::Relation(Box::new(relation))),
        }
    }
}

impl ChangeKind for Replace {
    fn says(&self) -> &'static str {
        "A part or a relation takes the place of the one of the same name."
    }

    fn make(&self, document: &mut Document) -> Result<(), Fault> {
        not_one_hand(document, &self.0, &self.0.value)?;
        let name = self.0.value.clone();
        let (done, near) = match &self.1 {
            Replacement::Part(part) => (
                document.parts.replace(&name, (**part).clone()).is_ok(),
                nearest(&name, document.parts.names()),
            ),
            Replacement::Relation(relation) => (
                document
                    .relations
                    .replace(&name, (**relation).clone())
                    .is_ok(),
                nearest(&name, document.relations.names()),
            ),
        };
        if done {
            if matches!(self.1, Replacement::Part(_)) {
                document.forget_made(&name);
            }
            return Ok(());
        }
        let help = near.map(|near| format!("the nearest is `{near}`"));
        let fault = cannot(
            &self.0,
            format!("there is nothing named `{name}` to replace"),
        );
        Err(Fault {
            code: Code::UnknownName,
            ..fault
        }
        .help_if(help))
    }

    fn told(&self) -> String {
        format!("{} replaced", self.0.value)
    }

    fn sets(&self, _document: &Document) -> Option<String> {
        Some(format!("{} replaced", self.0.value))
    }
}
