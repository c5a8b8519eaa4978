//! Bad texts: each is refused with its code, the exact bytes to look at, and what would mend it.

use serde::Deserialize;

use super::super::{Code, Fault, MAX_BYTES, Spanned, read};
use super::Document;

/// The beginning of a model that only lacks its lists.
const HEAD: &str = "(format: 1, title: \"½\", unit: Inch,\n";

/// The fault of a text, with the words it underlines.
fn fault_in<T: for<'de> Deserialize<'de>>(text: &str) -> (Fault, Vec<&str>) {
    let fault = read::<T>(text)
        .err()
        .unwrap_or_else(|| panic!("accepted: {text}"));
    let places = fault.labels.iter().map(|label| &text[label.span.clone()]);
    let places = places.collect();
    (fault, places)
}

/// Checks rows of `body ⇒ code ⇒ words underlined ⇒ message ⇒ help`, where the body stands between the two halves of
/// `around` behind the head of a model, and `⏎` is the end of a line.
fn check(around: [&str; 2], rows: &str) {
    for row in rows.trim().lines() {
        let columns: Vec<&str> = row.split('⇒').map(str::trim).collect();
        let [body, code, place, message, help] = columns[..] else {
            panic!("not five columns: {row}");
        };
        let text = format!("{HEAD}{}{body}{}", around[0], around[1]).replace('⏎', "\n");
        let (fault, places) = fault_in::<Document>(&text);
        let got = [fault.code.as_str(), places[0], fault.message.as_str()];
        assert_eq!(got, [code, place, message], "{body}");
        assert_eq!(fault.help.as_deref().unwrap_or_default(), help, "{body}");
    }
}

const PART: [&str; 2] = ["parts: {\"a\": ", "})"];
const RELATION: [&str; 2] = ["relations: {\"a\": ", "})"];
const DIMENSION: [&str; 2] = ["dimensions: {\"a\": ", "})"];
const MUST_FIT: [&str; 2] = ["must_fit: {\"a\": ", "})"];
const WHOLE: [&str; 2] = ["", ""];

#[test]
fn unknown_words_are_underlined_and_the_nearest_offered() {
    check(
        PART,
        "
Plate(lies: Across, tickness: 3) ⇒ unknown-field ⇒ tickness ⇒ `Plate` has no field `tickness` ⇒ did you mean `thickness`?
Plat(lies: Across)               ⇒ unknown-word ⇒ Plat   ⇒ `Plat` is not known here   ⇒ did you mean `Plate`?
Keel(lies: Across)               ⇒ unknown-word ⇒ Keel   ⇒ `Keel` is not known here   ⇒ known here: `Plate`, `Angle`
Plate(lies: Acros)               ⇒ unknown-word ⇒ Acros  ⇒ `Acros` is not known here  ⇒ did you mean `Across`?
Plate(lies: Across, at: Point(bl: 0)) ⇒ unknown-word ⇒ Point ⇒ `Point` can't stand here ⇒ leave the word out and keep its brackets",
    );
    check(
        RELATION,
        "
(is: Flsh(\"a\", \"b\"))                ⇒ unknown-word ⇒ Flsh ⇒ `Flsh` is not known here ⇒ did you mean `Flush`?
(is: Flush(\"a\", \"b\"), shet: \"S3\") ⇒ unknown-field ⇒ shet ⇒ there is no field `shet` here ⇒ did you mean `sheet`?
Readings({\"x\": (is: Spaced(fro: 3))}) ⇒ unknown-field ⇒ fro  ⇒ `Spaced` has no field `fro` ⇒ did you mean `from`?",
    );
    check(
        MUST_FIT,
        "
OnPlane([]) ⇒ unknown-word ⇒ OnPlane ⇒ `OnPlane` is not known here ⇒ did you mean `OnePlane`?
Flsh()      ⇒ unknown-word ⇒ Flsh    ⇒ `Flsh` is not known here    ⇒ did you mean `Flush`?
[]          ⇒ wrong-type   ⇒ [       ⇒ expected a bare word to begin with ⇒ known here: `OnePlane`, `Flush`, `Spaced`, `Readings`, `Held`, `Chain`",
    );
    check(
        DIMENSION,
        "Find(ner: 3) ⇒ unknown-field ⇒ ner ⇒ `Find` has no field `ner` ⇒ did you mean `near`?",
    );
    check(
        WHOLE,
        "parst: {}) ⇒ unknown-field ⇒ parst ⇒ there is no field `parst` here ⇒ did you mean `parts`?",
    );
}

#[test]
fn what_is_missing_is_named() {
    check(
        PART,
        "
Plate(⏎  lies: Across, // only⏎) ⇒ missing-field ⇒ Plate ⇒ `Plate` needs `thickness` ⇒ add `thickness: …`
Plate(lies: Across thickness: 3)  ⇒ missing-comma ⇒ ⇒ a comma is missing before the word `thickness` ⇒
Plate(thickness: 3 lies: Across)  ⇒ missing-comma ⇒ ⇒ a comma is missing before the word `lies` ⇒
Plate(lies: Across, thickness 3)  ⇒ missing-colon ⇒ ⇒ a colon is missing after `thickness` ⇒",
    );
    check(
        RELATION,
        "
Spaced(from: \"a\", to: \"b\") ⇒ missing-field ⇒ Spaced ⇒ `Spaced` needs `by` ⇒ add `by: …`
(sheet: \"S3\")                ⇒ missing-field ⇒ ( ⇒ `is` is missing here ⇒ add `is: …`
Flush(\"a\" \"b\")             ⇒ missing-comma ⇒ ⇒ a comma is missing before the text `\"b\"` ⇒
Spaced(from \"a\", to: \"b\")  ⇒ missing-colon ⇒ ⇒ a colon is missing after `from` ⇒",
    );
    check(
        WHOLE,
        "parts: {\"a\" Plate()}) ⇒ missing-colon ⇒ ⇒ a colon is missing after `\"a\"` ⇒",
    );
}

#[test]
fn a_missing_comma_is_shown_at_the_end_of_the_sign_before() {
    let text = "[\"½\" // half\n   \"⅛\"]";
    let fault = read::<Vec<Spanned<String>>>(text).unwrap_err();
    assert_eq!((fault.code, fault.span()), (Code::MissingComma, Some(5..5)));
    let fault = read::<Document>("(format: 1 title: \"\")").unwrap_err();
    let expected = (Code::MissingComma, Some(10..10));
    assert_eq!((fault.code, fault.span()), expected);
}

#[test]
fn brackets_quotes_and_comments_that_do_not_end_are_shown_where_they_begin() {
    check(
        WHOLE,
        "
parts: {\"a\": Plate(lies: Across, thickness: 3)  ⇒ unclosed ⇒ parts: { ⇒ `parts: {` is never closed ⇒
parts: {\"a\": Plate(lies: Across                 ⇒ unclosed ⇒ Plate ⇒ `Plate(` is never closed ⇒
parts: {}                                          ⇒ unclosed ⇒ ( ⇒ `(` is never closed ⇒
parts: {\"a\": Plate(lies: Across, thickness: 3}) ⇒ unclosed ⇒ Plate ⇒ `Plate(` is not closed before `}` ⇒
parts: {\"a\": Plate(lies: Across,⏎ \"b\": Plate()})    ⇒ unclosed ⇒ Plate ⇒ `Plate(` is not closed before `\"b\"` ⇒
relations: {\"a\": Flush(\"a\", \"b\",⏎ \"b\": Flush()}) ⇒ unclosed ⇒ Flush ⇒ `Flush(` is not closed before `\"b\"` ⇒
dimensions: {\"a\": 3)})                           ⇒ unclosed ⇒ dimensions: { ⇒ `dimensions: {` is not closed before `)` ⇒
dimensions: {\"a\": 3, parts: {}})                ⇒ unclosed ⇒ dimensions: { ⇒ `dimensions: {` is not closed before `parts` ⇒
dimensions: {\"a\": 3, parts: 4})                 ⇒ wrong-type ⇒ parts ⇒ expected a text in double quotes, found the word `parts` ⇒ write \"parts\"
dimensions: {\"a\": \"3 in})⏎                      ⇒ unclosed ⇒ \"3 in}) ⇒ a text has no closing quote ⇒
dimensions: {\"a\": \"3 in,⏎ \"b\": \"4 in\"})     ⇒ unclosed ⇒ \"3 in, ⇒ a closing quote seems to be missing ⇒
dimensions: {\"a\": 3, \"b: 4, \"c\": 5})          ⇒ unclosed ⇒ \"b: 4, \" ⇒ a closing quote seems to be missing ⇒
dimensions: {} /* and                              ⇒ unclosed ⇒ /* and ⇒ a comment has no end ⇒",
    );
}

#[test]
fn quantities_without_quotes_are_understood_and_refused() {
    check(
        DIMENSION,
        "
5/8 in       ⇒ missing-quotes ⇒ 5/8 in ⇒ a quantity with a unit or a fraction goes in double quotes ⇒ write \"5/8 in\"
3 in         ⇒ missing-quotes ⇒ 3 in   ⇒ a quantity with a unit or a fraction goes in double quotes ⇒ write \"3 in\"
23 1/2       ⇒ missing-quotes ⇒ 23 1/2 ⇒ a quantity with a unit or a fraction goes in double quotes ⇒ write \"23 1/2\"
16.5mm       ⇒ missing-quotes ⇒ 16.5mm ⇒ a quantity with a unit or a fraction goes in double quotes ⇒ write \"16.5mm\"
(is: 5/8 in) ⇒ missing-quotes ⇒ 5/8 in ⇒ a quantity with a unit or a fraction goes in double quotes ⇒ write \"5/8 in\"
'5/8 in'     ⇒ missing-quotes ⇒ ' ⇒ a text goes in straight double quotes ⇒ write \"…\"
“5/8 in”     ⇒ missing-quotes ⇒ “ ⇒ a text goes in straight double quotes ⇒ write \"…\"
bay          ⇒ wrong-type ⇒ bay ⇒ a quantity is a text, a number or `Find` ⇒ a dimension's name goes in double quotes: \"bay\"
Fnd          ⇒ wrong-type ⇒ Fnd ⇒ a quantity is a text, a number or `Find` ⇒ did you mean `Find`?
[3]          ⇒ wrong-type ⇒ [3] ⇒ a quantity is a text, a number or `Find` ⇒ such as \"5/8 in\", 3.5 or Find
inf          ⇒ not-finite ⇒ inf ⇒ a quantity has to be a finite number ⇒
NaN          ⇒ not-finite ⇒ NaN ⇒ a quantity has to be a finite number ⇒
-inf         ⇒ not-finite ⇒ -inf ⇒ a quantity has to be a finite number ⇒
1e999        ⇒ not-finite ⇒ 1e999 ⇒ a quantity has to be a finite number ⇒
(is: Find(near: NaN)) ⇒ not-finite ⇒ NaN ⇒ a quantity has to be a finite number ⇒
Find(near: Find) ⇒ bad-value ⇒ Find ⇒ `near` needs a quantity to begin with ⇒ leave it out: a bare `Find` will do
Find(3)      ⇒ wrong-type ⇒ 3 ⇒ expected a field's name, found the number `3` ⇒ write `Find(name: value, …)`
0x1F         ⇒ bad-number ⇒ 0x1F ⇒ `0x1F` can't be read as the number expected here ⇒
\"5/8\\q\"   ⇒ bad-text ⇒ \"5/8\\q\" ⇒ a backslash in a text has to be doubled, or the text to be raw ⇒ write \"5/8\\\"\" or r#\"5/8\"\"# for an inch mark",
    );
}

#[test]
fn values_of_another_type_are_told_apart() {
    check(
        PART,
        "
Plate(lies: Across, sheet: S3) ⇒ wrong-type ⇒ S3 ⇒ expected a text in double quotes, found the word `S3` ⇒ write \"S3\"
Plate(lies: \"Across\")        ⇒ wrong-type ⇒ \"Across\" ⇒ expected a bare word, found the text `\"Across\"` ⇒ write `Across` without quotes
Plate(\"x\", 3)                ⇒ wrong-type ⇒ \"x\" ⇒ expected a field's name, found the text `\"x\"` ⇒ write `Plate(name: value, …)`
Plate                          ⇒ wrong-type ⇒ Plate ⇒ `Plate` needs its values in round brackets ⇒ write `Plate(…)`
Plate(lies: Across(3))         ⇒ wrong-count ⇒ Across ⇒ `Across` stands alone, without brackets ⇒
Angle(legs: \"1 in\")          ⇒ wrong-type ⇒ \"1 in\" ⇒ expected a group in round brackets, found the text `\"1 in\"` ⇒
Angle(legs: (1))               ⇒ wrong-count ⇒ ( ⇒ expected 2 values, found 1 ⇒",
    );
    check(
        RELATION,
        "
3                        ⇒ wrong-type ⇒ 3 ⇒ expected a bare word, found the number `3` ⇒
Flush(\"a\", 3)          ⇒ wrong-type ⇒ 3 ⇒ expected a text in double quotes, found the number `3` ⇒
Flush(\"a\")             ⇒ wrong-count ⇒ Flush ⇒ `Flush` takes 2 values, found 1 ⇒
(is: Flush(\"a\"))       ⇒ wrong-count ⇒ Flush ⇒ `Flush` takes 2 values, found 1 ⇒
Flush(\"a\", \"b\", \"c\") ⇒ wrong-count ⇒ \"c\" ⇒ `Flush` takes no more values, found the text `\"c\"` ⇒
Held(\"a\", \"b\")       ⇒ wrong-count ⇒ Held ⇒ `Held` takes one value ⇒
Held()                   ⇒ wrong-count ⇒ Held ⇒ `Held` takes one value ⇒
Flush(a: \"a\", b: \"b\") ⇒ misplaced ⇒ a ⇒ `Flush` takes its values in order, without names ⇒ leave out `a` and its colon
Flush(\"a\", to: \"b\")  ⇒ misplaced ⇒ to ⇒ values are given either all by name or all in order ⇒
(Flush(\"a\", \"b\"), sheet: \"S3\") ⇒ misplaced ⇒ sheet ⇒ values are given either all by name or all in order ⇒",
    );
    check(
        WHOLE,
        "
parts: [])                    ⇒ wrong-type ⇒ [ ⇒ expected names and values in curly brackets, found a list ⇒
parts: {seat-frame: Plate()}) ⇒ wrong-type ⇒ seat ⇒ expected a text in double quotes, found the word `seat` ⇒ write \"seat-frame\"
dimensions: {\"a\": @})       ⇒ misplaced ⇒ @ ⇒ the sign `@` has no meaning here ⇒
parts: {}) )                  ⇒ misplaced ⇒ ) ⇒ the file should end here, found `)` ⇒",
    );
}

#[test]
fn a_name_given_twice_is_refused_with_both_places() {
    for body in [
        "parts: {\"é\": Plate(lies: Across, thickness: 3), \"é\": 7})",
        "relations: {\"x\": Readings({\"é\": Flush(\"a\", \"b\"), \"é\": 3})})",
    ] {
        let text = format!("{HEAD}{body}");
        let (fault, places) = fault_in::<Document>(&text);
        assert_eq!((fault.code, places), (Code::Twice, vec!["\"é\"", "\"é\""]));
        let [second, first] = &fault.labels[..] else {
            panic!("not two places");
        };
        assert!(second.primary && !first.primary);
        assert!(second.span.start > first.span.start);
        assert_eq!(fault.message, "the name \"é\" is given twice");
    }
    let fault = read::<Document>("(format: 1, title: \"\", format: 2)").unwrap_err();
    let spans = fault.labels.iter().map(|label| label.span.clone());
    assert_eq!(spans.collect::<Vec<_>>(), [23..29, 1..7]);
    assert_eq!(fault.code, Code::Twice);
}

#[test]
fn whole_files_that_are_no_model() {
    let cases = [
        ("", Code::Empty),
        (" // nothing\n /* here */", Code::Empty),
        ("\u{feff}", Code::Empty),
        ("/* and", Code::Unclosed),
        ("(", Code::Unclosed),
        ("3", Code::WrongType),
        ("{\"format\": 1}", Code::WrongType),
        ("format: 1", Code::Misplaced),
        ("(format: 1.5)", Code::BadNumber),
        ("(format: -1)", Code::BadNumber),
        ("(format: 99999999999999)", Code::BadNumber),
        ("#![enable(foo)] (format: 1)", Code::UnknownWord),
        ("#foo", Code::Syntax),
        ("#![enable(implicit_some)]", Code::WrongType),
    ];
    for (text, code) in cases {
        let fault = read::<Document>(text).unwrap_err();
        assert_eq!(fault.code, code, "{text}: {}", fault.message);
    }
}

#[test]
fn texts_beyond_the_limits_are_refused_and_the_stack_holds() {
    let long = " ".repeat(MAX_BYTES + 1);
    let fault = read::<Document>(&long).unwrap_err();
    assert_eq!(fault.code, Code::TooLarge);
    let brackets = ["[", "(", "{", "{\"a\":", "Readings({\"a\":", "(is:"];
    for bracket in brackets {
        let deep = bracket.repeat(100_000);
        assert!(read::<Document>(&deep).is_err());
        assert!(read::<Spanned<f64>>(&deep).is_err());
        let within = format!("{HEAD}relations: {{\"a\": {deep}");
        let fault = read::<Document>(&within).unwrap_err();
        assert_eq!(fault.code, Code::TooDeep, "{bracket}");
    }
    let (open, close) = ("Readings({\"é\": ".repeat(28), "})".repeat(28));
    let nested = format!("{HEAD}relations: {{\"a\": {open}Flush(\"a\", \"b\"){close}}})");
    assert!(read::<Document>(&nested).is_ok());
}

#[test]
fn a_fault_is_written_as_plain_data() {
    let fault = read::<Document>("(forma: 1)").unwrap_err();
    assert_eq!(
        ron::to_string(&fault).unwrap(),
        "(code:\"unknown-field\",severity:error,message:\"there is no field `forma` here\",\
         labels:[(span:(start:1,end:6),text:\"not known\",primary:true)],\
         help:Some(\"did you mean `format`?\"))"
    );
}
