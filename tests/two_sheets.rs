//! The demo of two sheets that contradict each other, as its builder reads it: what each command says of it in words.

use crate::command_line::{demo, run};

const MODEL: &str = "contradicting-sheets.ron";

fn told(words: &[&str]) -> (String, u8) {
    let path = demo(MODEL);
    let (command, rest) = words.split_first().unwrap();
    let all = [&[*command, path.to_str().unwrap()], rest].concat();
    let (out, err, status) = run(&all);
    assert_eq!(err, "");
    (out, status)
}

#[test]
fn the_contradiction_is_told_with_its_loop() {
    let (out, status) = told(&["odds"]);
    assert_eq!(status, 1);
    insta::assert_snapshot!("two-sheets-demo-odds", out);
}

#[test]
fn exactly_one_way_to_read_the_sheets_fits() {
    let (out, status) = told(&["readings"]);
    assert_eq!(status, 0);
    assert!(out.contains("of 8 ways to read them, exactly one"), "{out}");
    insta::assert_snapshot!("two-sheets-demo-readings", out);
}

#[test]
fn the_loose_part_is_told_with_what_would_settle_it() {
    let (out, status) = told(&["loose"]);
    assert_eq!(status, 1);
    insta::assert_snapshot!("two-sheets-demo-loose", out);
}

#[test]
fn the_misread_measurement_is_named() {
    let (out, status) = told(&["measured"]);
    assert_eq!(status, 1);
    insta::assert_snapshot!("two-sheets-demo-measured", out);
}

/// With the readings that fit and the loose part settled, nothing is amiss.
#[test]
fn the_readings_that_fit_leave_nothing_amiss() {
    let takes = [
        "--with",
        "battery against the frame",
        "--take",
        "tail frame spacing=from the flange edge",
        "--take",
        "shelf height=to its underside",
    ];
    for command in ["locate", "fit", "odds", "loose", "readings"] {
        let (out, status) = told(&[&[command], &takes[..]].concat());
        assert_eq!(status, 0, "{command}:\n{out}");
    }
    let (out, status) = told(&[
        "fit",
        "--with",
        "as the second sheet has it + battery against the frame",
    ]);
    assert_eq!(status, 0, "{out}");
}

#[test]
fn a_reading_that_is_not_there_is_refused_with_the_nearest() {
    let path = demo(MODEL);
    let path = path.to_str().unwrap();
    for (take, says) in [
        (
            "tail frame spacing=from the wed",
            "the nearest is `from the web`",
        ),
        (
            "tail frame spacin=from the web",
            "the nearest is `tail frame spacing`",
        ),
        ("rail line=from the web", "has one reading only"),
        (
            "tail frame spacing",
            "doesn't give a statement and a reading",
        ),
    ] {
        let (out, err, status) = run(&["locate", path, "--take", take]);
        assert_eq!((out.as_str(), status), ("", 2), "{take}");
        assert!(err.contains(says), "{take}:\n{err}");
    }
    let twice = [
        "--take",
        "stay spacing=from the web",
        "--take",
        "stay spacing=from the flange edge",
    ];
    let (_, err, status) = run(&[&["fit", path], &twice[..]].concat());
    assert!(status == 2 && err.contains("is read twice"), "{err}");
    let (_, err, status) = run(&["readings", path, "--most", "2"]);
    assert!(status == 2 && err.contains("bear on each other"), "{err}");
}
