//! Where a rule begins and where it ends: holes near a new edge, ends that can't be told, sections that go, bolts without a size.
//! Lengths in inches.
#![allow(clippy::unwrap_used, clippy::panic)]

use super::judge::Judge;
use super::lie::Lie;
use super::tests::{layouts, progress};
use super::*;
use crate::assembly::assemble;
use crate::document::Document;
use crate::record::Stage;
use crate::shift::shift;
use crate::source::read;

const INCH: f64 = 25.4;

fn judged(changes: &str, part: &str) -> PartVerdict {
    let (old, new, shift) = layouts(changes);
    let all = verdicts(&old, &new, &shift, &progress(part, Stage::Drilled));
    all.of(part).unwrap().clone()
}

/// The clip's hole is at 5 1/2, for an AN3: two diameters are 3/8. A rail that ends 5/16 behind it is the drawing's own figure while the
/// clip is bolted there; a hole that nothing uses any more is a crack in waiting. In the piece that comes off it is lost either way.
#[test]
fn a_hole_in_use_may_lie_as_near_to_the_new_edge_as_the_drawing_has_it() {
    for (end, clip, expected) in [
        ("5 13/16 in", "5 in", Verdict::Trim),
        ("5 13/16 in", "2 in", Verdict::MakeAnew),
        ("5 1/4 in", "5 in", Verdict::MakeAnew),
    ] {
        let rail = judged(
            &format!(r#"[Set("second", "{end}"), Set("clip at", "{clip}")]"#),
            "rail",
        );
        assert_eq!(rail.verdict, expected, "{end}, {clip}: {rail:#?}");
    }
}

/// A rail that gets longer by 1, its metal reaching beyond the old one as it lies.
fn judge(before: &PlacedPart, after: &PlacedPart, lie: &Lie) -> Step {
    let judge = Judge {
        before,
        after,
        lie,
        stage: Stage::Cut,
        fit_mm: 0.0,
    };
    judge.step(MakeChange::Longer {
        size: "length".to_owned(),
        by_mm: INCH,
        from_mm: 20.0 * INCH,
        to_mm: 21.0 * INCH,
    })
}

fn told(step: &Step) -> Vec<String> {
    let cuts = step.cuts.iter();
    cuts.map(|cut| format!("{:?} {:.4}", cut.at, cut.by_mm / INCH))
        .collect()
}

/// A length that grows by 1, of a part whose metal grows by something else, or comes off one end meanwhile: no end is named.
#[test]
fn an_end_is_named_only_where_the_metal_adds_up_to_the_size() {
    let (old, new, _) = layouts(r#"[Set("second", 21)]"#);
    let [before, after] = [&old, &new].map(|layout| layout.part("rail").unwrap());
    for (low, high, expected) in [
        (0.0, 1.0, vec!["Aft 1.0000"]),
        (0.25, 0.75, vec!["Fwd 0.2500", "Aft 0.7500"]),
        // too little, too much, and a sum that is right though metal comes off one end
        (0.25, 0.5, vec![]),
        (0.5, 1.0, vec![]),
        (-0.5, 1.5, vec![]),
    ] {
        let mut lie = Lie::default();
        lie.beyond_mm[0] = [low * INCH, high * INCH];
        let step = judge(before, after, &lie);
        assert_eq!(told(&step), expected, "{low}, {high}");
        assert_eq!(step.verdict, Verdict::TooShort);
    }
}

/// A part that leans otherwise has its ends a little elsewhere along itself: by up to a hundredth of the change that is no cut.
#[test]
fn the_lean_of_a_part_is_no_cut_at_its_other_end() {
    let (old, new, _) = layouts(r#"[Set("second", 21)]"#);
    let [before, after] = [&old, &new].map(|layout| layout.part("rail").unwrap());
    let mut leans = after.clone();
    leans.rotation[0][2] += 0.01;
    for (after, low, expected) in [
        (after, 0.005, vec!["Fwd 0.0050", "Aft 0.9950"]),
        (&leans, 0.005, vec!["Aft 1.0000"]),
        (&leans, 0.02, vec!["Fwd 0.0200", "Aft 0.9800"]),
    ] {
        let mut lie = Lie::default();
        lie.beyond_mm[0] = [low * INCH, (1.0 - low) * INCH];
        assert_eq!(told(&judge(before, after, &lie)), expected, "{low}");
    }
}

/// A spar that gets longer may be spliced; one that gets longer and has other caps, or loses some, is another spar.
#[test]
fn a_part_of_fewer_sections_is_not_merely_too_short() {
    let spar = |span: u32, caps: &str| {
        let text = format!(
            r#"(format: 1, title: "spar", unit: Inch, fit: "1/32 in", parts: {{
                "spar": Spar(web: "0.050 in", span: {span}, height: 7, {caps} at: (fs: 1, bl: 0, wl: 0)),
            }}, relations: {{}})"#
        );
        let document: Document = read(&text).unwrap();
        assemble(&document).unwrap().solve().unwrap().layout()
    };
    const AFT: &str = r#"aft_caps: (leg: 1, thickness: "1/8 in"),"#;
    let both = format!(r#"fwd_caps: (leg: 1, thickness: "1/8 in"), {AFT}"#);
    let thick = r#"aft_caps: (leg: 1, thickness: "3/16 in"),"#;
    for (before, after, expected, why) in [
        (&*both, &*both, Verdict::TooShort, None),
        (AFT, AFT, Verdict::TooShort, None),
        (&both, AFT, Verdict::MakeAnew, Some(Why::OtherSection)),
        (AFT, &both, Verdict::MakeAnew, Some(Why::OtherSection)),
        (AFT, thick, Verdict::MakeAnew, Some(Why::OtherSection)),
    ] {
        let (old, new) = (spar(34, before), spar(36, after));
        let all = verdicts(
            &old,
            &new,
            &shift(&old, &new),
            &progress("spar", Stage::Cut),
        );
        let steps = &all.of("spar").unwrap().steps;
        let longer = steps
            .iter()
            .find(|step| matches!(&step.change, MakeChange::Longer { size, .. } if size == "span"));
        let longer = longer.unwrap_or_else(|| panic!("{before} to {after}: {steps:#?}"));
        assert_eq!(
            (longer.verdict, &longer.why),
            (expected, &why),
            "{before} to {after}"
        );
    }
}

/// Where the new statement gives no size the holes that are there tell how large they are; where neither does, it is asked for.
#[test]
fn an_old_hole_is_as_large_as_the_bolts_that_were_in_it() {
    let bolted = |with: &str| {
        format!(
            r#"Replace("clip on rail", BoltedTo(part: "clip", to: "rail.left", side: Left, {with}))"#
        )
    };
    for (with, at, expected) in [
        ("", "5 11/32 in", Verdict::MakeAnew),
        ("", "5 3/8 in", Verdict::Redrill),
        // an AN4 needs 1/2
        ("with: AN4, count: 1", "5 3/8 in", Verdict::MakeAnew),
    ] {
        let changes = format!(r#"[{}, Set("clip at", "{at}")]"#, bolted(with));
        let rail = judged(&changes, "rail");
        let moves = rail.steps.iter().find_map(|step| match step.change {
            MakeChange::HolesMove { diameter_mm, .. } => Some((step.verdict, diameter_mm)),
            _ => None,
        });
        let (verdict, diameter) = moves.unwrap_or_else(|| panic!("{with}: {rail:#?}"));
        assert_eq!(verdict, expected, "{with}, {at}");
        let shank = if with.is_empty() { 3.0 / 16.0 } else { 0.25 };
        assert!(
            (diameter.unwrap() / INCH - shank).abs() < 2e-3,
            "{diameter:?}"
        );
    }
}

/// A board across the fuselage with a tab bolted to its aft face, 6 in to the right, or as far to either side.
fn tabbed(name: &str, bl: &str, sides: &str) -> Layout {
    let text = format!(
        r#"(format: 1, title: "tabs", unit: Inch, fit: "1/32 in", parts: {{
            "board": Plate(lies: Across, thickness: "1/8 in", width: 20, height: 10, at: (fs: 0, bl: 0, wl: 0)),
            "{name}": Plate(lies: Across, thickness: "1/16 in", width: 1, height: 1, at: (bl: "{bl}", wl: 4){sides}),
        }}, relations: {{
            "tab on board": BoltedBehind(part: "{name}", to: "board", with: AN3, count: 1),
        }})"#
    );
    let document: Document = read(&text).unwrap();
    assemble(&document).unwrap().solve().unwrap().layout()
}

fn of_board(before: &Layout, after: &Layout) -> Option<PartVerdict> {
    let drilled = progress("board", Stage::Drilled);
    let all = verdicts(before, after, &shift(before, after), &drilled);
    all.of("board").cloned()
}

/// Tabs on both hands, of which one is left: its hole is the one on its own side, wherever the other one was.
#[test]
fn a_joint_of_both_hands_that_is_stated_once_is_the_nearer_of_the_two() {
    let both = tabbed("tab", "6 in", ", sides: Both");
    assert_eq!(both.joints.len(), 2, "{:?}", both.joints);
    for (name, bl) in [("tab R", "6 in"), ("tab L", "-6 in")] {
        assert_eq!(of_board(&both, &tabbed(name, bl, "")), None, "{name}");
    }
}

/// Two diameters of an AN3 are 3/8.
#[test]
fn an_old_hole_is_cleared_sideways_as_well() {
    let before = tabbed("tab", "6 in", "");
    for (bl, expected) in [
        ("6 3/8 in", Verdict::Redrill),
        ("6 11/32 in", Verdict::MakeAnew),
        ("5 5/8 in", Verdict::Redrill),
    ] {
        let board = of_board(&before, &tabbed("tab", bl, "")).unwrap();
        assert_eq!((board.steps.len(), board.verdict), (1, expected), "{bl}");
    }
}
