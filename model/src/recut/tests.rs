//! Each verdict on a model as small as it can be. Lengths in inches.
#![allow(clippy::unwrap_used, clippy::panic)]

use super::*;
use crate::assembly::assemble;
use crate::change::Change;
use crate::document::Document;
use crate::part::Stock;
use crate::record::{Made, Stage};
use crate::shift::shift;
use crate::source::read;
use crate::words::Side;

const INCH: f64 = 25.4;

/// Two posts, and between them a rail that reaches from one to the other; on the rail a clip, at a distance from the first post.
const BAY: &str = r#"(format: 1, title: "bay", unit: Inch, fit: "1/32 in",
    dimensions: {"first": 0, "second": 20, "clip at": 5, "leg": 1, "gauge": "1/8 in"},
    parts: {
        "fore": Plate(lies: Across, thickness: "1/32 in", width: 10, height: 10, at: (bl: 0, wl: 0)),
        "rear": Plate(lies: Across, thickness: "1/32 in", width: 10, height: 10, at: (bl: 0, wl: 0)),
        "rail": Angle(runs: FwdAft, length: Find(near: 20), legs: (down: "leg", right: 1), thickness: "gauge", at: (bl: 0, wl: 5)),
        "clip": Plate(lies: FwdAft, thickness: "1/16 in", length: 1, height: "3/4 in", at: (wl: 4)),
        "web": Rib(thickness: "0.025 in", flange: "5/8 in", flanges: Right, length: Find(near: 20), height: 4, at: (bl: 3, wl: 0)),
        "slope": Rib(thickness: "0.025 in", flange: "5/8 in", flanges: Right, outline: [(0, 0), (8, 0), (8, 2), (0, 4)], at: (fs: 1, bl: -4, wl: 0)),
        "pair": Rib(thickness: "0.025 in", flange: "5/8 in", flanges: Right, outline: [(0, 0), (8, 0), (8, 2), (0, 4)], at: (fs: 1, bl: 2, wl: 12), sides: Both),
        "hoop": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, width: 10, height: 6, at: (fs: 30, bl: 0, wl: 0), holes: {"mark": (wl: 3)}),
    }, relations: {
        "fore at": Spaced(from: "datum.station", to: "fore.fwd", by: "first"),
        "rear at": Spaced(from: "datum.station", to: "rear.fwd", by: "second"),
        "rail starts": Reaches(end: "rail.fwd_end", face: "fore.aft"),
        "rail ends": Reaches(end: "rail.aft_end", face: "rear.fwd"),
        "clip on rail": BoltedTo(part: "clip", to: "rail.left", side: Left, with: AN3, count: 1),
        "clip along": Spaced(from: "datum.station", to: "clip.fwd", by: "clip at"),
        "web starts": Reaches(end: "web.fwd", face: "fore.aft"),
        "web ends": Reaches(end: "web.aft", face: "rear.fwd"),
    })"#;

pub(super) fn layouts(changes: &str) -> (Layout, Layout, Shift) {
    let document: Document = read(BAY).unwrap();
    let made: Vec<Change> = read(changes).unwrap();
    let changed = document.with_changes(&made).unwrap();
    let (old, new) = (assemble(&document).unwrap(), assemble(&changed).unwrap());
    let (old, new) = (old.solve().unwrap().layout(), new.solve().unwrap().layout());
    assert!(old.is_sound(), "{:?}", old.loose);
    let shift = shift(&old, &new);
    (old, new, shift)
}

pub(super) fn progress(part: &str, stage: Stage) -> Progress {
    let made = Made { stage, hours: 2.0 };
    Progress([(part.to_owned(), made)].into())
}

/// The verdict on a part that has got so far, all others not started.
fn verdict(changes: &str, part: &str, stage: Stage) -> PartVerdict {
    let (old, new, shift) = layouts(changes);
    let all = verdicts(&old, &new, &shift, &progress(part, stage));
    all.of(part).unwrap().clone()
}

/// In inches, as `NAME±BY@SIDE`.
fn cuts(verdict: &PartVerdict) -> Vec<String> {
    let steps = verdict.steps.iter().flat_map(|step| &step.cuts);
    steps
        .map(|cut| format!("{:?} {:.4}", cut.at, cut.by_mm / INCH))
        .collect()
}

#[test]
fn a_rail_that_is_cut_is_trimmed_at_the_end_that_moves() {
    for (change, end) in [
        (r#"[Set("second", 19)]"#, "Aft 1.0000"),
        (r#"[Set("first", 1), Set("clip at", 5)]"#, "Fwd 1.0000"),
    ] {
        let rail = verdict(change, "rail", Stage::Cut);
        assert_eq!(rail.verdict, Verdict::Trim, "{rail:#?}");
        assert_eq!(cuts(&rail), [end]);
        assert!(rail.stock.is_empty() && rail.hours_lost == 0.0);
    }
}

#[test]
fn a_rail_that_is_too_short_puts_its_hours_at_stake() {
    let rail = verdict(r#"[Set("second", 21)]"#, "rail", Stage::Drilled);
    assert_eq!(
        (rail.verdict, rail.hours_at_stake),
        (Verdict::TooShort, 2.0)
    );
    assert_eq!(cuts(&rail), ["Aft 1.0000"]);
    let (old, new, shift) = layouts(r#"[Set("second", 21)]"#);
    let all = verdicts(&old, &new, &shift, &progress("rail", Stage::Drilled));
    assert_eq!(all.cost().hours, 2.0, "what is at stake counts");
    // from the aft face of the first post, at 1/32, to the second one at 21
    let Stock::Length { section, length_mm } = &rail.stock[0] else {
        panic!("{rail:?}")
    };
    assert!((length_mm / INCH - (21.0 - 0.03125)).abs() < 1e-9);
    let sizes: Vec<f64> = section.sizes_mm.iter().map(|mm| mm / INCH).collect();
    assert_eq!(sizes, [1.0, 1.0, 0.125]);
}

#[test]
fn holes_in_the_piece_that_comes_off_need_a_new_part() {
    // the clip is 1 long: its hole at 5.5 moves to 2.5, and the rail ends at 4.97
    let change = r#"[Set("second", 5), Set("clip at", 2)]"#;
    let rail = verdict(change, "rail", Stage::Drilled);
    assert_eq!(rail.verdict, Verdict::MakeAnew);
    assert_eq!(rail.hours_lost, 2.0);
    let holes = "clip on rail".to_owned();
    assert!(rail.steps.iter().any(|step| step.why
        == Some(Why::HolesInPiece {
            holes: holes.clone()
        })));
    // while it isn't drilled there are none
    assert_eq!(verdict(change, "rail", Stage::Cut).verdict, Verdict::Trim);
}

/// The same at the other end: the hole at 5.5 is in the piece that comes off from 0 to 6, and well behind one that ends at 1.
#[test]
fn holes_are_looked_for_in_the_piece_that_comes_off_the_fwd_end() {
    let short = r#"[Set("first", 1), Set("clip at", 5)]"#;
    let rail = verdict(short, "rail", Stage::Drilled);
    assert_eq!(rail.verdict, Verdict::Trim, "{rail:#?}");
    assert_eq!(cuts(&rail), ["Fwd 1.0000"]);
    let long = r#"[Set("first", 6), Set("clip at", 8)]"#;
    let rail = verdict(long, "rail", Stage::Drilled);
    assert_eq!(rail.verdict, Verdict::MakeAnew, "{rail:#?}");
    assert_eq!(cuts(&rail), ["Fwd 6.0000"]);
}

#[test]
fn an_old_hole_needs_two_diameters_and_its_edge() {
    // AN3 is 3/16: two diameters are 3/8
    for (at, expected) in [
        ("5 3/8 in", Verdict::Redrill),
        ("5 11/32 in", Verdict::MakeAnew),
    ] {
        let rail = verdict(
            &format!(r#"[Set("clip at", "{at}")]"#),
            "rail",
            Stage::Drilled,
        );
        assert_eq!(rail.verdict, expected, "{at}");
        assert_eq!(rail.from.as_deref(), Some("clip"));
        assert_eq!(rail.through, ["clip on rail"]);
    }
    // what is not drilled yet is right so far
    let rail = verdict(r#"[Set("clip at", 6)]"#, "rail", Stage::Cut);
    assert_eq!(
        (rail.verdict, &rail.steps[0].why),
        (Verdict::AsIs, &Some(Why::NotDrilled))
    );
    // an empty hole within two diameters of the new edge: at 5.5, the rail cut at 5.5 + 5/16
    let rail = verdict(
        r#"[Set("second", "5 13/16 in"), Set("clip at", 2)]"#,
        "rail",
        Stage::Drilled,
    );
    assert_eq!(rail.verdict, Verdict::MakeAnew);
    let rail = verdict(
        r#"[Set("second", 6), Set("clip at", 2)]"#,
        "rail",
        Stage::Drilled,
    );
    assert_eq!(rail.verdict, Verdict::Redrill, "{rail:#?}");
}

#[test]
fn a_flanged_end_is_not_trimmed() {
    let web = verdict(r#"[Set("second", 19)]"#, "web", Stage::Cut);
    assert_eq!(
        (web.verdict, &web.steps[0].why),
        (Verdict::MakeAnew, &Some(Why::BentThere))
    );
    // 19 - 1/32 and a flange at each end; 4 and a flange above and below
    let Stock::Sheet { gauge_mm, sides_mm } = &web.stock[0] else {
        panic!("{web:?}")
    };
    let blank = [gauge_mm, &sides_mm[0], &sides_mm[1]].map(|mm| mm / INCH);
    for (is, expected) in blank.into_iter().zip([0.025, 19.0 - 0.03125 + 1.25, 5.25]) {
        assert!((is - expected).abs() < 1e-9, "{blank:?}");
    }
}

#[test]
fn a_flange_is_trimmed_at_its_edge_and_a_leg_made_wider_is_another_section() {
    let changes = r#"[Set("leg", "3/4 in")]"#;
    let rail = verdict(changes, "rail", Stage::Cut);
    assert_eq!(
        (rail.verdict, cuts(&rail)),
        (Verdict::Trim, vec!["Down 0.2500".to_owned()])
    );
    let rail = verdict(r#"[Set("leg", "1 1/4 in")]"#, "rail", Stage::Cut);
    assert_eq!(
        (rail.verdict, &rail.steps[0].why),
        (Verdict::MakeAnew, &Some(Why::OtherSection))
    );
    let rail = verdict(r#"[Set("gauge", "3/16 in")]"#, "rail", Stage::Fitted);
    assert!(rail.verdict == Verdict::MakeAnew && rail.take_out);
}

#[test]
fn only_what_is_alike_both_ways_and_not_drilled_is_turned_round() {
    for (part, stage, expected, why) in [
        ("web", Stage::Cut, Verdict::TurnRound, None),
        (
            "web",
            Stage::Drilled,
            Verdict::MakeAnew,
            Some(Why::HolesNotStated),
        ),
        ("slope", Stage::Cut, Verdict::MakeAnew, Some(Why::Handed)),
        ("hoop", Stage::Cut, Verdict::TurnRound, None),
        // the left one has its flange where the right one gets it
        ("pair R", Stage::Cut, Verdict::ChangeSides, None),
        (
            "pair L",
            Stage::Drilled,
            Verdict::MakeAnew,
            Some(Why::HolesNotStated),
        ),
        ("slope", Stage::NotStarted, Verdict::NotStarted, None),
    ] {
        let both = crate::words::without_hand(part).unwrap_or(part);
        let judged = verdict(&format!(r#"[Reverse("{both}")]"#), part, stage);
        assert_eq!(
            (judged.verdict, &judged.steps[0].why),
            (expected, &why),
            "{part}"
        );
    }
}

#[test]
fn less_than_the_fit_is_offered_up() {
    let rail = verdict(r#"[Set("second", "19 63/64 in")]"#, "rail", Stage::Drilled);
    assert_eq!(rail.verdict, Verdict::OfferUp);
    let rail = verdict(r#"[Set("second", "20 1/32 in")]"#, "rail", Stage::Cut);
    assert_eq!(rail.verdict, Verdict::OfferUp);
}

#[test]
fn what_only_moves_comes_out_if_it_is_fitted() {
    let change = r#"[Set("second", 19)]"#;
    let (old, new, shift) = layouts(change);
    let fitted = verdicts(&old, &new, &shift, &progress("rear", Stage::Fitted));
    let rear = &fitted.refit[0];
    assert_eq!((rear.part.as_str(), rear.verdict), ("rear", Verdict::Refit));
    assert!(rear.take_out && fitted.only_moved.is_empty());
    let drilled = verdicts(&old, &new, &shift, &progress("rear", Stage::Drilled));
    assert_eq!(drilled.only_moved, ["rear"]);
    assert!(drilled.untouched.contains(&"clip".to_owned()));
    assert!(drilled.cost() < fitted.cost());
}

#[test]
fn a_part_made_wider_to_both_sides_keeps_its_middle() {
    let document: Document = read(BAY).unwrap();
    let wider: Document =
        read(&BAY.replace("width: 10, height: 6", "width: 11, height: 6")).unwrap();
    let layout = |document: &Document| assemble(document).unwrap().solve().unwrap().layout();
    let (old, new) = (layout(&document), layout(&wider));
    let all = verdicts(&old, &new, &shift(&old, &new), &Progress::default());
    let hoop = all.of("hoop").unwrap();
    assert_eq!(hoop.steps.len(), 1, "its hole stays: {hoop:#?}");
}

/// A hole is opened up and never closed; where it goes without a size, the old one may be in the way or not.
#[test]
fn a_hole_is_drilled_larger_and_never_smaller() {
    const MARK: &str = r#"{"mark": (wl: 3)}"#;
    let small = r#"{"mark": (wl: 3, diameter: "3/16 in")}"#;
    let large = r#"{"mark": (wl: 3, diameter: "1/4 in")}"#;
    let two = r#"{"mark": (wl: 3), "eye": (wl: 5)}"#;
    let lower = r#"{"mark": (wl: 2)}"#;
    for (before, after, stage, expected, why) in [
        (small, large, Stage::Drilled, Verdict::Redrill, None),
        (large, small, Stage::Drilled, Verdict::MakeAnew, None),
        (
            large,
            small,
            Stage::Cut,
            Verdict::AsIs,
            Some(Why::NotDrilled),
        ),
        (MARK, two, Stage::Drilled, Verdict::Redrill, None),
        (MARK, two, Stage::Cut, Verdict::AsIs, Some(Why::NotDrilled)),
        (
            MARK,
            lower,
            Stage::Drilled,
            Verdict::Redrill,
            Some(Why::NoDiameter),
        ),
    ] {
        let [old, new] = [before, after].map(|holes| {
            assert!(BAY.contains(MARK));
            let document: Document = read(&BAY.replace(MARK, holes)).unwrap();
            assemble(&document).unwrap().solve().unwrap().layout()
        });
        let all = verdicts(&old, &new, &shift(&old, &new), &progress("hoop", stage));
        let hoop = all.of("hoop").unwrap();
        let case = format!("{before} to {after}: {hoop:#?}");
        assert_eq!((hoop.steps.len(), hoop.verdict), (1, expected), "{case}");
        assert_eq!(hoop.steps[0].why, why, "{case}");
    }
}

#[test]
fn another_kind_under_the_same_name_is_made_anew() {
    let change = r#"[Drop("hoop"), Add(parts: {"hoop": Plate(lies: Across, thickness: "0.032 in", width: 10, height: 6, at: (fs: 30, bl: 0, wl: 0))})]"#;
    let hoop = verdict(change, "hoop", Stage::Cut);
    assert_eq!(hoop.verdict, Verdict::MakeAnew);
    assert!(
        hoop.steps
            .iter()
            .any(|step| matches!(step.change, MakeChange::OtherKind { .. }))
    );
}

#[test]
fn new_parts_take_stock_and_those_left_out_lose_their_hours() {
    let add = r#"[Add(parts: {"strap": Bar(runs: Across, length: 6, depth: "1/8 in", breadth: 1, at: (fs: 2, bl: 0, wl: 9)), "tie": Bar(runs: Across, length: 5, depth: "3/16 in", breadth: 1, at: (fs: 3, bl: 0, wl: 9))}), Drop("slope")]"#;
    let (old, new, shift) = layouts(add);
    let all = verdicts(&old, &new, &shift, &progress("slope", Stage::Fitted));
    assert_eq!(
        (all.totals.new, all.totals.left_out, all.totals.take_out),
        (2, 1, 1)
    );
    assert_eq!(all.totals.hours_lost, 2.0);
    assert_eq!(all.totals.stock.len(), 2, "one section is not the other");
    let StockTotal::Length { length_mm, .. } = &all.totals.stock[0] else {
        panic!("{:?}", all.totals)
    };
    assert!((length_mm / INCH - 6.0).abs() < 1e-12);
}

/// Caps that change over are the same caps: their sizes, gone from one side and there on the other, are no news.
#[test]
fn caps_changed_over_are_one_change() {
    let spar = r#""slope": Spar(web: "0.050 in", span: "34 in", height: "7 in", fwd_caps: (leg: "1 in", thickness: "1/8 in"), at: (fs: 1, bl: -4, wl: 0)),"#;
    let start = BAY.find(r#""slope""#).unwrap();
    let end = start + BAY[start..].find('\n').unwrap();
    let text = format!("{}{spar}{}", &BAY[..start], &BAY[end..]);
    let document: Document = read(&text).unwrap();
    let changes: Vec<Change> = read(r#"[Reverse("slope")]"#).unwrap();
    let changed = document.with_changes(&changes).unwrap();
    let layout = |document: &Document| assemble(document).unwrap().solve().unwrap().layout();
    let (old, new) = (layout(&document), layout(&changed));
    let all = verdicts(
        &old,
        &new,
        &shift(&old, &new),
        &progress("slope", Stage::Cut),
    );
    let spar = all.of("slope").unwrap();
    assert_eq!(
        (spar.steps.len(), spar.verdict),
        (1, Verdict::TurnRound),
        "{spar:#?}"
    );
}

#[test]
fn whole_lengths_and_sheets_are_counted_where_some_are_listed() {
    let stock = r#"stock: {"short": Lengths(of: Angle, length: 15), "long": Lengths(of: Angle, length: 50), "sheet": Sheet(gauge: "0.025 in", width: 6, length: 30)},"#;
    let text = BAY.replace("dimensions:", &format!("{stock} dimensions:"));
    let document: Document = read(&text).unwrap();
    let changes: Vec<Change> = read(r#"[Set("second", 21)]"#).unwrap();
    let changed = document.with_changes(&changes).unwrap();
    let layout = |document: &Document| assemble(document).unwrap().solve().unwrap().layout();
    let (old, new) = (layout(&document), layout(&changed));
    let cut = Made {
        stage: Stage::Cut,
        hours: 1.0,
    };
    let progress = Progress(["rail", "web"].map(|part| (part.to_owned(), cut)).into());
    let all = verdicts(&old, &new, &shift(&old, &new), &progress);
    let whole: Vec<(String, usize)> = all
        .totals
        .stock_at_stake
        .iter()
        .filter_map(|total| match total {
            StockTotal::Sheet { whole, .. } | StockTotal::Length { whole, .. } => whole.as_ref(),
        })
        .map(|whole| (whole.of.clone(), whole.count))
        .collect();
    // a rail of 20.97 is too long for 15; a web of 22.22 × 5.25 lies along the sheet
    assert_eq!(whole, [("long".to_owned(), 1), ("sheet".to_owned(), 1)]);
    let nought = text.replace("length: 50", "length: 0");
    let faults = assemble(&read::<Document>(&nought).unwrap()).unwrap_err();
    assert!(
        faults[0].message.contains("greater than zero"),
        "{faults:?}"
    );
}

#[test]
fn the_ends_are_the_same_there_and_back() {
    let (old, new, there) = layouts(r#"[Set("second", 18), Set("first", 1)]"#);
    let cut = progress("rail", Stage::Cut);
    let ends = |all: &Verdicts| cuts(all.of("rail").unwrap());
    let one = verdicts(&old, &new, &there, &cut);
    let back = verdicts(&new, &old, &shift(&new, &old), &cut);
    assert_eq!(ends(&one), ["Fwd 1.0000", "Aft 2.0000"]);
    assert_eq!(ends(&back), ends(&one));
    assert!(
        one.of("rail").unwrap().steps[0]
            .cuts
            .iter()
            .all(|cut| cut.at != Side::Up)
    );
}
