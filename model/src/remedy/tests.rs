//! Remedies of small models, worked out by hand.

#![allow(clippy::unwrap_used)]

use super::{Made as MadeTo, Remedies, StepKind, remedies};
use crate::assembly::assemble;
use crate::document::Document;
use crate::record::{Made, Progress, Stage};
use crate::source::read;

/// A frame at 20 in, a shelf on its back through a joint, and a rail that is to end 1/2 in behind the shelf.
fn model(relations: &str, must_fit: &str) -> Document {
    let text = format!(
        r#"(format: 1, title: "x", unit: Inch, fit: "1/32 in",
        dimensions: {{"bay": (is: "20 in", trust: Measured), "rail": "24 in", "stop": "24 1/8 in", "gap": (is: "1 in", adjustable: "1/4 in")}},
        parts: {{
            "frame": Plate(lies: Across, thickness: "1/8 in", width: "30 in", height: "20 in", at: (bl: 0, wl: 0)),
            "shelf": Bar(runs: FwdAft, length: "4 in", depth: "1 in", breadth: "1 in", at: (bl: 0, wl: 5)),
            "rail": Bar(runs: FwdAft, length: "rail", depth: "1 in", breadth: "1 in", at: (fs: 0, bl: 9, wl: 0)),
        }},
        relations: {{
            "bay": (is: Spaced(from: "datum.station", to: "frame.fwd", by: "bay"), trust: Measured),
            {relations}
        }},
        must_fit: {{{must_fit}}})"#
    );
    read(&text).unwrap()
}

fn found(document: &Document, progress: &Progress) -> Remedies {
    let assembly = assemble(document).unwrap();
    let solved = assembly.solve().unwrap();
    let layout = solved.layout();
    let made = MadeTo {
        standing: (&layout).into(),
        progress,
        to_be: None,
    };
    remedies(document, &solved, made)
}

fn steps(remedies: &Remedies) -> Vec<String> {
    let all = remedies.remedies.iter();
    all.map(|one| {
        let steps = one
            .steps
            .iter()
            .map(|step| format!("{}={}", step.name, step.figure));
        steps.collect::<Vec<_>>().join(" ")
    })
    .collect()
}

const JOINT: &str = r#""joint": BoltedBehind(part: "shelf", to: "frame"),"#;
/// The shelf ends at 20 + 1/8 + 4 = 24 1/8, an eighth behind the rail; a quarter is wanted.
const BEHIND: &str = r#""behind": (is: Spaced(from: "rail.aft_end", to: "shelf.aft_end", by: "1/4 in"), within: "1/64 in"),"#;

#[test]
fn a_joint_is_packed_by_what_is_missing() {
    let document = model(JOINT, BEHIND);
    let rail = Made {
        stage: Stage::Cut,
        hours: 2.0,
    };
    let progress = Progress([("rail".to_owned(), rail)].into());
    let told = found(&document, &progress);
    // missing: 1/8 in = 0.125, a gauge; or the rail lies an eighth further forward, the shelf is longer by as much, the rail shorter
    assert_eq!(told.miss, ["behind"]);
    assert_eq!(
        steps(&told),
        [
            "joint=0.125 in",
            "rail.fs=-1/8 in",
            "shelf.length=4 1/8 in",
            "rail=23 7/8 in"
        ]
    );
    let first = &told.remedies[0];
    assert_eq!(first.steps[0].kind, StepKind::Pack);
    assert_eq!(first.steps[0].layers_in, [0.125]);
    assert_eq!(first.price.packed, 1);
    // the rail is trimmed, which loses no hours but is work; the shelf is not started
    let last = &told.remedies[3];
    assert_eq!(last.price.totals.trim, 1);
    assert_eq!(last.price.totals.hours_lost, 0.0);
    assert!(told.complete && told.nearest.is_none());
}

#[test]
fn a_slot_goes_as_far_as_it_is_long() {
    let by = |adjustable: &str| {
        let slot = format!(
            r#""slot": (is: Flush("shelf.fwd_end", "frame.aft"), adjustable: "{adjustable}"),"#
        );
        let document = model(&slot, BEHIND);
        steps(&found(&document, &Progress::default()))
    };
    assert!(by("3/16 in").contains(&"slot=1/8 in".to_owned()));
    // 1/8 in are missing, less 1/64 that are allowed: 7/64
    assert!(by("7/64 in").contains(&"slot=7/64 in".to_owned()));
    assert!(
        !by("3/32 in")
            .iter()
            .any(|steps| steps.starts_with("slot=") && !steps.contains(' '))
    );
}

/// Two statements of one distance agree: set alone each would be at odds with the other.
#[test]
fn figures_that_say_the_same_are_set_together() {
    let twice = r#""joint": BoltedBehind(part: "shelf", to: "frame"),
        "stop": Spaced(from: "datum.station", to: "shelf.aft_end", by: "stop"),"#;
    let document = model(twice, BEHIND);
    let told = found(&document, &Progress::default());
    assert!(
        steps(&told).contains(&"stop=24 1/4 in joint=0.125 in".to_owned()),
        "{:?}",
        steps(&told)
    );
    assert!(!steps(&told).contains(&"joint=0.125 in".to_owned()));
}

#[test]
fn what_a_slot_allows_is_offered_once() {
    let gap = r#""gap": Spaced(from: "frame.aft", to: "shelf.fwd_end", by: "gap"),"#;
    // the shelf ends at 20 + 1/8 + 1 + 4 = 25 1/8, 1 1/8 behind the rail; an eighth is missing
    let wanted = BEHIND.replace("1/4 in", "1 1/4 in");
    let told = found(&model(gap, &wanted), &Progress::default());
    let by_gap: Vec<StepKind> = told
        .remedies
        .iter()
        .filter(|one| one.steps[0].name == "gap")
        .map(|one| one.steps[0].kind)
        .collect();
    assert_eq!(by_gap, [StepKind::Adjust]);
    assert!(steps(&told).contains(&"gap=1 1/8 in".to_owned()));
}

#[test]
fn another_reading_is_taken() {
    let readings = r#""shelf": Readings({
        "from the front": Spaced(from: "frame.fwd", to: "shelf.fwd_end", by: "1/8 in"),
        "from the back": Spaced(from: "frame.aft", to: "shelf.fwd_end", by: "1/8 in"),
    }),"#;
    let document = model(readings, BEHIND);
    let told = found(&document, &Progress::default());
    assert_eq!(steps(&told)[0], "shelf=from the back");
    assert_eq!(told.remedies[0].steps[0].kind, StepKind::Take);
}

#[test]
fn where_there_is_none_the_nearest_is_told() {
    // the rail may be 2 in shorter, and the shelf 1 in longer: 3 1/8 of the 8 7/8 that are missing; the joint packs 3/8
    let document = model(
        JOINT,
        r#""far": Spaced(from: "rail.aft_end", to: "shelf.aft_end", by: "9 in"),"#,
    );
    let told = found(&document, &Progress::default());
    assert!(told.remedies.is_empty());
    let nearest = told.nearest.unwrap();
    let left = 9.0 - 1.0 / 8.0 - 2.0 - 1.0 - 0.375 - 1.0 / 32.0;
    assert!((nearest.miss / 25.4 - left).abs() < 1e-6, "{nearest:?}");
}

#[test]
fn what_is_loose_and_what_fits_is_left_alone() {
    let fits = model(
        JOINT,
        r#""fits": Between(from: "rail.aft_end", to: "shelf.aft_end", at_least: "1/16 in"),"#,
    );
    let told = found(&fits, &Progress::default());
    assert!(told.miss.is_empty() && told.remedies.is_empty());
    let loose = model("", BEHIND);
    let told = found(&loose, &Progress::default());
    assert_eq!(told.open, ["behind"]);
    assert!(told.remedies.is_empty());
}
