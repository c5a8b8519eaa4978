//! What can be wrong with an expression. In: facts gathered while reading or evaluating. Out: the place in the text, a sentence, and help.
//! All sentences about expressions are made in this file.

use std::ops::Range;

use super::kind::{Kind, Powers};
use super::name::name_text;
use super::parse::{MAX_DEPTH, MAX_TEXT};

/// A fault of an expression, and the bytes of its text where it lies.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{kind}")]
pub struct ExpressionFault {
    /// Bytes of the text; empty at a place where something is missing.
    pub span: Range<usize>,
    /// What is wrong, with the facts of the case.
    pub kind: FaultKind,
}

/// What is wrong with an expression.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FaultKind {
    /// Nothing but blanks.
    #[error("a length, a number or a name is missing here")]
    Empty,
    /// More than [`MAX_TEXT`] bytes.
    #[error("the text is {0} bytes long; the limit is {MAX_TEXT}")]
    TooLong(usize),
    /// Parentheses and signs nested deeper than [`MAX_DEPTH`].
    #[error("parentheses and signs are nested more than {MAX_DEPTH} deep")]
    TooDeep,
    /// A character that means nothing in this place.
    #[error("`{}` means nothing here", .0.escape_debug())]
    Unexpected(char),
    /// An operator or an opening parenthesis with nothing after it.
    #[error("a length, a number or a name is missing after `{0}`")]
    MissingOperand(char),
    /// Two values side by side.
    #[error("an operator is missing between `{left}` and `{right}`")]
    MissingOperator {
        /// The text before.
        left: String,
        /// The character after.
        right: char,
    },
    /// An opening `(` or `[` without its end.
    #[error("`{0}` is never closed")]
    Unclosed(char),
    /// A closing `)` or `]` without a beginning.
    #[error("`{0}` closes nothing")]
    Unopened(char),
    /// `[` and `]` with nothing between.
    #[error("no name between the brackets")]
    EmptyName,
    /// A word after a number that is no unit.
    #[error("no unit is called `{word}`")]
    UnknownUnit {
        /// The word.
        word: String,
        /// The unit most like it.
        nearest: Option<String>,
    },
    /// A fraction over nought.
    #[error("the fraction `{0}` divides by zero")]
    ZeroDenominator(String),
    /// A figure after feet that isn't in inches.
    #[error("`{0}` follows feet and has no inch mark")]
    FeetWithoutInches(String),
    /// `23-1/2`, which could be the mixed number or a difference.
    #[error("`{whole}-{fraction}` could be a mixed number or a difference")]
    HyphenBeforeFraction {
        /// Text of the whole number.
        whole: String,
        /// Text of the fraction.
        fraction: String,
    },
    /// `1'-3"`, which could be feet and inches or a difference.
    #[error("`{feet} - {inches}` could be feet and inches or a difference")]
    HyphenAfterFeet {
        /// Text of the feet.
        feet: String,
        /// Text of the inches.
        inches: String,
    },
    /// A figure, a result or a derivative beyond what a number can hold.
    #[error("the number is too large")]
    TooLarge,
    /// A name that stands for nothing.
    #[error("nothing is called `{name}`")]
    UnknownName {
        /// The name.
        name: String,
        /// The known name most like it; filled in by [`ExpressionFault::with_nearest`].
        nearest: Option<String>,
    },
    /// A name whose value isn't known yet, nor to be found.
    #[error("`{0}` has no value yet")]
    NoValue(String),
    /// A divisor that is nought.
    #[error("this divides by zero")]
    DivisionByZero,
    /// A sum of things that can't be added.
    #[error("{right} can't be added to {left}, or taken from it")]
    KindsDiffer {
        /// What the terms before are.
        left: Powers,
        /// What this term is.
        right: Powers,
    },
    /// A result that no field can hold.
    #[error("the result is {0}: neither a length, an angle nor a plain number")]
    NoKind(Powers),
    /// A result of another kind than the field needs.
    #[error("{expected} is needed here, and this is {found}")]
    WrongKind {
        /// What the field needs.
        expected: Kind,
        /// What the expression gives.
        found: Kind,
    },
    /// Values to be found multiplied with one another.
    #[error("two values still to be found are multiplied here")]
    ProductOfUnknowns,
    /// A value to be found as divisor.
    #[error("this divides by a value still to be found")]
    DivisionByUnknown,
}

impl ExpressionFault {
    pub(super) fn new(span: Range<usize>, kind: FaultKind) -> Self {
        Self { span, kind }
    }

    /// The same fault, with the nearest of the known names if it is about an unknown one.
    #[must_use]
    pub fn with_nearest<'a>(mut self, known: impl IntoIterator<Item = &'a str>) -> Self {
        if let FaultKind::UnknownName {
            name,
            nearest: likest,
        } = &mut self.kind
        {
            *likest = nearest(name, known).map(ToOwned::to_owned);
        }
        self
    }

    /// What the person could write instead.
    #[must_use]
    pub fn help(&self) -> Option<String> {
        let text = match &self.kind {
            FaultKind::Unexpected(',') => "write decimals with a point, as in `16.5 mm`".to_owned(),
            FaultKind::Unexpected('"' | '\'') => "inch and foot marks stand after a number".to_owned(),
            FaultKind::Unexpected('¼'..='¾' | '⅐'..='⅞' | '⁄') => "write fractions with a stroke, as in `23 1/2`".to_owned(),
            FaultKind::Unexpected(_) => {
                "a name that holds other signs than letters, digits, `_` and `.` goes in brackets, as in `[aft-most bay]`".to_owned()
            }
            FaultKind::MissingOperator { .. } => "write `*`, `/`, `+` or `-` between two values".to_owned(),
            FaultKind::UnknownUnit { nearest: Some(unit), .. } => format!("did you mean `{unit}`?"),
            FaultKind::UnknownUnit { word, nearest: None } => {
                format!("units are in, ft, mm, cm, m, deg and rad; if `{word}` is a name, write `*` before it")
            }
            FaultKind::ZeroDenominator(_) => "a fraction of an inch has 2, 4, 8, 16, 32 or 64 below its stroke".to_owned(),
            FaultKind::FeetWithoutInches(inches) => format!("write `{inches} in` after the feet"),
            FaultKind::HyphenBeforeFraction { whole, fraction } => {
                format!("write `{whole} {fraction}` for the mixed number, or `({whole}) - {fraction}` for the difference")
            }
            FaultKind::HyphenAfterFeet { feet, inches } => {
                format!("write `{feet} {inches}` for feet and inches, or `{feet} - ({inches})` for the difference")
            }
            FaultKind::UnknownName { nearest: Some(name), .. } => format!("did you mean `{}`?", name_text(name)),
            FaultKind::NoKind(Powers { length: 2, angle: 0 }) => "to take a multiple, multiply by a plain number without a unit".to_owned(),
            FaultKind::NoKind(Powers { length: -1, angle: 0 }) => "for a fraction of an inch, write the stroke without blanks, as in `5/8 in`".to_owned(),
            FaultKind::ProductOfUnknowns | FaultKind::DivisionByUnknown => {
                "state one of the values, or say it by a relation between the parts".to_owned()
            }
            _ => return None,
        };
        Some(text)
    }
}

/// The known name most like a word, if one is like it at all: at most a third of the letters wrong, missing, too many or swapped
/// (capitals not counted; optimal string alignment distance), or else the first that begins with the word. Of equals, the first.
#[must_use]
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase();
    let letters = word.chars().count();
    let limit = if letters < 2 { 0 } else { (letters / 3).max(1) };
    let mut best: Option<(usize, &str)> = None;
    let mut begins: Option<&str> = None;
    for candidate in known {
        let folded = candidate.to_lowercase();
        let distance = strsim::osa_distance(&word, &folded);
        if distance <= limit && best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, candidate));
        }
        if begins.is_none() && letters >= 2 && folded.starts_with(&word) {
            begins = Some(candidate);
        }
    }
    best.map(|(_, candidate)| candidate).or(begins)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nearest_names() {
        let known = ["bay", "rail length", "aft-most bay", "B"];
        assert_eq!(nearest("bya", known), Some("bay"));
        assert_eq!(nearest("Rail Lenght", known), Some("rail length"));
        assert_eq!(nearest("aft", known), Some("aft-most bay"));
        assert_eq!(nearest("panel", known), None);
        assert_eq!(nearest("x", known), None);
        assert_eq!(nearest("b", known), Some("B"));
    }

    #[test]
    fn help_writes_brackets_where_needed() {
        let fault = ExpressionFault::new(
            0..3,
            FaultKind::UnknownName {
                name: "aft".to_owned(),
                nearest: None,
            },
        );
        assert_eq!(fault.help(), None);
        let fault = fault.with_nearest(["aft-most bay"]);
        assert_eq!(
            fault.help().as_deref(),
            Some("did you mean `[aft-most bay]`?")
        );
        assert_eq!(fault.to_string(), "nothing is called `aft`");
    }
}
