//! Clashes by hand, in millimetres.

#![allow(clippy::unwrap_used)]

mod rounds;

use approx::assert_abs_diff_eq;

use super::{Clash, ClashVerdict, Clashes, Place, between, changes};
use crate::assembly::assemble;
use crate::document::Document;
use crate::layout::PlacedSolid;
use crate::source::read;

/// A box by its least and greatest station, buttock line and waterline.
fn block(fs: [f64; 2], bl: [f64; 2], wl: [f64; 2]) -> PlacedSolid {
    PlacedSolid {
        outline_mm: ring(fs[0], bl, wl),
        openings_mm: Vec::new(),
        sweep_mm: [fs[1] - fs[0], 0.0, 0.0],
    }
}

fn ring(fs: f64, bl: [f64; 2], wl: [f64; 2]) -> Vec<[f64; 3]> {
    [(0, 0), (1, 0), (1, 1), (0, 1)]
        .map(|(i, j)| [fs, bl[i], wl[j]])
        .to_vec()
}

fn only(places: Vec<Place>) -> Place {
    assert_eq!(places.len(), 1, "{places:?}");
    places.into_iter().next().unwrap()
}

fn both(a: &PlacedSolid, b: &PlacedSolid) -> Vec<Place> {
    between(std::slice::from_ref(a), std::slice::from_ref(b))
}

fn near(place: &Place, depth: f64, way: [f64; 3]) {
    assert_abs_diff_eq!(place.depth_mm, depth, epsilon = 1e-9);
    for (found, wanted) in place.way.iter().zip(way) {
        assert_abs_diff_eq!(*found, wanted, epsilon = 1e-9);
    }
}

/// A sheet across, 1 mm, fs 0 to 1, bl −100 to 100, wl 0 to 200; one that lies flat, 2 mm, fs −10 to 12, bl −80 to 80, wl 50 to 52.
/// Ways out of the first: fwd until its aft face is at −10: 11; aft until its fwd face is at 12: 12; up by 52, down by 150; sideways by
/// 180. Both claim fs 0 to 1, bl −80 to 80, wl 50 to 52.
#[test]
fn two_plates_that_cross() {
    let across = block([0.0, 1.0], [-100.0, 100.0], [0.0, 200.0]);
    let flat = block([-10.0, 12.0], [-80.0, 80.0], [50.0, 52.0]);
    let place = only(both(&across, &flat));
    near(&place, 11.0, [-1.0, 0.0, 0.0]);
    let expected = [[0.0, 1.0], [-80.0, 80.0], [50.0, 52.0]];
    for (axis, ends) in expected.iter().enumerate() {
        for (end, wanted) in ends.iter().enumerate() {
            assert_abs_diff_eq!(place.overlap_mm[axis][end], *wanted, epsilon = 1e-9);
        }
        assert_abs_diff_eq!(place.at_mm[axis], 0.5 * (ends[0] + ends[1]), epsilon = 1e-9);
    }
    // and from the other one's side
    near(&only(both(&flat, &across)), 11.0, [1.0, 0.0, 0.0]);
}

/// A web of 0.8, fs 0 to 0.8, with flanges up to fs 16 at its lower and its upper edge (wl 0 to 0.8, and 99.2 to 100); a rib's web that
/// stands behind, bl 10 to 10.8, wl −20 to 120, and begins at fs 14: both flanges poke 2 into it, at two places.
#[test]
fn flanges_that_poke_into_a_web() {
    let frame = [
        block([0.0, 0.8], [-50.0, 50.0], [0.0, 100.0]),
        block([0.8, 16.0], [-50.0, 50.0], [0.0, 0.8]),
        block([0.8, 16.0], [-50.0, 50.0], [99.2, 100.0]),
    ];
    let rib = block([14.0, 60.0], [10.0, 10.8], [-20.0, 120.0]);
    let places = between(&frame, &[rib]);
    assert_eq!(places.len(), 2);
    let mut heights: Vec<f64> = places.iter().map(|place| place.at_mm[2]).collect();
    heights.sort_by(f64::total_cmp);
    assert_abs_diff_eq!(heights[0], 0.4, epsilon = 1e-9);
    assert_abs_diff_eq!(heights[1], 99.6, epsilon = 1e-9);
    for place in &places {
        near(place, 2.0, [-1.0, 0.0, 0.0]);
        assert_abs_diff_eq!(place.at_mm[0], 15.0, epsilon = 1e-9);
    }
}

/// Boxes that share a face, an edge or a corner, and that lie in one another by less than a micrometre, only touch.
#[test]
fn contact_is_no_clash() {
    let one = block([0.0, 10.0], [0.0, 10.0], [0.0, 10.0]);
    for by in [10.0, 10.0 - 0.9e-3, 10.5] {
        for way in [[1.0, 0.0, 0.0], [1.0, 1.0, 0.0], [1.0, 1.0, 1.0]] {
            let moved = |axis: usize| [by * way[axis], by * way[axis] + 10.0];
            let other = block(moved(0), moved(1), moved(2));
            assert_eq!(both(&one, &other), Vec::new());
        }
    }
    let other = block([9.998, 20.0], [0.0, 10.0], [0.0, 10.0]);
    near(&only(both(&one, &other)), 0.002, [-1.0, 0.0, 0.0]);
}

/// A rod 10 square through an opening 24 square clears it by 7; moved sideways by 8 it cuts its edge by 1, whatever the web is cut into.
#[test]
fn a_cut_out_lets_through_what_it_holds() {
    let web = PlacedSolid {
        openings_mm: vec![ring(0.0, [-12.0, 12.0], [-12.0, 12.0])],
        ..block([0.0, 1.0], [-100.0, 100.0], [-100.0, 100.0])
    };
    let rod = |bl: f64| block([-50.0, 80.0], [bl - 5.0, bl + 5.0], [-5.0, 5.0]);
    assert_eq!(both(&web, &rod(0.0)), Vec::new());
    assert_eq!(both(&web, &rod(7.0)), Vec::new());
    let place = only(both(&web, &rod(8.0)));
    near(&place, 1.0, [0.0, 1.0, 0.0]);
    // beside the opening: to its edge, at 12, from 45 is 33; the other ways are longer
    let place = only(both(&web, &rod(40.0)));
    near(&place, 33.0, [0.0, 1.0, 0.0]);
}

#[test]
fn parts_without_metal_run_into_nothing() {
    let one = block([0.0, 10.0], [0.0, 10.0], [0.0, 10.0]);
    let no_thickness = block([5.0, 5.0], [0.0, 10.0], [0.0, 10.0]);
    assert_eq!(between(&[], std::slice::from_ref(&one)), Vec::new());
    assert_eq!(both(&no_thickness, &one), Vec::new());
    let lost = block([f64::NAN, 5.0], [0.0, 10.0], [0.0, f64::INFINITY]);
    assert_eq!(both(&lost, &one), Vec::new());
}

#[test]
fn a_model_without_metal_has_no_clash() {
    let clashes = solved(
        "\"mark\": Custom(points: {\"pin\": ()}, at: (fs: 0, bl: 0, wl: 0)),",
        "",
    );
    assert_eq!(clashes, Clashes::default());
}

fn solved(parts: &str, relations: &str) -> Clashes {
    let document: Document = document(parts, relations);
    let assembly = assemble(&document).unwrap();
    let solved = assembly.solve().unwrap();
    solved.clashes()
}

fn document(parts: &str, relations: &str) -> Document {
    read(&format!(
        "(format: 1, title: \"x\", unit: Millimetre, fit: \"1 mm\", parts: {{{parts}}}, relations: {{{relations}}})"
    ))
    .unwrap()
}

fn pairs(clashes: &Clashes) -> Vec<[&str; 2]> {
    let found = clashes.found.iter();
    found
        .map(|clash| [clash.parts[0].as_str(), clash.parts[1].as_str()])
        .collect()
}

const FRAME: &str = "\"frame\": Frame(thickness: 1, flange: 15, flanges: Aft, width: 100, height: 60, at: (fs: 0, bl: 0, wl: 0)),";

/// A bar of 10 through a frame's web, 30 above its foot, without an opening, with one of 12 that holds it, and with one that is too low
/// by 2 (wl 22 to 34; the bar lies at 25 to 35): in by 1.
#[test]
fn a_bar_through_a_frame_wants_an_opening_where_it_is() {
    let model = |openings: &str| {
        let frame = FRAME.replace("at:", &format!("openings: [{openings}], at:"));
        format!(
            "{frame}\"bar\": Bar(runs: FwdAft, length: 100, depth: 10, breadth: 10, at: (fs: -50, bl: 0, wl: 30)),"
        )
    };
    let opening = |low: f64| {
        let high = low + 12.0;
        format!("[(-6, {low}), (6, {low}), (6, {high}), (-6, {high})]")
    };
    assert_eq!(
        pairs(&solved(&model(""), "")),
        [["frame", "bar"]],
        "no opening"
    );
    assert_eq!(solved(&model(&opening(24.0)), "").found, Vec::new());
    let low = solved(&model(&opening(22.0)), "");
    near(&low.found[0].places[0], 1.0, [0.0, 0.0, 1.0]);
}

/// A cut is stated of either part, by a name with its hand or without; the other hand's metal is not let through.
#[test]
fn a_cut_that_is_stated_lets_through() {
    let model = |frame: &str, bar: &str| {
        let frame = FRAME.replace("at:", &format!("{frame} at:"));
        format!(
            "{frame}\"bar\": Bar(runs: FwdAft, length: 100, depth: 10, breadth: 10, sides: Both, {bar} at: (fs: -50, bl: 20, wl: 30)),"
        )
    };
    let left = [["frame", "bar L"]];
    let both = [["frame", "bar L"], ["frame", "bar R"]];
    for (frame, bar, expected) in [
        ("", "", &both[..]),
        ("cut_for: [\"bar\"],", "", &[]),
        ("cut_for: [\"bar R\"],", "", &left),
        ("cut_for: [\"bar L\", \"bar R\"],", "", &[]),
        ("", "cut_for: [\"frame\"],", &[]),
    ] {
        let clashes = solved(&model(frame, bar), "");
        let mut found = pairs(&clashes);
        found.sort_unstable();
        assert_eq!(found, expected, "{frame} {bar}");
    }
}

/// Two crossing bars on each side: the right one is cut for the right one, so the left one for the left one.
#[test]
fn in_the_mirror_the_hands_of_a_cut_are_exchanged() {
    let model = |cut: &str| {
        format!(
            "\"post\": Bar(runs: UpDown, length: 100, depth: 10, breadth: 10, sides: Both, {cut} at: (fs: 0, bl: 20, wl: 0)),
             \"rail\": Bar(runs: FwdAft, length: 100, depth: 10, breadth: 10, sides: Both, at: (fs: -50, bl: 20, wl: 30)),"
        )
    };
    assert_eq!(solved(&model(""), "").found.len(), 2);
    assert_eq!(solved(&model("cut_for: [\"rail R\"],"), "").found, []);
    let wrong = solved(&model("cut_for: [\"rail L\"],"), "");
    assert_eq!(wrong.found.len(), 2);
}

#[test]
fn a_cut_for_an_unknown_part_is_refused() {
    let document = document(
        &format!(
            "{}\"bar\": Bar(runs: FwdAft, length: 9, depth: 1, breadth: 1, at: (fs: 0, bl: 0, wl: 0)),",
            FRAME.replace("at:", "cut_for: [\"bra\"], at:")
        ),
        "",
    );
    let faults = assemble(&document).unwrap_err();
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert_eq!(faults[0].message, "there is no part `bra`");
    assert_eq!(faults[0].help.as_deref(), Some("the nearest is `bar`"));
}

#[test]
fn a_part_left_out_takes_the_cuts_for_it_along() {
    let text = format!(
        "(format: 1, title: \"x\", unit: Millimetre, fit: \"1 mm\", parts: {{{}\"bar\": Bar(runs: FwdAft, length: 9, depth: 1, breadth: 1, sides: Both, at: (fs: 0, bl: 5, wl: 0)),}},
        deviations: {{\"without\": (why: \"x\", changes: [Drop(\"bar\")])}})",
        FRAME.replace("at:", "cut_for: [\"bar\", \"bar R\"], at:")
    );
    let document: Document = read(&text).unwrap();
    assert!(assemble(&document.with_deviation("without").unwrap()).is_ok());
}

/// A plate 2 thick on a frame's web, 99 wide between flanges that leave 98: it lies 0.5 in each flange. The joint holds web and plate
/// together and says nothing of the flanges. A plate of 98 fits.
#[test]
fn a_joint_says_nothing_of_a_flange() {
    let model = |width: f64| {
        format!(
            "{FRAME}\"plate\": Plate(lies: Across, thickness: 2, width: {width}, height: 40, at: (bl: 0, wl: 10)),"
        )
    };
    let joint = "\"joint\": BoltedBehind(part: \"plate\", to: \"frame.web_aft\"),";
    assert_eq!(solved(&model(98.0), joint).found, Vec::new());
    let clashes = solved(&model(99.0), joint);
    assert_eq!(pairs(&clashes), [["frame", "plate"]]);
    assert_eq!(clashes.found[0].places.len(), 2);
    for place in &clashes.found[0].places {
        assert_abs_diff_eq!(place.depth_mm, 0.5, epsilon = 1e-9);
        assert_abs_diff_eq!(place.at_mm[1].abs(), 49.25, epsilon = 1e-9);
        assert_abs_diff_eq!(place.at_mm[0], 2.0, epsilon = 1e-9);
    }
}

/// A frame that leans by 5 degrees on a bolt: it lies in the plate behind it, and the joint is where that is told.
#[test]
fn a_joint_speaks_for_the_layers_that_it_holds() {
    let parts = "\"web\": Plate(lies: Across, thickness: 2, width: 100, height: 60, at: (fs: 0, bl: 0, wl: 0)),
        \"plate\": Plate(lies: Across, thickness: 2, width: 80, height: 40, at: (bl: 0, wl: 10), turn: (pitch: \"5 deg\")),";
    let touches = "\"on it\": Touches(\"plate.fwd\", \"web.aft\"),";
    assert_eq!(pairs(&solved(parts, touches)), [["web", "plate"]]);
    let joint = "\"on it\": BoltedBehind(part: \"plate.fwd\", to: \"web.aft\"),";
    let clashes = solved(parts, joint);
    assert_eq!(clashes.found, Vec::new());
}

/// What is loose lies nowhere in particular.
#[test]
fn a_loose_part_is_left_out_and_named() {
    let parts = format!(
        "{FRAME}\"bar\": Bar(runs: FwdAft, length: 100, depth: 10, breadth: 10, at: (bl: 0)),"
    );
    let height = "\"height\": Spaced(from: \"frame.bottom\", to: \"bar.bottom\", by: 25),";
    let clashes = solved(&parts, height);
    assert_eq!(clashes.left_out, ["bar"]);
    assert_eq!(clashes.found, []);
    let station = "\"station\": Spaced(from: \"frame.web_fwd\", to: \"bar.fwd_end\", by: -50),";
    let clashes = solved(&parts, &format!("{height}{station}"));
    assert_eq!(clashes.left_out, Vec::<String>::new());
    assert_eq!(pairs(&clashes), [["frame", "bar"]]);
}

#[test]
fn a_change_brings_deepens_and_cures() {
    let clash = |name: &str, depth_mm: f64| Clash {
        parts: [name.to_owned(), "frame".to_owned()],
        places: vec![Place {
            depth_mm,
            way: [1.0, 0.0, 0.0],
            at_mm: [0.0; 3],
            overlap_mm: [[0.0; 2]; 3],
        }],
    };
    let clashes = |found: &[(&str, f64)], left_out: &[&str]| Clashes {
        found: found
            .iter()
            .map(|(name, depth)| clash(name, *depth))
            .collect(),
        left_out: left_out.iter().map(|name| (*name).to_owned()).collect(),
    };
    let before = clashes(
        &[("a", 1.0), ("b", 1.0), ("c", 1.0), ("d", 1.0), ("e", 1.0)],
        &[],
    );
    let after = clashes(
        &[("b", 2.0), ("c", 0.5), ("d", 1.000_1), ("f", 1.0)],
        &["e"],
    );
    let told: Vec<(String, ClashVerdict)> = changes(&before, &after)
        .into_iter()
        .map(|change| {
            (
                change.after.or(change.before).unwrap().parts[0].clone(),
                change.verdict,
            )
        })
        .collect();
    let expected = [
        ("f", ClashVerdict::Brought),
        ("b", ClashVerdict::Deeper),
        ("c", ClashVerdict::LessDeep),
        ("d", ClashVerdict::Stays),
        ("e", ClashVerdict::Open),
        ("a", ClashVerdict::Cured),
    ];
    assert_eq!(
        told,
        expected.map(|(name, verdict)| (name.to_owned(), verdict))
    );
}
