//! Any text at all, and good texts spoilt: reading never panics, and every place it gives is a place of the text.

use proptest::prelude::*;

use super::super::token::Tokens;
use super::super::{Either, Entries, Fault, Given, Text, line_column, read};
use super::{Document, Fit, Flush, MODEL, Part, Relation, Statement};

/// Pieces that mean something to the reader, to be put where they don't belong.
const PIECES: [&str; 24] = [
    "(", ")", "[", "]", "{", "}", ",", ":", "\"", "'", "r#\"", "\\", "//", "/*", "*/", "Find",
    "inf", "3", "-", "½", "\u{feff}", "#![", "b\"", "\n",
];

/// All texts of a relation.
fn texts_of(relation: &Relation, found: &mut Vec<Text>) {
    match relation {
        Relation::Flush(Flush(a, b)) => found.extend([a.clone(), b.clone()]),
        Relation::Spaced(spaced) => {
            found.extend([spaced.from.clone(), spaced.to.clone()]);
            quantity(&spaced.by, found);
        }
        Relation::Readings(readings) => statements(readings, found),
        Relation::Held(name) => found.push(name.clone()),
        Relation::Chain(names, _) => found.extend(names.iter().cloned()),
    }
}

fn statements(all: &Entries<Statement>, found: &mut Vec<Text>) {
    for entry in all {
        found.push(entry.name.clone());
        texts_of(entry.value.relation(), found);
    }
}

fn quantity(given: &Given, found: &mut Vec<Text>) {
    match given {
        Given::Text(text) => found.push(text.clone()),
        Given::Number(_) => {}
        Given::Find { near, .. } => near.iter().for_each(|near| quantity(near, found)),
    }
}

/// All texts of a model.
fn texts(model: &Document) -> Vec<Text> {
    let mut found = vec![model.title.clone()];
    found.extend(
        model
            .sheets
            .iter()
            .flat_map(|sheet| [sheet.name.clone(), sheet.value.clone()]),
    );
    for entry in &model.dimensions {
        found.push(entry.name.clone());
        match &entry.value.0 {
            Either::Wrapped(figure) => quantity(&figure.is, &mut found),
            Either::Plain(given) => quantity(given, &mut found),
        }
    }
    for entry in &model.parts {
        found.push(entry.name.clone());
        if let Part::Angle(angle) = &entry.value {
            quantity(&angle.legs.0, &mut found);
            quantity(&angle.legs.1, &mut found);
        }
    }
    statements(&model.relations, &mut found);
    for entry in &model.must_fit {
        found.push(entry.name.clone());
        match &entry.value.0 {
            Either::Plain(Fit::Relation(relation)) => texts_of(relation, &mut found),
            Either::Plain(Fit::Own(_)) | Either::Wrapped(_) => {}
        }
    }
    found
}

/// Checks what reading a text gives: every text's place holds the quoted literal it was read from, every fault's
/// place lies in the text.
fn sound(text: &str, result: &Result<Document, Fault>) {
    match result {
        Ok(model) => {
            for found in texts(model) {
                let literal = text.get(found.span.clone()).unwrap();
                assert!(
                    literal.starts_with(['"', 'r']) && literal.ends_with(['"', '#']),
                    "{literal}"
                );
                assert_eq!(ron::from_str::<String>(literal).unwrap(), found.value);
            }
        }
        Err(fault) => {
            assert!(
                !fault.message.is_empty() && !fault.message.contains('\0'),
                "{fault:?}"
            );
            for label in &fault.labels {
                assert!(text.get(label.span.clone()).is_some(), "{fault:?}");
                assert!(line_column(text, label.span.start).0 > 0);
            }
        }
    }
}

/// A place between two characters of the model.
fn boundary(position: usize) -> usize {
    MODEL.floor_char_boundary(position % (MODEL.len() + 1))
}

fn spoilt() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        prop::sample::select(PIECES.to_vec()).prop_map(str::to_owned),
        any::<char>().prop_map(String::from),
        Just(String::new()),
    ];
    let change = (any::<usize>(), 0_usize..12, piece);
    prop::collection::vec(change, 1..4).prop_map(|changes| {
        let mut text = MODEL.to_owned();
        for (position, length, piece) in changes {
            let start = text.floor_char_boundary(position % (text.len() + 1));
            let end = text.ceil_char_boundary((start + length).min(text.len()));
            text.replace_range(start..end, &piece);
        }
        text
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        sound(&text, &read(&text));
drop(read::<Given>(&text));
        drop(read::<Text>(&text));
    }

    #[test]
    fn any_row_of_signs_is_read_or_refused(pieces in prop::collection::vec(prop::sample::select(PIECES.to_vec()), 0..30)) {
        let text = pieces.concat();
        sound(&text, &read(&text));
        let within = format!("(format: 1, title: {text}");
        sound(&within, &read(&within));
    }

    #[test]
    fn a_spoilt_model_is_read_or_refused(text in spoilt()) {
        sound(&text, &read(&text));
    }

    #[test]
    fn a_model_cut_short_is_refused(position in any::<usize>()) {
        let text = &MODEL[..boundary(position)];
        let result = read(text);
        sound(text, &result);
        prop_assert!(result.is_err() || text.trim_end() == MODEL.trim_end());
    }

    #[test]
    fn any_name_comes_back_from_its_place(names in prop::collection::hash_set(any::<String>(), 0..8)) {
        let names: Vec<String> = names
            .into_iter()
            .filter(|name| !name.is_empty() && name.trim() == name && !name.chars().any(char::is_control))
            .collect();
        let rows: Vec<String> = names.iter().map(|name| {
            let literal = ron::to_string(name).unwrap();
            format!("{literal}: Flush({literal}, \"b\"),")
        }).collect();
        let text = format!("(format: 1, title: \"\", unit: Mm, relations: {{{}}})", rows.concat());
        let model: Document = read(&text).unwrap();
        let read_names: Vec<&str> = model.relations.names().collect();
        prop_assert_eq!(read_names, names.iter().map(String::as_str).collect::<Vec<_>>());
        sound(&text, &Ok(model));
    }
}

#[test]
fn blanks_and_comments_between_any_two_signs_change_nothing() {
    let model: Document = read(MODEL).unwrap();
    // Not within the first line of settings, which takes no comments everywhere.
    let body = MODEL.find("format").unwrap();
    for token in Tokens::new(MODEL).filter(|token| token.span.start >= body) {
        for blank in [" /* ½ ) /* , */ */ ", "// ⅛ (\r\n\t"] {
            let mut text = MODEL.to_owned();
            text.insert_str(token.span.start, blank);
            let result = read(&text);
            sound(&text, &result);
            assert_eq!(
                result.as_ref(),
                Ok(&model),
                "before {}",
                &MODEL[token.span.clone()]
            );
        }
    }
}
