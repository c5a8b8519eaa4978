//! What stands around the byte at which the reader stopped, in the terms in which faults speak of it: the sign here,
//! the one just read, the brackets it is in, the fields given beside it.

use std::ops::Range;

use super::super::fault::shortened;
use super::super::token::{Kind, Token, Tokens};

/// A bracket with the word before it, as in `Plate(`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Group {
    pub(super) sign: char,
    pub(super) bracket: Range<usize>,
    pub(super) head: Option<Range<usize>>,
}

impl Group {
    /// The word before the bracket, or else the bracket.
    pub(super) fn place(&self) -> Range<usize> {
        self.head.clone().unwrap_or_else(|| self.bracket.clone())
    }
}

/// What stands around a byte.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Around {
    /// The last sign that ends at or before the byte.
    pub(super) before: Option<Token>,
    /// The first sign that ends after it.
    pub(super) at: Option<Token>,
    /// The sign after that.
    pub(super) after: Option<Token>,
    /// The groups not closed up to `before`, the outermost first.
    pub(super) open: Vec<Group>,
    /// The group that `before` closes.
    pub(super) closed: Option<Group>,
    /// Where the words, numbers and stray signs that end in `before` begin.
    pub(super) run: Option<usize>,
}

/// Reads the text up to a byte.
pub(super) fn around(text: &str, byte: usize) -> Around {
    let mut found = Around::default();
    let mut tokens = Tokens::new(text);
    while let Some(token) = tokens.next() {
        if token.span.end > byte {
            found.at = Some(token);
            found.after = tokens.next();
            break;
        }
        found.closed = None;
        found.run = match token.kind {
            Kind::Word | Kind::Number | Kind::Other => found.run.or(Some(token.span.start)),
            _ => None,
        };
        match token.kind {
            Kind::Open(sign) => found.open.push(Group {
                sign,
                bracket: token.span.clone(),
                head: found
                    .before
                    .take_if(|before| before.kind == Kind::Word)
                    .map(|word| word.span),
            }),
            Kind::Close(sign) if found.open.last().is_some_and(|open| open.sign == sign) => {
                found.closed = found.open.pop();
            }
            _ => {}
        }
        found.before = Some(token);
    }
    found
}

/// An error's surroundings.
pub(super) struct Scene<'a> {
    pub(super) text: &'a str,
    pub(super) around: Around,
    pub(super) byte: usize,
}

impl<'a> Scene<'a> {
    pub(super) fn new(text: &'a str, byte: usize) -> Self {
        let byte = text.floor_char_boundary(byte.min(text.len()));
        Self {
            text,
            around: around(text, byte),
            byte,
        }
    }

    /// The sign at the byte, or else the end of the text.
    pub(super) fn here(&self) -> Range<usize> {
        match &self.around.at {
            Some(token) => self.clipped(&token.span),
            None => self.gap(),
        }
    }

    /// The gap after the last sign before the byte.
    pub(super) fn gap(&self) -> Range<usize> {
        let end = self
            .around
            .before
            .as_ref()
            .map_or(self.byte, |token| token.span.end);
        end..end
    }

    /// The last sign before the byte.
    pub(super) fn last(&self) -> Range<usize> {
        match &self.around.before {
            Some(token) => self.clipped(&token.span),
            None => self.here(),
        }
    }

    /// The sign that was just read when the error came up: the one the byte lies in, or the one before; of a group,
    /// its head.
    pub(super) fn just_read(&self) -> Range<usize> {
        match (&self.around.at, &self.around.closed) {
            (Some(at), _) if at.span.start < self.byte => self.clipped(&at.span),
            (_, Some(group)) => group.place(),
            _ => self.last(),
        }
    }

    /// The part of a sign that lies on its first line.
    pub(super) fn clipped(&self, span: &Range<usize>) -> Range<usize> {
        let first_line = self.slice(span).lines().next().map_or(0, str::len);
        span.start..span.start + first_line
    }

    pub(super) fn slice(&self, span: &Range<usize>) -> &'a str {
        self.text.get(span.clone()).unwrap_or_default()
    }

    /// Whether the sign at the byte is of this kind.
    pub(super) fn at_is(&self, wanted: impl Fn(Kind) -> bool) -> bool {
        self.around
            .at
            .as_ref()
            .is_some_and(|token| wanted(token.kind))
    }

    /// Whether the sign before the byte is of this kind.
    pub(super) fn before_is(&self, wanted: impl Fn(Kind) -> bool) -> bool {
        self.around
            .before
            .as_ref()
            .is_some_and(|token| wanted(token.kind))
    }

    /// Whether a colon follows the sign at the byte.
    pub(super) fn colon_follows(&self) -> bool {
        self.around
            .after
            .as_ref()
            .is_some_and(|token| token.kind == Kind::Colon)
    }

    /// A piece of the text to stand in a sentence.
    pub(super) fn quoted(&self, span: &Range<usize>) -> String {
        format!("`{}`", shortened(self.slice(span)))
    }

    /// What a sign is, for the words "found …".
    pub(super) fn described(&self, token: &Option<Token>) -> String {
        let Some(token) = token else {
            return "the end of the file".to_owned();
        };
        let quoted = self.quoted(&token.span);
        match token.kind {
            Kind::Text | Kind::OpenText => format!("the text {quoted}"),
            Kind::Number => format!("the number {quoted}"),
            Kind::Word => format!("the word {quoted}"),
            Kind::Open('[') => "a list".to_owned(),
            Kind::Open('{') => "curly brackets".to_owned(),
            Kind::Open(_) => "round brackets".to_owned(),
            _ => quoted,
        }
    }

    /// The word before the innermost open bracket.
    pub(super) fn head(&self) -> Option<String> {
        let head = self.around.open.last()?.head.as_ref()?;
        Some(shortened(self.slice(head)))
    }

    /// The group whose closing bracket stands at the byte, or was just read.
    pub(super) fn group(&self) -> Option<&Group> {
        let open = self.around.open.last();
        if self.at_is(|kind| matches!(kind, Kind::Close(_))) {
            open
        } else {
            self.around.closed.as_ref().or(open)
        }
    }

    /// The innermost open group if it is in round brackets.
    pub(super) fn round_group(&self) -> Option<&Group> {
        self.around.open.last().filter(|group| group.sign == '(')
    }

    /// The names followed by a colon in the innermost open group, to its end.
    pub(super) fn fields(&self) -> impl Iterator<Item = Range<usize>> {
        let start = self.around.open.last().map_or(0, |group| group.bracket.end);
        let (mut depth, mut last) = (0_usize, None::<Token>);
        let tokens = Tokens::starting_at(self.text, start).map_while(move |token| {
            let name = last
                .take()
                .filter(|name| name.kind == Kind::Word && depth == 0);
            let found = name.filter(|_| token.kind == Kind::Colon);
            match token.kind {
                Kind::Open(_) => depth += 1,
                Kind::Close(_) => depth = depth.checked_sub(1)?,
                _ => {}
            }
            last = Some(token);
            Some(found.map(|name| name.span))
        });
        tokens.flatten()
    }

    /// Whether a sign stands first in round brackets or after a comma in them.
    pub(super) fn stands_first(&self, token: &Token) -> bool {
        let Some(group) = self.round_group() else {
            return false;
        };
        let inside = self.slice(&(group.bracket.end..token.span.start));
        let previous = Tokens::new(inside).last();
        previous.is_none_or(|previous| previous.kind == Kind::Comma)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_open_groups_are_known_at_a_byte() {
        let text = r#"(parts: {"a": Plate(at: (1), "#;
        let found = around(text, text.len());
        let open: Vec<&str> = found.open.iter().map(|g| &text[g.place()]).collect();
        assert_eq!(open, ["(", "{", "Plate"]);
        assert_eq!(found.at, None);
        assert_eq!(found.before.map(|t| t.kind), Some(Kind::Comma));
    }
}
