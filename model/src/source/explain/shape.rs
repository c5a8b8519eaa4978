//! Faults in the shape of a text: brackets, commas, colons, and what stands where nothing can.

use std::ops::Range;

use super::super::fault::{Code, Fault};
use super::super::token::{Kind, Tokens};
use super::scene::{Group, Scene};

impl Scene<'_> {
    /// A text, comment or bracket without its end, whatever the reader called it.
    pub(super) fn unclosed(&self) -> Option<Fault> {
        let around = &self.around;
        for token in [&around.before, &around.at].into_iter().flatten() {
            let message = match token.kind {
                Kind::OpenText => "a text has no closing quote",
                Kind::OpenComment => "a comment has no end",
                _ => continue,
            };
            return Some(
                Fault::error(Code::Unclosed, message).at(self.clipped(&token.span), "starts here"),
            );
        }
        let group = around.open.last()?;
        match &around.at {
            None => {
                let message = format!("{} is never closed", self.opening(group));
                let place = self.begin(group)..group.place().end;
                let fault = Fault::error(Code::Unclosed, message).at(place, "opened here");
                Some(fault.also(self.gap(), "the file ends here"))
            }
            Some(at) => match at.kind {
                Kind::Close(sign) if sign != group.sign => {
                    Some(self.not_closed_before(group, self.here()))
                }
                _ => None,
            },
        }
    }

    fn not_closed_before(&self, group: &Group, next: Range<usize>) -> Fault {
        let opening = self.opening(group);
        let message = format!("{opening} is not closed before {}", self.quoted(&next));
        let closing = match group.sign {
            '[' => ']',
            '{' => '}',
            _ => ')',
        };
        Fault::error(Code::Unclosed, message)
            .at(self.begin(group)..group.place().end, "opened here")
            .also(next, format!("`{closing}` is wanted before this"))
    }

    fn opening(&self, group: &Group) -> String {
        self.quoted(&(self.begin(group)..group.bracket.end))
    }

    /// Where a group begins in the eyes of who wrote it: at its word, or at the field that it belongs to on the same line.
    fn begin(&self, group: &Group) -> usize {
        let start = group.place().start;
        let before = self.text.get(..start).unwrap_or_default();
        let word = before.trim_end_matches(' ').strip_suffix(':').map(|text| {
            text.trim_end_matches(|c: char| c.is_ascii_alphanumeric() || c == '_')
                .len()
        });
        match word {
            Some(word) if group.head.is_none() && word + 1 < start => word,
            _ => start,
        }
    }

    /// The next key, such as `"seat frame":`, on a new line within round brackets that stand in curly ones: the round
    /// ones were not closed.
    pub(super) fn key_in_round_brackets(&self) -> Option<Fault> {
        let (at, before) = (self.around.at.as_ref(), self.around.before.as_ref());
        let key = match (before, at) {
            (Some(key), Some(colon)) if colon.kind == Kind::Colon => key,
            (_, Some(key)) if self.colon_follows() => key,
            _ => return None,
        };
        let group = self.round_group()?;
        let inside = self.slice(&(group.bracket.end..key.span.start));
        let in_curly = self.around.open.iter().rev().nth(1)?.sign == '{';
        let on_new_line = inside.trim_end_matches([' ', '\t']).ends_with('\n');
        let not_first = Tokens::new(inside).next().is_some();
        (key.kind == Kind::Text && in_curly && on_new_line && not_first)
            .then(|| self.not_closed_before(group, self.clipped(&key.span)))
    }

    /// A field with a group of its own, such as `parts: {`, within curly brackets, where names stand in quotes and none stands for
    /// such a group: the curly ones were not closed.
    pub(super) fn field_in_curly_brackets(&self) -> Option<Fault> {
        let at = self.around.at.as_ref()?;
        let group = self.around.open.last().filter(|group| group.sign == '{')?;
        let field = at.kind == Kind::Word && self.colon_follows();
        let value = self.around.after.as_ref().map(|colon| colon.span.end)?;
        let value = Tokens::starting_at(self.text, value).next()?;
        let of_groups = matches!(value.kind, Kind::Open('{' | '['));
        (field && of_groups).then(|| self.not_closed_before(group, self.here()))
    }

    /// A comma is wanted between two values.
    pub(super) fn comma_wanted(&self) -> Fault {
        let before = match &self.around.before {
            Some(before) => before,
            None => return self.stray_sign(),
        };
        // a text that ran over a line end has swallowed the quote of what follows, which then looks bare
        let known = self
            .over_lines()
            .or_else(|| self.split_number())
            .or_else(|| self.unquoted());
        let known = known
            .or_else(|| self.swallowed())
            .or_else(|| self.key_in_round_brackets());
        if let Some(fault) = known {
            return fault;
        }
        if self.at_is(|kind| kind == Kind::Colon) {
            return self.named_among_unnamed();
        }
        if before.kind == Kind::Word && self.at_is(|kind| kind == Kind::Open('(')) {
            let name = self.quoted(&before.span);
            return Fault::error(
                Code::WrongCount,
                format!("{name} stands alone, without brackets"),
            )
            .at(before.span.clone(), "takes no values");
        }
        let begins_field = before.kind == Kind::Word && self.stands_first(before);
        if begins_field
            && (self.fields().next().is_some() || !self.at_is(|kind| kind == Kind::Word))
        {
            return self.colon_missing();
        }
        let next = self.described(&self.around.at);
        Fault::error(
            Code::MissingComma,
            format!("a comma is missing before {next}"),
        )
        .at(self.gap(), "`,` here")
    }

    /// A colon is wanted between a name and its value.
    pub(super) fn colon_wanted(&self) -> Fault {
        self.swallowed().unwrap_or_else(|| self.colon_missing())
    }

    fn colon_missing(&self) -> Fault {
        let name = self.quoted(&self.last());
        Fault::error(
            Code::MissingColon,
            format!("a colon is missing after {name}"),
        )
        .at(self.gap(), "`:` here")
    }

    /// A name with a colon where values before it stand without: the colon is at the byte.
    fn named_among_unnamed(&self) -> Fault {
        let name = self.quoted(&self.last());
        let fault = Fault::error(
            Code::Misplaced,
            "values are given either all by name or all in order",
        )
        .at(self.last(), "given by name");
        let first = self.round_group().map(|group| group.bracket.end);
        let first = first.and_then(|start| Tokens::starting_at(self.text, start).next());
        match first.filter(|first| first.span.end <= self.last().start) {
            Some(first) => fault.also(self.clipped(&first.span), "given in order"),
            None => fault.help(format!("leave out {name} and its colon")),
        }
    }

    /// More values than there is room for.
    pub(super) fn one_too_many(&self) -> Fault {
        if !self.before_is(|kind| kind == Kind::Comma) {
            return self.comma_wanted();
        }
        if let Some(fault) = self.key_in_round_brackets() {
            return fault;
        }
        let found = self.described(&self.around.at);
        let message = match self.head() {
            Some(head) => format!("`{head}` takes no more values, found {found}"),
            None => format!("no more values are expected here, found {found}"),
        };
        let fault = Fault::error(Code::WrongCount, message).at(self.here(), "one too many");
        match self.around.open.last() {
            Some(group) => fault.also(group.place(), "in this"),
            None => fault,
        }
    }

    /// A sign that belongs to no value.
    pub(super) fn stray_sign(&self) -> Fault {
        if let Some(fault) = self.other_quote().or_else(|| self.unquoted()) {
            return fault;
        }
        let around = &self.around;
        let mut tokens = [&around.at, &around.before].into_iter().flatten();
        match tokens.find(|token| token.kind == Kind::Other) {
            Some(stray) => {
                let message = format!("the sign {} has no meaning here", self.quoted(&stray.span));
                let sign = self.slice(&stray.span);
                let remark = ['#', ';', '%'].iter().any(|begin| sign.starts_with(*begin));
                Fault::error(Code::Misplaced, message)
                    .at(stray.span.clone(), "not expected")
                    .help_if(remark.then(|| "a remark starts with `//`".to_owned()))
            }
            None => {
                let message = format!("{} can't stand here", self.described(&around.at));
                Fault::error(Code::Misplaced, message).at(self.here(), "not expected")
            }
        }
    }

    pub(super) fn trailing(&self) -> Fault {
        if let Some(fault) = self.split_number().or_else(|| self.unquoted()) {
            return fault;
        }
        let message = format!(
            "the file should end here, found {}",
            self.described(&self.around.at)
        );
        let fault = Fault::error(Code::Misplaced, message).at(self.here(), "belongs to nothing");
        match &self.around.closed {
            Some(group) => fault.also(group.place(), "opened here, and closed before the end"),
            None => fault,
        }
    }

    /// The text ends outside all brackets, and yet something is wanted.
    pub(super) fn ends_too_early(&self) -> Fault {
        Fault::error(
            Code::Syntax,
            "a value is expected before the end of the file",
        )
        .at(self.gap(), "nothing here")
    }
}
