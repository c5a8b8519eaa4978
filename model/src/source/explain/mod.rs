//! Why the RON reader refused a text, in plain words. In: the text, the reader's error, the byte where it stopped.
//! Out: a [`Fault`] that shows the word or the gap to be mended and, for a word that isn't known, the nearest that is.

mod quotes;
mod scene;
mod shape;
mod value;

use ron::Error;

use super::fault::{Code, Fault, shortened};
use super::words::{offer, unknown_word};
use scene::Scene;

/// A field that a kind doesn't have.
#[derive(Clone, Copy, Debug)]
pub struct NoField<'a> {
    /// The word of the kind, where one stands before its brackets.
    pub kind: Option<&'a str>,
    /// The field.
    pub field: &'a str,
}

/// Makes the fault of an error met at a byte of the text.
pub(super) fn explain(
    text: &str,
    error: &Error,
    byte: usize,
    elsewhere: &dyn Fn(&NoField<'_>) -> Vec<&'static str>,
) -> Fault {
    let scene = Scene::new(text, byte);
    // What was read whole before it was refused is wrong by itself, whatever is left open after it.
    let read_whole = matches!(
        error,
        Error::NoSuchStructField { .. }
            | Error::NoSuchEnumVariant { .. }
            | Error::DuplicateStructField { .. }
            | Error::InvalidValueForType { .. }
            | Error::ExceededRecursionLimit
            | Error::Message(_)
    );
    let unclosed = if read_whole { None } else { scene.unclosed() };
    unclosed.unwrap_or_else(|| match error {
        Error::NoSuchStructField {
            expected, found, ..
        } => unknown_field(&scene, found, expected, elsewhere),
        _ => of_error(&scene, error),
    })
}

/// A field that isn't there: the nearest, or all; and the kinds that have it, if others do.
fn unknown_field(
    scene: &Scene<'_>,
    found: &str,
    expected: &[&str],
    elsewhere: &dyn Fn(&NoField<'_>) -> Vec<&'static str>,
) -> Fault {
    let name = shortened(found);
    let head = scene.head();
    let message = match &head {
        Some(head) => format!("`{head}` has no field `{name}`"),
        None => format!("there is no field `{name}` here"),
    };
    let others = elsewhere(&NoField {
        kind: head.as_deref(),
        field: found,
    });
    let others: Vec<String> = others.iter().map(|kind| format!("`{kind}`")).collect();
    let help = offer(found, expected).into_iter();
    let help: Vec<String> = help
        .chain(
            (!others.is_empty()).then(|| format!("`{name}` is a field of {}", others.join(", "))),
        )
        .collect();
    Fault::error(Code::UnknownField, message)
        .at(scene.just_read(), "not known")
        .help_if((!help.is_empty()).then(|| help.join("; ")))
}

fn of_error(scene: &Scene<'_>, error: &Error) -> Fault {
    match error {
        // The shape of the text.
        Error::ExpectedComma => scene.comma_wanted(),
        Error::ExpectedMapColon => scene.colon_wanted(),
        Error::ExpectedArrayEnd
        | Error::ExpectedMapEnd
        | Error::ExpectedStructLikeEnd
        | Error::ExpectedOptionEnd => scene.one_too_many(),
        Error::ExpectedStructLike | Error::ExpectedNamedStructLike(_) => scene.brackets_wanted(),
        Error::ExpectedIdentifier | Error::SuggestRawIdentifier(_) => scene.word_wanted(),
        Error::ExpectedDifferentStructName { .. } => scene.needless_word(),
        Error::UnexpectedChar(_) | Error::ExpectedChar => scene.stray_sign(),
        Error::TrailingCharacters => scene.trailing(),
        Error::Eof => scene.ends_too_early(),
        Error::ExceededRecursionLimit => {
            Fault::error(Code::TooDeep, "too many brackets within one another")
                .at(scene.here(), "this goes too deep")
        }
        Error::InvalidEscape(_) => scene.bad_escape(),

        // What it says.
        Error::NoSuchEnumVariant {
            expected, found, ..
        } => unknown_word(found, scene.just_read(), expected),
        Error::MissingStructField { field, .. } => scene.missing_field(field),
        Error::DuplicateStructField { field, .. } => scene.field_twice(field),
        Error::ExpectedDifferentLength { expected, found } => scene.too_few(expected, *found),
        Error::ExpectedRawValue => scene.one_value_wanted(),
        Error::InvalidValueForType { expected, .. } => scene.wrong_type_read(expected),
        Error::ExpectedString => scene.wrong_type("a text in double quotes"),
        Error::ExpectedInteger => scene.wrong_type("a whole number"),
        Error::ExpectedFloat => scene.wrong_type("a number"),
        Error::ExpectedBoolean => scene.wrong_type("`true` or `false`"),
        Error::ExpectedArray => scene.wrong_type("a list in square brackets"),
        Error::ExpectedMap => scene.wrong_type("names and values in curly brackets"),
        Error::ExpectedUnit => scene.wrong_type("empty round brackets"),
        Error::IntegerOutOfBounds
        | Error::InvalidIntegerDigit { .. }
        | Error::UnderscoreAtBeginning
        | Error::FloatUnderscore => scene.bad_number(),
        Error::NoSuchExtension(name) => Fault::error(
            Code::UnknownWord,
            format!("the reader has no setting `{}`", shortened(name)),
        )
        .at(scene.last(), "not known")
        .help("the line `#![enable(…)]` can be left out"),
        Error::Message(message) => {
            Fault::error(Code::BadValue, message).at(scene.just_read(), "refused")
        }
        other => Fault::error(Code::Syntax, sentence(&other.to_string()))
            .at(scene.here(), "not understood"),
    }
}

/// A message of the RON reader in the style of ours: small letter first, no full stop.
fn sentence(message: &str) -> String {
    let mut letters = message.trim_end_matches('.').chars();
    let first = letters.next().map(|c| c.to_ascii_lowercase());
    first.into_iter().chain(letters).collect()
}
