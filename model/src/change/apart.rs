//! What a relation brings together, set further apart.

use serde::Deserialize;

use super::{ChangeKind, cannot};
use crate::document::Document;
use crate::source::{Code, Fault, Given, Text};

/// A relation holds with its two things so much further apart.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Apart(pub Text, pub Given);

impl Apart {
    /// One that stands in no file.
    pub(crate) fn unplaced(relation: &str, by: &str) -> Apart {
        Apart(Text::unplaced(relation.to_owned()), Given::unplaced(by))
    }
}

impl ChangeKind for Apart {
    fn says(&self) -> &'static str {
        "What a relation brings together lies so much further apart, along the normal of the face or the line that it measures \
         along; nearer, if the figure is negative: packing in a joint, a bracket set along its slot. It is counted from what \
         the relation itself states."
    }

    fn make(&self, document: &mut Document) -> Result<(), Fault> {
        let name = &self.0;
        if let Some(stated) = document.relations.get_mut(&name.value) {
            stated.remarks.apart = Some(self.1.clone());
            return Ok(());
        }
        let stem = crate::words::without_hand(&name.value);
        if let Some(stem) = stem.filter(|stem| document.relations.get(stem).is_some()) {
            let message = format!(
                "`{}` is one of a pair that one statement makes, and can't be set alone",
                name.value
            );
            return Err(cannot(name, message).help(format!("name `{stem}` to set both")));
        }
        Err(Fault {
            code: Code::UnknownName,
            ..crate::relation::unknown("relation", name, &name.value, document.relations.names())
        })
    }

    fn told(&self) -> String {
        format!("{} apart by {}", self.0.value, self.1.told())
    }
}
