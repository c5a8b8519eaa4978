//! Other layouts close by, as a person meets them: the remark, and the start that it tells written into the file.

use crate::command_line::{json, run, steady};
use serde_json::Value;

/// A strut on each side, held by two distances: the start that is told makes both sides the other layout.
const STRUTS: &str = r#"(format: 1, title: "Struts", unit: Inch, fit: "1/32 in", parts: {
  "sill": Custom(sides: Both, points: {"fwd": (), "aft": (fs: 10)}, at: (fs: 20, bl: 8, wl: 0)),
  "strut": Custom(sides: Both, points: {"foot": ()}, at: (bl: 8, fs: Find(near: 23), wl: Find(near: 4))),
  "prop": Custom(points: {"foot": (), "head": (fs: "6 in")}, at: (fs: 20, bl: 0, wl: 0), turn: (pitch: Find(near: "-10 deg"))),
  "post": Custom(points: {"head": ()}, at: (fs: 30, bl: 0, wl: 0)),
 },
 relations: {
  "fwd leg": Spaced(from: "sill.fwd", to: "strut.foot", by: 6),
  "aft leg": Spaced(from: "sill.aft", to: "strut.foot", by: 8),
  "stay": Spaced(from: "post.head", to: "prop.head", by: "5 in"),
 })
"#;

#[test]
fn another_layout_close_by_is_a_remark_and_no_fault() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("struts.ron");
    std::fs::write(&path, STRUTS).unwrap();
    let model = path.to_str().unwrap();
    let (out, err, status) = run(&["locate", model]);
    assert_eq!((err.as_str(), status), ("", 0), "{out}");
    insta::assert_snapshot!("struts-locate", steady(&out));
    let (out, _, status) = run(&["loose", model]);
    assert_eq!(status, 0);
    insta::assert_snapshot!("struts-loose", out);
    let answer = json(&["locate", model]);
    let others = answer["neighbours"]["others"].as_array().unwrap();
    assert_eq!(others.len(), 2, "{others:#?}");
    let parts = |name: &str| {
        let answer = json(&["locate", model]);
        let parts = answer["layout"]["parts"].as_array().unwrap().clone();
        parts.into_iter().find(|part| part["name"] == name).unwrap()
    };
    // the starts as told, written into the file
    let starts = others
        .iter()
        .flat_map(|other| other["starts"].as_array().unwrap());
    let mut text = STRUTS.to_owned();
    for start in starts {
        let (name, stated) = (
            start["name"].as_str().unwrap(),
            start["stated"].as_str().unwrap(),
        );
        let old = match name {
            "strut.wl" => "Find(near: 4)",
            "prop.pitch" => "Find(near: \"-10 deg\")",
            other => panic!("{other}"),
        };
        text = text.replace(old, stated);
    }
    let before = ["strut L", "strut R", "prop"].map(parts);
    std::fs::write(&path, text).unwrap();
    let after = ["strut L", "strut R", "prop"].map(parts);
    for (before, after) in before.iter().zip(&after) {
        let of = |part: &Value| {
            let wl = part["origin_mm"][2].as_f64().unwrap();
            (wl, part["turn_deg"][1].as_f64().unwrap())
        };
        let ((wl, pitch), (other_wl, other_pitch)) = (of(before), of(after));
        assert!(
            (wl + other_wl).abs() < 1e-6 && (pitch + other_pitch).abs() < 1e-6,
            "{after}"
        );
        assert!(wl.abs() + pitch.abs() > 1.0);
    }
}
