//! `stack` as a person uses it: what it prints, what it exits with, the picture it writes.

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
    std::fs::write(folder.path().join("rail.ron"), RAIL).unwrap();
    run_on(folder, "rail.ron", words)
}

fn run_on(folder: &TempDir, model: &str, words: &[&str]) -> Ran {
    let model = folder.path().join(model);
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

/// What a stack-up says where nothing varies, or where the sheets contradict each other.
const STILL: &str = r#"(format: 1, title: "Teasel, two shelves", unit: Inch, fit: "1/32 in",
 dimensions: { "drop": (is: "4 in", within: "1/32 in") },
 parts: {
  "wall": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in", at: (fs: 0, bl: 0, wl: 0)),
  "shelf": Plate(lies: Flat, thickness: "0.032 in", length: "10 in", width: "24 in", at: (fs: 0, bl: 0)),
  "upper": Plate(lies: Flat, thickness: "0.032 in", length: "10 in", width: "24 in", at: (fs: 0, bl: 0)),
 },
 relations: {
  "shelf up": Spaced(from: "datum.waterline", to: "shelf.top", by: "6 in"),
  "upper up": Spaced(from: "shelf.top", to: "upper.top", by: "drop"),
  "upper, other sheet": Spaced(from: "shelf.top", to: "upper.top", by: "4 1/2 in"),
 },
 must_fit: {
  "room under the shelf": Between(from: "datum.waterline", to: "shelf.bottom", at_least: "5 1/2 in"),
  "knee room": Between(from: "datum.waterline", to: "shelf.bottom", at_least: "6 1/2 in"),
  "room above": Between(from: "shelf.top", to: "upper.bottom", at_least: "3 3/4 in"),
 },
)
"#;

fn run_still(folder: &TempDir, words: &[&str]) -> Ran {
    std::fs::write(folder.path().join("still.ron"), STILL).unwrap();
    run_on(folder, "still.ron", words)
}

#[test]
fn where_nothing_varies_nothing_is_judged() {
    let folder = tempfile::tempdir().unwrap();
    let ran = run_still(&folder, &["room under the shelf"]);
    assert_eq!((ran.err.as_str(), ran.status), ("", 0));
    let told = "`room under the shelf` is not judged: nothing behind it states a tolerance; as drawn it fits.";
    assert!(ran.out.starts_with(told), "{}", ran.out);
    assert!(!ran.out.contains("Assumed"), "{}", ran.out);
    let ran = run_still(&folder, &["knee room"]);
    assert_eq!(ran.status, 1);
    assert!(
        ran.out.starts_with("`knee room` MISSES as drawn"),
        "{}",
        ran.out
    );
    let ran = run_still(&folder, &["room under the shelf", "--json"]);
    let answer: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let stack = &answer["stacks"][0];
    assert_eq!(stack["verdict"], "not_judged");
    assert_eq!(stack["chance"], serde_json::Value::Null);
}

#[test]
fn what_is_disputed_is_told_so() {
    let folder = tempfile::tempdir().unwrap();
    let picture = folder.path().join("still.svg");
    let ran = run_still(&folder, &["room above", "--svg", picture.to_str().unwrap()]);
    assert_eq!(ran.status, 1);
    let told = "DISPUTED by upper, other sheet";
    assert!(ran.out.contains(told), "{}", ran.out);
    assert!(std::fs::read_to_string(&picture).unwrap().contains(told));
    let ran = run_still(&folder, &[]);
    assert_eq!(ran.status, 1);
    insta::assert_snapshot!("stack-not-judged", ran.out);
}
