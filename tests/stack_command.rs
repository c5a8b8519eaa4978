//! `stack` as a person uses it: what it prints, what it exits with, the picture it writes.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::process::ExitCode;

use tempfile::TempDir;

/// A rail on two bulkheads and a floor on the rail: figures with tolerances of their own, the file's, a contact, a lean.
const RAIL: &str = r#"(format: 1, title: "Teasel, a rail", unit: Inch, fit: "1/32 in", within: "1/64 in",
 sheets: {"S1": "side view", "S2": "rail"},
 dimensions: {
  "bay": (is: "11 1/4 in", within: "1/32 in", sheet: "S1"),
  "rail height": (is: "3 in", sheet: "S2"),
  "stock": (is: "1/8 in"),
 },
 parts: {
  "wall": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in", at: (fs: 0, bl: 0, wl: 0)),
  "frame": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in", at: (bl: 0, wl: 0)),
  "rail": Angle(runs: FwdAft, length: "11 1/8 in", legs: (down: "1 in", left: "1 in"), thickness: "stock", at: (bl: 11), sides: Both),
  "floor": Plate(lies: Flat, thickness: "0.032 in", length: "10 in", width: "24 in", at: (bl: 0)),
  "lid": Plate(lies: Flat, thickness: "0.032 in", length: "10 in", width: "24 in", at: (fs: 0, bl: 0)),
 },
 relations: {
  "spacing": (is: Spaced(from: "wall.aft", to: "frame.fwd", by: "bay"), sheet: "S1"),
  "rail starts": (is: Reaches(end: "rail.fwd_end", face: "wall.aft", short_by: "1/32 in"), within: "0.020 in", sheet: "S2"),
  "rail up": Spaced(from: "datum.waterline", to: "rail.top", by: "rail height"),
  "floor on rail": (is: Against("floor.bottom", "rail R.top"), within: "0.010 in"),
  "floor starts": Reaches(end: "floor.fwd", face: "wall.aft"),
  "lid square": Parallel("lid.bottom", "floor.top"),
 },
 must_fit: {
  "rail ends": Between(from: "rail.aft_end", to: "frame.fwd", at_least: "1/16 in"),
  "floor height": (is: Spaced(from: "datum.waterline", to: "floor.top", by: "3.032 in"), within: "0.020 in"),
  "on top of the rail": Flush("floor.bottom", "rail R.top"),
  "lid on floor": Against("lid.bottom", "floor.top"),
 },
 deviations: { "longer rail": (why: "less trimming", changes: [Set("rail.length", "11 3/16 in")]) },
)
"#;

struct Ran {
    out: String,
    err: String,
    status: u8,
}

fn run(folder: &TempDir, words: &[&str]) -> Ran {
    let model = folder.path().join("rail.ron");
    std::fs::write(&model, RAIL).unwrap();
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = ["strongback", "stack", model.to_str().unwrap()];
    let all = all.iter().chain(words).map(Into::into);
    let code = strongback::run(all, &mut out, &mut err);
    let status = (0..=2).find(|n| format!("{code:?}") == format!("{:?}", ExitCode::from(*n)));
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    Ran {
        out: text(out).replace(&format!("{}/", folder.path().display()), ""),
        err: text(err),
        status: status.unwrap(),
    }
}

#[test]
fn one_must_fit_in_words() {
    let folder = tempfile::tempdir().unwrap();
    for (slug, words, status) in [
        ("both-sides", &["rail ends"][..], 1),
        ("uniform", &["floor height", "--spread", "uniform"], 1),
        ("deviation", &["rail ends R", "--with", "longer rail"], 1),
        ("contact", &["on top of the rail"], 0),
        ("open", &["lid on floor"], 1),
    ] {
        let ran = run(&folder, words);
        assert_eq!(
            (ran.err.as_str(), ran.status),
            ("", status),
            "{words:?}\n{}",
            ran.out
        );
        insta::assert_snapshot!(format!("stack-{slug}"), ran.out);
    }
}

#[test]
fn all_must_fits_in_one_table() {
    let folder = tempfile::tempdir().unwrap();
    let ran = run(&folder, &[]);
    assert_eq!((ran.err.as_str(), ran.status), ("", 1));
    insta::assert_snapshot!("stack-all", ran.out);
}

#[test]
fn the_same_seed_tells_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let told = |seed: &str| {
        run(
            &folder,
            &["rail ends R", "--samples", "700", "--seed", seed, "--json"],
        )
        .out
    };
    assert_eq!(told("5"), told("5"));
    assert_ne!(told("5"), told("6"));
}

#[test]
fn the_samples_are_drawn() {
    let folder = tempfile::tempdir().unwrap();
    let picture = folder.path().join("rail.svg");
    let ran = run(&folder, &["rail ends", "--svg", picture.to_str().unwrap()]);
    assert!(ran.out.contains("rail.svg is written"), "{}", ran.out);
    let svg = std::fs::read_to_string(&picture).unwrap();
    insta::assert_snapshot!("stack-picture", svg);
    // what can't be stacked and what doesn't vary make a picture too
    for must_fit in ["lid on floor", "on top of the rail"] {
        let path = folder.path().join("more.png");
        let ran = run(&folder, &[must_fit, "--svg", path.to_str().unwrap()]);
        assert_eq!(ran.err, "");
        assert_eq!(&std::fs::read(path).unwrap()[..8], b"\x89PNG\r\n\x1a\n");
    }
}
