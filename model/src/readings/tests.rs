#![allow(clippy::unwrap_used, clippy::panic)]

use std::fmt::Write;

use super::*;
use crate::source::read;

fn document(dimensions: &str, parts: &str, relations: &str, must_fit: &str) -> Document {
    let text = format!(
        r#"(format: 1, title: "x", unit: Inch, fit: "1/32 in", dimensions: {{ {dimensions} }}, parts: {{ {parts} }},
            relations: {{ {relations} }}, must_fit: {{ {must_fit} }})"#
    );
    read(&text).unwrap_or_else(|fault| panic!("{fault:?}\n{text}"))
}

const PLATE: &str = r#"Plate(lies: Across, thickness: "1 in", width: "10 in", height: "10 in", at: (bl: 0, wl: 0))"#;
const FIRST: &str = r#"Plate(lies: Across, thickness: "1 in", width: "10 in", height: "10 in", at: (fs: 0, bl: 0, wl: 0))"#;

/// Bays of two plates, each placed by its own two readings from the plate before; what must fit lies within the bay.
fn bays(count: usize) -> Document {
    let (mut parts, mut relations, mut fits) =
        (format!("\"0b\": {FIRST},"), String::new(), String::new());
    for bay in 1..=count {
        let before = bay - 1;
        let _ = write!(parts, "\"{bay}a\": {PLATE}, \"{bay}b\": {PLATE},");
        let _ = write!(
            relations,
            r#""a{bay}": Readings({{ "web": Spaced(from: "{before}b.fwd", to: "{bay}a.fwd", by: "20 in"), "back": Spaced(from: "{before}b.aft", to: "{bay}a.fwd", by: "20 in") }}),
               "b{bay}": Readings({{ "web": Spaced(from: "{before}b.fwd", to: "{bay}b.fwd", by: "30 in"), "back": Spaced(from: "{before}b.aft", to: "{bay}b.fwd", by: "30 in") }}),"#
        );
        let _ = write!(
            fits,
            r#""gap {bay}": Spaced(from: "{bay}a.fwd", to: "{bay}b.fwd", by: "9 in"),"#
        );
    }
    document("", &parts, &relations, &fits)
}

#[test]
fn five_independent_pairs_cost_four_each_and_not_1024() {
    let told = readings(&bays(5), 256).unwrap();
    assert_eq!(told.groups.len(), 5);
    assert_eq!((told.ways, told.ways_that_fit), (1024.0, 1.0));
    // the plan, ten single changes, and in each group the one combination that is neither
    assert_eq!(told.solved, 1 + 10 + 5);
    for (at, group) in told.groups.iter().enumerate() {
        assert_eq!(
            group.statements,
            [format!("a{}", at + 1), format!("b{}", at + 1)]
        );
        assert_eq!(group.combinations.len(), 4);
        assert_eq!(group.combinations[0].readings, ["back", "web"]);
        assert!(group.combinations[0].holds && !group.combinations[1].holds);
        let mut now = group.combinations.iter().filter(|one| one.counts_now);
        assert_eq!(now.next().unwrap().readings, ["web", "web"]);
        assert!(now.next().is_none());
        let miss = group.combinations[1].fits[0].measures[0].value.abs();
        assert!((miss - 25.4).abs() < 1e-9 || (miss - 50.8).abs() < 1e-9);
    }
}

#[test]
fn too_many_combinations_are_refused_with_what_to_narrow() {
    assert!(readings(&bays(2), 4).is_ok(), "two times two");
    let faults = readings(&bays(2), 3).unwrap_err();
    assert!(
        faults[0]
            .message
            .starts_with("the readings of `a1` (2), `b1` (2) bear on each other")
    );
    assert!(
        faults[0]
            .help
            .as_ref()
            .unwrap()
            .contains("--take \"b1=web\"")
    );
}

/// Under one reading of the first statement the must-fit rests on the second as well: they belong together.
#[test]
fn statements_that_meet_in_one_combination_only_are_tried_together() {
    let parts = format!("\"o\": {FIRST}, \"a\": {PLATE}, \"b\": {PLATE}");
    let told = readings(
        &document(
            "",
            &parts,
            r#""a": Readings({ "short": Spaced(from: "o.fwd", to: "a.fwd", by: "20 in"), "long": Spaced(from: "o.fwd", to: "a.fwd", by: "21 in") }),
               "b": Readings({ "from o": Spaced(from: "o.fwd", to: "b.fwd", by: "50 in"), "from a": Spaced(from: "a.fwd", to: "b.fwd", by: "31 in") }),"#,
            r#""whole": Spaced(from: "o.fwd", to: "b.fwd", by: "51 in")"#,
        ),
        256,
    )
    .unwrap();
    assert_eq!(told.groups.len(), 1);
    let good: Vec<_> = told.groups[0]
        .combinations
        .iter()
        .filter(|one| one.holds)
        .collect();
    assert_eq!(good.len(), 1);
    assert_eq!(good[0].readings, ["short", "from a"]);
    assert_eq!(told.ways_that_fit, 1.0);
}

#[test]
fn what_nothing_tells_apart_is_idle_and_what_misses_anyway_is_told() {
    let parts = format!("\"o\": {FIRST}, \"a\": {PLATE}, \"b\": {PLATE}");
    let told = readings(
        &document(
            "",
            &parts,
            r#""a": Spaced(from: "o.fwd", to: "a.fwd", by: "20 in"),
               "b": Readings({ "one": Spaced(from: "o.fwd", to: "b.fwd", by: "50 in"), "two": Spaced(from: "a.fwd", to: "b.fwd", by: "31 in") }),
               "again": Spaced(from: "o.aft", to: "a.aft", by: "19 in"),"#,
            r#""whole": Spaced(from: "o.fwd", to: "a.fwd", by: "22 in")"#,
        ),
        256,
    )
    .unwrap();
    assert_eq!(told.idle, ["b"]);
    assert!(told.groups.is_empty());
    assert_eq!(told.missing_anyway[0].name, "whole");
    assert_eq!(told.at_odds_anyway[0].statement, "again");
    assert_eq!(told.ways_that_fit, 0.0);
}

/// A reading that leaves a part loose, or that has no layout, is worse than one that doesn't.
#[test]
fn loose_and_impossible_readings_are_told() {
    let parts = format!(
        "\"o\": {FIRST}, \"a\": {PLATE}, \"bar\": Bar(runs: FwdAft, length: Find, depth: 1, breadth: 1, at: (bl: 0, wl: 0))"
    );
    let told = readings(
        &document(
            "",
            &parts,
            r#""a": Spaced(from: "o.fwd", to: "a.fwd", by: "20 in"), "starts": Reaches(end: "bar.fwd_end", face: "o.aft"),
               "ends": Readings({ "at the frame": Reaches(end: "bar.aft_end", face: "a.fwd"), "level": Level("bar.axis"),
                   "ahead": Spaced(from: "o.fwd", to: "bar.aft_end", by: "-5 in") }),"#,
            "",
        ),
        256,
    )
    .unwrap();
    let [group] = &told.groups[..] else {
        panic!("{told:#?}")
    };
    let by = |reading: &str| {
        group
            .combinations
            .iter()
            .find(|one| one.readings == [reading])
            .unwrap()
    };
    assert!(by("at the frame").holds);
    assert_eq!(by("level").loose, 1);
    assert!(by("ahead").refused.as_ref().unwrap().contains("bar length"));
}

/// Each can be measured from the frame or from the other one: from each other, they hang in the air.
#[test]
fn statements_that_can_rest_on_each_other_are_tried_together() {
    let parts = format!("\"o\": {FIRST}, \"rail\": {PLATE}, \"strap\": {PLATE}");
    let told = readings(
        &document(
            "",
            &parts,
            r#""rail": Readings({ "frame": Spaced(from: "o.fwd", to: "rail.fwd", by: "10 in"), "strap": Spaced(from: "strap.fwd", to: "rail.fwd", by: "2 in") }),
               "strap": Readings({ "frame": Spaced(from: "o.fwd", to: "strap.fwd", by: "8 in"), "rail": Spaced(from: "rail.fwd", to: "strap.fwd", by: "-3 in") }),"#,
            "",
        ),
        256,
    )
    .unwrap();
    assert_eq!(told.groups[0].statements, ["rail", "strap"]);
    assert_eq!((told.ways, told.ways_that_fit), (4.0, 3.0));
    let worst = &told.groups[0].combinations[3];
    assert_eq!(worst.readings, ["strap", "rail"]);
    assert_eq!((worst.at_odds.len(), worst.loose), (1, 1));
}

/// Rods of 13 and 15 in span pins 14 or 26 in apart, and not 38 in, which takes both readings.
#[test]
fn what_a_linkage_rests_on_is_tried_two_and_two() {
    let pin = r#"Custom(points: {"pin": ()}, at: (bl: 0, wl: 0))"#;
    let parts = format!(
        "\"a\": {pin}, \"b\": {pin}, \"c\": Custom(points: {{\"pin\": ()}}, at: (fs: Find(near: 5), bl: 0, wl: Find(near: 11)))"
    );
    let document = document(
        "",
        &parts,
        r#""a": Readings({ "one": Spaced(from: "datum.station", to: "a.pin", by: 0), "two": Spaced(from: "datum.station", to: "a.pin", by: -12) }),
           "b": Readings({ "one": Spaced(from: "datum.station", to: "b.pin", by: 14), "two": Spaced(from: "datum.station", to: "b.pin", by: 26) }),
           "ac": Spaced(from: "a.pin", to: "c.pin", by: "13 in"), "bc": Spaced(from: "b.pin", to: "c.pin", by: "15 in"),"#,
        "",
    );
    let told = readings(&document, 256).unwrap();
    assert_eq!((told.ways_that_fit, told.pairs_untried), (3.0, 0));
    assert!(!told.groups[0].combinations[3].holds);
}

/// Three linkages, within reach in all their readings: a pair of second readings for each, and no more tried than there is room for.
#[test]
fn as_many_pairs_are_tried_as_there_is_room_for() {
    let (mut parts, mut relations) = (String::new(), String::new());
    for rod in 1..=3 {
        let pin = r#"Custom(points: {"pin": ()}, at: (bl: 0, wl: 0))"#;
        let _ = write!(
            parts,
            r#""a{rod}": {pin}, "b{rod}": {pin}, "c{rod}": Custom(points: {{"pin": ()}}, at: (fs: Find(near: 5), bl: 0, wl: Find(near: 11))),"#
        );
        let _ = write!(
            relations,
            r#""a{rod}": Readings({{ "one": Spaced(from: "datum.station", to: "a{rod}.pin", by: 0), "two": Spaced(from: "datum.station", to: "a{rod}.pin", by: -1) }}),
               "b{rod}": Readings({{ "one": Spaced(from: "datum.station", to: "b{rod}.pin", by: 14), "two": Spaced(from: "datum.station", to: "b{rod}.pin", by: 15) }}),
               "ac{rod}": Spaced(from: "a{rod}.pin", to: "c{rod}.pin", by: "13 in"), "bc{rod}": Spaced(from: "b{rod}.pin", to: "c{rod}.pin", by: "15 in"),"#
        );
    }
    let document = document("", &parts, &relations, "");
    for (most, untried) in [(2, 1), (3, 0)] {
        let told = readings(&document, most).unwrap();
        assert_eq!((told.idle.len(), told.pairs_untried), (6, untried));
        assert_eq!((told.ways, told.ways_that_fit), (64.0, 64.0));
        // the plan, six single changes, and the pairs
        assert_eq!(told.solved, 1 + 6 + 3 - untried);
    }
}

/// A statement of its own may bear the name that another one's left hand would have.
#[test]
fn a_statement_named_like_a_hand_is_itself() {
    let parts = format!("\"o\": {FIRST}, \"a\": {PLATE}, \"b\": {PLATE}");
    let told = readings(
        &document(
            "",
            &parts,
            r#""s": Readings({ "web": Spaced(from: "o.fwd", to: "a.fwd", by: "20 in"), "back": Spaced(from: "o.aft", to: "a.fwd", by: "20 in") }),
               "s L": Readings({ "web": Spaced(from: "o.fwd", to: "b.fwd", by: "20 in"), "back": Spaced(from: "o.aft", to: "b.fwd", by: "20 in") }),"#,
            r#""a": Spaced(from: "o.fwd", to: "a.fwd", by: "20 in"), "b": Spaced(from: "o.fwd", to: "b.fwd", by: "20 in")"#,
        ),
        256,
    )
    .unwrap();
    assert_eq!(told.groups.len(), 2);
    assert_eq!(told.ways_that_fit, 1.0);
}
