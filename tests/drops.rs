//! What can be dropped, where the model tempts to a wrong answer: figures written as sums, one figure of two hands, cants,
//! linkages that hang on what moves, sizes that metal can't have. Every set is put to the test by making the change.

use crate::model_text::{assembled, document, solved};
use strongback_model::assembly::assemble;
use strongback_model::change::Change;
use strongback_model::document::Document;
use strongback_model::odds::{Dropped, Drops, drops};
use strongback_model::source;

const INCH: f64 = 25.4;

fn groups(document: &Document) -> Vec<Drops> {
    let assembly = assembled(document);
    let solved = solved(&assembly);
    drops(document, &solved, 1000)
}

fn one(sets: &[Vec<Dropped>], name: &str) -> Option<f64> {
    let found = sets.iter().find_map(|set| match &set[..] {
        [one] if one.name == name => Some(one),
        _ => None,
    });
    found.map(|one| one.becomes.unwrap_or(f64::NAN))
}

/// Makes the change that a set tells, and gives the statements at odds after it and the ways left to move.
fn after(document: &Document, set: &[Dropped], figures: &[(&str, &str)]) -> (Vec<String>, usize) {
    let changes: Vec<Change> = set
        .iter()
        .map(|one| {
            let text = match one.becomes {
                None => format!("Drop({:?})", one.name),
                Some(becomes) => {
                    let unit = if one.angle { "deg" } else { "mm" };
                    let known = figures.iter().find(|(told, _)| *told == one.name);
                    let name = known.map_or(one.name.as_str(), |(_, name)| name);
                    format!("Set({name:?}, \"{becomes:.9} {unit}\")")
                }
            };
            source::read(&text).unwrap()
        })
        .collect();
    let changed = document.with_changes(&changes).unwrap();
    let assembly = assemble(&changed).unwrap_or_else(|faults| panic!("{set:?}: {faults:#?}"));
    let solved = assembly
        .solve()
        .unwrap_or_else(|fault| panic!("{set:?}: {fault:?}"));
    let odd = solved.contradictions();
    let odd = odd.into_iter().map(|odd| odd.statement).collect();
    (odd, solved.solution.report().freedoms)
}

fn all_hold(document: &Document, figures: &[(&str, &str)]) -> Vec<Vec<Dropped>> {
    let groups = groups(document);
    assert!(groups.iter().all(|group| !group.sets.is_empty()));
    for group in &groups {
        for set in &group.sets {
            let (odd, freedoms) = after(document, set, figures);
            let others: Vec<&String> = groups
                .iter()
                .filter(|other| *other != group)
                .flat_map(|other| &other.contradictions)
                .collect();
            assert!(
                odd.iter().all(|one| others.contains(&one)) && freedoms == 0,
                "{set:?} leaves {odd:?}"
            );
        }
    }
    groups.into_iter().flat_map(|group| group.sets).collect()
}

fn plate(name: &str, at: &str) -> String {
    format!(
        r#""{name}": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: ({at})),"#
    )
}

/// `bay / 4 + 1/2 in` is one figure of 5 1/2 in, and not one of half an inch.
#[test]
fn a_sum_becomes_all_of_it() {
    let document = document(
        "Inch",
        &format!(
            r#"dimensions: {{ "bay": (is: "20 in"), "gap": (is: "bay / 4 + 1/2 in") }},
            parts: {{ {} {} {}
                "shelf": Plate(lies: Flat, thickness: "0.032 in", length: "bay - 1/8 in", width: 20, at: (bl: 0, wl: 0)),
            }},
            relations: {{
                "ab": Spaced(from: "a.fwd", to: "b.fwd", by: "bay"),
                "bc": Spaced(from: "b.fwd", to: "c.fwd", by: "gap"),
                "ac": Spaced(from: "a.fwd", to: "c.fwd", by: "25 in"),
                "starts": Flush("shelf.fwd", "a.fwd"), "ends": Flush("shelf.aft", "b.fwd"),
            }}"#,
            plate("a", "fs: 0, bl: 0, wl: 0"),
            plate("b", "bl: 0, wl: 0"),
            plate("c", "bl: 0, wl: 0")
        ),
    );
    let sets = all_hold(&document, &[("shelf length", "shelf.length")]);
    let told = |name: &str, with: &str| {
        let both = |set: &&Vec<Dropped>| {
            set.len() == 2
                && set.iter().any(|one| one.name == name)
                && set.iter().any(|one| one.name == with)
        };
        let set = sets.iter().find(both)?;
        set.iter().find(|one| one.name == name)?.becomes
    };
    // behind the bay of 20 in there are 5 in left; the shelf that fills the bay is 20 in long
    assert!((told("gap", "ends").unwrap() / INCH - 5.0).abs() < 1e-9);
    assert!((told("shelf length", "ac").unwrap() / INCH - 20.0).abs() < 1e-9);
}

/// One length of two rails can't be 21 in on the left and 22 in on the right.
#[test]
fn a_figure_of_two_hands_is_one_figure() {
    let rails = |left: &str, right: &str| {
        document(
            "Inch",
            &format!(
                r#"parts: {{ "rail": Bar(runs: FwdAft, length: "20 in", depth: 1, breadth: 1, sides: Both, at: (bl: 10, wl: 3)), {} {} }},
                relations: {{
                    "starts": Flush("rail.fwd_end", "datum.station"),
                    "left ends": Flush("rail L.aft_end", "p.fwd"), "right ends": Flush("rail R.aft_end", "q.fwd"),
                }}"#,
                plate("p", &format!("fs: {left}, bl: 0, wl: 0")),
                plate("q", &format!("fs: {right}, bl: 0, wl: 0"))
            ),
        )
    };
    let coordinates = [
        ("p fs", "p.fs"),
        ("q fs", "q.fs"),
        ("rail length", "rail.length"),
    ];
    let apart = all_hold(&rails("21", "22"), &coordinates);
    assert_eq!(one(&apart, "rail length"), None);
    let alike = all_hold(&rails("21", "21"), &coordinates);
    assert!((one(&alike, "rail length").unwrap() / INCH - 21.0).abs() < 1e-9);
}

/// A statement or part of its own whose name ends in L is no hand of another one.
#[test]
fn a_name_that_ends_in_a_hand_is_a_name() {
    let document = document(
        "Inch",
        &format!(
            r#"parts: {{ {} {} {} {} }},
            relations: {{
                "s": Spaced(from: "rail.fwd", to: "x.fwd", by: "10 in"), "s again": Spaced(from: "rail.fwd", to: "x.fwd", by: "11 in"),
                "s L": Spaced(from: "rail L.fwd", to: "y.fwd", by: "10 in"),
                "at": Spaced(from: "datum.station", to: "rail.fwd", by: "4 in"),
            }}"#,
            plate("rail", "fs: 3, bl: 0, wl: 0"),
            plate("rail L", "fs: 5, bl: 0, wl: 0"),
            plate("x", "bl: 0, wl: 0"),
            plate("y", "bl: 0, wl: 0")
        ),
    );
    let sets = all_hold(&document, &[("rail fs", "rail.fs")]);
    assert!(one(&sets, "s").is_some());
    assert!((one(&sets, "rail fs").unwrap() / INCH - 4.0).abs() < 1e-9);
}

/// The pin of an arm 10 in long, turned down by a stated cant, stands 10 cos φ aft: 9.5 in at arccos 0.95.
#[test]
fn a_stated_cant_becomes_what_the_cosine_says() {
    let document = document(
        "Inch",
        r#"dimensions: { "cant": (is: "12 deg") },
        parts: {
            "arm": Custom(points: {"pin": (fs: 10)}, at: (fs: 0, bl: 0, wl: 0), turn: (pitch: "cant")),
            "lug": Custom(points: {"pin": ()}, at: (bl: 0, wl: 0)),
        },
        relations: {
            "lug aft": Spaced(from: "datum.station", to: "lug.pin", by: "9.5 in"),
            "pin": Spaced(from: "arm.pin", to: "lug.pin", by: 0, toward: Aft),
        }"#,
    );
    let sets = groups(&document).remove(0).sets;
    assert!((one(&sets, "cant").unwrap() - 0.95_f64.acos().to_degrees()).abs() < 1e-6);
}

/// A turn that a part states of itself is a figure as well.
#[test]
fn a_stated_turn_becomes_what_the_other_one_says() {
    let canted = |pitch: &str| {
        format!(
            r#"Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: (fs: 0, bl: 0, wl: 0), turn: (pitch: "{pitch}"))"#
        )
    };
    let document = document(
        "Inch",
        &format!(
            r#"parts: {{ "p": {}, "q": {} }}, relations: {{ "par": Parallel("p.fwd", "q.fwd") }}"#,
            canted("30 deg"),
            canted("10 deg")
        ),
    );
    let sets = all_hold(&document, &[("p pitch", "p.pitch"), ("q pitch", "q.pitch")]);
    assert!((one(&sets, "p pitch").unwrap() - 10.0).abs() < 1e-6);
    assert!((one(&sets, "q pitch").unwrap() - 30.0).abs() < 1e-6);
}

/// A linkage that hangs on what moves, outside of the contradiction, has to close still: two rods of 13 and 15 in can't span
/// 40 in.
#[test]
fn a_linkage_has_to_close_still() {
    let linkage = |again: &str| {
        document(
            "Inch",
            &format!(
                r#"parts: {{
                    "a": Custom(points: {{"pin": ()}}, at: (fs: 0, bl: 0, wl: 0)), "b": Custom(points: {{"pin": ()}}, at: (bl: 0, wl: 0)),
                    "c": Custom(points: {{"pin": ()}}, at: (fs: Find(near: 5), bl: 0, wl: Find(near: 11))),
                }},
                relations: {{
                    "ab": Spaced(from: "a.pin", to: "b.pin", by: "14 in", toward: Aft),
                    "again": Spaced(from: "a.pin", to: "b.pin", by: "{again}", toward: Aft),
                    "ac": Spaced(from: "a.pin", to: "c.pin", by: "13 in"), "bc": Spaced(from: "b.pin", to: "c.pin", by: "15 in"),
                }}"#
            ),
        )
    };
    let near = all_hold(&linkage("20 in"), &[]);
    assert!(one(&near, "ab").is_some() && one(&near, "again").is_some());
    let far = all_hold(&linkage("40 in"), &[]);
    assert!(one(&far, "ab").is_none() && one(&far, "again").is_some());
}

/// No set leaves a rail that is less than nothing long, or a gap that can't be one.
#[test]
fn what_is_left_is_metal() {
    let document = document(
        "Inch",
        &format!(
            r#"dimensions: {{ "gap": (is: "1/16 in"), "lip": (is: "1 in") }},
            parts: {{ {} {}
                "angle": Angle(runs: Across, length: 30, legs: (aft: "[lip]", up: "3/4 in"), thickness: "1/16 in", at: (bl: -15, wl: 0)),
                "rail": Bar(runs: FwdAft, length: Find, depth: 1, breadth: 1, at: (bl: 0, wl: 0)),
            }},
            relations: {{
                "ab": Spaced(from: "a.fwd", to: "b.fwd", by: "20 in"), "ab too": Spaced(from: "a.fwd", to: "b.fwd", by: "-3 in"),
                "rail starts": Reaches(end: "rail.fwd_end", face: "a.aft"), "rail ends": Reaches(end: "rail.aft_end", face: "b.fwd", short_by: "gap"),
                "rail is": Spaced(from: "datum.station", to: "rail.aft_end", by: "20.1 in"),
                "lip": Flush("angle.fwd", "a.fwd"), "lip ends": Spaced(from: "angle.aft", to: "b.fwd", by: "22 in"),
            }}"#,
            plate("a", "fs: 0, bl: 0, wl: 0"),
            plate("b", "bl: 0, wl: 0")
        ),
    );
    let sets = all_hold(&document, &[("a fs", "a.fs")]);
    // frame b 3 in ahead would have the rail end before it starts; a lip of -2 in or a gap of -0.1 in is none
    let least = |name: &str| {
        let told = sets.iter().flatten().filter(|one| one.name == name);
        told.filter_map(|one| one.becomes)
            .fold(f64::INFINITY, f64::min)
    };
    assert!(least("gap") >= 0.0 && least("lip") > INCH / 16.0);
}

/// A relation that is called as a stated position is told is not taken for it.
#[test]
fn a_relation_called_like_a_position_is_itself() {
    let document = document(
        "Inch",
        &format!(
            r#"dimensions: {{ "bay": (is: "21 in", trust: Measured) }}, parts: {{ {} {} {} }},
            relations: {{
                "ab": Spaced(from: "a.fwd", to: "b.fwd", by: "bay"),
                "b fs": Spaced(from: "a.fwd", to: "c.fwd", by: "5 in"), "again": Spaced(from: "a.fwd", to: "c.fwd", by: "6 in"),
            }}"#,
            plate("a", "fs: 0, bl: 0, wl: 0"),
            plate("b", "fs: 20, bl: 0, wl: 0"),
            plate("c", "bl: 0, wl: 0")
        ),
    );
    let groups = groups(&document);
    let told: Vec<&[String]> = groups
        .iter()
        .map(|group| &group.contradictions[..])
        .collect();
    assert_eq!(told, [["b fs (at)"], ["again"]]);
    let names = |group: &Drops| -> Vec<String> {
        group.sets.iter().map(|set| set[0].name.clone()).collect()
    };
    assert_eq!(names(&groups[0]), ["b fs", "a fs", "ab", "bay"]);
    assert_eq!(names(&groups[1]), ["again", "b fs"]);
}
