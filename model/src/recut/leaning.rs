//! Joints that lean: what moves along the bolts moves no hole, and what moves across them moves holes by just that. Lengths in inches.
#![allow(clippy::unwrap_used, clippy::panic)]

use proptest::prelude::*;

use super::tests::progress;
use super::*;
use crate::assembly::assemble;
use crate::change::Change;
use crate::document::Document;
use crate::record::Stage;
use crate::shift::shift;
use crate::source::read;

const INCH: f64 = 25.4;

/// A spar that leans three ways, and an angle on it, with a packer between.
fn leaning(turns: [f64; 3], packers: &str) -> Document {
    let [roll, pitch, yaw] = turns;
    let turn = format!(r#"turn: (roll: "{roll} deg", pitch: "{pitch} deg", yaw: "{yaw} deg")"#);
    let text = format!(
        r#"(format: 1, title: "spar that leans", unit: Inch, fit: "1/32 in",
        dimensions: {{"packer": "1/16 in", "up": 2, "over": 5, "reach": 4}},
        parts: {{
            "spar": Plate(lies: Across, thickness: "0.063 in", width: 20, height: 8, at: (fs: 10, bl: 0, wl: 0), {turn}),
            "packer": Plate(lies: Across, thickness: "packer", width: 2, height: 4, {turn}),
            "angle": Angle(runs: UpDown, length: "reach", legs: (aft: 1, left: 2), thickness: "1/8 in", {turn}),
        }}, relations: {{
            "angle on spar": BoltedBehind(part: "angle", to: "spar", through: [{packers}], with: AN4, count: 1),
            "angle up": Spaced(from: "spar.bottom", to: "angle.lower_end", by: "up"),
            "angle over": Spaced(from: "spar.left", to: "angle.left", by: "over"),
        }})"#
    );
    read(&text).unwrap()
}

fn judged(document: &Document, changes: &str, part: &str) -> Verdicts {
    let made: Vec<Change> = read(changes).unwrap();
    let changed = document.with_changes(&made).unwrap();
    let layout = |document: &Document| assemble(document).unwrap().solve().unwrap().layout();
    let (old, new) = (layout(document), layout(&changed));
    assert!(old.is_sound() && new.is_sound(), "{:?}", old.loose);
    let shift = shift(&old, &new);
    verdicts(&old, &new, &shift, &progress(part, Stage::Drilled))
}

/// How far holes of the spar are told to move, in inches.
fn moved(all: &Verdicts) -> Option<[f64; 3]> {
    let steps = all.of("spar").map(|spar| &spar.steps[..]);
    steps
        .unwrap_or_default()
        .iter()
        .find_map(|step| match step.change {
            MakeChange::HolesMove { by_mm, .. } => Some(by_mm.map(|by| by / INCH)),
            _ => None,
        })
}

/// By hand: a packer of 1/4 in place of one of 1/16 puts the angle 3/16 off the spar along its normal, and the bolts go through the
/// same holes. Taken off along the airframe's station axis instead, at a pitch of 30 degrees, there would be left
/// 3/16 (1 - cos² 30) = 3/64 aft and 3/16 sin 30 cos 30 = 0.0812 down.
#[test]
fn a_thicker_packer_moves_no_hole_of_a_spar_that_leans() {
    let document = leaning([0.0, 30.0, 0.0], r#""packer""#);
    let all = judged(&document, r#"[Set("packer", "1/4 in")]"#, "spar");
    assert!(all.of("spar").is_none(), "{:#?}", all.of("spar"));
    // the packer itself is another one, of other stock, and nothing else
    assert_eq!(all.of("packer").unwrap().steps.len(), 1);
}

/// The way of a joint is that of its faces, from the part that is bolted on to the other one, and the gap lies along it.
#[test]
fn the_way_of_the_bolts_is_square_to_the_faces() {
    let document = leaning([0.0, 30.0, 0.0], r#""packer""#);
    let layout = assemble(&document).unwrap().solve().unwrap().layout();
    let joint = &layout.joints[0];
    // pitched 30 degrees nose up: aft goes down
    let [sin, cos] = [0.5, 0.75_f64.sqrt()];
    for (is, expected) in joint.ways[0].into_iter().zip([-cos, 0.0, sin]) {
        assert!((is - expected).abs() < 1e-9, "{:?}", joint.ways);
    }
    for (on, to) in joint.ways[0].into_iter().zip(joint.ways[1]) {
        assert!((on - to).abs() < 1e-9, "{:?}", joint.ways);
    }
    assert!(
        (joint.gap_mm / INCH - 0.0625).abs() < 1e-9,
        "{}",
        joint.gap_mm
    );
}

/// AN4 may have an F drill's hole, 0.257: holes that are 0.005 off let it in. With 1/50 it is tried before anything is drilled, with
/// 1/16, more than the fit of 1/32, another hole is drilled, which the old one is in the way of.
#[test]
fn a_hole_may_be_off_by_what_lets_its_bolt_in() {
    let document = leaning([0.0, 30.0, 0.0], r#""packer""#);
    for (up, expected) in [
        ("2.0003 in", None),
        ("2.005 in", Some(Verdict::AsIs)),
        ("2.02 in", Some(Verdict::OfferUp)),
        ("2 1/16 in", Some(Verdict::MakeAnew)),
        ("2 1/2 in", Some(Verdict::Redrill)),
    ] {
        let all = judged(&document, &format!(r#"[Set("up", "{up}")]"#), "spar");
        assert_eq!(all.of("spar").map(|spar| spar.verdict), expected, "{up}");
    }
    // while it isn't drilled, what lets the bolt in is no difference
    let all = judged(&document, r#"[Set("up", "2.005 in")]"#, "angle");
    assert!(all.of("spar").is_none());
}

/// A longer angle has its middle, and so a packer with it, 1/4 further up; its holes stay in it and in the spar, and so in the packer.
#[test]
fn a_packer_goes_where_its_bolts_go() {
    let document = leaning([0.0, 0.0, 0.0], r#""packer""#);
    let all = judged(&document, r#"[Set("reach", "4 1/2 in")]"#, "packer");
    assert!(all.of("packer").is_none(), "{:#?}", all.of("packer"));
    assert!(moved(&all).is_none());
}

/// A strut that leans against a web at one point, further off it with a thicker spacer: the hole in the web stays where it is, though the
/// strut's own face isn't parallel to the web.
#[test]
fn a_hole_in_a_sheet_doesn_t_move_out_of_it() {
    let text = r#"(format: 1, title: "strut", unit: Inch, fit: "1/32 in",
        dimensions: {"spacer": "1/16 in"},
        parts: {
            "web": Plate(lies: Across, thickness: "0.032 in", width: 20, height: 20, at: (fs: 10, bl: 0, wl: 0)),
            "spacer": Spacer(lies: Across, thickness: "spacer", diameter: 1),
            "strut": Plate(lies: Across, thickness: "1/8 in", width: 2, height: 10, turn: (pitch: "3 deg"), holes: {"eye": (bl: 0, wl: 5, diameter: "1/4 in")}, at: (bl: 0, wl: 4)),
        }, relations: {
            "strut on web": BoltedBehind(part: "strut", to: "web", through: ["spacer"], at: "strut.eye", with: AN4, count: 1),
        })"#;
    let document: Document = read(text).unwrap();
    let all = judged(&document, r#"[Set("spacer", "1/4 in")]"#, "web");
    assert!(all.of("web").is_none(), "{:#?}", all.of("web"));
}

fn turn() -> impl Strategy<Value = f64> {
    -35.0..35.0_f64
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn along_the_bolts_nothing_moves(turns in [turn(), turn(), turn()], packer in 0.02..1.0_f64) {
        let document = leaning(turns, r#""packer""#);
        let all = judged(&document, &format!(r#"[Set("packer", "{packer:.9} in")]"#), "spar");
        prop_assert!(moved(&all).is_none(), "{:?}", moved(&all));
        prop_assert!(all.of("spar").is_none());
    }

    #[test]
    fn across_the_bolts_holes_move_by_just_that(
        turns in [turn(), turn(), turn()],
        packed in any::<bool>(),
        packer in 0.02..1.0_f64,
        up in 0.05..1.0_f64,
        over in 0.05..1.0_f64,
    ) {
        let document = leaning(turns, if packed { r#""packer""# } else { "" });
        let document = if packed { document } else { document.with_changes(&read::<Vec<Change>>(r#"[Drop("packer")]"#).unwrap()).unwrap() };
        let set = format!(r#"[Set("packer", "{packer:.9} in"), Set("up", "{:.9} in"), Set("over", "{:.9} in")]"#, 2.0 + up, 5.0 + over);
        let by = moved(&judged(&document, &set, "spar")).unwrap();
        for (is, expected) in by.into_iter().zip([0.0, over, up]) {
            prop_assert!((is - expected).abs() < 1e-6, "{by:?}");
        }
    }
}
