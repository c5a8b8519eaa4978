//! From RON text to any type, with the place of every name and figure, or one [`Fault`] that says what is wrong and where.
//! In: a file's text. Out: the type asked for. Nothing here knows of parts, units or aircraft but the words of
//! `synonyms`.

mod entries;
mod explain;
mod fault;
mod given;
mod nearest;
mod reading;
mod schema;
mod spanned;
mod synonyms;
mod token;
mod unread;
mod words;

#[cfg(test)]
mod tests;

use ron::Options;
use ron::extensions::Extensions;
use ron::ser::PrettyConfig;
use serde::Serialize;
use serde::de::DeserializeOwned;

pub use entries::{Entries, Entry};
pub use explain::NoField;
pub use fault::{Code, Fault, Label, Severity, line_column};
pub use given::Given;
pub use nearest::nearest;
pub use reading::refuse;
pub use spanned::{Spanned, Text};
pub use unread::{Either, Unread, peek_word, read_either};
pub use words::words_of;

use reading::{Kept, Session, byte_of};
use token::Tokens;

/// The longest text that is read, in bytes: some hundreds of times a whole aircraft, and ten thousand bays of the benches.
pub const MAX_BYTES: usize = 64 * 1024 * 1024;

/// Brackets and values within one another, as the RON reader counts them: each `Readings` within another counts 4.
/// Keeps the stack from running over.
const MAX_DEPTH: usize = 128;

/// Reads a text. Places are bytes of `text` as given, a byte order mark at its start included.
///
/// # Errors
/// The first thing wrong with it.
pub fn read<T: DeserializeOwned>(text: &str) -> Result<T, Fault> {
    read_knowing(text, &|_| Vec::new())
}

/// The same; `elsewhere` gives the kinds that have a field which another one doesn't have.
///
/// # Errors
/// The first thing wrong with it.
pub fn read_knowing<T: DeserializeOwned>(
    text: &str,
    elsewhere: &dyn Fn(&NoField<'_>) -> Vec<&'static str>,
) -> Result<T, Fault> {
    if text.len() > MAX_BYTES {
        let length = text.len();
        return Err(Fault::error(
            Code::TooLarge,
            format!("the file has {length} bytes; up to {MAX_BYTES} are read"),
        ));
    }
    if let Some(at) = text.find('\0') {
        return Err(Fault::error(
            Code::BadText,
            "this is no text file, or one in UTF-16: it holds zero bytes",
        )
        .at(at..at + 1, "")
        .help("save it as text in UTF-8"));
    }
    if Tokens::new(text).next().is_none() {
        return Err(Fault::error(Code::Empty, "there is nothing in the file")
            .help("`strongback new FILE` writes a first model"));
    }
    let session = Session::begin(text);
    let body = text.strip_prefix('\u{feff}').unwrap_or(text);
    options()
        .from_str(body)
        .map_err(|error| match session.kept(&error.code) {
            Some(Kept::Fault(fault)) => fault,
            Some(Kept::Refusal { error, byte }) => explain::explain(text, &error, byte, elsewhere),
            None => {
                let byte = text.len() - body.len() + byte_of(body, &error.span.end);
                explain::explain(text, &error.code, byte, elsewhere)
            }
        })
}

/// Writes a value as text that [`read`] reads.
///
/// # Errors
/// It holds what can't be written, such as a number that is not finite.
pub fn write<T: Serialize>(value: &T) -> Result<String, ron::Error> {
    let lines = PrettyConfig::default()
        .new_line("\n")
        .separate_tuple_members(false);
    options()
        .to_string_pretty(value, lines)
        .map(|text| text + "\n")
}

/// How the RON reader is set: options without `Some`, kinds without doubled brackets.
fn options() -> Options {
    Options::default()
        .with_default_extension(
            Extensions::IMPLICIT_SOME
                | Extensions::UNWRAP_NEWTYPES
                | Extensions::UNWRAP_VARIANT_NEWTYPES,
        )
        .with_recursion_limit(MAX_DEPTH)
}
