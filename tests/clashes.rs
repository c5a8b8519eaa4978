//! Clashes of the demo models as a person meets them: the plans have none, but for the one that shows what is amiss.

use crate::command_line::{demo, json, run};

fn clashes(model: &str) -> Vec<[String; 2]> {
    let path = demo(model);
    let answer = json(&["fit", path.to_str().unwrap()]);
    let found = answer["clashes"]["found"].as_array().unwrap();
    found
        .iter()
        .map(|clash| [0, 1].map(|at| clash["parts"][at].as_str().unwrap().to_owned()))
        .collect()
}

#[test]
fn the_first_bay_has_no_clash() {
    assert_eq!(clashes("first-bay.ron"), Vec::<[String; 2]>::new());
}

#[test]
fn the_centre_fuselage_has_no_clash() {
    assert_eq!(clashes("centre-fuselage.ron"), Vec::<[String; 2]>::new());
}

#[test]
fn the_tail_cone_has_no_clash() {
    assert_eq!(clashes("tail-cone.ron"), Vec::<[String; 2]>::new());
}

/// As its first readings have it the tray runs into the tail frame, and the shelf lies in the frame that it should lie on.
#[test]
fn the_readings_of_two_sheets_show_in_what_runs_into_what() {
    let parts = |one: &str, other: &str| [one.to_owned(), other.to_owned()];
    assert_eq!(
        clashes("contradicting-sheets.ron"),
        [parts("tail frame", "tray"), parts("shelf frame", "shelf")]
    );
    let path = demo("contradicting-sheets.ron");
    let path = path.to_str().unwrap();
    let (out, ..) = run(&["try", path, "as the second sheet has it"]);
    for line in ["tail frame into tray", "shelf frame into shelf"] {
        let told = out.lines().find(|told| told.contains(line)).unwrap();
        assert!(told.contains("cured"), "{told}");
    }
}

/// Without its packer the spar leans, and its cap comes forward into the ribs behind the seats.
#[test]
fn a_deviation_that_brings_clashes_says_so_and_ends_with_one() {
    let path = demo("centre-fuselage.ron");
    let path = path.to_str().unwrap();
    let (out, _, status) = run(&["try", path, "no packer"]);
    assert_eq!(status, 1);
    let told = |part: &str| {
        let line = format!("main spar into {part}");
        out.lines()
            .any(|told| told.contains(&line) && told.contains("BROUGHT"))
    };
    assert!(told("baggage rib L") && told("baggage rib R"), "{out}");
    let answer = json(&["try", path, "no packer"]);
    let clash = &answer["trials"][0]["clashes"][0];
    assert_eq!(clash["verdict"], "brought");
    assert!(clash["before"].is_null());
    assert!(clash["after"]["places"][0]["depth_mm"].as_f64().unwrap() > 1.0);
}

/// A model with nothing amiss but a clash: told, and the exit status says so.
#[test]
fn a_clash_alone_ends_with_one() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("two-bars.ron");
    let model = |cut: &str| {
        format!(
            r#"(format: 1, title: "x", unit: Millimetre, fit: "1 mm", parts: {{
    "post": Bar(runs: UpDown, length: 100, depth: 10, breadth: 10, at: (fs: 0, bl: 0, wl: 0){cut}),
    "rail": Bar(runs: FwdAft, length: 100, depth: 10, breadth: 10, at: (fs: -52, bl: 4, wl: 30)),
}})"#
        )
    };
    std::fs::write(&path, model("")).unwrap();
    let path = path.to_str().unwrap();
    let (out, err, status) = run(&["fit", path]);
    assert_eq!((err.as_str(), status), ("", 1));
    insta::assert_snapshot!(out);
    std::fs::write(path, model(r#", cut_for: ["rail"]"#)).unwrap();
    let (out, _, status) = run(&["fit", path]);
    assert_eq!(status, 0, "{out}");
    assert!(!out.contains("runs into"), "{out}");
}
