//! `blanks` as a person uses it, on a model of its own.

use crate::command_line::{demo, json, run};

const MODEL: &str = r#"(format: 1, title: "sheet parts", unit: Inch, fit: "1/32 in", alloy: "2024-T3", bending: (trim: "1/4 in"),
    contours: {
        "bottom": (sections: {
            "front": (fs: 0, points: [(0, 0), (8, 0.5), (16, 3)]),
            "rear": (fs: 40, points: [(0, 0), (8, 0.5), (16, 3)])}),
        "egg": (sections: {
            "front": (fs: 0, points: [(0, -8), (8, 0), (0, 8)]),
            "middle": (fs: 20, points: [(0, -10), (10, 0), (0, 10)]),
            "rear": (fs: 40, points: [(0, -6), (6, 0), (0, 6)])}),
    },
    parts: {
        "frame": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, width: "30 in", height: "20 in",
            holes: {"tool": (bl: 3, wl: 2, diameter: "1/4 in"), "edge": (wl: 0)}, at: (fs: 0, bl: 0, wl: 0)),
        "notched": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Fwd, radius: "1/16 in", at: (fs: 20, bl: 0, wl: 0),
            outline: [(-10, 0), (10, 0), (10, 12), (0.5, 12), (0.5, 11), (-0.5, 11), (-0.5, 12), (-10, 12)]),
        "channel": Channel(runs: Across, length: "20 in", web: "2 in", flange: "1 in", thickness: "0.040 in", radius: "3/16 in",
            back: Fwd, web_along: Waterline, at: (fs: 40, bl: 0, wl: 0)),
        "hard rib": Rib(thickness: "0.040 in", flange: "5/8 in", flanges: Right, length: "9 in", height: "3 in", alloy: "7075-T6",
            at: (fs: 60, bl: 0, wl: 0)),
        "bottom skin": Skin(contour: "bottom", thickness: "0.032 in", from: 2, length: 30, fwd_cant: "-12 deg", sides: Both),
        "egg skin": Skin(contour: "egg", thickness: "0.025 in", from: 0, length: 40),
    })"#;

fn model(text: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sheet-parts.ron");
    std::fs::write(&path, text).unwrap();
    let path = path.to_str().unwrap().to_owned();
    (folder, path)
}

#[test]
fn all_and_some_in_words() {
    let (_folder, path) = model(MODEL);
    let (out, err, status) = run(&["blanks", &path]);
    assert_eq!((err.as_str(), status), ("", 1));
    insta::assert_snapshot!("blanks", out);
    let (out, err, status) = run(&["blanks", &path, "frame", "channel"]);
    assert_eq!((err.as_str(), status), ("", 0));
    insta::assert_snapshot!("blanks-in-full", out);
    let (_, err, status) = run(&["blanks", &path, "chanel"]);
    assert_eq!(status, 2);
    assert!(err.contains("channel"), "{err}");
}

/// 16 out from the centre line the section stands 3 above it: the edge begins 3 tan 12 = 0.6377 further forward.
#[test]
fn a_canted_edge_makes_the_edges_longer_than_the_centre_line() {
    let (_folder, path) = model(MODEL);
    let (out, ..) = run(&["blanks", &path, "bottom skin"]);
    assert!(
        out.contains("30 in along the centre line, and its edges"),
        "{out}"
    );
    let answer = json(&["blanks", &path, "bottom skin"]);
    let blanks = answer["blanks"]["blanks"].as_array().unwrap();
    assert_eq!(blanks.len(), 2);
    for blank in blanks {
        let longer = blank["development"]["longer_mm"].as_f64().unwrap() / 25.4;
        // half of the thickness inwards, the edge of the middle lies a little lower
        assert!(
            (longer - 3.0 * 12_f64.to_radians().tan()).abs() < 0.01,
            "{longer}"
        );
    }
}

#[test]
fn what_a_pattern_does_not_show_is_told() {
    let model = demo("tail-cone.ron");
    let model = model.to_str().unwrap();
    let (out, err, _) = run(&["blanks", model, "frame 2"]);
    assert_eq!(err, "");
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        out.contains("frame 2: to be cut out for upper longeron L,"),
        "{out}"
    );
    let (out, ..) = run(&["blanks", model]);
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        out.contains("what is cut out of frame 2, frame 3,"),
        "{out}"
    );
    let told = json(&["blanks", model]);
    let blanks = told["blanks"]["blanks"].as_array().unwrap();
    let own = |name: &str| blanks.iter().find(|blank| blank["part"] == name).unwrap();
    let cut_for = own("frame 2")["not_drawn"]["cut_for"].as_array().unwrap();
    assert_eq!(cut_for.len(), 9);
}
