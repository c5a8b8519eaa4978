//! Pictures of some parts: nothing else is drawn, the picture says so, and they get the paper that all had.

use std::collections::BTreeSet;

use crate::command_line::{demo, run};

/// The parts drawn, and the text of the picture.
fn drawn(words: &[&str]) -> (BTreeSet<String>, String) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("picture.svg");
    let model = demo("first-bay.ron");
    let paths = [model.to_str().unwrap(), "-o", file.to_str().unwrap()];
    let (_, err, status) = run(&[&["draw"], &paths[..], words].concat());
    assert_eq!((err.as_str(), status), ("", 0), "{words:?}");
    let svg = std::fs::read_to_string(&file).unwrap();
    let parts = svg.split(" class=\"part\" ").skip(1);
    let named = parts.filter_map(|part| {
        let (_, rest) = part.split_once("data-part=\"")?;
        Some(rest.split_once('"')?.0.to_owned())
    });
    (named.collect(), svg)
}

fn scale(svg: &str) -> f64 {
    // 1 : 10, or 2.5 : 1
    let (_, rest) = svg.split_once(" · ").unwrap();
    let (paper, rest) = rest.split_once(" : ").unwrap();
    let real = rest.split_whitespace().next().unwrap();
    paper.parse::<f64>().unwrap() / real.parse::<f64>().unwrap()
}

#[test]
fn only_what_is_asked_for_is_drawn_and_larger() {
    let (all, whole) = drawn(&[]);
    assert!(all.len() > 3 && !whole.contains("Left out"), "{all:?}");
    for part in &all {
        let (one, svg) = drawn(&["--only", part]);
        assert_eq!(one, BTreeSet::from([part.clone()]));
        let others = all.len() - 1;
        assert!(svg.contains(&format!("Left out on purpose: {others} of the parts.")));
        assert!(scale(&svg) >= scale(&whole), "{part}");
        let (rest, svg) = drawn(&["--without", part, "--view", "front"]);
        assert_eq!(rest.len(), others);
        assert!(!rest.contains(part) && svg.contains("Left out on purpose: 1 of the parts."));
    }
}

#[test]
fn a_part_that_is_not_there_can_not_be_left_out() {
    let model = demo("first-bay.ron");
    let model = model.to_str().unwrap();
    for option in ["--only", "--without"] {
        let (out, err, status) = run(&["draw", model, "-o", "x.svg", option, "no such part"]);
        assert_eq!((out.as_str(), status), ("", 2));
        assert!(err.contains("there is no part `no such part`"), "{err}");
    }
}
