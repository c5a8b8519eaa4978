//! A value together with its place in the file, so that a fault found later can still show where it was written.
//! For leaves: names, texts, numbers. It works wherever a value may stand, as the key of a map too.

use std::fmt;
use std::ops::{Deref, Range};

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::unread::Unread;

/// A value and the bytes it was read from, quotes included. Two of them are equal if their values are, wherever
/// they were written.
#[derive(Clone, Debug, Default)]
pub struct Spanned<T> {
    /// The value.
    pub value: T,
    /// Its bytes in the file; empty at 0 for a value that wasn't read from one.
    pub span: Range<usize>,
}

/// A text with its place.
pub type Text = Spanned<String>;

impl<T> Spanned<T> {
    /// A value with its place.
    pub fn new(value: T, span: Range<usize>) -> Self {
        Self { value, span }
    }

    /// A value that stands in no file.
    pub fn unplaced(value: T) -> Self {
        Self::new(value, 0..0)
    }
}

impl From<&str> for Text {
    fn from(text: &str) -> Self {
        Self::unplaced(text.to_owned())
    }
}

impl From<String> for Text {
    fn from(text: String) -> Self {
        Self::unplaced(text)
    }
}

impl<T: fmt::Display> fmt::Display for Spanned<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.value.fmt(f)
    }
}

impl<T> Deref for Spanned<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.value
    }
}

impl<T: PartialEq> PartialEq for Spanned<T> {
    fn eq(&self, other: &Self) -> bool {
        self.value == other.value
    }
}

impl<T: Eq> Eq for Spanned<T> {}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Spanned<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let written = Unread::deserialize(deserializer)?;
        Ok(Self::new(written.read()?, written.span()))
    }
}

impl<T: Serialize> Serialize for Spanned<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.value.serialize(serializer)
    }
}
