//! Files that are no models, or are broken as text.

use std::fs;
use std::process::ExitCode;

use super::bench::Bench;
use super::{FIRST_BAY, SOUND, messages, model_refused};

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
            "curly bracket missing",
            "        \"lean\": (is: \"3 deg\"),\n    },",
            "        \"lean\": (is: \"3 deg\"),\n",
        ),
        ("name without quotes", "\"lean\": (is", "lean: (is"),
        (
            "remark by another sign",
            "    fit: ",
            "    # tolerance\n    fit: ",
        ),
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
        "65 MiB of blanks",
        &Bench::with(&vec![b' '; 65 * 1024 * 1024]),
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
