//! Figures that parts share and that metal has found. A face at station 0 and another 17 1/2 in aft of it; whatever starts at the
//! first one and is as long as it is found to be is 17 1/2 in long, since the first bar ends at the second face.

use super::*;

/// `L` starts from 17 in and is found to be 17 1/2 in; `M` is 1/2 in longer: 18 in.
const SISTERS: &str = r#"(format: 1, title: "Sisters", unit: Inch, fit: "1/32 in",
    dimensions: {"L": Find(near: "17 in"), "M": "L + 1/2 in", "reach": "17 1/2 in"},
    parts: {
        "a": Plate(lies: Across, thickness: "0.040 in", width: 30, height: 20, at: (bl: 0, wl: 0)),
        "b": Plate(lies: Across, thickness: "0.040 in", width: 30, height: 20, at: (bl: 0, wl: 0)),
        "p1": Bar(runs: FwdAft, length: "L", depth: 1, breadth: 1, at: (bl: 1, wl: 1)),
        "p2": Bar(runs: FwdAft, length: "L", depth: 1, breadth: 1, at: (bl: 5, wl: 1)),
        "p3": Bar(runs: FwdAft, length: "M", depth: 1, breadth: 1, at: (bl: 7, wl: 1), sides: Both),
        "q1": Bar(runs: FwdAft, length: Find(near: "16 in"), depth: 1, breadth: 1, at: (bl: 9, wl: 1)),
        "q2": Bar(runs: FwdAft, length: "q1.length", depth: 1, breadth: 1, at: (bl: 11, wl: 1)),
    },
    relations: {
        "datum": Flush("a.aft", "datum.station"),
        "apart": Spaced(from: "a.aft", to: "b.fwd", by: "reach"),
        "p1 starts": Flush("p1.fwd_end", "a.aft"), "p1 ends": Flush("p1.aft_end", "b.fwd"),
        "p2 starts": Flush("p2.fwd_end", "a.aft"), "p3 starts": Flush("p3.fwd_end", "a.aft"),
        "q1 starts": Flush("q1.fwd_end", "a.aft"),
        "q2 starts": Flush("q2.fwd_end", "a.aft"), "q2 ends": Flush("q2.aft_end", "b.fwd"),
    },
    deviations: {"longer reach": (changes: [Set("reach", "19 in")]), "again": (changes: [Set("reach", "20 in")])},
)"#;

fn sisters() -> Document {
    read(SISTERS).unwrap()
}

fn as_built(record: &Record) -> (Document, Layout) {
    let document = Built::of(&sisters(), record).unwrap().document;
    let layout = layout(&document);
    (document, layout)
}

fn cut(record: &Record, part: &str) -> Record {
    let piece = Piece {
        part,
        stage: Stage::Cut,
        on: "2026-10-03",
        sizes: &[],
    };
    let (document, now) = as_built(record);
    record.with_stage(&piece, Some((&document, &now))).record
}

fn made_to(record: &Record, part: &str) -> f64 {
    let made = record.parts.get(part).unwrap();
    made.made_to.get("length").unwrap().value / 25.4
}

const LONG: [(&str, f64); 6] = [
    ("p1", 17.5),
    ("p2", 17.5),
    ("p3 L", 18.0),
    ("p3 R", 18.0),
    ("q1", 17.5),
    ("q2", 17.5),
];

#[test]
fn what_is_cut_leaves_its_sisters_as_they_are() {
    let mut backwards = LONG;
    backwards.reverse();
    for order in [LONG, backwards] {
        let mut record = nothing();
        for (part, _) in order {
            record = cut(&record, part);
            let (_, now) = as_built(&record);
            assert!(
                now.loose.is_empty() && now.at_odds.is_empty(),
                "{part}: {now:?}"
            );
            for (one, long) in LONG {
                assert!(near(size(&now, one, "length"), long), "{part}, {one}");
            }
        }
        for (part, long) in LONG {
            assert!((made_to(&record, part) - long).abs() < 1e-8, "{part}");
        }
    }
}

/// Both sisters reach the second face; it goes 1 1/2 in further aft, and one was cut before: the other one is found still, 19 in.
/// Where only the one that is cut reaches it, the other is as the plan has it by then, which is 19 in too.
#[test]
fn a_figure_that_something_settles_still_is_found() {
    let reaching = SISTERS.replace(
        r#""p2 starts":"#,
        r#""p2 ends": Flush("p2.aft_end", "b.fwd"), "p2 starts":"#,
    );
    for text in [SISTERS, &reaching] {
        let plan: Document = read(text).unwrap();
        let record = adopt(&cut(&nothing(), "p1"), "longer reach");
        let document = Built::of(&plan, &record).unwrap().document;
        let now = layout(&document);
        assert!(near(size(&now, "p1", "length"), 17.5));
        assert!(near(size(&now, "p2", "length"), 19.0));
        assert!(now.loose.is_empty());
        let found = matches!(document.dimensions.get("L").unwrap().is, Given::Find { .. });
        assert_eq!(found, text == reaching);
    }
}

#[test]
fn of_two_deviations_that_change_one_thing_one_counts() {
    let one = adopt(&nothing(), "longer reach");
    let fault = one.said_already("again", &sisters()).unwrap();
    assert!(fault.message.contains("both change `reach`"), "{fault}");
    assert!(nothing().said_already("again", &sisters()).is_none());
    let back = one.without_adopted("longer reach").unwrap().record;
    assert_eq!(back, nothing());
    assert!(back.without_adopted("longer reach").is_err());
}

#[test]
fn what_is_gone_is_taken_out() {
    let note = Note {
        on: "2026-10-03".into(),
        part: Some("p9".into()),
        text: "filed".into(),
        hours: Some(Spanned::unplaced(1.5)),
    };
    let piece = Piece {
        part: "p9",
        stage: Stage::Cut,
        on: "2026-10-03",
        sizes: &[],
    };
    let record = cut(&nothing(), "p1");
    let gone = record
        .with_stage(&piece, None)
        .record
        .with_note(note)
        .record;
    assert!(Built::of(&sisters(), &gone).is_err());
    assert!(gone.without_gone("p1", &sisters()).is_none());
    assert!(gone.without_gone("p8", &sisters()).is_none());
    let out = gone.without_gone("p9", &sisters()).unwrap().record;
    assert_eq!(out.notes[0].text.value, "p9: filed");
    assert_eq!(out.hours(), 1.5);
    assert!(Built::of(&sisters(), &out).is_ok());
    assert_eq!(out.parts, record.parts);
}
