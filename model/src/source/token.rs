//! The signs a text is made of, one after the other. In: any text. Out: byte ranges.
//! Used only to say where and why a text was refused, never to decide whether it is: that is the RON reader's work.

use std::ops::Range;

/// One sign of the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Token {
    pub(super) kind: Kind,
    pub(super) span: Range<usize>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// Text in double quotes, plain or raw.
    Text,
    /// Text that runs to the end of the file for want of a closing quote.
    OpenText,
    /// A comment that runs to the end of the file.
    OpenComment,
    Character,
    Number,
    Word,
    /// An opening bracket: `(`, `[` or `{`.
    Open(char),
    /// A closing bracket, given by the bracket that would open it.
    Close(char),
    Comma,
    Colon,
    Other,
}

/// The signs of a text in their order; blanks and comments are left out.
#[derive(Clone)]
pub(super) struct Tokens<'a> {
    text: &'a str,
    position: usize,
}

impl<'a> Tokens<'a> {
    pub(super) fn new(text: &'a str) -> Self {
        Self { text, position: 0 }
    }

    /// The signs from a byte on, which has to be at the start of a character.
    pub(super) fn starting_at(text: &'a str, position: usize) -> Self {
        Self { text, position }
    }

    fn rest(&self) -> &'a str {
        self.text.get(self.position..).unwrap_or_default()
    }

    /// Passes over blanks and closed comments.
    fn skip_blanks(&mut self) {
        loop {
            let rest = self.rest();
            let blanks = rest.len() - rest.trim_start_matches(is_blank).len();
            let after = &rest[blanks..];
            let comment = if after.starts_with("//") {
                after.find('\n').unwrap_or(after.len())
            } else {
                block_comment(after).unwrap_or(0)
            };
            self.position += blanks + comment;
            if blanks + comment == 0 {
                return;
            }
        }
    }
}

impl Iterator for Tokens<'_> {
    type Item = Token;

    fn next(&mut self) -> Option<Token> {
        self.skip_blanks();
        let rest = self.rest();
        let first = rest.chars().next()?;
        let (kind, length) = sign(rest, first);
        let start = self.position;
        self.position += length;
        Some(Token {
            kind,
            span: start..self.position,
        })
    }
}

/// Kind and length of the sign at the start of `rest`, whose first character is `first`.
fn sign(rest: &str, first: char) -> (Kind, usize) {
    if let Some((opening, ending)) = text_quotes(rest) {
        return text_sign(rest, opening, &ending);
    }
    match first {
        '(' | '[' | '{' => (Kind::Open(first), 1),
        ')' => (Kind::Close('('), 1),
        ']' => (Kind::Close('['), 1),
        '}' => (Kind::Close('{'), 1),
        ',' => (Kind::Comma, 1),
        ':' => (Kind::Colon, 1),
        '/' if rest.starts_with("/*") => (Kind::OpenComment, rest.len()),
        '\'' => character(rest).map_or((Kind::Other, 1), |length| (Kind::Character, length)),
        '0'..='9' => (Kind::Number, number(rest)),
        '+' | '-' | '.' if rest[1..].starts_with(|c: char| c.is_ascii_digit() || c == '.') => {
            (Kind::Number, 1 + number(&rest[1..]))
        }
        _ if is_word(first) => (Kind::Word, while_length(rest, is_word)),
        _ => (Kind::Other, first.len_utf8()),
    }
}

/// If a text starts here: the length of its opening quote and the quote that ends it.
fn text_quotes(rest: &str) -> Option<(usize, String)> {
    let unprefixed = rest.strip_prefix('b').unwrap_or(rest);
    let prefix = rest.len() - unprefixed.len();
    if unprefixed.starts_with('"') {
        return Some((prefix + 1, "\"".to_owned()));
    }
    let raw = unprefixed.strip_prefix('r')?;
    let hashes = while_length(raw, |c| c == '#');
    raw[hashes..].starts_with('"').then(|| {
        let ending = format!("\"{}", &raw[..hashes]);
        (prefix + 1 + ending.len(), ending)
    })
}

fn text_sign(rest: &str, opening: usize, ending: &str) -> (Kind, usize) {
    let raw = rest[..opening].contains('r');
    let mut position = opening;
    loop {
        let body = &rest[position..];
        let found = if raw {
            body.find(ending)
        } else {
            body.find(['"', '\\'])
        };
        let Some(found) = found else {
            return (Kind::OpenText, rest.len());
        };
        if raw || body[found..].starts_with('"') {
            return (Kind::Text, position + found + ending.len());
        }
        // Past the backslash and the character it escapes.
        let escaped = body[found + 1..].chars().next();
        position += found + 1 + escaped.map_or(0, char::len_utf8);
    }
}

/// Length of a closed block comment, which may hold others.
fn block_comment(rest: &str) -> Option<usize> {
    if !rest.starts_with("/*") {
        return None;
    }
    let (mut depth, mut position) = (1_usize, 2);
    while depth > 0 {
        position += rest[position..].find(['/', '*'])?;
        let here = &rest[position..];
        if here.starts_with("/*") {
            depth += 1;
            position += 2;
        } else if here.starts_with("*/") {
            depth -= 1;
            position += 2;
        } else {
            position += 1;
        }
    }
    Some(position)
}

/// Length of a character in single quotes, with an escape or without.
fn character(rest: &str) -> Option<usize> {
    let body = rest.strip_prefix('\'')?;
    let first = body.chars().next()?;
    let least = match first {
        '\\' => 1 + body[1..].chars().next()?.len_utf8(),
        _ => first.len_utf8(),
    };
    let end = body[least..].find('\'')?;
    let closes_at_once = end == 0 || (first == '\\' && end <= 8);
    closes_at_once.then_some(1 + least + end + 1)
}

fn number(rest: &str) -> usize {
    let mut previous = ' ';
    let mut exponent_may_follow = !rest.starts_with("0x");
    while_length(rest, |c| {
        let sign_of_exponent =
            matches!(c, '+' | '-') && matches!(previous, 'e' | 'E') && exponent_may_follow;
        exponent_may_follow &= !sign_of_exponent;
        previous = c;
        c.is_ascii_alphanumeric() || matches!(c, '_' | '.') || sign_of_exponent
    })
}

fn while_length(rest: &str, mut belongs: impl FnMut(char) -> bool) -> usize {
    rest.find(|c| !belongs(c)).unwrap_or(rest.len())
}

fn is_word(c: char) -> bool {
    c == '_' || c.is_alphanumeric()
}

fn is_blank(c: char) -> bool {
    c.is_whitespace() || matches!(c, '\u{200E}' | '\u{200F}' | '\u{FEFF}')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn signs(text: &str) -> Vec<(Kind, &str)> {
        Tokens::new(text)
            .map(|token| (token.kind, &text[token.span]))
            .collect()
    }

    #[test]
    fn every_sign_of_a_part_is_told_apart() {
        use Kind::*;
        let text = r##"/* a /* b */ */ Plate(at: [-1.5e-3, 'x', '\n'], // c
            name: r#"5/8""#, "a\"b") }"##;
        assert_eq!(
            signs(text),
            [
                (Word, "Plate"),
                (Open('('), "("),
                (Word, "at"),
                (Colon, ":"),
                (Open('['), "["),
                (Number, "-1.5e-3"),
                (Comma, ","),
                (Character, "'x'"),
                (Comma, ","),
                (Character, r"'\n'"),
                (Close('['), "]"),
                (Comma, ","),
                (Word, "name"),
                (Colon, ":"),
                (Text, r##"r#"5/8""#"##),
                (Comma, ","),
                (Text, r#""a\"b""#),
                (Close('('), ")"),
                (Close('{'), "}"),
            ]
        );
    }

    #[test]
    fn what_never_ends_runs_to_the_end() {
        assert_eq!(
            signs("a \"b, c"),
            [(Kind::Word, "a"), (Kind::OpenText, "\"b, c")]
        );
        assert_eq!(
            signs("a /* b"),
            [(Kind::Word, "a"), (Kind::OpenComment, "/* b")]
        );
        assert_eq!(signs(r#""a\"#), [(Kind::OpenText, r#""a\"#)]);
        assert_eq!(signs("'"), [(Kind::Other, "'")]);
    }
}
