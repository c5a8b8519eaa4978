//! The bare words a type can begin with: the kinds of an enum. For a value that may be of one enum or another, so that
//! its word decides, and for telling the nearest word of all that would do.

use std::fmt;
use std::ops::Range;

use serde::de::{self, Visitor};
use serde::{Deserialize, Deserializer, forward_to_deserialize_any};

use super::fault::{Code, Fault, shortened};
use super::nearest::nearest;

/// The kinds of an enum as they are written in a file; none for a type that isn't read as an enum.
pub fn words_of<'de, T: Deserialize<'de>>() -> &'static [&'static str] {
    let mut words: &'static [&'static str] = &[];
    // The probe always ends in an error: it has nothing to give.
    drop(T::deserialize(Probe(&mut words)));
    words
}

/// The fault of a word that isn't one of those that would do.
pub(super) fn unknown_word(word: &str, span: Range<usize>, known: &[&str]) -> Fault {
    Fault::error(
        Code::UnknownWord,
        format!("`{}` is not known here", shortened(word)),
    )
    .at(span, "not known")
    .help_if(offer(word, known))
}

/// The nearest of the words that would do, or all of them.
pub(super) fn offer(word: &str, known: &[&str]) -> Option<String> {
    if let Some(meant) = nearest(word, known.iter().copied()) {
        return Some(format!("did you mean `{meant}`?"));
    }
    let all: Vec<String> = known.iter().map(|word| format!("`{word}`")).collect();
    (!all.is_empty()).then(|| format!("known here: {}", all.join(", ")))
}

/// A deserializer that only listens to what an enum asks for.
struct Probe<'a>(&'a mut &'static [&'static str]);

/// The end of every probe.
#[derive(Debug)]
struct Probed;

impl fmt::Display for Probed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("only the kinds were asked for")
    }
}

impl std::error::Error for Probed {}

impl de::Error for Probed {
    fn custom<T: fmt::Display>(_: T) -> Self {
        Self
    }
}

impl<'de> Deserializer<'de> for Probe<'_> {
    type Error = Probed;

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Probed> {
        Err(Probed)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        variants: &'static [&'static str],
        _: V,
    ) -> Result<V::Value, Probed> {
        *self.0 = variants;
        Err(Probed)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 u8 u16 u32 u64 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map struct identifier ignored_any
    }
}
