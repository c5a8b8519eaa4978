//! Contradictions as loops, and what can be dropped: in models where the sums can be done in the head.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod model_text;

use model_text::{assembled, document, solved};
use strongback_model::document::Document;
use strongback_model::odds::{Contradiction, Way, drops};

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
    assert!(drops.complete);
    (solved.contradictions(), drops.sets)
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

#[test]
fn sets_are_those_of_brute_force() {
    let document = row(
        r#""whole": Spaced(from: "a.fwd", to: "d.fwd", by: "60 in"), "fwd two": Spaced(from: "a.fwd", to: "c.fwd", by: "41 in"),"#,
    );
    let (_, mut sets) = told(&document);
    let names: Vec<String> = document.relations.names().map(str::to_owned).collect();
    let mut all: Vec<Vec<String>> = Vec::new();
    for chosen in 1_u32..1 << names.len() {
        let set: Vec<String> = (0..names.len())
            .filter(|at| chosen >> at & 1 == 1)
            .map(|at| names[at].clone())
            .collect();
        let mut rest = document.clone();
        for name in &set {
            rest.relations.remove(name);
        }
        let Ok(assembly) = strongback_model::assembly::assemble(&rest) else {
            continue;
        };
        if set.len() <= 3 && assembly.solve().unwrap().layout().is_sound() {
            all.push(set);
        }
    }
    let smallest: Vec<Vec<String>> = all
        .iter()
        .filter(|set| {
            !all.iter()
                .any(|other| other.len() < set.len() && other.iter().all(|name| set.contains(name)))
        })
        .cloned()
        .collect();
    let sorted = |sets: &mut Vec<Vec<String>>| {
        sets.iter_mut().for_each(|set| set.sort());
        sets.sort();
    };
    let mut smallest = smallest;
    sorted(&mut smallest);
    sorted(&mut sets);
    assert_eq!(sets, smallest);
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
