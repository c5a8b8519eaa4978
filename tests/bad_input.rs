//! What a person reads when a model can't be used. In: broken models, broken files and words that mean nothing.
//! Out: for each, exit status 2, nothing on standard output, nothing written, and a message that says what is wrong,
//! where, and what would be right; the messages stand in `snapshots/`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "bad_input/bench.rs"]
mod bench;

use std::fs;
use std::process::ExitCode;

use bench::Bench;

/// Two bulkheads with a rail on each side between them: nothing wrong with it.
const SOUND: &str = r#"(
    format: 1,
    title: "Two bulkheads",
    unit: Inch,
    fit: "1/32 in",
    sheets: { "S1": "side view" },
    dimensions: {
        "bay": (is: "11 1/4 in", sheet: "S1"),
        "lean": (is: "3 deg"),
    },
    parts: {
        "firewall": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in", at: (bl: 0, wl: 0)),
        "frame": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft,
            width: "30 in", height: "19 in", at: (bl: 0, wl: 0)),
        "rail": Angle(runs: FwdAft, length: Find, legs: (down: "1 in", left: "1 in"), thickness: "1/8 in",
            at: (bl: 11, wl: 4), sides: Both),
    },
    relations: {
        "firewall at datum": Flush("firewall.aft", "datum.station"),
        "spacing": Spaced(from: "firewall.aft", to: "frame.web_fwd", by: "bay"),
        "rail starts": Reaches(end: "rail.fwd_end", face: "firewall.aft"),
        "rail ends": Reaches(end: "rail.aft_end", face: "frame.fwd"),
    },
    must_fit: {
        "room": Between(from: "firewall.aft", to: "frame.web_fwd", at_least: "11 in"),
    },
    deviations: {
        "forward": (why: "smooth", changes: [Reverse("frame")]),
        "longer": (changes: [Set("bay", "12 in")]),
        "no such part": (changes: [Reverse("farme")]),
        "no flange": (changes: [Reverse("firewall")]),
        "backwards": (changes: [Set("bay", "-12 in")]),
    },
)
"#;

/// The tutorial's model.
const FIRST_BAY: &str = include_str!("../demo-models/first-bay.ron");

/// Each case: what is wrong in it, and what of the sound model is written otherwise, and how.
type Cases = [(&'static str, &'static str, &'static str)];

/// The messages of all cases under each other. Each has to point at a place of the file.
fn messages(cases: &Cases) -> String {
    let mut all = String::new();
    for (what, from, to) in cases {
        assert!(
            SOUND.contains(from),
            "{what}: the sound model has no {from}"
        );
        let message = model_refused(&SOUND.replacen(from, to, 1));
        assert!(
            message.contains("model.ron:"),
            "{what}: no line is told:\n{message}"
        );
        assert!(
            message.contains('^'),
            "{what}: no place is underlined:\n{message}"
        );
        all.push_str(&format!("## {what}: {to}\n{}\n\n", message.trim_end()));
    }
    all
}

fn model_refused(text: &str) -> String {
    let bench = Bench::with(text.as_bytes());
    let message = bench.refused(&["locate", "<model.ron>"]);
    assert_eq!(
        fs::read_to_string(bench.folder.path().join("model.ron")).unwrap(),
        text
    );
    message
}

#[test]
fn the_model_that_is_broken_here_is_sound() {
    let told = Bench::with(SOUND.as_bytes()).run(&["locate", "<model.ron>"]);
    assert_eq!(told.status, ExitCode::from(0), "{}{}", told.out, told.err);
    assert_eq!(told.err, "");
}

#[test]
fn unknown_names() {
    let all = messages(&[
        (
            "part",
            r#"to: "frame.web_fwd", by"#,
            r#"to: "farme.web_fwd", by"#,
        ),
        (
            "part, of a name with a full stop",
            r#"to: "frame.web_fwd", by"#,
            r#"to: "frame no. 2.web_fwd", by"#,
        ),
        ("face", r#"face: "frame.fwd""#, r#"face: "frame.web_fdw""#),
        (
            "face that another kind has",
            r#"face: "firewall.aft""#,
            r#"face: "firewall.web_aft""#,
        ),
        (
            "whole part for a face",
            r#"face: "frame.fwd""#,
            r#"face: "frame""#,
        ),
        (
            "face of a part on both sides, one hand",
            r#"end: "rail.aft_end""#,
            r#"end: "rail X.aft_end""#,
        ),
        ("dimension", r#"by: "bay""#, r#"by: "bya""#),
        (
            "size in an expression",
            r#"by: "bay""#,
            r#"by: "bay + frame.thickness + rail.lenght""#,
        ),
        (
            "relation kind",
            r#"Reaches(end: "rail.aft_end""#,
            r#"Reach(end: "rail.aft_end""#,
        ),
        ("must-fit kind", "Between(", "Betwixt("),
        ("part kind", "Frame(", "Fraem("),
        ("change kind", "Reverse(\"frame\")", "Flip(\"frame\")"),
        (
            "field of a part",
            r#"width: "30 in", height: "19 in""#,
            r#"widht: "30 in", height: "19 in""#,
        ),
        ("field of the file", "relations: {", "relation: {"),
        ("field of a relation", r#"by: "bay""#, r#"apart: "bay""#),
        ("sheet", r#"sheet: "S1""#, r#"sheet: "S11""#),
        ("unit of the file", "unit: Inch", "unit: Inches"),
        ("word of a choice", "flanges: Aft", "flanges: Rear"),
    ]);
    insta::assert_snapshot!(all);
}

#[test]
fn quantities_that_do_not_fit() {
    let all = messages(&[
        (
            "length and angle added",
            r#"by: "bay""#,
            r#"by: "bay + lean""#,
        ),
        ("angle for a length", r#"by: "bay""#, r#"by: "lean""#),
        (
            "length for an angle",
            "at: (bl: 11, wl: 4)",
            r#"at: (bl: 11, wl: 4), turn: (yaw: "1/2 in")"#,
        ),
        ("area for a length", r#"by: "bay""#, r#"by: "bay * bay""#),
        (
            "unknown unit",
            r#"flange: "5/8 in""#,
            r#"flange: "5/8 inn""#,
        ),
        (
            "no unit like it",
            r#"flange: "5/8 in""#,
            r#"flange: "5/8 furlong""#,
        ),
        (
            "decimal comma",
            r#"flange: "5/8 in""#,
            r#"flange: "0,625 in""#,
        ),
        (
            "hyphen before a fraction",
            r#"is: "11 1/4 in""#,
            r#"is: "11-1/4 in""#,
        ),
        ("nothing after a plus", r#"by: "bay""#, r#"by: "bay +""#),
        (
            "division by zero",
            r#"flange: "5/8 in""#,
            r#"flange: "5/0 in""#,
        ),
        ("nothing at all", r#"flange: "5/8 in""#, r#"flange: """#),
        ("a name without quotes", r#"by: "bay""#, "by: bay"),
        (
            "a unit without quotes",
            r#"flange: "5/8 in""#,
            "flange: 5/8 in",
        ),
        (
            "Find where a figure is wanted",
            r#"fit: "1/32 in""#,
            "fit: Find",
        ),
        ("Find misspelt", "length: Find", "length: Fnid"),
        ("a truth", r#"flange: "5/8 in""#, "flange: true"),
        (
            "size of two kinds",
            r#"relations: {"#,
            r#"relations: { "x": SameSize("rail L.length", "lean"),"#,
        ),
    ]);
    insta::assert_snapshot!(all);
}

#[test]
fn circular_figures() {
    let all = messages(&[
        ("itself", r#"is: "11 1/4 in""#, r#"is: "bay + 1 in""#),
        (
            "two",
            r#""lean": (is: "3 deg")"#,
            r#""lean": (is: "a"), "a": (is: "lean / 2")"#,
        ),
        (
            "three",
            r#""lean": (is: "3 deg")"#,
            r#""lean": (is: "a"), "a": (is: "b"), "b": (is: "lean")"#,
        ),
    ]);
    insta::assert_snapshot!(all);
    let text = SOUND
        .replacen(r#"is: "11 1/4 in""#, r#"is: "frame.width / 2""#, 1)
        .replacen(
            r#"width: "30 in", height: "19 in""#,
            r#"width: "bay * 2", height: "19 in""#,
            1,
        );
    let all = model_refused(&text);
    insta::assert_snapshot!(all);
}

#[test]
fn sizes_that_metal_can_not_have() {
    let all = messages(&[
        ("zero", r#"flange: "5/8 in""#, "flange: 0"),
        (
            "below zero",
            r#"thickness: "1/8 in""#,
            r#"thickness: "-1/8 in""#,
        ),
        (
            "below zero by an expression",
            r#"flange: "5/8 in""#,
            r#"flange: "bay - 1 ft""#,
        ),
        ("next to nothing", r#"flange: "5/8 in""#, "flange: 1e-30"),
        ("infinite", r#"flange: "5/8 in""#, "flange: inf"),
        ("no number", r#"flange: "5/8 in""#, "flange: NaN"),
        ("beyond all numbers", r#"flange: "5/8 in""#, "flange: 1e999"),
        (
            "a thousand kilometres",
            r#"flange: "5/8 in""#,
            r#"flange: "1000000 m""#,
        ),
        ("a far position", "bl: 11", "bl: 1e300"),
        (
            "flange within its bend",
            r#"flange: "5/8 in""#,
            r#"flange: "1/4 in", radius: "1/2 in""#,
        ),
        (
            "leg within its thickness",
            r#"down: "1 in""#,
            r#"down: "1/8 in""#,
        ),
        ("tolerance of zero", r#"fit: "1/32 in""#, "fit: 0"),
        ("found below zero", r#"by: "bay""#, r#"by: "-5 in""#),
        ("found at zero", r#"by: "bay""#, r#"by: "0 in""#),
    ]);
    insta::assert_snapshot!(all);
}

#[test]
fn names_given_twice() {
    let all = messages(&[
        ("dimensions", r#""lean": ("#, r#""bay": ("#),
        ("parts", r#""frame": Frame"#, r#""firewall": Frame"#),
        ("relations", r#""rail ends": "#, r#""rail starts": "#),
        (
            "part named as the airframe",
            r#""firewall": Plate"#,
            r#""datum": Plate"#,
        ),
        (
            "part named as one of two",
            r#""firewall": Plate"#,
            r#""rail L": Plate"#,
        ),
        (
            "statement named as one of two",
            r#""spacing": "#,
            r#""rail ends R": "#,
        ),
        (
            "dimension named as a size",
            r#""lean": ("#,
            r#""frame.flange": ("#,
        ),
        ("no name", r#""lean": ("#, r#""": ("#),
        (
            "blank at the end of a name",
            r#""lean": ("#,
            r#""lean ": ("#,
        ),
        ("field", "unit: Inch,", "unit: Inch, unit: Millimetre,"),
        (
            "face held to itself",
            r#""firewall.aft", "datum.station""#,
            r#""firewall.aft", "firewall.aft""#,
        ),
    ]);
    insta::assert_snapshot!(all);
}

#[test]
fn parts_and_statements_that_say_too_little() {
    let all = messages(&[
        (
            "part that no relation reaches",
            r#""rail": Angle"#,
            r#""packer": Spacer(lies: Across, thickness: "1/4 in", diameter: "1 in"), "rail": Angle"#,
        ),
        ("part without a size", r#", height: "19 in""#, ""),
        (
            "angle with one leg",
            r#"down: "1 in", left: "1 in""#,
            r#"down: "1 in""#,
        ),
        (
            "angle with legs in line",
            r#"down: "1 in", left: "1 in""#,
            r#"down: "1 in", up: "1 in""#,
        ),
        ("must-fit without a limit", r#", at_least: "11 in""#, ""),
        ("relation without its distance", r#", by: "bay""#, ""),
        (
            "row of one",
            "relations: {",
            r#"relations: { "row": EvenlySpaced(faces: ["frame.fwd"]),"#,
        ),
        ("no format", "format: 1,", ""),
    ]);
    insta::assert_snapshot!(all);
    let head = r#"(format: 1, title: "Nothing yet", unit: Inch, fit: "1/32 in", parts: {})"#;
    let mut all = model_refused(head);
    all.push_str(&model_refused(&SOUND.replacen("format: 1", "format: 2", 1)));
    insta::assert_snapshot!(all);
}

#[test]
fn statements_that_nobody_can_mean() {
    let all = messages(&[
        (
            "distance to a side along which the face lies",
            r#"by: "bay""#,
            r#"by: "bay", toward: Left"#,
        ),
        (
            "faces square to each other in one plane",
            "relations: {",
            r#"relations: { "x": Flush("frame.top", "firewall.aft"),"#,
        ),
        (
            "straight distance below zero",
            r#"by: "bay""#,
            r#"by: "bay"), "x": Spaced(from: "rail L.corner", to: "rail R.corner", by: "-1 in""#,
        ),
        (
            "bolted through itself",
            "relations: {",
            r#"relations: { "x": BoltedBehind(part: "rail L", to: "frame", through: ["rail L"]),"#,
        ),
        (
            "mirror image of itself",
            "relations: {",
            r#"relations: { "x": MirrorOf(part: "rail", of: "rail"),"#,
        ),
    ]);
    insta::assert_snapshot!(all);
}

#[test]
fn slips_of_the_pen() {
    let all = messages(&[
        ("comma missing between fields", "format: 1,", "format: 1"),
        (
            "comma missing between entries",
            r#"face: "firewall.aft"),"#,
            r#"face: "firewall.aft")"#,
        ),
        ("colon missing", "unit: Inch", "unit Inch"),
        (
            "quote missing at the end",
            r#""Two bulkheads","#,
            r#""Two bulkheads,"#,
        ),
        (
            "quote missing within",
            r#""firewall.aft", "datum.station""#,
            r#""firewall.aft, "datum.station""#,
        ),
        (
            "bracket missing",
            "legs: (down: \"1 in\", left: \"1 in\")",
            "legs: (down: \"1 in\", left: \"1 in\"",
        ),
        (
            "bracket of another kind",
            "at: (bl: 11, wl: 4)",
            "at: {bl: 11, wl: 4}",
        ),
        (
            "name without quotes",
            r#""firewall": Plate"#,
            "firewall: Plate",
        ),
        (
            "comment that never ends",
            "unit: Inch,",
            "unit: Inch, /* of the drawings",
        ),
        ("equals sign", "unit: Inch", "unit = Inch"),
        ("something after the end", "\n)\n", "\n)\nparts: {}\n"),
        (
            "typographic quotes",
            r#"title: "Two bulkheads""#,
            "title: \u{201c}Two bulkheads\u{201d}",
        ),
    ]);
    insta::assert_snapshot!(all);
}

#[test]
fn statements_that_can_not_hold_are_no_bad_input() {
    let text = SOUND.replacen(
        "relations: {",
        r#"relations: { "given twice": (is: Spaced(from: "firewall.aft", to: "frame.web_fwd", by: "12 in"), sheet: "S1"),"#,
        1,
    );
    let told = Bench::with(text.as_bytes()).run(&["locate", "<model.ron>"]);
    assert_eq!(told.status, ExitCode::from(1), "{}{}", told.out, told.err);
    assert_eq!(told.err, "");
    let odds: Vec<&str> = told
        .out
        .lines()
        .filter(|line| line.contains("t odds"))
        .collect();
    let odds = odds.join("\n");
    insta::assert_snapshot!(odds);
}

#[test]
fn words_typed_that_mean_nothing() {
    let bench = Bench::with(SOUND.as_bytes());
    let mut all = String::new();
    for words in [
        &["try", "<model.ron>"][..],
        &["try", "<model.ron>", "forwrad"],
        &["try", "<model.ron>", "longer+forwrad"],
        &["try", "<model.ron>", "no such part"],
        &["try", "<model.ron>", "no flange"],
        &["try", "<model.ron>", "backwards"],
        &["try", "<model.ron>", "--set", "bay"],
        &["try", "<model.ron>", "--set", "bay="],
        &["try", "<model.ron>", "--set", "=3"],
        &["try", "<model.ron>", "--set", "bay=banana"],
        &["try", "<model.ron>", "--set", "bay=3 deg"],
        &["try", "<model.ron>", "--set", "bay=1000000000"],
        &["try", "<model.ron>", "--set", "bya=3 in"],
        &["try", "<model.ron>", "--set", "frame.flagne=1 in"],
        &["try", "<model.ron>", "--set", "frame.flange=-1 in"],
        &["try", "<model.ron>", "--reverse", "firewall"],
        &["try", "<model.ron>", "--reverse", "farme"],
        &["recut", "<model.ron>", "forwrad"],
        &["why", "<model.ron>", "frame"],
        &["why", "<model.ron>", "frame.bak"],
        &["why", "<model.ron>", "farme.fwd"],
        &["why", "<model.ron>", "frame.fwd", "x"],
        &["locate", "<model.ron>", "--part", "farme"],
        &["locate"],
        &["locat", "<model.ron>"],
    ] {
        let message = bench.refused(words);
        all.push_str(&format!(
            "## {}\n{}\n\n",
            words.join(" "),
            message.trim_end()
        ));
    }
    insta::assert_snapshot!(all);
}

#[test]
fn pictures_of_a_kind_that_is_not_drawn() {
    let bench = Bench::with(SOUND.as_bytes());
    let mut all = String::new();
    for name in ["<side.gif>", "<side>"] {
        let message = bench.refused(&["draw", "<model.ron>", "-o", name]);
        all.push_str(&format!("## {name}\n{}\n\n", message.trim_end()));
    }
    insta::assert_snapshot!(all);
}

#[test]
fn a_first_model_is_never_written_over_another_file() {
    let bench = Bench::with(b"mine");
    let message = bench.refused(&["new", "<model.ron>"]);
    insta::assert_snapshot!(message);
    assert_eq!(
        fs::read(bench.folder.path().join("model.ron")).unwrap(),
        b"mine"
    );
}

#[test]
fn files_that_are_no_models() {
    let mut all = String::new();
    let mut tell = |what: &str, bench: &Bench| {
        let message = bench.refused(&["locate", "<model.ron>"]);
        all.push_str(&format!("## {what}\n{}\n\n", message.trim_end()));
    };
    tell("empty", &Bench::with(b""));
    tell("blanks only", &Bench::with(b"  \n\n \t\n"));
    tell(
        "comments only",
        &Bench::with(b"// to do\n/* everything */\n"),
    );
    tell(
        "binary",
        &Bench::with(&[0x7f, b'E', b'L', b'F', 2, 1, 1, 0, 0, 0xff, 0xfe]),
    );
    tell("zeros", &Bench::with(&[0; 4096]));
    tell(
        "Latin-1",
        &Bench::with(
            &SOUND
                .replace("smooth", "gl\u{e4}tt")
                .chars()
                .map(|c| c as u8)
                .collect::<Vec<_>>(),
        ),
    );
    tell(
        "UTF-16",
        &Bench::with(
            &SOUND
                .encode_utf16()
                .flat_map(u16::to_le_bytes)
                .collect::<Vec<_>>(),
        ),
    );
    tell("JSON", &Bench::with(br#"{"format": 1, "parts": {}}"#));
    tell(
        "prose",
        &Bench::with(b"The firewall stands at station 0.\n"),
    );

    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("modle.ron"), SOUND).unwrap();
    tell("missing", &Bench::of(folder));
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("model.ron")).unwrap();
    tell("folder", &Bench::of(folder));
    let folder = tempfile::tempdir().unwrap();
    let file = fs::File::create(folder.path().join("model.ron")).unwrap();
    file.set_len(200 * 1024 * 1024).unwrap();
    tell("200 MB", &Bench::of(folder));
    tell(
        "17 MiB of blanks",
        &Bench::with(&vec![b' '; 17 * 1024 * 1024]),
    );
    insta::assert_snapshot!(all);
}

#[test]
fn other_line_ends_and_a_byte_order_mark_are_no_fault() {
    for text in [SOUND.replace('\n', "\r\n"), format!("\u{feff}{SOUND}")] {
        let told = Bench::with(text.as_bytes()).run(&["locate", "<model.ron>"]);
        assert_eq!(told.status, ExitCode::from(0), "{}{}", told.out, told.err);
    }
    // and a fault in such a file has the place that an editor shows
    let broken = SOUND.replacen("frame.fwd", "frame.fdw", 1);
    let place = |text: &str| {
        let message = model_refused(text);
        let line = message.lines().find(|line| line.contains("-->")).unwrap();
        line.trim().to_owned()
    };
    assert_eq!(place(&broken.replace('\n', "\r\n")), place(&broken));
    assert_eq!(place(&format!("\u{feff}{broken}")), place(&broken));
}

#[test]
fn nesting_beyond_reason() {
    let deep = 100_000;
    let mut all = String::new();
    for (open, close) in [
        ("(", ")"),
        ("[", "]"),
        ("{", "}"),
        ("Some(", ")"),
        ("-", ""),
        ("/*", "*/"),
    ] {
        let nest = format!("{}1{}", open.repeat(deep), close.repeat(deep));
        for text in [
            nest.clone(),
            SOUND.replacen("flange: \"5/8 in\"", &format!("flange: {nest}"), 1),
            SOUND.replacen("is: \"3 deg\"", &format!("is: \"{nest}\""), 1),
        ] {
            // a comment may nest as deep as it likes
            let bench = Bench::with(text.as_bytes());
            let message = bench.refused(&["locate", "<model.ron>"]);
            let told: Vec<&str> = message.lines().take(2).map(str::trim_end).collect();
            all.push_str(&format!("## {open}\n{}\n\n", told.join("\n")));
        }
    }
    insta::assert_snapshot!(all);
}

#[test]
fn a_model_cut_off_anywhere_is_refused_with_a_place() {
    let mut kinds = std::collections::BTreeMap::new();
    for cut in 1..=40 {
        let at = FIRST_BAY.floor_char_boundary(FIRST_BAY.trim_end().len() * cut / 41);
        let message = model_refused(&FIRST_BAY[..at]);
        let first = message.lines().next().unwrap_or_default();
        let code = first
            .split(['[', ']'])
            .nth(1)
            .unwrap_or_default()
            .to_owned();
        let placed = message.contains("model.ron:");
        assert!(
            placed || code == "empty",
            "cut at byte {at}: no line is told:\n{message}"
        );
        *kinds.entry(code).or_insert(0) += 1;
    }
    // nearly all of them are brackets or quotes that were never closed
    insta::assert_debug_snapshot!(kinds);
}

#[test]
fn refused_input_as_json_tells_the_same() {
    let text = SOUND.replacen("frame.fwd", "frame.fdw", 1);
    let bench = Bench::with(text.as_bytes());
    let told = bench.run(&["--json", "locate", "<model.ron>"]);
    assert_eq!(told.status, ExitCode::from(2));
    assert_eq!(told.err, "");
    insta::assert_snapshot!(told.out);
    let typed = bench.run(&["--json", "try", "<model.ron>", "--set", "bya=1"]);
    assert_eq!(typed.status, ExitCode::from(2));
}
