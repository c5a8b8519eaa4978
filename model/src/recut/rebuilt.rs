//! The new part made out of the old one by the steps of its verdict alone: metal off or on at the ends as told, holes moved as told.
//! Its ends and its holes must then lie to one another as in the new layout. Lengths in inches.
#![allow(clippy::unwrap_used, clippy::panic)]

use proptest::prelude::*;

use super::metal::{extents, own};
use super::tests::progress;
use super::*;
use crate::assembly::assemble;
use crate::change::Change;
use crate::document::Document;
use crate::record::Stage;
use crate::shift::shift;
use crate::source::read;
use crate::words::Side;

const INCH: f64 = 25.4;
/// What nobody works to, at an end and at a hole, and a little for rounding.
const NEAR_MM: f64 = 0.05;

/// A bay whose four walls move, with a rail from wall to wall, and a board that reaches to all four; clips and a bracket at stated
/// places on both, one of them at a hole of its own, and a hole that is stated in the board.
const BAY: &str = r#"(format: 1, title: "bay", unit: Inch, fit: "1/32 in",
    dimensions: {"a": 20, "b": 40, "floor": 0, "ceiling": 20, "clip at": 30, "hook at": 25, "lug at": 33, "tab at": 36, "tab wl": 9, "mark": 1},
    parts: {
        "fore": Plate(lies: Across, thickness: "1/32 in", width: 30, height: 30, at: (bl: 0, wl: 0)),
        "rear": Plate(lies: Across, thickness: "1/32 in", width: 30, height: 30, at: (bl: 0, wl: 0)),
        "bottom": Plate(lies: Flat, thickness: "1/32 in", length: 60, width: 30, at: (fs: 0, bl: 0)),
        "top": Plate(lies: Flat, thickness: "1/32 in", length: 60, width: 30, at: (fs: 0, bl: 0)),
        "rail": Angle(runs: FwdAft, length: Find(near: 20), legs: (down: 1, right: 1), thickness: "1/8 in", at: (bl: 0, wl: 5)),
        "clip": Plate(lies: FwdAft, thickness: "1/16 in", length: 1, height: "3/4 in", at: (wl: 4)),
        "hook": Plate(lies: FwdAft, thickness: "1/16 in", length: 1, height: "3/4 in", at: (wl: 4)),
        "lug": Plate(lies: FwdAft, thickness: "1/16 in", length: 1, height: "3/4 in", at: (wl: 4), holes: {"eye": (fs: "1/4 in", wl: "3/8 in")}),
        "board": Plate(lies: FwdAft, thickness: "1/8 in", length: Find(near: 20), height: Find(near: 20), at: (bl: 6), holes: {"mark": (fs: "mark", wl: 3)}),
        "tab": Plate(lies: FwdAft, thickness: "1/16 in", length: 1, height: 1, at: (wl: "tab wl")),
    }, relations: {
        "fore at": Spaced(from: "datum.station", to: "fore.aft", by: "a"),
        "rear at": Spaced(from: "datum.station", to: "rear.fwd", by: "b"),
        "bottom at": Spaced(from: "datum.waterline", to: "bottom.top", by: "floor"),
        "top at": Spaced(from: "datum.waterline", to: "top.bottom", by: "ceiling"),
        "rail starts": Reaches(end: "rail.fwd_end", face: "fore.aft"),
        "rail ends": Reaches(end: "rail.aft_end", face: "rear.fwd"),
        "board starts": Reaches(end: "board.fwd", face: "fore.aft"),
        "board ends": Reaches(end: "board.aft", face: "rear.fwd"),
        "board stands": Reaches(end: "board.bottom", face: "bottom.top"),
        "board hangs": Reaches(end: "board.top", face: "top.bottom"),
        "clip on rail": BoltedTo(part: "clip", to: "rail.left", side: Left, with: AN3, count: 1),
        "clip along": Spaced(from: "datum.station", to: "clip.fwd", by: "clip at"),
        "hook on rail": BoltedTo(part: "hook", to: "rail.left", side: Left, with: AN3, count: 1),
        "hook along": Spaced(from: "datum.station", to: "hook.fwd", by: "hook at"),
        "lug on rail": BoltedTo(part: "lug", to: "rail.left", side: Left, at: "lug.eye", with: AN3, count: 1),
        "lug along": Spaced(from: "datum.station", to: "lug.fwd", by: "lug at"),
        "tab on board": BoltedTo(part: "tab", to: "board.left", side: Left, with: AN3, count: 1),
        "tab along": Spaced(from: "datum.station", to: "tab.fwd", by: "tab at"),
    })"#;

fn layouts(changes: &str) -> (Layout, Layout) {
    let document: Document = read(BAY).unwrap();
    let made: Vec<Change> = read(changes).unwrap();
    let changed = document.with_changes(&made).unwrap();
    let layout = |document: &Document| assemble(document).unwrap().solve().unwrap().layout();
    let (old, new) = (layout(&document), layout(&changed));
    assert!(old.is_sound() && new.is_sound(), "{:?}", old.loose);
    (old, new)
}

fn judged(changes: &str, part: &str, stage: Stage) -> (Layout, Layout, Verdicts) {
    let (old, new) = layouts(changes);
    let all = verdicts(&old, &new, &shift(&old, &new), &progress(part, stage));
    (old, new, all)
}

/// Ends of a part along an own axis, made of the old ones by what is told to come off or to be missing.
fn ends(part: &PlacedPart, steps: &[Step], axis: usize) -> [f64; 2] {
    let mut ends = extents(part).unwrap()[axis];
    for step in steps {
        let outwards = match step.change {
            MakeChange::Longer { .. } => 1.0,
            MakeChange::Shorter { .. } => -1.0,
            _ => continue,
        };
        assert!(!step.cuts.is_empty(), "no end is named: {step:?}");
        for cut in step.cuts.iter().filter(|cut| cut.at.axis().index() == axis) {
            assert!(cut.by_mm > 0.0, "{step:?}");
            ends[usize::from(cut.at.is_positive())] += outwards * cut.at.sign() * cut.by_mm;
        }
    }
    ends
}

/// How far the told holes of that name move.
fn moved(steps: &[Step], name: &str) -> [f64; 3] {
    let by = steps.iter().find_map(|step| match &step.change {
        MakeChange::HolesMove { holes, by_mm, .. } if holes == name => Some(*by_mm),
        _ => None,
    });
    by.unwrap_or_default()
}

/// Where the holes of a part are: the bolts that its neighbours stand at, and those that it states.
fn holes(layout: &Layout, name: &str) -> Vec<(String, [f64; 3])> {
    let part = layout.part(name).unwrap();
    let joints = layout.joints.iter().filter(|joint| joint.to == name);
    let joints = joints.map(|joint| (joint.statement.clone(), own(part, joint.at_mm)));
    let stated = part.holes.iter();
    let stated = stated.map(|hole| (hole.name.clone(), hole.at_own_mm));
    joints.chain(stated).collect()
}

/// Makes the new part out of the old one and compares it, along own station and waterline: all is bolted from the left.
fn assert_rebuilt((old, new, all): &(Layout, Layout, Verdicts), name: &str) {
    let steps = all
        .of(name)
        .map(|verdict| &verdict.steps[..])
        .unwrap_or(&[]);
    let (before, after) = (old.part(name).unwrap(), new.part(name).unwrap());
    for axis in [0, 2] {
        let (made, wanted) = (ends(before, steps, axis), extents(after).unwrap()[axis]);
        let off = |is: f64, expected: f64, what: &str| {
            assert!(
                (is - expected).abs() <= NEAR_MM,
                "{name}, {what} along {axis}: {is}, in the layout {expected}; {steps:#?}"
            );
        };
        off(made[1] - made[0], wanted[1] - wanted[0], "length");
        let pairs = holes(old, name).into_iter().zip(holes(new, name));
        for ((hole, was), (_, is)) in pairs {
            let at = was[axis] + moved(steps, &hole)[axis];
            off(at - made[0], is[axis] - wanted[0], &hole);
            off(made[1] - at, wanted[1] - is[axis], &hole);
        }
    }
}

fn words(verdict: &PartVerdict) -> Vec<String> {
    let told = verdict.steps.iter().map(|step| match &step.change {
        MakeChange::HolesMove { holes, by_mm, .. } => {
            format!("{holes} {:.3} {:?}", by_mm[0] / INCH, step.verdict)
        }
        _ => {
            let cuts = step.cuts.iter();
            let cuts: Vec<String> = cuts
                .map(|cut| format!("{:?} {:.3}", cut.at, cut.by_mm / INCH))
                .collect();
            format!("{} {:?}", cuts.join(" "), step.verdict)
        }
    });
    told.collect()
}

/// By hand: the hole of the clip was 10 1/2 from the fwd end, and is 11 1/2 then; from the aft end 9 1/2, and 8 1/4.
#[test]
fn both_ends_move_and_the_clip_stays() {
    for (a, b, hole, cut) in [
        ("19 in", "38 3/4 in", "1.000", "Aft 0.250"),
        ("19 1/4 in", "38 1/4 in", "0.750", "Aft 1.000"),
    ] {
        for stage in [Stage::Drilled, Stage::Fitted] {
            let case = judged(
                &format!(r#"[Set("a", "{a}"), Set("b", "{b}")]"#),
                "rail",
                stage,
            );
            let rail = case.2.of("rail").unwrap();
            assert_eq!(rail.verdict, Verdict::Redrill, "{rail:#?}");
            assert_eq!(rail.take_out, stage == Stage::Fitted);
            let told = words(rail);
            assert_eq!(told[0], format!("{cut} Trim"), "{told:?}");
            for joint in ["clip on rail", "hook on rail", "lug on rail"] {
                assert!(
                    told.contains(&format!("{joint} {hole} Redrill")),
                    "{told:?}"
                );
            }
            assert_rebuilt(&case, "rail");
        }
    }
}

/// An eighth and a quarter: the new holes would lie in the old ones, so that a new rail is asked for, not a trimmed one.
#[test]
fn holes_too_near_the_old_ones_are_not_trimmed_away() {
    let case = judged(
        r#"[Set("a", "19 7/8 in"), Set("b", "39 3/4 in")]"#,
        "rail",
        Stage::Drilled,
    );
    let rail = case.2.of("rail").unwrap();
    assert_eq!(rail.verdict, Verdict::MakeAnew, "{rail:#?}");
    assert_rebuilt(&case, "rail");
}

/// As long as before, and all of it 1 fwd, or 1 aft: with three clips that stay, their holes move, though two ends are fewer.
#[test]
fn as_long_as_before_but_elsewhere() {
    for (a, b, end) in [(19, 39, Side::Fwd), (21, 41, Side::Aft)] {
        let changes = format!(r#"[Set("a", {a}), Set("b", {b})]"#);
        let case = judged(&changes, "rail", Stage::Drilled);
        let rail = case.2.of("rail").unwrap();
        assert_eq!(rail.steps.len(), 3, "{rail:#?}");
        let why = rail.steps[0].why.clone();
        let Some(Why::OrMissing { at, by_mm }) = why else {
            panic!("{why:?}")
        };
        assert_eq!(at, end);
        assert!((by_mm / INCH - 1.0).abs() < 1e-6);
        assert_rebuilt(&case, "rail");
    }
}

/// The bolts go through what lies between as well: a pad that stays where it is gets new holes when the tab moves on it.
#[test]
fn what_lies_between_is_drilled_too() {
    const TAB: &str = r#"side: Left, with: AN3, count: 1),
        "tab along""#;
    assert!(BAY.contains(TAB));
    let pad = r#""pad": Plate(lies: FwdAft, thickness: "1/16 in", length: 3, height: 3, at: (fs: 35, wl: 8)),
        "tab": Plate"#;
    let text = BAY
        .replace(r#""tab": Plate"#, pad)
        .replace(TAB, &TAB.replacen("side", r#"through: ["pad"], side"#, 1));
    let [old, new] = ["36", "37"].map(|at| {
        let text = text.replace(r#""tab at": 36"#, &format!(r#""tab at": {at}"#));
        let document: Document = read(&text).unwrap();
        assemble(&document).unwrap().solve().unwrap().layout()
    });
    let drilled = progress("pad", Stage::Drilled);
    let all = verdicts(&old, &new, &shift(&old, &new), &drilled);
    let pad = all.of("pad").unwrap();
    assert_eq!(words(pad), ["tab on board 1.000 Redrill"], "{pad:#?}");
}

/// Up the board as along it: a hole for an AN3 clears the old one from two diameters, 3/8, on.
#[test]
fn an_old_hole_is_cleared_upwards_as_well() {
    for (at, expected) in [
        ("9 3/8 in", Verdict::Redrill),
        ("9 11/32 in", Verdict::MakeAnew),
        ("8 5/8 in", Verdict::Redrill),
    ] {
        let changes = format!(r#"[Set("tab wl", "{at}")]"#);
        let (_, _, all) = judged(&changes, "board", Stage::Drilled);
        let board = all.of("board").unwrap();
        assert_eq!((board.steps.len(), board.verdict), (1, expected), "{at}");
    }
}

/// Old holes count wherever they are left: the hook's new hole is 3/16 from where the clip's was, or 1/2, and the clip's own is far.
#[test]
fn a_hole_that_another_joint_leaves_behind_is_in_the_way_too() {
    for (hook, expected) in [
        ("29 13/16 in", Verdict::MakeAnew),
        ("29 1/2 in", Verdict::Redrill),
    ] {
        let changes = format!(r#"[Set("clip at", 35), Set("hook at", "{hook}")]"#);
        let (_, _, all) = judged(&changes, "rail", Stage::Drilled);
        let rail = all.of("rail").unwrap();
        let on = |name: &str| {
            let told = rail.steps.iter().find(
                |step| matches!(&step.change, MakeChange::HolesMove { holes, .. } if holes == name),
            );
            told.unwrap().verdict
        };
        assert_eq!(
            (on("hook on rail"), on("clip on rail")),
            (expected, Verdict::Redrill)
        );
    }
}

/// The aft end goes 1 aft, and all that is bolted on with it: their holes stay, and it is the fwd end that is short.
#[test]
fn a_rail_goes_with_what_is_bolted_to_it() {
    let changes = r#"[Set("b", 41), Set("clip at", 31), Set("hook at", 26), Set("lug at", 34)]"#;
    let case = judged(changes, "rail", Stage::Drilled);
    let rail = case.2.of("rail").unwrap();
    assert_eq!(words(rail), ["Fwd 1.000 TooShort"], "{rail:#?}");
    assert_rebuilt(&case, "rail");
}

/// A joint that is made at a hole of the part tells of that hole too, once.
#[test]
fn a_hole_that_a_joint_is_made_at_is_told_by_the_joint() {
    const EYE: &str = r#"{"eye": (fs: "1/4 in", wl: "3/8 in")}"#;
    assert!(BAY.contains(EYE));
    let [old, new] = ["1/4 in", "3/4 in"].map(|at| {
        let text = BAY.replace(EYE, &EYE.replace("1/4 in", at));
        let document: Document = read(&text).unwrap();
        assemble(&document).unwrap().solve().unwrap().layout()
    });
    let drilled = progress("lug", Stage::Drilled);
    let all = verdicts(&old, &new, &shift(&old, &new), &drilled);
    let lug = all.of("lug").unwrap();
    assert_eq!(words(lug), ["lug on rail 0.500 Redrill"], "{lug:#?}");
}

/// A place as a builder reads it: sixteenths, so that ties between lies come up.
fn sixteenths(least: i32, most: i32) -> impl Strategy<Value = f64> {
    prop_oneof![
        (least..=most).prop_map(|by| f64::from(by) / 16.0),
        (f64::from(least)..f64::from(most)).prop_map(|by| by / 16.0)
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn what_is_told_makes_the_new_part(
        walls in [sixteenths(-32, 32), sixteenths(-32, 32), sixteenths(-32, 32), sixteenths(-32, 32)],
        along in [sixteenths(-16, 16), sixteenths(-16, 16), sixteenths(-16, 16)],
        up in sixteenths(-16, 16),
        stays in any::<[bool; 6]>(),
        fitted in any::<bool>(),
    ) {
        let or_none = |by: f64, stays: bool| if stays { 0.0 } else { by };
        let [a, b, floor, ceiling] = walls;
        let set = [
            ("a", 20.0 + a),
            ("b", 40.0 + b),
            ("floor", floor),
            ("ceiling", 20.0 + ceiling),
            ("clip at", 30.0 + or_none(along[0], stays[0])),
            ("hook at", 25.0 + or_none(along[1], stays[1])),
            ("lug at", 33.0 + or_none(along[2], stays[2])),
            ("tab at", 36.0 + or_none(along[0], stays[3])),
            ("tab wl", 9.0 + or_none(up, stays[4])),
            ("mark", 1.0 + or_none(along[1] + 1.5, stays[5])),
        ];
        let set = set.map(|(name, to)| format!(r#"Set("{name}", {to:.9})"#));
        let changes = format!("[{}]", set.join(", "));
        let stage = if fitted { Stage::Fitted } else { Stage::Drilled };
        for part in ["rail", "board"] {
            assert_rebuilt(&judged(&changes, part, stage), part);
        }
    }
}
