//! Which kinds have a field that another kind doesn't have. In: the kind and the field, as they are written. Out: the words of the
//! kinds, from the types. Used when a file is read: whoever gives a Tube a `path` is told which kind takes one.

use schemars::{Schema, schema_for};

use crate::change::{self, Change};
use crate::document::Document;
use crate::must_fit::{self, OwnKind};
use crate::part::{self, About, Part};
use crate::reference::{definition, properties};
use crate::relation::{self, Relation};
use crate::source::{Fault, NoField, read_knowing};

/// A field that more kinds have says little of what was meant.
const MOST: usize = 4;

impl Document {
    /// Reads a model.
    ///
    /// # Errors
    /// The first thing wrong with its text.
    pub fn read(text: &str) -> Result<Document, Fault> {
        read_knowing(text, &kinds_with)
    }
}

/// The other kinds of its list that have a field; none where many have.
pub(crate) fn kinds_with(missing: &NoField<'_>) -> Vec<&'static str> {
    let is_in = |list: &[About]| list.iter().any(|about| missing.kind == Some(about.word));
    let with = |list: &'static [About], schema: Schema| -> Vec<&'static str> {
        let has = |about: &&About| {
            definition(&schema, about.word)
                .is_some_and(|kind| properties(kind).any(|(name, _)| name == missing.field))
        };
        list.iter().filter(has).map(|about| about.word).collect()
    };
    let found = if is_in(part::KINDS) {
        with(part::KINDS, schema_for!(Part))
    } else if is_in(relation::KINDS) || is_in(must_fit::KINDS) {
        let own = with(must_fit::KINDS, schema_for!(OwnKind));
        [with(relation::KINDS, schema_for!(Relation)), own].concat()
    } else if is_in(change::KINDS) {
        with(change::KINDS, schema_for!(Change))
    } else {
        Vec::new()
    };
    if found.len() > MOST {
        return Vec::new();
    }
    found
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    #[test]
    fn kinds_that_have_it_are_named_and_common_fields_are_not() {
        let of = |kind, field| {
            kinds_with(&NoField {
                kind: Some(kind),
                field,
            })
        };
        assert_eq!(of("Tube", "path"), ["Longeron", "BentTube"]);
        assert_eq!(of("Plate", "outline"), ["Frame", "Rib"]);
        assert_eq!(of("Flush", "short_by"), ["Reaches"]);
        assert_eq!(of("Clear", "outside_by"), ["OnContour"]);
        assert_eq!(of("Frame", "length"), [""; 0], "too many have it");
        assert_eq!(of("Frame", "colour"), [""; 0]);
        assert_eq!(of("Propeller", "path"), [""; 0]);
    }

    #[test]
    fn a_file_is_told_which_kind_takes_the_field() {
        let fault = Document::read(
            "(format: 1, title: \"\", unit: Inch, fit: 1, parts: {\"bow\": Tube(runs: Across, length: 20, diameter: 1, wall: \
             \"0.049 in\", path: [])})",
        )
        .unwrap_err();
        assert_eq!(fault.message, "`Tube` has no field `path`");
        let help = fault.help.unwrap();
        assert!(
            help.ends_with("; `path` is a field of `Longeron`, `BentTube`"),
            "{help}"
        );
    }
}
