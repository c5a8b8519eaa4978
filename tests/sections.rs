//! Sections of the demo models: one at each face that lies across, with its names, and what is typed wrong.

use std::collections::BTreeSet;

use crate::command_line::{demo, json, run};
use serde_json::Value;
use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::layout::Layout;
use strongback_model::source::read;

const DEMOS: [&str; 4] = [
    "first-bay.ron",
    "centre-fuselage.ron",
    "tail-cone.ron",
    "contradicting-sheets.ron",
];

fn layout(model: &str) -> Layout {
    let text = std::fs::read_to_string(model).unwrap();
    let document: Document = read(&text).unwrap();
    let assembly = assemble(&document).unwrap();
    assembly.solve().unwrap().layout()
}

/// Names of the parts of a class in a picture.
fn named(svg: &str, class: &str) -> BTreeSet<String> {
    let start = format!("class=\"{class}");
    let groups = svg.lines().filter(|line| line.contains(&start));
    groups
        .filter_map(|line| line.split("data-part=\"").nth(1)?.split('"').next())
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_frame_of_every_demo_is_cut_at_its_web() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("section.svg");
    let file = file.to_str().unwrap();
    for name in DEMOS {
        let path = demo(name);
        let model = path.to_str().unwrap();
        let layout = layout(model);
        for part in layout.parts.iter().filter(|part| part.kind == "Frame") {
            let at = format!("{}.web_fwd", part.name);
            let (out, err, status) =
                run(&["draw", model, "--view", "section", "--at", &at, "-o", file]);
            assert!(err.is_empty() && status < 2, "{at}: {err}");
            let svg = std::fs::read_to_string(file).unwrap();
            let station = part.feature("web_fwd").unwrap().at_mm[0];
            let cut: BTreeSet<String> = layout
                .cut_at(station)
                .parts
                .into_iter()
                .map(|it| it.part)
                .collect();
            assert!(cut.contains(&part.name), "{at}: {out}");
            assert_eq!(named(&svg, "cut"), cut, "{at}");
            assert!(out.contains("Cut: ") && out.contains(&part.name), "{out}");
        }
    }
}

#[test]
fn the_cut_just_aft_of_a_face() {
    let layout = layout(demo("centre-fuselage.ron").to_str().unwrap());
    let firewall = layout.part("firewall").unwrap();
    let station = |face: &str| firewall.feature(face).unwrap().at_mm[0];
    let is_cut = |station: f64| {
        layout
            .cut_at(station)
            .parts
            .iter()
            .any(|it| it.part == "firewall")
    };
    assert!(is_cut(station("fwd")) && !is_cut(station("aft")));
    // the whole sheet: 42 in by 30 in, but for what is cut out of it
    let section = layout.cut_at(station("fwd"));
    let cut = section
        .parts
        .iter()
        .find(|it| it.part == "firewall")
        .unwrap();
    let area: f64 = cut.cuts.iter().map(|cut| cut.area_mm2).sum();
    let [_, width, height] = firewall.over_all_mm;
    assert!(
        area > 0.5 * width * height && area <= width * height * (1.0 + 1e-9),
        "{area}"
    );
}

#[test]
fn a_section_in_both_forms_with_a_deviation() {
    let folder = tempfile::tempdir().unwrap();
    let path = demo("centre-fuselage.ron");
    let model = path.to_str().unwrap();
    for (form, start) in [("svg", &b"<svg"[..]), ("png", b"\x89PNG")] {
        let file = folder.path().join(format!("section.{form}"));
        let words = [
            "draw",
            model,
            "seat frame flanges reversed",
            "--view",
            "section",
            "--at",
            "55 3/8 in",
            "--width",
            "900",
            "-o",
        ];
        let answer: Value = json(&[&words[..], &[file.to_str().unwrap()]].concat());
        let shows = answer["shows"].as_str().unwrap();
        assert!(
            shows.starts_with("Section at 55 3/8 in with `seat frame flanges reversed`"),
            "{shows}"
        );
        assert!(std::fs::read(&file).unwrap().starts_with(start));
    }
    let svg = std::fs::read_to_string(folder.path().join("section.svg")).unwrap();
    assert!(
        svg.contains("data-ghost=\"seat frame\""),
        "its old web is where the new one is not"
    );
}

/// A text without the signs that colour it on a terminal.
fn plain(text: &str) -> String {
    let mut pieces = text.split("\u{1b}[");
    let first = pieces.next().unwrap_or_default().to_owned();
    pieces.fold(first, |plain, piece| {
        plain + piece.split_once('m').map_or(piece, |(_, rest)| rest)
    })
}

#[test]
fn what_is_typed_wrong() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("section.svg");
    let file = file.to_str().unwrap();
    let path = demo("centre-fuselage.ron");
    let model = path.to_str().unwrap();
    let mut told = String::new();
    for words in [
        &["--view", "section"][..],
        &["--at", "55 in"],
        &["--view", "front", "--at", "55 in"],
        &["--view", "section", "--at", "seat frame"],
        &["--view", "section", "--at", "seat frame.web_forward"],
        &["--view", "section", "--at", "seat fram.web_fwd"],
        &["--view", "section", "--at", "firewall.top"],
        &["--view", "section", "--at", "4 deg"],
        &["--view", "section", "--at", "55 3/8 inn"],
        &["--view", "section", "--at", "400 in"],
        &["--view", "section", "--at", "-400 in"],
    ] {
        let (out, err, status) = run(&[&["draw", model, "-o", file], words].concat());
        assert_eq!((out.as_str(), status), ("", 2), "{words:?}");
        let err = plain(&err);
        assert!(err.contains("help: "), "{err}");
        let shown: Vec<&str> = err
            .lines()
            .filter(|line| !line.starts_with("-->") && !line.trim().starts_with("-->"))
            .collect();
        told += &format!(
            "$ draw {}\n{}\n\n",
            words.join(" "),
            shown.join("\n").trim_end()
        );
    }
    assert!(
        std::fs::read_dir(folder.path()).unwrap().next().is_none(),
        "nothing is written"
    );
    insta::assert_snapshot!("section-typed-wrong", told);
}
