//! `measured` as a person uses it: what it prints, and what it exits with. Snapshots hold the words.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use serde_json::Value;

/// Runs the program; what it prints, and its exit status.
fn run(words: &[&str]) -> (String, ExitCode) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = std::iter::once("strongback").chain(words.iter().copied());
    let code = strongback::run(all.map(Into::into), &mut out, &mut err);
    assert_eq!(String::from_utf8(err).unwrap(), "", "{words:?}");
    (String::from_utf8(out).unwrap(), code)
}

fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../demo-models")
        .join(name)
}

/// Three frames in a row, and a clip that slides.
const ROW: &str = r#"(format: 1, title: "Row", unit: Inch, fit: "1/32 in",
 sheets: {"S1": "side view"},
 dimensions: { "bay": (is: "20 in", within: "1/32 in", sheet: "S1"), "rear bay": (is: "24 1/2 in", within: "1/16 in", sheet: "S1"), "tail bay": (is: "18 in", within: "2 in", sheet: "S1") },
 parts: {
  "firewall": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: (fs: 0, bl: 0, wl: 0)),
  "frame 2": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, width: 30, height: 20, at: (bl: 0, wl: 0)),
  "frame 3": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, width: 30, height: 20, at: (bl: 0, wl: 0)),
  "frame 4": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, width: 30, height: 20, at: (bl: 0, wl: 0)),
  "clip": Plate(lies: Flat, thickness: "1/16 in", width: 1, length: 1, at: (bl: 0)),
 },
 relations: {
  "bay one": Spaced(from: "firewall.aft", to: "frame 2.web_fwd", by: "bay"),
  "bay two": Spaced(from: "frame 2.web_fwd", to: "frame 3.web_fwd", by: "rear bay"),
  "bay three": Spaced(from: "frame 3.web_fwd", to: "frame 4.web_fwd", by: "tail bay"),
  "clip on frame": Flush("clip.top", "frame 2.top"),
 },
 MEASUREMENTS)"#;

fn row(measurements: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("row.ron");
    std::fs::write(&path, ROW.replace("MEASUREMENTS", measurements)).unwrap();
    let path = path.to_str().unwrap().to_owned();
    (folder, path)
}

#[test]
fn a_misread_tape_is_told() {
    let model = demo("tail-cone.ron");
    let model = model.to_str().unwrap();
    let (out, status) = run(&["measured", model]);
    assert_eq!(status, ExitCode::from(1));
    assert!(
        out.starts_with(
            "5 of 6 measurements agree with the plan; `tail post` reads about 1 in too short."
        ),
        "{out}"
    );
    insta::assert_snapshot!("tail-cone", out);
    let (json, _) = run(&["measured", model, "--json"]);
    let answer: Value = serde_json::from_str(&json).unwrap();
    assert_eq!(
        answer["reconciled"]["suspects"][0]["one_of"][0]["name"],
        "tail post"
    );
    let ended = &answer["reconciled"]["adjustment"]["ended"];
    assert_eq!(ended, "settled");
}

/// In a cone that is built longer, what was measured on the one as drawn agrees no more.
#[test]
fn a_deviation_is_compared_too() {
    let model = demo("tail-cone.ron");
    let (out, status) = run(&["measured", model.to_str().unwrap(), "--with", "longer cone"]);
    assert_eq!(status, ExitCode::from(1));
    let words: Vec<&str> = out.split_whitespace().collect();
    let told = "`rear frame to stern post` says 96 in and would have to be about 93 in";
    assert!(words.join(" ").contains(told), "{out}");
}

#[test]
fn every_verdict_is_told() {
    let (_folder, model) = row(r#"measurements: {
        "whole": (from: "firewall.aft", to: "frame 3.web_fwd", is: "43 1/2 in", uncertainty: "1/32 in"),
        "first": (from: "firewall.aft", to: "frame 2.web_fwd", is: "20 1/32 in", uncertainty: "1/32 in"),
        "width": (size: "frame 2.width", is: "30 1/2 in", uncertainty: "1/64 in"),
        "tail": (from: "frame 3.web_fwd", to: "frame 4.web_fwd", is: "18 1/4 in", uncertainty: "1/32 in"),
        "clip": (from: "firewall.aft", to: "clip.fwd", is: "5 in", uncertainty: "1/32 in"),
    }"#);
    let (out, status) = run(&["measured", &model]);
    assert_eq!(status, ExitCode::from(1));
    insta::assert_snapshot!("every-verdict", out);
}

/// Where a figure of the plan is what is wrong, the measurements agree with each other.
#[test]
fn a_misdrawn_figure_is_no_agreement_with_the_plan() {
    let (_folder, model) = row(r#"measurements: {
        "whole": (from: "firewall.aft", to: "frame 3.web_fwd", is: "43 1/2 in", uncertainty: "1/32 in"),
        "rear": (from: "frame 2.web_fwd", to: "frame 3.web_fwd", is: "23 1/2 in", uncertainty: "1/32 in"),
    }"#);
    let (out, _) = run(&["measured", &model]);
    let told = "Both measurements agree with each other and not with the plan: `rear bay` says 24 1/2 in and would have to be about \
                23 1/2 in.";
    let words: Vec<&str> = out.split_whitespace().collect();
    assert!(words.join(" ").starts_with(told), "{out}");
    // `rear` has measured it: nothing is left to measure
    assert!(!out.contains("To do next"), "{out}");
}

/// What is held exact, what gave way and what can be read otherwise is told beside a suspect.
#[test]
fn a_suspect_is_told_with_what_else_may_be_wrong() {
    let model = ROW.replace(
        r#""clip on frame":"#,
        r#""clip off frame": (is: Spaced(from: "firewall.aft", to: "clip.fwd", by: "6 in"), trust: Doubtful),
  "clip off firewall": Readings({ "to its edge": Spaced(from: "firewall.aft", to: "clip.fwd", by: "5 in"), "to its end": Spaced(from: "firewall.aft", to: "clip.aft", by: "5 in") }),
  "clip on frame":"#,
    );
    let measurements = r#"measurements: {
        "clip": (from: "firewall.aft", to: "clip.fwd", is: "6 in", uncertainty: "1/32 in"),
        "width": (size: "frame 2.width", is: "30 1/2 in", uncertainty: "1/64 in"),
        "clip again": (from: "firewall.aft", to: "clip.aft", is: "5 in", uncertainty: "1/32 in"),
    }"#;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("row.ron");
    std::fs::write(&path, model.replace("MEASUREMENTS", measurements)).unwrap();
    let (out, status) = run(&["measured", path.to_str().unwrap()]);
    assert_eq!(status, ExitCode::from(1));
    insta::assert_snapshot!("else-may-be-wrong", out);
}

#[test]
fn what_agrees_is_well() {
    let (_folder, model) = row(r#"measurements: {
        "whole": (from: "frame 3.web_fwd", to: "firewall.aft", is: "44 1/2 in", uncertainty: "1/32 in"),
    }"#);
    let (out, status) = run(&["measured", &model]);
    assert_eq!(status, ExitCode::from(0), "{out}");
    assert!(
        out.starts_with("The measurement agrees with the plan."),
        "{out}"
    );
}

#[test]
fn a_model_without_measurements_says_how_to_state_one() {
    let (_folder, model) = row("");
    let (out, status) = run(&["measured", &model]);
    assert_eq!(status, ExitCode::from(0));
    insta::assert_snapshot!("none", out);
    // what is shown there reads
    let from = out.find("measurements: {").unwrap();
    let shown = &out[from..=out.find("},").unwrap()];
    let shown = shown.replace("rear frame.web_fwd", "frame 2.web_fwd");
    let (_folder, model) = row(&shown.replace("79 1/2", "20"));
    assert_eq!(run(&["measured", &model]).1, ExitCode::from(0));
}

/// With a part that a deviation leaves out goes what was measured on it.
#[test]
fn what_was_measured_on_a_part_goes_with_it() {
    let (_folder, model) = row(r#"measurements: {
        "first": (from: "firewall.aft", to: "frame 2.web_fwd", is: "20 in", uncertainty: "1/32 in"),
        "clip": (from: "firewall.aft", to: "clip.fwd", is: "5 in", uncertainty: "1/32 in"),
    }, deviations: { "no clip": (changes: [Drop("clip")]) }"#);
    assert_eq!(run(&["measured", &model]).1, ExitCode::from(1));
    let (out, status) = run(&["measured", &model, "--with", "no clip"]);
    assert_eq!(status, ExitCode::from(0), "{out}");
    assert!(
        out.starts_with("The measurement agrees with the plan."),
        "{out}"
    );
}

#[test]
fn measurements_of_the_record_are_pointed_to() {
    let (_folder, model) = row("");
    let entry = [
        "built",
        "measure",
        &model,
        "first bay",
        "--from",
        "firewall.aft",
        "--to",
        "frame 2.web_fwd",
        "--is",
        "20 in",
        "--uncertainty",
        "1/32 in",
    ];
    run(&entry);
    let (told, _) = run(&["measured", &model]);
    let hint = "The model states no measurements; its build record has 1 measurement: ask with --as-built.";
    assert!(told.contains(hint), "{told}");
    let (told, _) = run(&["measured", &model, "--as-built"]);
    assert!(!told.contains("states no measurements"), "{told}");
}
