//! Contradictions as loops, and what can be dropped: in models where the sums can be done in the head.

use crate::model_text::{assembled, document, solved};
use strongback_model::document::Document;
use strongback_model::odds::{Contradiction, Dropped, Way, drops};

const INCH: f64 = 25.4;

/// Four frames, each stated behind the one before, and figures over all.
fn row(relations: &str) -> Document {
    let frame = |name: &str, at: &str| {
        format!(
            r#""{name}": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: ({at}bl: 0, wl: 0)),"#
        )
    };
    document(
        "Inch",
        &format!(
            r#"dimensions: {{ "bay": "20 in" }}, parts: {{ {} {} {} {} }}, relations: {{
                "one": Spaced(from: "a.fwd", to: "b.fwd", by: "bay"), "two": Spaced(from: "b.fwd", to: "c.fwd", by: "bay"),
                "three": Spaced(from: "c.fwd", to: "d.fwd", by: "19 in"), {relations} }}"#,
            frame("a", "fs: 0, "),
            frame("b", ""),
            frame("c", ""),
            frame("d", "")
        ),
    )
}

fn told(document: &Document) -> (Vec<Contradiction>, Vec<Vec<String>>) {
    let assembly = assembled(document);
    let solved = solved(&assembly);
    let drops = drops(document, &solved, 1000);
    let [drops] = &drops[..] else {
        panic!("{drops:#?}")
    };
    assert!(drops.complete);
    let statements = drops
        .sets
        .iter()
        .filter(|set| set.iter().all(|one| one.becomes.is_none()));
    let names = statements.map(|set| set.iter().map(|one| one.name.clone()).collect());
    (solved.contradictions(), names.collect())
}

fn legs(way: &Way) -> Vec<(&str, f64)> {
    way.legs
        .iter()
        .map(|leg| {
            (
                leg.name.as_str(),
                (leg.adds_mm.abs() / INCH * 1e9).round() / 1e9,
            )
        })
        .collect()
}

#[test]
fn bays_that_do_not_make_up_the_whole() {
    let document = row(r#""whole": Spaced(from: "a.fwd", to: "d.fwd", by: "60 in"),"#);
    let (odds, sets) = told(&document);
    let [odd] = &odds[..] else {
        panic!("{odds:#?}")
    };
    assert_eq!(odd.statement, "whole");
    assert_eq!(legs(&odd.ways[0]), [("whole by", 60.0)]);
    // a dimension that is used twice counts twice
    assert_eq!(legs(&odd.ways[1]), [("bay", 40.0), ("three by", 19.0)]);
    assert!(odd.adds_up && (odd.miss.abs() / INCH - 1.0).abs() < 1e-9);
    let with: Vec<&str> = odd
        .with
        .iter()
        .map(|member| member.statement.as_str())
        .collect();
    assert_eq!(with, ["one", "two", "three"]);
    // any one of the loop will do
    assert_eq!(sets, [["whole"], ["three"], ["two"], ["one"]]);
}

#[test]
fn two_contradictions_through_one_wrong_figure() {
    let document = row(
        r#""whole": Spaced(from: "a.fwd", to: "d.fwd", by: "60 in"), "rear two": Spaced(from: "b.fwd", to: "d.fwd", by: "40 in"),"#,
    );
    let (odds, sets) = told(&document);
    assert_eq!(odds.len(), 2);
    // the third bay is 20 in and not 19: dropped, the rest holds; else both figures over all have to go
    assert_eq!(sets[0], ["three"]);
    assert!(sets.contains(&vec!["rear two".to_owned(), "whole".to_owned()]));
    for set in &sets {
        assert!(
            set.len() == 1 || !set.contains(&"three".to_owned()),
            "{sets:?}"
        );
    }
}

/// A figure at fault is told with what it would have to be.
#[test]
fn a_figure_is_told_with_what_it_would_have_to_be() {
    let document = row(r#""whole": Spaced(from: "a.fwd", to: "d.fwd", by: "60 in"),"#);
    let assembly = assembled(&document);
    let solved = solved(&assembly);
    let drops = drops(&document, &solved, 0);
    let figures: Vec<(&str, f64)> = drops[0]
        .sets
        .iter()
        .filter_map(|set| match &set[..] {
            [one] => Some((one.name.as_str(), one.becomes? / INCH)),
            _ => None,
        })
        .collect();
    // used twice: half an inch each makes up for the whole inch
    let [(name, value)] = figures[..] else {
        panic!("{figures:?}")
    };
    assert_eq!(name, "bay");
    assert!((value - 20.5).abs() < 1e-9);
}

/// Contradictions that have nothing in common are told apart.
#[test]
fn contradictions_of_their_own_have_sets_of_their_own() {
    let document = row(
        r#""one again": Spaced(from: "a.fwd", to: "b.fwd", by: "21 in"), "three again": Spaced(from: "c.fwd", to: "d.fwd", by: "18 in"),"#,
    );
    let assembly = assembled(&document);
    let drops = drops(&document, &solved(&assembly), 0);
    assert_eq!(drops.len(), 2);
    assert_eq!(drops[0].contradictions, ["one again"]);
    let names =
        |set: &[Dropped]| -> Vec<String> { set.iter().map(|one| one.name.clone()).collect() };
    let sets: Vec<Vec<String>> = drops[1].sets.iter().map(|set| names(set)).collect();
    assert_eq!(sets, [["three again"], ["three"]]);
}

/// The less trusted one gives way, wherever it stands; a cant that contradicts is told with its rates.
#[test]
fn a_cant_is_told_in_degrees() {
    let document = document(
        "Inch",
        r#"parts: {
            "a": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: (fs: 0, bl: 0, wl: 0), turn: (pitch: Find)),
        },
        relations: {
            "lean": Canted(face: "a.aft", by: "4 deg"), "drawn": Canted(face: "a.aft", by: "5 deg"),
        }"#,
    );
    let (odds, sets) = told(&document);
    let [odd] = &odds[..] else {
        panic!("{odds:#?}")
    };
    assert!(odd.angle && (odd.miss.abs() - 1.0).abs() < 1e-9);
    let rates: Vec<(&str, f64)> = odd
        .turning
        .iter()
        .map(|leg| (leg.name.as_str(), leg.factor))
        .collect();
    assert_eq!(rates.len(), 2);
    for (name, rate) in rates {
        assert!((rate.abs() - 1.0).abs() < 1e-9, "{name}: {rate}");
    }
    assert_eq!(sets, [["drawn"], ["lean"]]);
}

/// A tolerance of a length is kept by an angle as far as the corners of the metal reach, as in a must-fit, and is no number of
/// degrees; one of an angle says nothing of lengths.
#[test]
fn millimetres_are_no_degrees() {
    let at_odds = |within: &str, angle: &str, by: &str| {
        let document = document(
            "Millimetre",
            &format!(
                r#"parts: {{
                    "a": Plate(lies: Across, thickness: 1, width: 800, height: 500, at: (fs: 0, bl: 0, wl: 0), turn: (pitch: "{angle}")),
                    "b": Plate(lies: Across, thickness: 1, width: 800, height: 500, at: (fs: 0, bl: 0, wl: 0)),
                }},
                relations: {{
                    "flat": (is: Parallel("a.fwd", "b.fwd"), within: "{within}"),
                    "off": (is: Spaced(from: "datum.station", to: "b.fwd", by: "{by}"), within: "{within}"),
                }}"#
            ),
        );
        let assembly = assembled(&document);
        let solved = solved(&assembly);
        let odds = solved.contradictions();
        odds.into_iter()
            .map(|odd| odd.statement)
            .collect::<Vec<_>>()
    };
    // 1.6 mm over half the diagonal of 800 by 500 mm, 471.7 mm, are 0.1943 degrees
    assert_eq!(at_odds("1.6 mm", "1.5 deg", "0 mm"), ["flat"]);
    assert_eq!(at_odds("1.6 mm", "0.196 deg", "0 mm"), ["flat"]);
    assert!(at_odds("1.6 mm", "0.193 deg", "1.5 mm").is_empty());
    assert_eq!(at_odds("1 deg", "0.9 deg", "0.5 mm"), ["off"]);
    assert_eq!(at_odds("1 deg", "1.1 deg", "0 mm"), ["flat"]);
}

/// Bores 3 in and 4 in off each other miss by 5 in, of which the figures account for 9/5 and 16/5.
#[test]
fn two_rows_of_one_statement_add_up_to_its_miss() {
    let document = document(
        "Inch",
        r#"parts: {
            "a": Custom(lines: {"bore": (along: ButtockLine)}, at: (fs: 0, bl: 0, wl: 0)),
            "b": Custom(lines: {"bore": (along: ButtockLine)}, at: (fs: 3, bl: 5, wl: 4)),
        },
        relations: { "line": InLine(["a.bore", "b.bore"]) }"#,
    );
    let assembly = assembled(&document);
    let odds = solved(&assembly).contradictions();
    assert!((odds[0].miss.abs() / INCH - 5.0).abs() < 1e-9 && odds[0].adds_up);
    let [way, none] = &odds[0].ways;
    assert!(none.legs.is_empty() && (way.sum_mm / INCH - 5.0).abs() < 1e-9);
    let mut legs = legs(way);
    legs.sort_by(|a, b| a.0.cmp(b.0));
    assert_eq!(legs, [("b fs", 1.8), ("b wl", 3.2)]);
}

/// Faces 20 degrees apart: a degree more of the one is a degree more between them, however the miss is computed.
#[test]
fn a_degree_counts_for_a_degree() {
    let document = document(
        "Inch",
        r#"parts: {
            "p": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: (fs: 0, bl: 0, wl: 0), turn: (pitch: "30 deg")),
            "q": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: (fs: 0, bl: 0, wl: 0), turn: (pitch: "10 deg")),
        },
        relations: { "par": Parallel("p.fwd", "q.fwd") }"#,
    );
    let assembly = assembled(&document);
    let odds = solved(&assembly).contradictions();
    assert!((odds[0].miss - 20.0).abs() < 1e-9);
    let rates: Vec<(&str, f64)> = odds[0]
        .turning
        .iter()
        .map(|leg| (leg.name.as_str(), (leg.factor * 1e9).round() / 1e9))
        .collect();
    assert_eq!(rates, [("p pitch", 1.0), ("q pitch", -1.0)]);
}

#[test]
fn a_distance_to_a_face_that_is_turned_is_told_the_way_out() {
    let model = |to: &str| {
        r#"(format: 1, title: "Teasel, wing stub", unit: Inch, fit: "1/32 in", parts: {
                "spar": Spar(web: "0.063 in", span: "24 in", height: "7 in", turn: (pitch: "2 deg"), at: (bl: 0, wl: 0),
                    holes: {"root": (bl: "-12 in")}) }, relations: {
                "station": Spaced(from: "datum.station", to: "{to}", by: "44 in") })"#
            .replace("{to}", to)
    };
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("stub.ron");
    let odds = |to: &str| {
        std::fs::write(&file, model(to)).unwrap();
        crate::command_line::run(&["odds", file.to_str().unwrap()]).0
    };
    let told = odds("spar.web_fwd").replace('\n', " ");
    let told: Vec<&str> = told.split_whitespace().collect();
    assert!(
        told.join(" ").contains("measure to a hole of it (`holes`)"),
        "{told:?}"
    );
    // and it is one
    assert!(odds("spar.root").contains("No statements at odds"));
}
