//! What is said of seams and rows that can't be understood, and what becomes of them when a part is left out.

use super::{reports, text};
use crate::assembly::assemble;
use crate::document::Document;
use crate::source::read;

const STRAPS: &str = r#"
    "upper": Plate(lies: Flat, thickness: "0.032 in", length: "4 in", width: "4 in", at: (fs: 0, bl: 0, wl: "0.05 in")),
    "lower": Plate(lies: Flat, thickness: "0.050 in", length: "4 in", width: "2 in", at: (fs: 0, bl: 0, wl: 0)),
    "other": Plate(lies: Flat, thickness: "0.050 in", length: "4 in", width: "2 in", at: (fs: 0, bl: 0, wl: "9 in")),
"#;

fn told(relations: &str, must_fit: &str) -> String {
    let document: Document = read(&text(STRAPS, relations, must_fit)).unwrap();
    match assemble(&document) {
        Ok(_) => "understood".to_owned(),
        Err(faults) => faults
            .into_iter()
            .map(|fault| fault.message)
            .collect::<Vec<_>>()
            .join("; "),
    }
}

fn row(row: &str) -> String {
    let seam = format!(
        r#""s": Seam(layers: ["upper", "lower"], heads: Up, with: MS20470AD4, rows: [({row})])"#
    );
    told(&seam, "")
}

#[test]
fn rows_that_say_too_little_or_too_much() {
    let cases = [
        (
            r#"beside: "lower.fwd", by: "1/4 in", ends: "1/4 in", count: 4"#,
            "understood",
        ),
        (
            r#"beside: "lower.fwd", by: "1/4 in", ends: "1/4 in""#,
            "how many are in this row?",
        ),
        (
            r#"beside: "lower.fwd", by: "1/4 in", ends: "1/4 in", count: 4, pitch: "1/2 in""#,
            "a row has its count or its pitch stated, not both",
        ),
        (
            r#"beside: "other.fwd", by: "1/4 in", ends: "1/4 in", count: 4"#,
            "`other.fwd` belongs to none of the layers",
        ),
        (
            r#"beside: "lower.top", by: "1/4 in", ends: "1/4 in", count: 4"#,
            "`lower.top` lies in the joint and is no edge of it",
        ),
        (
            r#"beside: "lower.fwd", by: "-1/4 in", ends: "1/4 in", count: 4"#,
            "a distance in a row can't be less than zero",
        ),
        (
            r#"beside: "lower.fwd", by: "1/4 in", ends: "1/4 in", pitch: 0"#,
            "a pitch has to be more than that",
        ),
        (
            r#"beside: "lower.fwd", by: "1/4 in", ends: "1/4 in", count: 4000000000"#,
            "more than 2000 fasteners in one row",
        ),
    ];
    for (written, wanted) in cases {
        assert_eq!(row(written), wanted, "{written}");
    }
}

#[test]
fn seams_that_are_none() {
    let seam = |layers: &str| {
        told(
            &format!(r#""s": Seam(layers: [{layers}], heads: Up, with: AN3)"#),
            "",
        )
    };
    assert_eq!(seam(r#""upper""#), "a seam has at least two layers");
    assert_eq!(
        seam(r#""upper", "upper""#),
        "`upper` is named twice in one statement"
    );
    assert_eq!(
        seam(r#""upper", "lower.fwd""#),
        "`lower.fwd` looks neither to the heads nor away from them"
    );
    let as_must_fit = r#""s": Seam(layers: ["upper", "lower"], heads: Up, with: AN3)"#;
    let told = told("", as_must_fit);
    assert!(told.contains("a Seam places nothing"), "{told}");
}

#[test]
fn a_count_that_the_rows_do_not_have() {
    let seam = r#""s": Seam(layers: ["upper", "lower"], heads: Up, with: AN3, count: 5,
        rows: [(beside: "lower.fwd", by: "1/4 in", ends: "1/4 in", count: 4)])"#;
    assert_eq!(
        told(seam, ""),
        "the rows have 4 fasteners, and the joint states 5"
    );
}

#[test]
fn room_needs_a_joint_that_says_where_it_is() {
    let seam = r#""s": Seam(layers: ["upper", "lower"], heads: Up, with: AN3)"#;
    let room = |round: &str, part: &str| {
        told(
            seam,
            &format!(r#""r": Room(round: "{round}", for: "{part}", at_least: "1/16 in")"#),
        )
    };
    assert_eq!(room("t", "other"), "there is no joint `t`");
    assert_eq!(
        room("s", "other"),
        "`s` doesn't say where its fasteners are"
    );
}

/// With the part goes the seam that names it, or only runs beside it.
#[test]
fn a_part_left_out_takes_its_seams_along() {
    let seam = r#""s": Seam(layers: ["upper", "lower"], heads: Up, with: AN3,
        rows: [(beside: "lower.fwd", by: "1/2 in", ends: "1/4 in", count: 2)])"#;
    let whole = text(STRAPS, seam, "");
    assert_eq!(reports(&whole).len(), 1);
    let document: Document = read(&whole).unwrap();
    let change = read(r#"Drop("lower")"#).unwrap();
    let without = document.with_changes(&[change]).unwrap();
    assert!(assemble(&without).unwrap().seams.is_empty());
}

/// And the room round it is no question any more, whether the seam is left out or a part of it.
#[test]
fn a_seam_left_out_takes_its_room_along() {
    let seam = r#""s": Seam(layers: ["upper", "lower"], heads: Up, with: AN3,
        rows: [(beside: "lower.fwd", by: "1/2 in", ends: "1/4 in", count: 2)])"#;
    let room = r#""r": Room(round: "s", for: "other", at_least: "1/16 in")"#;
    let document: Document = read(&text(STRAPS, seam, room)).unwrap();
    assert_eq!(assemble(&document).unwrap().fits.len(), 1);
    for gone in ["s", "lower"] {
        let change = read(&format!("Drop({gone:?})")).unwrap();
        let without = document.with_changes(&[change]).unwrap();
        assert!(assemble(&without).unwrap().fits.is_empty());
    }
}

/// A packer that is left out takes the rows beside it along, and the joint stays.
#[test]
fn a_packer_left_out_leaves_the_joint() {
    let parts = r#"
        "spar": Plate(lies: Across, thickness: "0.063 in", width: "20 in", height: "4 in", at: (bl: 0, wl: 0)),
        "frame": Plate(lies: Across, thickness: "0.032 in", width: "20 in", height: "4 in", at: (fs: 0, bl: 0, wl: 0)),
        "packer": Plate(lies: Across, thickness: "1/8 in", width: "4 in", height: "4 in", at: (bl: 0, wl: 0)),
    "#;
    let bolts = r#""b": BoltedBehind(part: "spar", to: "frame", through: ["packer"], with: AN3,
        rows: [(beside: "packer.top", by: "1/2 in", ends: "1/2 in", count: 2), (beside: "spar.top", by: "1 in", ends: "1/2 in", count: 2)])"#;
    let document: Document = read(&text(parts, bolts, "")).unwrap();
    let change = read(r#"Drop("packer")"#).unwrap();
    let without = document.with_changes(&[change]).unwrap();
    let assembly = assemble(&without).unwrap();
    assert_eq!(assembly.joints.len(), 1);
    let rows: Vec<&str> = assembly.joints[0]
        .rows
        .iter()
        .map(|row| row.beside.as_str())
        .collect();
    assert_eq!(rows, ["spar.top"]);
}

/// Whatever is found or stated oddly, nothing panics: layers that miss each other, that stand square, rows along a slope.
#[test]
fn layers_that_miss_each_other_are_told() {
    let parts = r#"
        "floor": Plate(lies: Flat, thickness: "0.032 in", length: "4 in", width: "4 in", at: (fs: 0, bl: 0, wl: 0)),
        "wall": Plate(lies: Across, thickness: "0.032 in", width: "4 in", height: "4 in", at: (fs: "9 in", bl: "20 in", wl: 5), turn: (pitch: "30 deg")),
    "#;
    for rows in [
        "",
        r#", rows: [(beside: "floor.fwd", by: "1/4 in", ends: "1/4 in", count: 4), (beside: "wall.left", by: "1/4 in", ends: 0, pitch: "1/2 in")]"#,
    ] {
        let seam = format!(r#""s": Seam(layers: ["floor", "wall"], heads: Up, with: AN3{rows})"#);
        let all = reports(&text(parts, &seam, ""));
        assert!(!all[0].findings.is_empty());
    }
}
