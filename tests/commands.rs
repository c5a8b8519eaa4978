//! The commands as a person uses them: what they print on the demo models, and what they exit with.
//! Snapshots hold the words; times are left out of them.

use std::path::PathBuf;

use crate::command_line::{demo, json, run, steady};
use serde_json::Value;

fn demos() -> Vec<PathBuf> {
    let mut list: Vec<PathBuf> = std::fs::read_dir(demo(""))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "ron"))
        .collect();
    list.sort();
    assert!(list.len() >= 3);
    list
}

fn deviations(model: &str) -> Vec<String> {
    let text = std::fs::read_to_string(model).unwrap();
    let document: strongback_model::document::Document =
        strongback_model::source::read(&text).unwrap();
    document.deviations.names().map(str::to_owned).collect()
}

/// The demo that shows what is amiss with two sheets.
const AMISS: &str = "contradicting-sheets";

#[test]
fn the_plan_of_every_other_demo_is_sound() {
    for path in demos() {
        if path.file_stem().unwrap() == AMISS {
            continue;
        }
        let model = path.to_str().unwrap();
        for command in ["locate", "fit"] {
            let (out, err, status) = run(&[command, model]);
            assert_eq!((err.as_str(), status), ("", 0), "{command} {model}:\n{out}");
        }
    }
}

#[test]
fn locate_fit_and_try_in_words() {
    for path in demos() {
        let model = path.to_str().unwrap();
        let name = path.file_stem().unwrap().to_str().unwrap();
        insta::assert_snapshot!(format!("{name}-locate"), steady(&run(&["locate", model]).0));
        insta::assert_snapshot!(format!("{name}-fit"), run(&["fit", model]).0);
        for command in ["joints", "blanks", "order", "mass"] {
            let (out, err, status) = run(&[command, model]);
            assert!(err.is_empty() && status < 2, "{command} {model}: {err}");
            insta::assert_snapshot!(format!("{name}-{command}"), out);
        }
        for deviation in deviations(model) {
            let slug = deviation.replace([' ', '/', ','], "-");
            let (out, err, status) = run(&["try", model, &deviation]);
            assert_eq!(err, "", "{deviation}");
            assert!(status < 2);
            insta::assert_snapshot!(format!("{name}-try-{slug}"), out);
            let (out, ..) = run(&["recut", model, &deviation]);
            insta::assert_snapshot!(format!("{name}-recut-{slug}"), out);
        }
    }
}

#[test]
fn why_in_words() {
    for (name, face) in [
        ("first-bay.ron", "floor.aft"),
        ("first-bay.ron", "rail L.top"),
    ] {
        let path = demo(name);
        let (out, _, status) = run(&["why", path.to_str().unwrap(), face]);
        assert_eq!(status, 0);
        insta::assert_snapshot!(format!("why-{}", face.replace([' ', '.'], "-")), out);
    }
}

#[test]
fn why_between_two_faces_in_words() {
    for (name, from, to, axis) in [
        ("first-bay.ron", "floor.aft", "firewall.fwd", None),
        ("first-bay.ron", "floor.aft", "rail L.top", Some("wl")),
        ("first-bay.ron", "firewall.aft", "rail L.fwd_end", None),
        (
            "tail-cone.ron",
            "upper longeron L.fwd_end",
            "stern frame.web_aft",
            None,
        ),
    ] {
        let path = demo(name);
        let mut words = vec!["why", path.to_str().unwrap(), from, to];
        words.extend(axis);
        let (out, err, status) = run(&words);
        assert_eq!((err.as_str(), status), ("", 0), "{out}");
        let slug = format!("{from} to {to}").replace([' ', '.'], "-");
        insta::assert_snapshot!(format!("why-{slug}"), out);
    }
    let path = demo("first-bay.ron");
    let path = path.to_str().unwrap();
    let answer = json(&["why", path, "floor.aft", "firewall.fwd"]);
    assert_eq!(answer["chain"]["from"], "floor.aft");
    assert_eq!(answer["chain"]["feature"], "firewall.fwd");
    for words in [
        vec!["floor.aft", "firewall.fdw"],
        vec!["floor.atf", "firewall.fwd"],
        vec!["floor.aft", "up"],
        vec!["floor.aft", "fs", "wl"],
    ] {
        let words = [vec!["why", path], words].concat();
        let (_, err, status) = run(&words);
        assert!(status == 2 && err.contains("error"), "{words:?}: {err}");
        assert!(
            json(&words)["faults"][0]["message"].is_string(),
            "{words:?}"
        );
    }
}

/// What stands already comes first, then what lies between, then the part that is placed: each sum is the place of a face.
#[test]
fn a_chain_is_told_in_building_order() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bolted.ron");
    let model = r#"(format: 1, title: "Bolted", unit: Inch, fit: "1/32 in", parts: {
        "spar": Spar(web: "0.050 in", span: "34 in", height: "7 in", fwd_caps: (leg: "1 in", thickness: "1/8 in"), at: (bl: 0, wl: 0)),
        "frame": Frame(thickness: "0.032 in", flange: "3/4 in", flanges: Fwd, width: "30 in", height: "26 in", at: (fs: 20, bl: 0, wl: 0)),
        "spacer": Spacer(lies: Across, thickness: "3/16 in", diameter: "1 in", at: (bl: 0, wl: 3)),
    }, relations: {"joint": BoltedBehind(part: "spar", to: "frame", through: ["spacer"])})"#;
    std::fs::write(&path, model).unwrap();
    let answer = json(&["why", path.to_str().unwrap(), "spar.aft"]);
    let legs = answer["chain"]["legs"].as_array().unwrap();
    let names: Vec<&str> = legs
        .iter()
        .map(|leg| leg["name"].as_str().unwrap())
        .collect();
    assert_eq!(
        names,
        [
            "frame fs",
            "frame thickness",
            "spacer thickness",
            "spar fwd cap leg",
            "spar web"
        ]
    );
    let (out, ..) = run(&["why", path.to_str().unwrap(), "spar.aft", "bl"]);
    assert!(out.contains("Stated: spar bl 0 in."), "{out}");
}

/// A part that is put elsewhere is where the shift of the others comes from.
#[test]
fn a_stated_place_is_told_as_the_source_of_a_shift() {
    let path = demo("first-bay.ron");
    let answer = json(&[
        "try",
        path.to_str().unwrap(),
        "--set",
        "firewall.fs=1/16 in",
    ]);
    let parts = answer["trials"][0]["shift"]["parts"].as_array().unwrap();
    let rail = parts.iter().find(|part| part["part"] == "rail L").unwrap();
    assert_eq!(rail["from"], "firewall", "{rail}");
}

/// What nothing holds any more has no shift that could be told.
#[test]
fn parts_that_lost_their_statement_are_told_as_loose_and_not_as_shifted() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("lost.ron");
    let model = std::fs::read_to_string(demo("first-bay.ron")).unwrap();
    let with =
        "deviations: {\n\"no spacing\": (why: \"to see\", changes: [Drop(\"panel spacing\")]),";
    std::fs::write(&path, model.replacen("deviations: {", with, 1)).unwrap();
    let answer = json(&["try", path.to_str().unwrap(), "no spacing"]);
    let shift = &answer["trials"][0]["shift"];
    assert_eq!(shift["parts"].as_array().unwrap().len(), 0, "{shift}");
    let loose = shift["unsettled"].as_array().unwrap();
    assert!(loose.iter().any(|part| part == "panel frame"), "{shift}");
}

/// The chain behind every face of every demo adds up to where the face lies.
#[test]
fn every_chain_adds_up() {
    for path in demos() {
        let text = std::fs::read_to_string(&path).unwrap();
        let document = strongback_model::source::read(&text).unwrap();
        let assembly = strongback_model::assembly::assemble(&document).unwrap();
        let solved = assembly.solve().unwrap();
        let layout = solved.layout();
        let turned = |name: &str| {
            layout
                .part(name)
                .unwrap()
                .turn_deg
                .iter()
                .any(|t| *t != 0.0)
        };
        let any_turned = layout.parts.iter().any(|part| turned(&part.name));
        for part in &layout.parts {
            for feature in &part.features {
                let name = format!("{}.{}", part.name, feature.name);
                let chain = solved.why(&name, None).unwrap();
                let sum: f64 = chain.legs.iter().map(|leg| leg.adds_mm).sum();
                let told = sum + chain.rest_mm;
                assert!((told - chain.value_mm).abs() < 1e-9, "{name}: {told}");
                assert!(chain.loose.is_empty() || !part.settled, "{name}");
                assert_eq!(chain.rest_mm, 0.0, "{name}");
                assert!(
                    chain.linear || any_turned,
                    "{name} of a model without turns"
                );
            }
        }
    }
}

#[test]
fn every_answer_keeps_to_its_schema() {
    let schemas: Vec<(&str, Value)> = strongback::command::schemas()
        .into_iter()
        .map(|(name, schema)| (name, schema.to_value()))
        .collect();
    let holds = |command: &str, answer: &Value| {
        let (_, schema) = schemas.iter().find(|(name, _)| *name == command).unwrap();
        let validator = jsonschema::validator_for(schema).unwrap();
        if let Err(error) = validator.validate(answer) {
            panic!("{command}: {error}");
        }
        // a schema that lets anything through would hold nothing
        assert!(
            !validator.is_valid(&serde_json::json!({"made": "up"})),
            "{command}"
        );
    };
    let folder = tempfile::tempdir().unwrap();
    for path in demos() {
        let model = path.to_str().unwrap();
        holds("locate", &json(&["locate", model]));
        holds("fit", &json(&["fit", model]));
        for deviation in deviations(model) {
            holds("try", &json(&["try", model, &deviation]));
            holds("recut", &json(&["recut", model, &deviation]));
        }
        let located = json(&["locate", model]);
        let part = &located["layout"]["parts"][0];
        let face = format!(
            "{}.{}",
            part["name"].as_str().unwrap(),
            part["features"][0]["name"].as_str().unwrap()
        );
        holds("why", &json(&["why", model, &face]));
        let odds = json(&["odds", model]);
        let loose = json(&["loose", model]);
        let amiss = usize::from(path.file_stem().unwrap() == AMISS);
        let count = |list: &Value| list.as_array().unwrap().len();
        assert_eq!(count(&odds["contradictions"]), amiss, "{model}");
        assert_eq!(count(&loose["motions"]), amiss, "{model}");
        holds("odds", &odds);
        holds("loose", &loose);
        holds("readings", &json(&["readings", model]));
        holds("measured", &json(&["measured", model]));
        for command in ["joints", "blanks", "order", "mass"] {
            holds(command, &json(&[command, model]));
        }
        // the books of the large ones take a minute without optimisation
        if amiss == 1 {
            let book = folder.path().join("book.html");
            let book = book.to_str().unwrap();
            holds("book", &json(&["book", model, "-o", book]));
        }
        holds("stack", &json(&["stack", model, "--samples", "20"]));
        let picture = folder.path().join("picture.svg");
        let picture = picture.to_str().unwrap();
        holds("draw", &json(&["draw", model, "-o", picture]));
    }
    let fresh = folder.path().join("built.ron");
    let path = fresh.to_str().unwrap();
    json(&["new", path]);
    let set = [
        "built",
        "set",
        path,
        "rail L",
        "fitted",
        "--size",
        "length=19 1/4 in",
    ];
    holds("built", &json(&set));
    holds(
        "built",
        &json(&["built", "note", path, "rail L", "filed", "--hours", "1.5"]),
    );
    holds(
        "built",
        &json(&[
            "built",
            "adopt",
            path,
            "shorter bay",
            "--because",
            "so it is",
        ]),
    );
    holds("built-show", &json(&["built", "show", path]));
    holds(
        "locate",
        &json(&["locate", path, "--as-built", "--beside-plan"]),
    );
    let fresh = folder.path().join("fresh.ron");
    holds("new", &json(&["new", fresh.to_str().unwrap()]));
    holds("refused", &json(&["locate", "there is no such file.ron"]));
}

#[test]
fn a_new_model_is_sound() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mine.ron");
    let path = path.to_str().unwrap();
    assert_eq!(run(&["new", path]).2, 0);
    assert_eq!(run(&["locate", path]).2, 0);
    let before = std::fs::read(path).unwrap();
    assert_eq!(run(&["new", path]).2, 2);
    assert_eq!(std::fs::read(path).unwrap(), before);
}

/// Two sheets that contradict each other over a length and over a lean.
const TWO_SHEETS: &str = r#"(format: 1, title: "Two sheets", unit: Inch, fit: "1/32 in",
 sheets: {"S1": "side view", "S2": "floor"},
 dimensions: { "bay": (is: "20 in", sheet: "S1") },
 parts: {
  "firewall": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: (fs: 0, bl: 0, wl: 0)),
  "frame 2": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, width: 30, height: 20, at: (bl: 0, wl: 0)),
  "frame 3": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, width: 30, height: 20, at: (bl: 0, wl: 0), turn: (pitch: Find), holes: {"foot": (wl: "1 in")}),
 },
 relations: {
  "bay one": (is: Spaced(from: "firewall.aft", to: "frame 2.web_fwd", by: "bay"), sheet: "S1"),
  "bay two": (is: Spaced(from: "frame 2.web_fwd", to: "frame 3.foot", by: "bay"), sheet: "S1"),
  "lean": Canted(face: "frame 3.web_fwd", by: "4 deg"),
  "lean on sheet 2": (is: Canted(face: "frame 3.web_fwd", by: "5 deg"), sheet: "S2"),
  "whole": (is: Spaced(from: "firewall.aft", to: "frame 3.foot", by: "40 1/2 in"), sheet: "S2", trust: Doubtful),
 })
"#;

#[test]
fn contradictions_are_told_as_loops() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sheets.ron");
    std::fs::write(&path, TWO_SHEETS).unwrap();
    let (out, err, status) = run(&["odds", path.to_str().unwrap()]);
    assert_eq!((err.as_str(), status), ("", 1));
    insta::assert_snapshot!("two-sheets-odds", out);
    let odds = json(&["odds", path.to_str().unwrap()]);
    let schema = std::fs::read_to_string(demo("../cli/schema/odds.json")).unwrap();
    let schema: Value = serde_json::from_str(&schema).unwrap();
    assert!(jsonschema::is_valid(&schema, &odds));
}

#[test]
fn what_is_loose_is_told_in_words() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("unspaced.ron");
    let model = std::fs::read_to_string(demo("first-bay.ron")).unwrap();
    let without: Vec<&str> = model
        .lines()
        .filter(|line| !line.trim_start().starts_with("\"panel spacing\""))
        .collect();
    std::fs::write(&path, without.join("\n")).unwrap();
    let (out, err, status) = run(&["loose", path.to_str().unwrap()]);
    assert_eq!((err.as_str(), status), ("", 1));
    insta::assert_snapshot!("unspaced-loose", out);
}

#[test]
fn pictures_are_written_whole_in_both_forms() {
    let folder = tempfile::tempdir().unwrap();
    for path in demos() {
        let model = path.to_str().unwrap();
        let some = deviations(model).into_iter().next();
        for view in ["side", "plan", "front"] {
            for deviation in [None, some.as_deref()] {
                let file = folder.path().join("picture.png");
                let file = file.to_str().unwrap();
                let mut words = vec!["draw", model, "--view", view, "--width", "900", "-o", file];
                words.extend(deviation);
                let (_, err, status) = run(&words);
                assert_eq!(err, "");
                assert!(status < 2);
                let bytes = std::fs::read(file).unwrap();
                assert_eq!(&bytes[..8], b"\x89PNG\r\n\x1a\n");
            }
        }
    }
    let left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().collect();
    assert_eq!(left.len(), 1, "nothing is left behind but the picture");
}

#[test]
fn help_is_an_answer() {
    let (out, err, status) = run(&["--help"]);
    assert_eq!((err.as_str(), status), ("", 0));
    assert!(out.contains("Exit status"));
    assert_eq!(run(&["frobnicate"]).2, 2);
}
