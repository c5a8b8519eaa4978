//! A quantity as it is written: text with a unit or an expression in it, a bare number, or the word `Find`.
//! Nothing is computed here; the text is kept with its place.

use std::ops::Range;

use serde::ser::SerializeStructVariant;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use super::fault::{Code, Fault, shortened};
use super::nearest::nearest;
use super::reading::refuse;
use super::spanned::{Spanned, Text};
use super::unread::Unread;

/// The word for a quantity that the positions of the parts decide.
const FIND: &str = "Find";

/// A quantity as written.
#[derive(Clone, Debug)]
pub enum Given {
    /// `"5/8 in"`, `"bay * 2"`.
    Text(Text),
    /// `3`, `3.5`: always finite.
    Number(Spanned<f64>),
    /// `Find`, `Find(near: "5 deg")`, or one of the texts `"Find"` and `"find"`.
    Find {
        /// Where to look first: a text or a number, never itself a `Find`.
        near: Option<Box<Given>>,
        /// The bytes of the whole.
        span: Range<usize>,
    },
}

impl Given {
    /// A quantity that stands in no file, as given on a command line.
    pub fn unplaced(text: &str) -> Self {
        Self::from_text(Text::from(text.trim()))
    }

    /// Its bytes in the file.
    pub fn span(&self) -> Range<usize> {
        match self {
            Self::Text(text) => text.span.clone(),
            Self::Number(number) => number.span.clone(),
            Self::Find { span, .. } => span.clone(),
        }
    }

    /// As it is written, in a few words.
    pub fn told(&self) -> String {
        match self {
            Self::Text(text) => text.value.clone(),
            Self::Number(number) => number.value.to_string(),
            Self::Find { .. } => "found".to_owned(),
        }
    }

    fn from_text(text: Text) -> Self {
        if text.value == FIND || text.value == "find" {
            let span = text.span;
            Self::Find { near: None, span }
        } else {
            Self::Text(text)
        }
    }
}

/// Equal if the same is written, wherever it stands.
impl PartialEq for Given {
    fn eq(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Text(a), Self::Text(b)) => a == b,
            (Self::Number(a), Self::Number(b)) => a == b,
            (Self::Find { near: a, .. }, Self::Find { near: b, .. }) => a == b,
            _ => false,
        }
    }
}

/// What `Find` may hold.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Hint {
    near: Given,
}

impl<'de> Deserialize<'de> for Given {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let written = Unread::deserialize(deserializer)?;
        match (written.word(), written.text().chars().next()) {
            (Some(FIND), _) => find(&written),
            (Some(word), _) => match written.read::<f64, D::Error>() {
                // `inf` and `NaN` are words to look at and numbers to read.
                Ok(value) => number(value, written.span()),
                Err(_) => Err(refuse(bare_word(word, written.span()))),
            },
            (None, Some('"' | 'r')) => {
                let text = written.read()?;
                Ok(Self::from_text(Spanned::new(text, written.span())))
            }
            (None, Some('0'..='9' | '+' | '-' | '.')) => number(written.read()?, written.span()),
            _ => {
                let fault =
                    Fault::error(Code::WrongType, "a quantity is a text, a number or `Find`")
                        .at(written.span(), "none of these")
                        .help("such as \"5/8 in\", 3.5 or Find");
                Err(refuse(fault))
            }
        }
    }
}

fn number<E: de::Error>(value: f64, span: Range<usize>) -> Result<Given, E> {
    if value.is_finite() {
        return Ok(Given::Number(Spanned::new(value, span)));
    }
    let fault = Fault::error(Code::NotFinite, "a quantity has to be a finite number")
        .at(span, "this is not");
    Err(refuse(fault))
}

fn find<E: de::Error>(written: &Unread<'_>) -> Result<Given, E> {
    let span = written.span();
    if written.text() == FIND {
        return Ok(Given::Find { near: None, span });
    }
    let Hint { near } = written.read_after(FIND.len())?;
    if let Given::Find { span, .. } = near {
        let fault = Fault::error(Code::BadValue, "`near` needs a quantity to begin with")
            .at(span, "not given either")
            .help("leave it out: a bare `Find` will do");
        return Err(refuse(fault));
    }
    let near = Some(Box::new(near));
    Ok(Given::Find { near, span })
}

fn bare_word(word: &str, span: Range<usize>) -> Fault {
    let help = match nearest(word, [FIND]) {
        Some(meant) => format!("did you mean `{meant}`?"),
        None => format!(
            "a dimension's name goes in double quotes: \"{}\"",
            shortened(word)
        ),
    };
    Fault::error(Code::WrongType, "a quantity is a text, a number or `Find`")
        .at(span, "none of these")
        .help(help)
}

impl Serialize for Given {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Text(text) => text.serialize(serializer),
            Self::Number(number) => number.serialize(serializer),
            Self::Find { near: None, .. } => serializer.serialize_unit_variant("Given", 2, FIND),
            Self::Find {
                near: Some(near), ..
            } => {
                let mut variant = serializer.serialize_struct_variant("Given", 2, FIND, 1)?;
                variant.serialize_field("near", near)?;
                variant.end()
            }
        }
    }
}
