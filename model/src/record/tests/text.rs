//! The record as text: what is refused, where, and with what would be right; what is written.

use super::*;

/// The faults of a record's text, and for each the text that is underlined.
fn refused(text: &str) -> Vec<(Fault, String)> {
    let record = Record::read(text).unwrap();
    match Built::of(&plan(), &record) {
        Err(Trouble::InRecord(faults)) => faults
            .into_iter()
            .map(|fault| {
                let span = fault.span().unwrap();
                (fault, text[span].to_owned())
            })
            .collect(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn names_that_there_are_not_are_told_with_the_nearest() {
    let found = refused(
        r#"(format: 1, unit: Inch,
            parts: {
                "rial L": (stage: Cut, since: "2026-10-03"),
                "rib": (stage: Cut, since: "2026-10-03"),
                "web": (stage: Cut, since: "2026-10-03", sizes: {"hieght": "4 in"}),
            },
            adopted: {"longer bays": (on: "2026-10-03")},
            notes: [(on: "2026-10-03", part: "frames", text: "x")],
            measurements: {"bay": (from: "firewall.aft", to: "frame.fwdd", is: "20 in", uncertainty: "1/32 in")},
        )"#,
    );
    let told: Vec<(Code, &str, &str)> = found
        .iter()
        .map(|(fault, text)| {
            let help = fault.help.as_deref().unwrap();
            let nearest = help.split("; if it is gone: ").next().unwrap();
            (fault.code, text.as_str(), nearest)
        })
        .collect();
    assert_eq!(
        told,
        [
            (Code::UnknownName, "\"rial L\"", "the nearest is `rail L`"),
            (
                Code::UnknownName,
                "\"rib\"",
                "name the one that is meant: `rib L` or `rib R`"
            ),
            (Code::UnknownName, "\"hieght\"", "the nearest is `height`"),
            (
                Code::UnknownName,
                "\"longer bays\"",
                "the nearest is `longer bay`"
            ),
            (Code::UnknownName, "\"frames\"", "the nearest is `frame`"),
        ]
    );
    let measured = refused(
        r#"(format: 1, unit: Inch, measurements: {"bay": (from: "firewall.aft", to: "frame.fwdd", is: "20 in", uncertainty: "1/32 in")})"#,
    );
    assert_eq!(measured.len(), 1);
    assert_eq!(measured[0].1, "\"frame.fwdd\"");
}

#[test]
fn figures_and_days_that_can_t_be_are_told_at_their_places() {
    for (text, underlined) in [
        (r#"(format: 2, unit: Inch)"#, "2"),
        (r#"(format: 1, unit: Millimetre)"#, "Millimetre"),
        (
            r#"(format: 1, unit: Inch, parts: {"web": (stage: Cut, since: "2026-02-30")})"#,
            "\"2026-02-30\"",
        ),
        (
            r#"(format: 1, unit: Inch, parts: {"web": (stage: Cut, since: "2026-02-03", sizes: {"height": "rib height"})})"#,
            "\"rib height\"",
        ),
        (
            r#"(format: 1, unit: Inch, parts: {"web": (stage: Cut, since: "2026-02-03", sizes: {"height": "4 deg"})})"#,
            "4 deg",
        ),
        (
            r#"(format: 1, unit: Inch, parts: {"web": (stage: Cut, since: "2026-02-03", sizes: {"height": 0})})"#,
            "0",
        ),
        (
            r#"(format: 1, unit: Inch, parts: {"web": (stage: Cut, since: "2026-02-03", sizes: {"height": Find})})"#,
            "Find",
        ),
        (
            r#"(format: 1, unit: Inch, parts: {"web": (stage: NotStarted, since: "2026-02-03", sizes: {"height": 4})})"#,
            "\"height\"",
        ),
        (
            r#"(format: 1, unit: Inch, parts: {"web": (stage: Fitted, since: "2026-02-03", fitted: (fs: inf, bl: 0, wl: 0))})"#,
            "\"web\"",
        ),
        (
            r#"(format: 1, unit: Inch, notes: [(on: "2026-02-03", text: "x", hours: -1)])"#,
            "-1",
        ),
        (
            r#"(format: 1, unit: Inch, notes: [(on: "2026-02-03", text: "x", hours: NaN)])"#,
            "NaN",
        ),
        (
            r#"(format: 1, unit: Inch, measurements: {"whole": (size: "bay", is: 20, uncertainty: 1)})"#,
            "\"whole\"",
        ),
    ] {
        let found = refused(text);
        assert_eq!(found.len(), 1, "{text}: {found:?}");
        assert_eq!(found[0].1, underlined, "{text}");
    }
}

#[test]
fn what_is_written_reads_back_the_same() {
    let record = Record::read(Record::EXAMPLE).unwrap();
    assert_eq!(Record::read(&record.text().unwrap()).unwrap(), record);
    let odd = "quote \" backslash \\ line\nend, tab\t, half ½, // no remark, r#\"raw\"#, \u{7f}";
    let note = Note {
        on: odd.into(),
        part: Some(odd.into()),
        text: odd.into(),
        hours: Some(Spanned::unplaced(1e-300)),
    };
    let made = record.with_note(note).record;
    assert_eq!(Record::read(&made.text().unwrap()).unwrap(), made);
    // a name that a record can't have is refused before it is written
    let adopted = Adopted {
        on: "2026-10-03".into(),
        because: None,
    };
    let unfit = record.with_adopted("a\nb", adopted).unwrap().record;
    assert!(unfit.text().is_err());
}

/// Figures of the program's own that a hand has spoilt.
#[test]
fn kept_figures_that_can_t_be_are_told_at_their_places() {
    for (made, underlined) in [
        ("made_to: {\"height\": 0}", "0"),
        ("made_to: {\"height\": 1e9}", "1e9"),
        ("made_to: {\"height\": NaN}", "NaN"),
        ("made_to: {\"highth\": 100}", "\"highth\""),
        ("fitted: (fs: 1e9, bl: 0, wl: 0)", "\"web\""),
    ] {
        let text = format!(
            r#"(format: 1, unit: Inch, parts: {{"web": (stage: Fitted, since: "2026-02-03", {made})}})"#
        );
        let found = refused(&text);
        assert_eq!(found.len(), 1, "{text}: {found:?}");
        assert_eq!(found[0].1, underlined, "{text}");
    }
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig { failure_persistence: None, ..Default::default() })]

    /// Whatever is entered is read back, or refused before it is written.
    #[test]
    fn entries_read_back(text in ".{0,40}", part in ".{0,12}", hours in proptest::num::f64::ANY, size in ".{1,12}", figure in ".{1,12}") {
        let note = Note {
            on: "2026-10-03".into(),
            part: Some(part.as_str().into()),
            text: text.as_str().into(),
            hours: Some(Spanned::unplaced(hours)),
        };
        let sizes = [(size, Given::unplaced(&figure))];
        let piece = Piece { part: &part, stage: Stage::Drilled, on: &text, sizes: &sizes };
        let record = nothing().with_note(note).record.with_stage(&piece, None).record;
        if let Ok(text) = record.text() {
            proptest::prop_assert_eq!(Record::read(&text).unwrap(), record);
        }
    }

    /// A record that a hand has spoilt anywhere is refused or makes a document, and stops nothing else.
    #[test]
    fn a_spoilt_record_is_refused_or_read(from in 0_usize..900, length in 0_usize..30, put in "[-0-9a-z\"(){}:, ]{0,6}") {
        let mut record = set(&nothing(), "rib L", Stage::Fitted, &[("height", "3 7/8 in")]);
        record = adopt(&set(&record, "web", Stage::Drilled, &[]), "longer bay");
        let whole = record.text().unwrap();
        let edge = |at: usize| whole.floor_char_boundary(at.min(whole.len()));
        let (start, end) = (edge(from), edge(from + length));
        let spoilt = format!("{}{put}{}", &whole[..start], &whole[end..]);
        if let Ok(record) = Record::read(&spoilt) {
            match Built::of(&plan(), &record) {
                Ok(built) => if let Ok(assembly) = assemble(&built.document) {
                    let _ = assembly.solve().map(|solved| solved.layout());
                },
                Err(Trouble::InRecord(faults)) => proptest::prop_assert!(!faults.is_empty()),
                Err(Trouble::InModel(name, _)) => proptest::prop_assert!(!name.is_empty()),
            }
        }
    }
}
