//! Faults in what a text says: values that are missing, of another type, too few, or given twice.

use super::super::fault::{Code, Fault, shortened};
use super::super::token::{Kind, Tokens};
use super::scene::{Group, Scene};

/// A field that every file needs, as it may look.
fn example(field: &str) -> Option<&'static str> {
    match field {
        "fit" => Some("\"1/32 in\""),
        "unit" => Some("Inch"),
        "title" => Some("\"Tail cone\""),
        _ => None,
    }
}

impl Scene<'_> {
    pub(super) fn missing_field(&self, field: &str) -> Fault {
        let Some(group) = self.group() else {
            return Fault::error(Code::MissingField, format!("`{field}` is missing"))
                .at(self.here(), "before this");
        };
        let message = match &group.head {
            Some(head) => format!("{} needs `{field}`", self.quoted(head)),
            None => format!("`{field}` is missing here"),
        };
        Fault::error(Code::MissingField, message)
            .at(group.place(), format!("without `{field}`"))
            .help(match example(field) {
                Some(example) => format!("add `{field}: {example}`, as it is with you"),
                None => format!("add `{field}: …`"),
            })
    }

    pub(super) fn field_twice(&self, field: &str) -> Fault {
        let second = self.just_read();
        let first = self
            .fields()
            .find(|span| self.slice(span) == field && *span != second);
        let fault = Fault::error(Code::Twice, format!("the field `{field}` is given twice"))
            .at(second, "again here");
        match first {
            Some(first) => fault.also(first, "first here"),
            None => fault,
        }
    }

    /// Fewer values than serde's words ask for, such as "tuple struct Flush with 2 elements" or "a tuple of size 2".
    /// (Too many are met as a bracket that doesn't close.)
    pub(super) fn too_few(&self, expected: &str, found: usize) -> Fault {
        let mut numbers = expected.split(|c: char| !c.is_ascii_digit());
        let wanted = match numbers.rfind(|number| !number.is_empty()) {
            Some("1") => "1 value".to_owned(),
            Some(number) => format!("{number} values"),
            None => expected.to_owned(),
        };
        let group = self.group();
        let name = match group.and_then(|group| group.head.as_ref()) {
            Some(head) => format!("{} takes", self.quoted(head)),
            None => "expected".to_owned(),
        };
        let place = group.map_or_else(|| self.here(), Group::place);
        Fault::error(Code::WrongCount, format!("{name} {wanted}, found {found}"))
            .at(place, "too few")
    }

    /// A kind that holds one value has none or several between its brackets.
    pub(super) fn one_value_wanted(&self) -> Fault {
        let place = self.group().map_or_else(|| self.just_read(), Group::place);
        let name = self.quoted(&place);
        Fault::error(Code::WrongCount, format!("{name} takes one value")).at(place, "not one value")
    }

    /// A value of another type was met where the wanted one has to start.
    pub(super) fn wrong_type(&self, wanted: &str) -> Fault {
        if self.at_is(|kind| kind == Kind::Other) {
            return self.stray_sign();
        }
        let word = self.at_is(|kind| kind == Kind::Word);
        if word
            && self.colon_follows()
            && self.round_group().is_some()
            && !self.before_is(|kind| kind == Kind::Colon)
        {
            return self.name_where_order();
        }
        if let Some(fault) = self.field_in_curly_brackets() {
            return fault;
        }
        let found = self.described(&self.around.at);
        let text = self.meant_as_text().filter(|_| wanted.contains("text"));
        Fault::error(Code::WrongType, format!("expected {wanted}, found {found}"))
            .at(self.here(), "of another type")
            .help_if(text.map(|text| format!("write \"{text}\"")))
    }

    /// A field's name stands at the byte where values are given in order.
    fn name_where_order(&self) -> Fault {
        let message = match self.head() {
            Some(head) => format!("`{head}` takes its values in order, without names"),
            None => "values are given in order here, without names".to_owned(),
        };
        let name = self.quoted(&self.here());
        Fault::error(Code::Misplaced, message)
            .at(self.here(), "a name")
            .help(format!("leave out {name} and its colon"))
    }

    /// A value was read whole and then found to be of another type.
    pub(super) fn wrong_type_read(&self, expected: &str) -> Fault {
        let place = self.just_read();
        let found = Tokens::starting_at(self.text, place.start).next();
        let message = format!("expected {expected}, found {}", self.described(&found));
        Fault::error(Code::WrongType, message).at(place, "of another type")
    }

    /// A kind or a struct is written without its brackets, or something else stands in their place.
    pub(super) fn brackets_wanted(&self) -> Fault {
        if !self.before_is(|kind| kind == Kind::Word) {
            return self.wrong_type("a group in round brackets");
        }
        let word = self.last();
        let name = shortened(self.slice(&word));
        Fault::error(
            Code::WrongType,
            format!("`{name}` needs its values in round brackets"),
        )
        .help(format!("write `{name}(…)`"))
        .at(word, "values are missing")
    }

    /// A word stands before a bracket that takes none, or another one.
    pub(super) fn needless_word(&self) -> Fault {
        let word = self.just_read();
        if self.at_is(|kind| kind == Kind::Colon) {
            let message = format!("{} stands outside the brackets", self.quoted(&word));
            return Fault::error(Code::Misplaced, message)
                .at(word, "belongs in brackets")
                .help("write `(name: value, …)`");
        }
        Fault::error(
            Code::UnknownWord,
            format!("{} can't stand here", self.quoted(&word)),
        )
        .at(word, "not known here")
        .help("leave the word out and keep its brackets")
    }

    /// A bare word has to stand here: a field's name, or a kind.
    pub(super) fn word_wanted(&self) -> Fault {
        let at = &self.around.at;
        if self.at_is(|kind| kind == Kind::Other) {
            return self.stray_sign();
        }
        if let Some(fault) = self.key_in_round_brackets() {
            return fault;
        }
        let found = self.described(at);
        if at.as_ref().is_some_and(|token| self.stands_first(token)) {
            let head = self.head().unwrap_or_default();
            return Fault::error(
                Code::WrongType,
                format!("expected a field's name, found {found}"),
            )
            .at(self.here(), "not a name")
            .help(format!("write `{head}(name: value, …)`"));
        }
        let inner = self.slice(&self.here()).trim_matches('"');
        let bare = !inner.is_empty() && inner.chars().all(|c| c.is_alphanumeric() || c == '_');
        let quoted_word = bare && self.at_is(|kind| kind == Kind::Text);
        Fault::error(
            Code::WrongType,
            format!("expected a bare word, found {found}"),
        )
        .at(self.here(), "not a bare word")
        .help_if(quoted_word.then(|| format!("write `{inner}` without quotes")))
    }

    /// A number of which the reader took only the beginning: `1.5` for a whole one, `23.5in`, `0x1F` for any.
    pub(super) fn split_number(&self) -> Option<Fault> {
        let at = self.around.at.as_ref()?;
        if at.kind != Kind::Number || at.span.start >= self.byte {
            return None;
        }
        match self.slice(&at.span).parse::<f64>() {
            Ok(_) => {
                let message = format!("expected a whole number, found {}", self.quoted(&at.span));
                Some(
                    Fault::error(Code::BadNumber, message)
                        .at(at.span.clone(), "not a whole number"),
                )
            }
            Err(_) => Some(self.unquoted().unwrap_or_else(|| self.bad_number())),
        }
    }

    pub(super) fn bad_number(&self) -> Fault {
        let place = self.just_read();
        let message = format!(
            "{} can't be read as the number expected here",
            self.quoted(&place)
        );
        Fault::error(Code::BadNumber, message).at(place, "too large, below zero or not a number")
    }
}
