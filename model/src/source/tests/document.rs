//! Good texts: every value and every place comes back.

use serde::Deserialize;

use super::super::{Code, Either, Entries, Given, Spanned, Text, Unread, peek_word, read};
use super::{Document, Fit, Flush, MODEL, Part, Relation};

fn model() -> Document {
    read(MODEL).unwrap_or_else(|fault| panic!("{fault:?}"))
}

fn slice<T>(spanned: &Spanned<T>) -> &'static str {
    &MODEL[spanned.span.clone()]
}

#[test]
fn the_order_of_the_file_is_kept() {
    let model = model();
    let names: Vec<&str> = model.dimensions.names().collect();
    assert_eq!(
        names,
        [
            "firewall to panel frame",
            "bay",
            "rail length",
            "angle",
            "guess",
            "word",
            "edge",
            "count",
            "less"
        ]
    );
}

#[test]
fn places_are_those_of_the_literal_in_the_whole_file() {
    let model = model();
    assert_eq!(slice(&model.format), "1");
    assert_eq!(slice(&model.title), "\"Teasel, centre fuselage\"");
    let sheet = model.sheets.entry("S7").unwrap();
    assert_eq!(slice(&sheet.name), "r\"S7\"");
    assert_eq!(slice(&sheet.value), "r#\"seat support, 5/8\" up\"#");
    assert_eq!(sheet.value.as_str(), "seat support, 5/8\" up");
    let part = model.parts.entry("fläche ⅛").unwrap();
    assert_eq!(slice(&part.name), "\"fläche ⅛\"");

    let Relation::Spaced(spaced) = model.relations.get("panel spacing").unwrap().relation() else {
        panic!("not Spaced");
    };
    assert_eq!(slice(&spaced.to), r#""a\"b""#);
    assert_eq!(spaced.to.as_str(), "a\"b");
    let Relation::Readings(readings) = model.relations.get("rear rail").unwrap().relation() else {
        panic!("not Readings");
    };
    let web = readings.entry("from the web").unwrap();
    assert_eq!(slice(&web.name), "\"from the web\"");
    let Relation::Flush(Flush(c, d)) = web.value.relation() else {
        panic!("not Flush");
    };
    assert_eq!((slice(c), slice(d)), ("\"c\"", "\"d\""));
    let Either::Wrapped(stated) = &web.value.0 else {
        panic!("not wrapped");
    };
    assert_eq!(stated.sheet.as_ref().map(slice), Some("\"S7\""));
}

#[test]
fn quantities_are_kept_as_written() {
    let model = model();
    let of = |name: &str| match &model.dimensions.get(name).unwrap().0 {
        Either::Wrapped(figure) => figure.is.clone(),
        Either::Plain(given) => given.clone(),
    };
    let written = |given: &Given| &MODEL[given.span()];
    assert_eq!(written(&of("bay")), "11.25");
    assert_eq!(of("bay"), Given::Number(Spanned::unplaced(11.25)));
    assert_eq!(of("less"), Given::Number(Spanned::unplaced(-0.5)));
    assert_eq!(of("count"), Given::Number(Spanned::unplaced(3.0)));
    assert_eq!(of("edge"), Given::unplaced("1/2 in"));
    assert_eq!(of("rail length"), Given::unplaced("Find"));
    assert_eq!(of("word"), Given::unplaced("Find"));
    assert_eq!(written(&of("word")), "\"find\"");
    assert_eq!(written(&of("guess")), "Find ( near : 3 )");
    let Given::Find {
        near: Some(near),
        span,
    } = of("angle")
    else {
        panic!("not found");
    };
    assert_eq!(&MODEL[span], "Find(near: \"5 deg\")");
    assert_eq!(written(&near), "\"5 deg\"");
    assert_eq!(*near, Given::unplaced("5 deg"));

    let Part::Plate(plate) = model.parts.get("firewall").unwrap() else {
        panic!("not a plate");
    };
    let at = plate.at.as_ref().unwrap();
    assert_eq!(at.wl.as_ref().map(written), Some("-1.5"));
    let Part::Angle(angle) = model.parts.get("left rail").unwrap() else {
        panic!("not an angle");
    };
    assert_eq!(written(&angle.legs.1), "\"1 1/8 in\"");
}

#[test]
fn the_word_chooses_the_type() {
    let model = model();
    let of = |name: &str| match &model.must_fit.get(name).unwrap().0 {
        Either::Wrapped(stated) => &stated.is,
        Either::Plain(fit) => fit,
    };
    assert!(matches!(of("seat back"), Fit::Own(_)));
    assert!(matches!(of("both"), Fit::Own(_)));
    assert!(matches!(of("square"), Fit::Relation(Relation::Flush(_))));
}

#[test]
fn a_byte_order_mark_moves_every_place_by_its_length() {
    let marked = format!("\u{feff}{MODEL}");
    let model: Document = read(&marked).unwrap();
    assert_eq!(
        &marked[model.title.span.clone()],
        "\"Teasel, centre fuselage\""
    );
    let part = model.parts.entry("fläche ⅛").unwrap();
    assert_eq!(&marked[part.name.span.clone()], "\"fläche ⅛\"");
    let fault = read::<Document>("\u{feff}(form: 1)").unwrap_err();
    assert_eq!(fault.span(), Some(4..8));
}

#[test]
fn line_endings_of_another_system_change_nothing() {
    let other = MODEL.replace('\n', "\r\n");
    let model_there: Document = read(&other).unwrap();
    assert_eq!(model_there, model());
    assert_eq!(
        &other[model_there.title.span.clone()],
        "\"Teasel, centre fuselage\""
    );
}

#[test]
fn spanned_values_stand_anywhere() {
    #[derive(Deserialize)]
    enum Kind {
        Two(Text, Spanned<f64>),
        Named { of: Text },
        One(Spanned<f64>),
    }
    let text = r#" [ Two ( "a" /* b */ , 3.5 ) , Named(of: /* c */ "d" // e
        ), One( 2 ) ] "#;
    let kinds: Vec<Spanned<Kind>> = read(text).unwrap();
    let slice = |span: &std::ops::Range<usize>| &text[span.clone()];
    let Kind::Two(a, number) = &kinds[0].value else {
        panic!("not Two");
    };
    assert_eq!((slice(&a.span), slice(&number.span)), ("\"a\"", "3.5"));
    assert_eq!(slice(&kinds[0].span), r#"Two ( "a" /* b */ , 3.5 )"#);
    let Kind::Named { of } = &kinds[1].value else {
        panic!("not Named");
    };
    assert_eq!(slice(&of.span), "\"d\"");
    let Kind::One(number) = &kinds[2].value else {
        panic!("not One");
    };
    assert_eq!(slice(&number.span), "2");

    let keys: Entries<Spanned<f64>> = read("{ /* k */ \"x\" : 1 , \"y\":2}").unwrap();
    let places: Vec<_> = keys
        .iter()
        .map(|e| (e.name.span.clone(), e.value.span.clone()))
        .collect();
    assert_eq!(places, [(10..13, 16..17), (20..23, 24..25)]);

    let lone: Text = read("/* a */ \"b\" /* c */").unwrap();
    assert_eq!(lone.span, 8..11);
    let optional: Option<Text> = read("Some(\"b\")").unwrap();
    assert_eq!(optional.unwrap().span, 5..8);
}

#[test]
fn entries_are_added_changed_and_taken_out_in_order() {
    let mut entries: Entries<u32> = read("{\"a\": 1, \"b\": 2, \"c\": 3}").unwrap();
    let same = entries.clone();
    assert_eq!(entries.replace("b", 20), Ok(2));
    assert_eq!(entries.replace("z", 9), Err(9));
    assert_ne!(entries, same);
    assert_eq!(entries.remove("a").map(|e| e.value), Some(1));
    assert!(entries.push(Text::from("d"), 4).is_ok());
    let fault = entries.push(Text::from("b"), 5).unwrap_err();
    assert_eq!(fault.code, Code::Twice);
    let all: Vec<_> = entries.iter().map(|e| (e.name.as_str(), e.value)).collect();
    assert_eq!(all, [("b", 20), ("c", 3), ("d", 4)]);
    assert_eq!(entries.position("c"), Some(1));
    assert_eq!(Entries::<u32>::default().len(), 0);
}

#[test]
fn what_is_read_can_be_written_and_read_again() {
    let written = "{\"a\":\"5/8 in\",\"b\":3.5,\"c\":Find,\"d\":Find(near:\"5 deg\")}";
    let entries: Entries<Given> = read(written).unwrap();
    assert_eq!(ron::to_string(&entries).unwrap(), written);
}

#[test]
fn the_word_is_seen_past_comments() {
    assert_eq!(peek_word("Flush(\"a\")"), Some("Flush"));
    assert_eq!(peek_word(" // a\n /* /* b */ */ Spaced (…"), Some("Spaced"));
    assert_eq!(peek_word("(is: Flush)"), None);
    assert_eq!(peek_word("r\"raw\""), None);
    assert_eq!(peek_word("\"Flush\""), None);
    assert_eq!(peek_word("// Flush"), None);
    assert_eq!(peek_word(""), None);
}

#[test]
fn a_value_outside_a_reading_is_refused_plainly() {
    let error = ron::from_str::<Text>("\"a\"").unwrap_err();
    assert!(error.to_string().contains("read as a whole"), "{error}");
    assert!(ron::from_str::<Unread<'_>>("a").is_err());
}
