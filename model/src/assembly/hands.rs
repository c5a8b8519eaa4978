//! Statements about parts on both sides: read once for each hand. In: the names of a statement as they are written. Out: the same for
//! the right-hand part, and in the mirror for the left-hand one.

use crate::document::Document;
use crate::part::mirror_word;
use crate::relation::{Hand, split_name};
use crate::source::{Fault, Text};
use crate::words::{Sides, without_hand};

/// The name and hand of each reading of a statement, from the names in it.
pub(super) fn hands(document: &Document, name: &str, names: &[&mut Text]) -> Vec<(String, Hand)> {
    let mut names = names.iter();
    if names.any(|text| both_sided(document, &text.value).is_some()) {
        vec![
            (format!("{name} L"), Hand::Mirrored),
            (right_name(name), Hand::AsWritten),
        ]
    } else {
        vec![(name.to_owned(), Hand::AsWritten)]
    }
}

/// The name of a statement's right-hand reading, the one that is written.
pub(super) fn right_name(name: &str) -> String {
    format!("{name} R")
}

/// The part that a name means without saying which of two, with the rest of the name.
pub(super) fn both_sided<'t>(document: &Document, name: &'t str) -> Option<(&'t str, &'t str)> {
    let (part, _) =
        split_name(|part| document.parts.get(part).is_some(), name).unwrap_or((name, ""));
    let both = document
        .parts
        .get(part)
        .is_some_and(|part| part.kind().common().sides == Sides::Both);
    both.then(|| name.split_at(part.len()))
}

/// Names each part of two by the hand of this reading, and mirrors the words of faces in the left-hand
/// one. Gives the names as they are now.
pub(super) fn rewrite(document: &Document, names: Vec<&mut Text>, hand: Hand) -> Vec<String> {
    names
        .into_iter()
        .map(|text| {
            let side = match hand {
                Hand::AsWritten => "R",
                Hand::Mirrored => "L",
            };
            let (part, rest) = match both_sided(document, &text.value) {
                Some((part, rest)) => (format!("{part} {side}"), rest.to_owned()),
                None => {
                    // one that says which it is, or is alone, keeps its name
                    let part = part_of(document, &text.value).to_owned();
                    let rest = text.value[part.len()..].to_owned();
                    let named_by_hand = part.ends_with(" L") || part.ends_with(" R");
                    if named_by_hand {
                        return text.value.clone();
                    }
                    (part, rest)
                }
            };
            let rest = match hand {
                Hand::AsWritten => rest,
                Hand::Mirrored => mirror_word_in(&rest),
            };
            text.value = format!("{part}{rest}");
            text.value.clone()
        })
        .collect()
}

/// The part of a name `PART.FACE`, `PART L.FACE` or `PART`.
fn part_of<'t>(document: &Document, name: &'t str) -> &'t str {
    let known = |stem: &str| {
        document.parts.get(stem).is_some()
            || without_hand(stem).is_some_and(|stem| document.parts.get(stem).is_some())
    };
    name.rmatch_indices('.')
        .map(|(at, _)| &name[..at])
        .find(|stem| known(stem))
        .unwrap_or_else(|| match name.rsplit_once('.') {
            Some((part, _)) if !known(name) => part,
            _ => name,
        })
}

/// `.web_left` becomes `.web_right`.
fn mirror_word_in(rest: &str) -> String {
    match rest.strip_prefix('.') {
        Some(face) => format!(".{}", mirror_word(face)),
        None => rest.to_owned(),
    }
}

/// The fault of a statement about parts on both sides: in the hand in which it is written, where it is at fault in that one too.
pub(super) fn as_written(fault: Fault, hand: Hand, again: impl FnOnce() -> Option<Fault>) -> Fault {
    match hand {
        Hand::AsWritten => fault,
        Hand::Mirrored => again().unwrap_or(fault),
    }
}
