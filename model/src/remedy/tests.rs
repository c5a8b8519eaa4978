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

/// A shelf that ends short of a frame by a gap, and is to be flush with it within 1/32: every mark from 0 to 1/32 does, and no other.
#[test]
fn a_gap_may_be_closed_altogether() {
    let gap = |figure: &str| -> Document {
        let text = format!(
            r#"(format: 1, title: "x", unit: Inch, fit: "1/32 in", dimensions: {{"end gap": "{figure}"}},
            parts: {{
                "frame": Plate(lies: Across, thickness: "1/8 in", width: "30 in", height: "20 in", at: (fs: 20, bl: 0, wl: 0)),
                "rail": Bar(runs: FwdAft, length: Find, depth: "1 in", breadth: "1 in", at: (fs: 0, bl: 9, wl: 0)),
            }},
            relations: {{"ends": Reaches(end: "rail.aft_end", face: "frame.fwd", short_by: "end gap")}},
            must_fit: {{"flush": Flush("rail.aft_end", "frame.fwd")}})"#
        );
        read(&text).unwrap()
    };
    let fits = |document: &Document| {
        let assembly = assemble(document).unwrap();
        assembly
            .solve()
            .unwrap()
            .fits()
            .iter()
            .all(crate::fit::Fit::holds)
    };
    let marks = (0..32).map(|sixty_fourths| format!("{sixty_fourths}/64 in"));
    let fitting: Vec<String> = marks.filter(|mark| fits(&gap(mark))).collect();
    assert_eq!(fitting, ["0/64 in", "1/64 in", "2/64 in"]);
    let told = found(&gap("1/8 in"), &Progress::default());
    assert_eq!(steps(&told), ["end gap=0 in"]);
}

/// A rail may end from 15/64 in behind the shelf on, at 24 23/64 in: 24 27/64 in would leave more of the room, 24 3/8 in is rounder.
/// What leaves nothing of the room is no rounder figure: from 3/8 in on, 24 1/2 in would.
#[test]
fn of_figures_that_do_the_roundest_is_taken() {
    let by = |least: &str| {
        let far = format!(
            r#""far": Between(from: "shelf.aft_end", to: "rail.aft_end", at_least: "{least}"),"#
        );
        // it ends at 24 in now, and the shelf at 24 1/8 in
        steps(&found(&model(JOINT, &far), &Progress::default()))
    };
    let (some, nothing) = (by("15/64 in"), by("3/8 in"));
    assert!(some.contains(&"rail=24 3/8 in".to_owned()), "{some:?}");
    assert!(
        nothing.contains(&"rail=24 9/16 in".to_owned()),
        "{nothing:?}"
    );
}

/// The one is out of reach; the other is cured by itself. A figure without a name bears on that one.
#[test]
fn what_can_be_cured_is_cured_alone() {
    let far = r#""far": Spaced(from: "datum.buttock_line", to: "shelf.right", by: "9 in"),"#;
    let short = r#""short": Spaced(from: "frame.aft", to: "shelf.fwd_end", by: "1/16 in"),"#;
    let document = model(short, &format!("{BEHIND}{far}"));
    let told = found(&document, &Progress::default());
    assert!(told.remedies.is_empty());
    let alone: Vec<(&str, bool)> = told
        .alone
        .iter()
        .map(|one| (one.must_fit.as_str(), one.remedies.is_empty()))
        .collect();
    assert_eq!(alone, [("behind", false), ("far", true)]);
    let cures: Vec<&str> = told.alone[0].remedies[0]
        .steps
        .iter()
        .map(|step| step.name.as_str())
        .collect();
    // the rail, which is moved or made shorter
    assert!(cures[0].starts_with("rail"), "{cures:?}");
    assert_eq!(told.unnamed, ["`by` of short"]);
}

/// A skin lies under a joint: nothing that is moved makes room between them, and packing of nothing is no advice.
#[test]
fn nothing_is_packed_with_nothing() {
    let text = r#"(format: 1, title: "x", unit: Inch, fit: "1/32 in",
        parts: {
            "pad": Plate(lies: Flat, thickness: "1/4 in", length: "4 in", width: "4 in", at: (bl: 0, fs: 0)),
            "floor": Plate(lies: Flat, thickness: "1/8 in", length: "10 in", width: "10 in", at: (bl: 0, fs: 0, wl: 0)),
            "skin": Plate(lies: Flat, thickness: "0.032 in", length: "10 in", width: "10 in", at: (bl: 0, fs: 0)),
        },
        relations: {
            "on": BoltedTo(part: "pad", to: "floor", side: Up, with: AN4, rows: [(beside: "pad.right", by: "2 in", ends: "1 in", count: 2)]),
            "skin under": Against("skin.top", "floor.bottom"),
        },
        must_fit: {"room": Room(round: "on", for: "skin", at_least: "5 in")})"#;
    let document: Document = read(text).unwrap();
    let told = found(&document, &Progress::default());
    assert!(told.remedies.is_empty());
    let near = told.nearest.iter().flat_map(|near| &near.steps);
    assert!(near.clone().all(|step| step.to != step.from), "{near:?}");
}
