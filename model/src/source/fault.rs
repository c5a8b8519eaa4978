//! A fault: what is wrong with a text, where, and what would mend it.
//! Plain data: whoever shows it decides on its look. Places are byte ranges of the text that was read.

use std::fmt;
use std::ops::Range;

use serde::{Serialize, Serializer};

/// One thing found wrong, with the places that show it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// What kind of fault it is: a word that stays the same from release to release.
    pub code: Code,
    /// Whether it stops the work.
    pub severity: Severity,
    /// One sentence, without a full stop.
    pub message: String,
    /// The places it speaks of; the primary one first.
    pub labels: Vec<Label>,
    /// What to do about it.
    pub help: Option<String>,
}

/// A place in the text and what is to be said about it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Label {
    /// Bytes of the text that was read; empty where something is missing between two characters.
    pub span: Range<usize>,
    /// A few words to stand beside the place; may be empty.
    pub text: String,
    /// True for the place of the fault itself, false for a place that explains it.
    pub primary: bool,
}

/// How much a fault weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// Worth knowing; nothing is stopped.
    Note,
    /// Nothing can be done with the text until this is mended.
    Error,
}

/// The kinds of fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Code {
    /// The text is longer than the reader takes.
    TooLarge,
    /// Nothing in the file, or no parts in the model.
    Empty,
    /// Brackets within brackets beyond reason.
    TooDeep,
    /// A bracket, a text or a comment without its end.
    Unclosed,
    /// No comma between two values.
    MissingComma,
    /// No colon between a name and its value.
    MissingColon,
    /// Text or a quantity with a unit that is not in double quotes.
    MissingQuotes,
    /// A sign, word or value where none can stand.
    Misplaced,
    /// A field name that the statement or part does not have.
    UnknownField,
    /// A kind, or another bare word, that does not exist.
    UnknownWord,
    /// A field that has to be given is not.
    MissingField,
    /// The same name or field twice.
    Twice,
    /// A value of another type than the one wanted.
    WrongType,
    /// Too few or too many values.
    WrongCount,
    /// A number that can't be read, or is too large for its use.
    BadNumber,
    /// Infinity, or not a number.
    NotFinite,
    /// A text with an escape that does not exist.
    BadText,
    /// A value that its own type refuses.
    BadValue,
    /// Anything else that the reader of the text refuses.
    Syntax,
    /// A file that can't be read or written.
    File,
    /// A part, face, dimension or other thing that isn't there under this name.
    UnknownName,
    /// A quantity that can't be worked out, or is of another kind than the one wanted.
    BadQuantity,
    /// A size that metal can't have.
    BadSize,
    /// A face, line or point where the statement needs another of the three.
    WrongFeature,
    /// Quantities that are given by one another in a circle.
    Circular,
    /// A part that no relation reaches.
    NoRelation,
    /// No positions were found that make all statements hold.
    NotSolved,
    /// A change that can't be made to this model.
    BadChange,
}

impl Code {
    /// The code as a short word with hyphens.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::TooLarge => "too-large",
            Self::Empty => "empty",
            Self::TooDeep => "too-deep",
            Self::Unclosed => "unclosed",
            Self::MissingComma => "missing-comma",
            Self::MissingColon => "missing-colon",
            Self::MissingQuotes => "missing-quotes",
            Self::Misplaced => "misplaced",
            Self::UnknownField => "unknown-field",
            Self::UnknownWord => "unknown-word",
            Self::MissingField => "missing-field",
            Self::Twice => "twice",
            Self::WrongType => "wrong-type",
            Self::WrongCount => "wrong-count",
            Self::BadNumber => "bad-number",
            Self::NotFinite => "not-finite",
            Self::BadText => "bad-text",
            Self::BadValue => "bad-value",
            Self::Syntax => "syntax",
            Self::UnknownName => "unknown-name",
            Self::File => "file",
            Self::BadQuantity => "bad-quantity",
            Self::BadSize => "bad-size",
            Self::WrongFeature => "wrong-feature",
            Self::Circular => "circular",
            Self::NoRelation => "no-relation",
            Self::NotSolved => "not-solved",
            Self::BadChange => "bad-change",
        }
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl Serialize for Code {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.as_str())
    }
}

impl Label {
    /// Whether it stands in the file; what was typed on a command line doesn't, and has no bytes at 0.
    pub fn is_placed(&self) -> bool {
        self.span != (0..0)
    }
}

impl Fault {
    /// A fault that stops the work.
    pub fn error(code: Code, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Error, message.into())
    }

    /// Something worth knowing.
    pub fn note(code: Code, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Note, message.into())
    }

    fn new(code: Code, severity: Severity, message: String) -> Self {
        Self {
            code,
            severity,
            message,
            labels: Vec::new(),
            help: None,
        }
    }

    /// Adds the place of the fault.
    #[must_use]
    pub fn at(mut self, span: Range<usize>, text: impl Into<String>) -> Self {
        let label = Label {
            span,
            text: text.into(),
            primary: true,
        };
        let after_primary = self.labels.iter().take_while(|l| l.primary).count();
        self.labels.insert(after_primary, label);
        self
    }

    /// Adds a place that explains the fault.
    #[must_use]
    pub fn also(mut self, span: Range<usize>, text: impl Into<String>) -> Self {
        self.labels.push(Label {
            span,
            text: text.into(),
            primary: false,
        });
        self
    }

    /// Says what to do about it.
    #[must_use]
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help = Some(text.into());
        self
    }

    /// Says what to do about it, if there is anything to say.
    #[must_use]
    pub fn help_if(mut self, text: Option<String>) -> Self {
        self.help = text.or(self.help);
        self
    }

    /// The place of the fault, if it has one in the file.
    pub fn span(&self) -> Option<Range<usize>> {
        let primary = self.labels.iter().find(|label| label.primary);
        primary
            .filter(|label| label.is_placed())
            .map(|label| label.span.clone())
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Fault {}

/// A piece of the text to stand in a sentence: its first line, cut short if long, without signs that would steer a
/// terminal.
pub(super) fn shortened(text: &str) -> String {
    const MOST: usize = 40;
    let line = text.lines().next().unwrap_or_default();
    let shown = |c: char| if c.is_control() { '\u{fffd}' } else { c };
    let mut short: String = line.chars().take(MOST).map(shown).collect();
    if line.chars().nth(MOST).is_some() {
        short.push('…');
    }
    short
}

/// Line and column of a byte, both from 1; columns count characters. A byte past the end is taken as the end,
/// a byte inside a character as that character.
pub fn line_column(text: &str, byte: usize) -> (usize, usize) {
    let end = text.floor_char_boundary(byte.min(text.len()));
    let before = &text[..end];
    let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
    let line = before.bytes().filter(|&b| b == b'\n').count() + 1;
    let column = before[line_start..].chars().count() + 1;
    (line, column)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_primary_place_stands_first_whatever_the_order_of_building() {
        let fault = Fault::error(Code::Twice, "two of them")
            .also(0..1, "first")
            .at(5..6, "again");
        assert_eq!(fault.span(), Some(5..6));
        assert!(fault.labels[0].primary);
        assert!(!fault.labels[1].primary);
    }

    #[test]
    fn lines_and_columns_count_from_one_in_characters() {
        let text = "½ in\nrail\n";
        assert_eq!(line_column(text, 0), (1, 1));
        assert_eq!(line_column(text, 1), (1, 1), "inside the half");
        assert_eq!(line_column(text, 2), (1, 2));
        assert_eq!(line_column(text, 6), (2, 1));
        assert_eq!(line_column(text, 11), (3, 1));
        assert_eq!(line_column(text, 999), (3, 1));
        assert_eq!(line_column("", 0), (1, 1));
    }
}
