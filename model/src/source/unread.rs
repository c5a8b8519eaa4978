//! A value of the file that has been found but not read yet: its text and its place. Whoever holds it looks at how
//! it begins and then reads it as one type or another; places and faults within it are those of the whole file.
//! Rests on RON's `RawValue`, which borrows from the text, so that a piece's address tells where it lies.

use std::ops::Range;

use ron::value::RawValue;
use serde::{Deserialize, Deserializer, de};

use super::fault::{Code, Fault};
use super::reading::{pass_on, place_of, refuse};
use super::token::{Kind, Tokens};
use super::words::{offer, unknown_word};

/// A value found and not read yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unread<'de> {
    text: &'de str,
    span: Range<usize>,
}

impl<'de> Unread<'de> {
    /// The value's text, from its first sign to its last.
    pub fn text(&self) -> &'de str {
        self.text
    }

    /// Its place in the file.
    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// The bare word it begins with: the kind of a part or of a relation.
    pub fn word(&self) -> Option<&'de str> {
        peek_word(self.text)
    }

    /// Whether it stands in round brackets without a word before them.
    pub fn is_bracketed(&self) -> bool {
        self.text.starts_with('(')
    }

    /// The fault of a value that begins with none of the words that would do, such as [`words_of`](super::words_of)
    /// the types it may be read as.
    pub fn unknown_word(&self, known: &[&str]) -> Fault {
        let start = Tokens::new(self.text)
            .next()
            .map_or(0..0, |token| token.span);
        let place = self.span.start + start.start..self.span.start + start.end;
        match self.word() {
            Some(word) => unknown_word(word, place, known),
            None => Fault::error(Code::WrongType, "expected a bare word to begin with")
                .at(place, "not a bare word")
                .help_if(offer("", known)),
        }
    }

    /// Reads it.
    ///
    /// # Errors
    /// What the type refuses, with its place in the whole file.
    pub fn read<T: Deserialize<'de>, E: de::Error>(&self) -> Result<T, E> {
        let result = super::options().from_str(self.text);
        result.map_err(|error| pass_on(self.text, self.span.start, error))
    }

    /// Reads what comes after the first `length` bytes.
    pub(super) fn read_after<T: Deserialize<'de>, E: de::Error>(
        &self,
        length: usize,
    ) -> Result<T, E> {
        let (_, rest) = self.text.split_at_checked(length).unwrap_or_default();
        let rest = Unread {
            text: rest,
            span: self.span.end - rest.len()..self.span.end,
        };
        rest.read()
    }
}

impl<'de> Deserialize<'de> for Unread<'de> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = <&'de RawValue>::deserialize(deserializer)?.trim().get_ron();
        let span = place_of(text).ok_or_else(|| {
            let message = "places can only be told of a text that is read as a whole";
            refuse(Fault::error(Code::Syntax, message))
        })?;
        Ok(Self { text, span })
    }
}

/// The bare word at the start of a piece of RON, past blanks and comments; none if it starts with anything else.
pub fn peek_word(raw: &str) -> Option<&str> {
    let first = Tokens::new(raw).next()?;
    (first.kind == Kind::Word).then(|| &raw[first.span])
}

/// One of two forms of a value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Either<A, B> {
    /// In round brackets without a word before them: `(is: Flush("a", "b"), sheet: "S3")`.
    Wrapped(A),
    /// Anything else: `Flush("a", "b")`, `"5/8 in"`, `3`.
    Plain(B),
}

/// Reads an `A` if the value is in round brackets without a word before them, and a `B` if not.
///
/// # Errors
/// What the type so chosen refuses, with its place in the whole file.
pub fn read_either<'de, D, A, B>(deserializer: D) -> Result<Either<A, B>, D::Error>
where
    D: Deserializer<'de>,
    A: Deserialize<'de>,
    B: Deserialize<'de>,
{
    let value = Unread::deserialize(deserializer)?;
    if value.is_bracketed() {
        value.read().map(Either::Wrapped)
    } else {
        value.read().map(Either::Plain)
    }
}
