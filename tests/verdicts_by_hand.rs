//! The verdict on every part of the centre fuselage when the flange of its seat frame is turned, a third of its parts made so far.
//! The figures are worked out here with a pencil from those in demo-models/centre-fuselage.ron, not taken from the program.
//!
//! Stations in inches, aft of the firewall's aft face.
//!
//! The seat frame, 0.032 thick, flange 5/8 over the web. S3 gives the station of its flange edge:
//!     19 3/8 (panel frame) + 36 5/8 = 56, whichever way the flange is bent.
//!     plan:     flange aft; web from 56 - 0.625 = 55.375 to 55.407, foremost metal 55.375, aftmost 56.
//!     reversed: flange fwd; web from 56 + 0.625 - 0.032 = 56.593 to 56.625, foremost metal 56, aftmost 56.625.
//! So its web moves 1.218 aft, its foremost and its aftmost metal 0.625 aft.

use std::path::Path;

use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::layout::Layout;
use strongback_model::part::{SectionKind, Stock};
use strongback_model::record::{Made, Progress, Stage};
use strongback_model::recut::{MakeChange, StockTotal, Verdict, Verdicts, Why, verdicts};
use strongback_model::restated::restated;
use strongback_model::shift::{Shift, shift};
use strongback_model::source;
use strongback_model::words::Side;

const INCH: f64 = 25.4;
/// A ten-thousandth of an inch: the last place of the figures below.
const NEAR: f64 = 1e-4;

/// The parts that are begun: 21 of 68, with the hours put into them.
#[rustfmt::skip]
const MADE: [(&str, Stage, f64); 21] = [
    ("firewall", Stage::Fitted, 10.0),
    ("panel frame", Stage::Drilled, 9.0),
    ("seat frame", Stage::Cut, 6.0),
    ("rear frame", Stage::Fitted, 12.0),
    ("lower longeron L", Stage::Cut, 1.5),
    ("side stiffener L", Stage::Cut, 0.5),
    ("keel", Stage::Drilled, 4.0),
    ("rear keel", Stage::Cut, 2.0),
    ("cabin floor R", Stage::Fitted, 1.5),
    ("inner rib L", Stage::Cut, 1.0),
    ("middle rib R", Stage::Fitted, 1.75),
    ("outer rib L", Stage::Cut, 1.0),
    ("outer rib R", Stage::Drilled, 2.25),
    ("seat pan L", Stage::Fitted, 2.0),
    ("seat pan R", Stage::Cut, 1.0),
    ("main spar", Stage::Drilled, 30.0),
    ("carry-through", Stage::Fitted, 3.0),
    ("packer L", Stage::Cut, 0.25),
    ("baggage rib L", Stage::Cut, 2.5),
    ("baggage floor", Stage::Drilled, 3.0),
    ("stick horn", Stage::Drilled, 5.0),
];

/// A size that changes, worked out: name, before and after in inches.
type Size = (&'static str, f64, f64);

/// What is expected of a part that is made differently: verdict, whether it has to come out, its size, and the end at which that
/// changes.
type Expected = (&'static str, Verdict, bool, Option<Size>, Option<Side>);

/// From the panel frame's aftmost metal, 19.375 + 0.625 = 20, to 1/16 before the seat frame's foremost:
/// plan 55.375 - 0.0625 - 20 = 35.3125; then 56 - 0.0625 - 20 = 35.9375. Its aft end moves.
const STIFFENER: Size = ("length", 35.3125, 35.9375);
/// From the firewall, 0, to the same place: 55.3125, then 55.9375. Its aft end moves.
const KEEL: Size = ("length", 55.3125, 55.9375);
/// From the seat frame's aftmost metal to 1/16 before the rear frame, 19.375 + 60 - 0.0625 = 79.3125:
/// plan 79.3125 - 56 = 23.3125; then 79.3125 - 56.625 = 22.6875. Its fwd end moves.
const REAR_KEEL: Size = ("length", 23.3125, 22.6875);
/// From the panel frame's aftmost metal, 20, to the seat frame's foremost: plan 35.375; then 36. Its aft end moves.
const FLOOR: Size = ("length", 35.375, 36.0);
/// From the seat front, 19.375 + 18.5 = 37.875, to the seat frame's foremost metal: plan 17.5; then 18.125. A rib with an outline
/// of its own has no size `length`: it is told over all. Its aft end moves.
const SEAT_RIB: Size = ("length over all", 17.5, 18.125);
/// From the main spar's aftmost metal to the rear spar's foremost. The spar's web lies behind the seat frame's, with the standing leg
/// of the carry-through, 0.1875, between; its own web is 0.063, and the caps' legs reach 1.25 aft of that:
/// plan 55.407 + 0.1875 + 0.063 + 1.25 = 56.9075; then 1.218 more, 58.1255. The rear spar's web, 0.040, lies ahead of the rear frame,
/// 79.375, and its caps' legs reach 1 ahead of that: 78.335. So 78.335 - 56.9075 = 21.4275; then 78.335 - 58.1255 = 20.2095.
const BAGGAGE_RIB: Size = ("length", 21.4275, 20.2095);
/// From the seat frame's aftmost metal to the rear frame, 79.375: plan 23.375; then 22.75. Its fwd end moves.
const BAGGAGE_FLOOR: Size = ("length", 23.375, 22.75);

/// The sixteen parts that are made differently.
#[rustfmt::skip]
const EXPECTED: [Expected; 16] = [
    // Its outline and its opening are alike to the left and to the right: turned about the upright it is the new frame. Cut
    // and bent, but not drilled.
    ("seat frame", Verdict::TurnRound, false, None, None),
    // 5/8 too short
    ("side stiffener L", Verdict::TooShort, false, Some(STIFFENER), Some(Side::Aft)),
    ("side stiffener R", Verdict::NotStarted, false, Some(STIFFENER), Some(Side::Aft)),
    ("keel", Verdict::TooShort, false, Some(KEEL), Some(Side::Aft)),
    // 5/8 too long: a channel has nothing bent at its ends
    ("rear keel", Verdict::Trim, false, Some(REAR_KEEL), Some(Side::Fwd)),
    ("cabin floor L", Verdict::NotStarted, false, Some(FLOOR), Some(Side::Aft)),
    // riveted in, and 5/8 too short
    ("cabin floor R", Verdict::TooShort, true, Some(FLOOR), Some(Side::Aft)),
    ("inner rib L", Verdict::TooShort, false, Some(SEAT_RIB), Some(Side::Aft)),
    ("inner rib R", Verdict::NotStarted, false, Some(SEAT_RIB), Some(Side::Aft)),
    ("middle rib L", Verdict::NotStarted, false, Some(SEAT_RIB), Some(Side::Aft)),
    ("middle rib R", Verdict::TooShort, true, Some(SEAT_RIB), Some(Side::Aft)),
    ("outer rib L", Verdict::TooShort, false, Some(SEAT_RIB), Some(Side::Aft)),
    ("outer rib R", Verdict::TooShort, false, Some(SEAT_RIB), Some(Side::Aft)),
    // 1.218 too long, and flanged round all four edges: a rib can't be trimmed
    ("baggage rib L", Verdict::MakeAnew, false, Some(BAGGAGE_RIB), None),
    ("baggage rib R", Verdict::NotStarted, false, Some(BAGGAGE_RIB), None),
    // 5/8 too long, a flat sheet; drilled, but the model knows of no hole in the strip that comes off
    ("baggage floor", Verdict::Trim, false, Some(BAGGAGE_FLOOR), Some(Side::Fwd)),
];

/// Made as before, and elsewhere: the seat pans lean on longer ribs, the anchors follow the ribs' aft ends, spar, angle and packers
/// the seat frame's web. Of these, two are fitted.
const REFIT: [&str; 2] = ["seat pan L", "carry-through"];
const ONLY_MOVED: [&str; 6] = [
    "seat pan R",
    "lap anchor L",
    "lap anchor R",
    "main spar",
    "packer L",
    "packer R",
];

fn case() -> (Layout, Layout, Shift) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-models/centre-fuselage.ron");
    let document: Document = source::read(&std::fs::read_to_string(path).unwrap()).unwrap();
    let changed = document
        .with_deviation("seat frame flanges reversed")
        .unwrap();
    let plan = assemble(&document).unwrap();
    let plan = plan.solve().unwrap().layout();
    let assembly = assemble(&changed).unwrap();
    let solved = assembly.solve().unwrap();
    let layout = solved.layout();
    let mut shift = shift(&plan, &layout);
    solved.trace(&mut shift, &layout, &restated(&document, &changed));
    (plan, layout, shift)
}

fn progress(made: &[(&str, Stage, f64)]) -> Progress {
    let made = made.iter().map(|(part, stage, hours)| {
        let (stage, hours) = (*stage, *hours);
        ((*part).to_owned(), Made { stage, hours })
    });
    Progress(made.collect())
}

fn judged() -> Verdicts {
    let (plan, layout, shift) = case();
    verdicts(&plan, &layout, &shift, &progress(&MADE))
}

#[track_caller]
fn near(is: f64, expected: f64, what: &str) {
    assert!(
        (is - expected).abs() < NEAR,
        "{what}: {is}, by hand {expected}"
    );
}

#[test]
fn every_part_that_is_made_differently() {
    let all = judged();
    let names: Vec<&str> = all.parts.iter().map(|part| part.part.as_str()).collect();
    let expected: Vec<&str> = EXPECTED.iter().map(|part| part.0).collect();
    assert_eq!(names, expected);
    for (part, (name, verdict, take_out, size, end)) in all.parts.iter().zip(EXPECTED) {
        assert_eq!(
            (part.verdict, part.take_out),
            (verdict, take_out),
            "{name}: {part:#?}"
        );
        let made = MADE.iter().find(|made| made.0 == name);
        let (stage, hours) = made.map_or((Stage::NotStarted, 0.0), |made| (made.1, made.2));
        assert_eq!((part.stage, part.hours), (stage, hours), "{name}");
        let Some((called, before, after)) = size else {
            continue;
        };
        let step = &part.steps[0];
        let (MakeChange::Longer {
            size,
            by_mm,
            from_mm,
            to_mm,
        }
        | MakeChange::Shorter {
            size,
            by_mm,
            from_mm,
            to_mm,
        }) = &step.change
        else {
            panic!("{name}: {step:?}")
        };
        assert_eq!(size, called, "{name}");
        assert_eq!(
            after > before,
            matches!(step.change, MakeChange::Longer { .. }),
            "{name}"
        );
        near(from_mm / INCH, before, name);
        near(to_mm / INCH, after, name);
        near(by_mm / INCH, (after - before).abs(), name);
        let ends: Vec<Side> = step.cuts.iter().map(|cut| cut.at).collect();
        assert_eq!(ends, Vec::from_iter(end), "{name}");
        for cut in &step.cuts {
            near(cut.by_mm / INCH, (after - before).abs(), name);
        }
    }
}

#[test]
fn every_other_part() {
    let all = judged();
    let refit: Vec<&str> = all.refit.iter().map(|part| part.part.as_str()).collect();
    assert_eq!(refit, REFIT);
    assert!(
        all.refit
            .iter()
            .all(|part| part.verdict == Verdict::Refit && part.take_out)
    );
    assert!(
        all.refit
            .iter()
            .all(|part| part.steps.is_empty() && part.hours_lost == 0.0)
    );
    assert_eq!(all.only_moved, ONLY_MOVED);
    // 68 parts in all: 16 made differently, 8 only elsewhere
    assert_eq!(all.untouched.len(), 68 - 16 - 8);
    for part in [
        "firewall",
        "panel frame",
        "rear frame",
        "lower longeron L",
        "stick horn",
    ] {
        assert!(all.untouched.iter().any(|name| name == part), "{part}");
    }
    assert!(all.unsettled.is_empty());
}

/// The lap anchors follow the ribs' aft ends, 2 1/2 ahead of them: from 52.875 to 53.5, so that their holes move 5/8 aft in the outer
/// ribs, whose fwd ends stay. AN5 is 5/16: two diameters are 5/8, and the new hole is just clear of the old one.
#[test]
fn the_holes_of_the_lap_anchors() {
    let all = judged();
    for (part, joint, expected, why) in [
        ("outer rib R", "lap anchor on rib R", Verdict::Redrill, None),
        (
            "outer rib L",
            "lap anchor on rib L",
            Verdict::AsIs,
            Some(Why::NotDrilled),
        ),
    ] {
        let rib = all.of(part).unwrap();
        assert_eq!(rib.steps.len(), 2, "{rib:#?}");
        let step = &rib.steps[1];
        let MakeChange::HolesMove {
            holes,
            by_mm,
            apart_mm,
            diameter_mm,
            ..
        } = &step.change
        else {
            panic!("{step:?}")
        };
        assert_eq!(holes, joint);
        for (is, by) in by_mm.iter().zip([0.625, 0.0, 0.0]) {
            near(is / INCH, by, part);
        }
        near(apart_mm / INCH, 0.625, part);
        near(diameter_mm.unwrap() / INCH, 0.3125, part);
        assert_eq!((step.verdict, &step.why), (expected, &why), "{part}");
    }
}

#[test]
fn where_it_comes_from() {
    let all = judged();
    for part in all.parts.iter().chain(&all.refit) {
        let from = if part.part == "seat frame" {
            None
        } else {
            Some("seat frame")
        };
        assert_eq!(part.from.as_deref(), from, "{}", part.part);
    }
    assert_eq!(all.of("rear keel").unwrap().through, ["rear keel starts"]);
    assert_eq!(
        all.of("cabin floor R").unwrap().through,
        ["cabin floor ends R"]
    );
}

#[test]
fn why_the_baggage_rib_is_made_anew() {
    let all = judged();
    assert_eq!(
        all.of("baggage rib L").unwrap().steps[0].why,
        Some(Why::BentThere)
    );
}

fn sheet(total: &StockTotal) -> (f64, f64, usize) {
    let StockTotal::Sheet {
        gauge_mm,
        area_mm2,
        pieces_mm,
        ..
    } = total
    else {
        panic!("{total:?}")
    };
    (gauge_mm / INCH, area_mm2 / INCH / INCH, pieces_mm.len())
}

fn length(total: &StockTotal) -> (SectionKind, Vec<f64>, f64) {
    let StockTotal::Length {
        section, length_mm, ..
    } = total
    else {
        panic!("{total:?}")
    };
    let sizes = section.sizes_mm.iter().map(|mm| mm / INCH).collect();
    (section.what, sizes, length_mm / INCH)
}

/// Hours: the baggage rib's 2.5 are lost. At stake are those of the parts too short: side stiffener 0.5, keel 4, cabin floor 1.5, ribs
/// 1 + 1.75 + 1 + 2.25, together 12.
///
/// Stock to make anew: the baggage rib, 0.025, unfolded 20.2095 + 2 × 5/8 by 8 + 2 × 5/8: 21.4595 × 9.25 = 198.5004 square inches.
///
/// Stock at stake, whole parts: stiffener, angle 3/4 × 3/4 × 1/16, 35.9375; keel, channel 6 × 1 1/4 × 0.032, 55.9375; cabin floor, 0.032,
/// from 1/2 inside the keel's edge at 3 to 1/8 inside the longeron's at 21, so 20.875 - 2.5 = 18.375 wide: 36 × 18.375 = 661.5;
/// four ribs, 0.025, 18.125 + 1.25 by 5 + 1.25: 19.375 × 6.25 = 121.09375, four times 484.375.
#[test]
fn what_it_comes_to() {
    let all = judged();
    let totals = &all.totals;
    assert_eq!(
        [
            totals.turn_round,
            totals.too_short,
            totals.trim,
            totals.make_anew,
            totals.refit
        ],
        [1, 7, 2, 1, 2]
    );
    assert_eq!([totals.not_started, totals.take_out], [5, 4]);
    assert_eq!(
        [
            totals.new,
            totals.left_out,
            totals.redrill,
            totals.offer_up,
            totals.as_is
        ],
        [0; 5]
    );
    near(totals.hours_lost, 2.5, "lost");
    near(totals.hours_at_stake, 12.0, "at stake");

    assert_eq!(totals.stock.len(), 1);
    let (gauge, area, pieces) = sheet(&totals.stock[0]);
    near(gauge, 0.025, "gauge");
    near(area, 198.5004, "baggage rib");
    assert_eq!(pieces, 1);

    let [stiffener, keel, floor, ribs] = &totals.stock_at_stake[..] else {
        panic!("{:#?}", totals.stock_at_stake)
    };
    let (what, sizes, long) = length(stiffener);
    assert_eq!(what, SectionKind::Angle);
    for (is, expected) in sizes.into_iter().zip([0.75, 0.75, 0.0625]) {
        near(is, expected, "stiffener's section");
    }
    near(long, 35.9375, "stiffener");
    let (what, sizes, long) = length(keel);
    assert_eq!(what, SectionKind::Channel);
    for (is, expected) in sizes.into_iter().zip([6.0, 1.25, 0.032]) {
        near(is, expected, "keel's section");
    }
    near(long, 55.9375, "keel");
    let (gauge, area, pieces) = sheet(floor);
    near(gauge, 0.032, "gauge");
    near(area, 661.5, "cabin floor");
    assert_eq!(pieces, 1);
    let (gauge, area, pieces) = sheet(ribs);
    near(gauge, 0.025, "gauge");
    near(area, 484.375, "seat ribs");
    assert_eq!(pieces, 4);

    let cost = all.cost();
    near(cost.hours, 14.5, "cost");
    assert_eq!(cost.parts, [1, 7, 0, 4, 0, 1, 2, 5]);
}

/// Once it is drilled, the seat frame is made anew, since its bolts are stated in no rows: 42 wide and 16 high over its flanges, unfolded 43.25 × 17.25. With nothing made, the
/// same change costs no metal at all.
#[test]
fn the_same_with_more_made_and_with_nothing_made() {
    let (plan, layout, shift) = case();
    let more = [("seat frame", Stage::Drilled, 8.0)];
    let all = verdicts(&plan, &layout, &shift, &progress(&more));
    let frame = all.of("seat frame").unwrap();
    assert_eq!((frame.verdict, frame.take_out), (Verdict::MakeAnew, false));
    assert_eq!(
        (&frame.steps[0].why, frame.hours_lost),
        (&Some(Why::HolesNotStated), 8.0)
    );
    let [Stock::Sheet { gauge_mm, sides_mm }] = &frame.stock[..] else {
        panic!("{frame:#?}")
    };
    near(gauge_mm / INCH, 0.032, "gauge");
    near(sides_mm[0] / INCH, 43.25, "long side");
    near(sides_mm[1] / INCH, 17.25, "short side");

    let none = verdicts(&plan, &layout, &shift, &Progress::default());
    assert!(
        none.parts
            .iter()
            .all(|part| part.verdict == Verdict::NotStarted)
    );
    assert!(none.refit.is_empty() && none.only_moved.len() == 8);
    assert!(none.totals.stock.is_empty() && none.totals.stock_at_stake.is_empty());
    assert!(none.cost() < all.cost() && all.cost() < judged().cost());
}
