//! What relations and must-fits have in common as they are entered: the tolerance of what states none, and names that are there once.

use std::ops::Range;

use indexmap::IndexMap;

use super::Assembly;
use super::hands::hands;
use crate::document::Document;
use crate::quantity::Kind;
use crate::relation::Hand;
use crate::source::{Code, Fault, Text};

/// Notes the tolerance of what states none, and looks at what dimensions say of themselves.
pub(super) fn general(assembly: &mut Assembly, document: &Document, faults: &mut Vec<Fault>) {
    for entry in document.dimensions.iter() {
        faults.extend(assembly.adjustable(&entry.value.remarks).err());
    }
    let within = document.within.as_ref();
    match within.map(|given| (given, assembly.tolerance_of(given))) {
        None => {}
        Some((_, Ok((length, Kind::Length)))) => assembly.within = Some(length),
        Some((given, Ok(_))) => faults.push(
            Fault::error(
                Code::BadQuantity,
                "the tolerance of all that states none has to be a length",
            )
            .at(given.span(), "or lengths would have none")
            .help("write one as in `within: \"1/64 in\"`; an angle states its own, as in `(is: \"12 deg\", within: \"1/4 deg\")`"),
        ),
        Some((_, Err(fault))) => faults.push(fault),
    }
}

/// The names of the statements so far, each with its place.
#[derive(Default)]
pub(super) struct Seen(IndexMap<String, Range<usize>>);

impl Seen {
    /// Lets a statement be entered, for each hand if it names a part that is there on both sides without saying which.
    ///
    /// # Errors
    /// Its name is there already, or what entering finds fault with: what is wrong for one hand is wrong for the other, and is told
    /// once.
    pub(super) fn enter(
        &mut self,
        document: &Document,
        name: &Text,
        names: &[&mut Text],
        mut enter: impl FnMut(String, Hand) -> Result<(), Fault>,
    ) -> Result<(), Fault> {
        for (full, hand) in hands(document, &name.value, names) {
            self.insert(&full, &name.span)?;
            enter(full, hand)?;
        }
        Ok(())
    }

    fn insert(&mut self, name: &str, span: &Range<usize>) -> Result<(), Fault> {
        match self.0.insert(name.to_owned(), span.clone()) {
            None => Ok(()),
            Some(first) => Err(Fault::error(
                Code::Twice,
                format!("there are two statements named `{name}`"),
            )
            .at(span.clone(), "")
            .also(first, "the other one")
            .help("a statement about parts on both sides makes two, with ` L` and ` R` added to its name")),
        }
    }
}

/// Finds fault with a statement that compares a thing with itself, which says nothing.
///
/// # Errors
/// One of the names is there twice.
pub(super) fn check_named_once(names: &[&mut Text]) -> Result<(), Fault> {
    let again = names
        .iter()
        .enumerate()
        .find_map(|(at, text)| Some((text, names[..at].iter().find(|t| t.value == text.value)?)));
    let Some((text, first)) = again else {
        return Ok(());
    };
    Err(Fault::error(
        Code::BadValue,
        format!("`{}` is named twice in one statement", text.value),
    )
    .at(text.span.clone(), "")
    .also(first.span.clone(), "first here")
    .help("a thing can't be held to itself: name another one in one of the two places"))
}
