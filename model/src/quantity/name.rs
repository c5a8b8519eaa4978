//! Names in an expression. In: text at a letter, `_` or `[`. Out: the name as a node.
//! A name is a run of words with blanks between them, as long as it goes, whatever names exist: no other form puts words side by side.
//! Words are letters, digits, `_` and `.`; the first word starts with a letter or `_`, the others not with a point. Several blanks
//! count as one. Any other name stands in brackets, as it is.

use std::borrow::Cow;

use winnow::combinator::{opt, repeat};
use winnow::prelude::*;
use winnow::stream::Location;
use winnow::token::{any, one_of, take_till, take_while};

use super::expression::{Expression, Node};
use super::fault::FaultKind;
use super::reader::{Input, Parsed, blanks1, halt};

pub(super) fn word_start(c: char) -> bool {
    c.is_alphabetic() || c == '_'
}

pub(super) fn word_char(c: char) -> bool {
    word_start(c) || c.is_ascii_digit() || c == '.'
}

/// Whether a name can stand in an expression without brackets.
pub(super) fn is_plain_name(name: &str) -> bool {
    let word = |word: &str| {
        word.starts_with(|c| word_start(c) || char::is_ascii_digit(&c))
            && word.chars().all(word_char)
    };
    name.starts_with(word_start) && name.split(' ').all(word)
}

/// A name as it has to be written in an expression: as it is, or in brackets when it holds more than words.
/// A name that holds `]`, or begins or ends with a blank, can't be written at all.
#[must_use]
pub fn name_text(name: &str) -> Cow<'_, str> {
    if is_plain_name(name) {
        Cow::Borrowed(name)
    } else {
        Cow::Owned(format!("[{name}]"))
    }
}

pub(super) fn name(i: &mut Input<'_>) -> Parsed<Expression> {
    let start = i.current_token_start();
    let first = (any.verify(|&c| word_start(c)), take_while(0.., word_char))
        .take()
        .parse_next(i)?;
    let further = |c: char| word_char(c) && c != '.';
    let words: Vec<&str> = repeat(
        0..,
        (blanks1, one_of(further), take_while(0.., word_char)).take(),
    )
    .parse_next(i)?;
    let mut name = first.to_owned();
    for word in words {
        name.push(' ');
        name.push_str(word.trim_start());
    }
    Ok(Expression {
        span: start..i.current_token_start(),
        node: Node::Name(name),
    })
}

pub(super) fn bracketed_name(i: &mut Input<'_>) -> Parsed<Expression> {
    let start = i.current_token_start();
    '['.parse_next(i)?;
    let name = take_till(0.., ']').parse_next(i)?.trim();
    if opt(']').parse_next(i)?.is_none() {
        return Err(halt(start..start + 1, FaultKind::Unclosed('[')));
    }
    let span = start..i.current_token_start();
    if name.is_empty() {
        return Err(halt(span, FaultKind::EmptyName));
    }
    Ok(Expression {
        span,
        node: Node::Name(name.to_owned()),
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use std::ops::Range;

    use super::super::{names, parse};
    use super::*;

    #[test]
    fn names_are_runs_of_words() {
        let list = |text: &str| -> Vec<(String, Range<usize>)> {
            let expression = parse(text).unwrap();
            names(&expression)
                .into_iter()
                .map(|(name, span)| (name.to_owned(), span))
                .collect()
        };
        let whole = "firewall to panel frame";
        assert_eq!(list(whole), [(whole.to_owned(), 0..23)]);
        assert_eq!(
            list("bay*2 + (left  rail.length - rib 3/4) + [aft-most bay] - spacer_1 L.t"),
            [
                ("bay".to_owned(), 0..3),
                ("left rail.length".to_owned(), 9..26),
                ("rib 3".to_owned(), 29..34),
                ("aft-most bay".to_owned(), 40..54),
                ("spacer_1 L.t".to_owned(), 57..69),
            ]
        );
        assert_eq!(list("2 m * m"), [("m".to_owned(), 6..7)]);
        assert_eq!(
            list("größe × höhe"),
            [("größe".to_owned(), 0..7), ("höhe".to_owned(), 11..16)]
        );
        assert_eq!(parse(" (bay) ").unwrap().as_name(), Some("bay"));
        assert_eq!(parse("bay * 1").unwrap().as_name(), None);
    }

    #[test]
    fn a_name_reads_back_as_written() {
        for name in [
            "bay",
            "rib 3",
            "left rail.length",
            "aft-most bay",
            "2nd bay",
            "a  b",
            "a .b",
            "½",
            "\"x\" (old)",
        ] {
            let text = name_text(name);
            assert_eq!(parse(&text).unwrap().as_name(), Some(name), "{text}");
        }
        assert_eq!(name_text("rib 3"), "rib 3");
        assert_eq!(name_text("2nd bay"), "[2nd bay]");
    }
}
