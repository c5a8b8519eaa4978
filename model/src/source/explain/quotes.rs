//! Faults of quotes: a quantity or a name without them, quotes of another kind, a text that swallows the next one.

use super::super::fault::{Code, Fault};
use super::super::token::Kind;
use super::scene::Scene;

impl Scene<'_> {
    /// A quantity with a unit or a fraction that isn't in quotes, such as `5/8 in`: the words, numbers and signs on
    /// one line around the byte, if the first is a number.
    pub(super) fn unquoted(&self) -> Option<Fault> {
        let around = &self.around;
        let begins = |kind| matches!(kind, Kind::Number | Kind::Word | Kind::Other);
        let here = around.at.as_ref().filter(|token| begins(token.kind));
        let start = around.run.or(here.map(|token| token.span.start))?;
        let rest = self.text.get(start..)?;
        let end = rest
            .find(|c: char| "\n,:()[]{}\"'".contains(c))
            .unwrap_or(rest.len());
        if rest[end..].starts_with(':') {
            // The last word is the name of the next field: what is missing is a comma.
            return None;
        }
        let quantity = rest[..end].trim_end();
        let number_first = quantity.starts_with(|c: char| c.is_ascii_digit());
        let reaches_byte = start + quantity.len() >= self.byte;
        let one_number = quantity.chars().all(|c| c.is_ascii_digit() || c == '.');
        if !number_first
            || !reaches_byte
            || one_number
            || quantity.len() > 40
            || quantity.starts_with("0x")
        {
            return None;
        }
        let message = "a quantity with a unit or a fraction goes in double quotes";
        Some(
            Fault::error(Code::MissingQuotes, message)
                .at(start..start + quantity.len(), "not in quotes")
                .help(format!("write \"{quantity}\"")),
        )
    }

    /// A quote of another kind than the one that texts have.
    pub(super) fn other_quote(&self) -> Option<Fault> {
        let around = &self.around;
        let sign =
            |text: &str| text.starts_with(['\'', '’', '‘', '“', '”', '„', '«', '»', '`', '″', '′']);
        let starts = [around.run, around.at.as_ref().map(|token| token.span.start)];
        let start = starts
            .into_iter()
            .flatten()
            .find(|&start| sign(&self.text[start..]))?;
        let quote = self.text[start..].chars().next()?;
        Some(
            Fault::error(Code::MissingQuotes, "a text goes in straight double quotes")
                .at(start..start + quote.len_utf8(), "not such a quote")
                .help("write \"…\""),
        )
    }

    /// A text over several lines right before the byte: most likely one whose closing quote is missing.
    pub(super) fn over_lines(&self) -> Option<Fault> {
        let before = self.around.before.as_ref()?;
        let text = self.slice(&before.span);
        (text.starts_with('"') && text.contains('\n'))
            .then(|| self.swallowed())
            .flatten()
    }

    /// A text that ends where another seems to begin: over several lines, or with a word right behind its quote.
    pub(super) fn swallowed(&self) -> Option<Fault> {
        let around = &self.around;
        let before = around
            .before
            .as_ref()
            .filter(|token| token.kind == Kind::Text)?;
        let wordy = |kind| matches!(kind, Kind::Word | Kind::Number);
        let at = around.at.as_ref().filter(|token| wordy(token.kind));
        let glued = at.is_some_and(|token| token.span.start == before.span.end);
        let text = self.slice(&before.span);
        let over_lines = text.starts_with('"') && text.contains('\n');
        if !glued && !over_lines {
            return None;
        }
        let end = before.span.end;
        Some(
            Fault::error(Code::Unclosed, "a closing quote seems to be missing")
                .at(self.clipped(&before.span), "this text starts here")
                .also(end - 1..end, "and ends only here"),
        )
    }

    pub(super) fn bad_escape(&self) -> Fault {
        Fault::error(
            Code::BadText,
            "a backslash in a text has to be doubled, or the text to be raw",
        )
        .at(self.just_read(), "holds a backslash")
        .help(r##"write "5/8\"" or r#"5/8""# for an inch mark"##)
    }

    /// A bare word, or one with signs in it, that was meant as text: all up to the next blank or bracket.
    pub(super) fn meant_as_text(&self) -> Option<&str> {
        let word = self
            .around
            .at
            .as_ref()
            .filter(|token| token.kind == Kind::Word)?;
        let rest = self.text.get(word.span.start..)?;
        let end = |c: char| {
            c.is_whitespace() || matches!(c, ',' | ':' | '(' | ')' | '[' | ']' | '{' | '}' | '"')
        };
        Some(&rest[..rest.find(end).unwrap_or(rest.len())]).filter(|text| text.len() <= 80)
    }
}
