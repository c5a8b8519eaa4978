//! What is round or curved, and drawn in flats: by hand, in millimetres.

#![allow(clippy::unwrap_used)]

use approx::assert_abs_diff_eq;

use super::{near, pairs, solved};
use crate::assembly::assemble;
use crate::document::Document;
use crate::part::round::BEYOND;
use crate::source::read;

/// A tube of 20 along the fuselage at the origin, and a square bar of 4 whose nearest corner lies on the diagonal: at bl 7.2, wl 7.2 it is
/// 10.18 from the axis, clear, though a square bar of 20 would hold it; at 7.0 it is 9.8995 from the axis, in by 0.1005. Of that the rise of a flat is left out, 0.0215:
/// what is told is there for certain.
#[test]
fn a_tube_is_round() {
    let bar = |corner: f64| {
        let middle = corner + 2.0;
        format!(
            "\"tube\": Tube(runs: FwdAft, length: 100, diameter: 20, wall: 1, at: (fs: 0, bl: 0, wl: 0)),
             \"bar\": Bar(runs: FwdAft, length: 50, depth: 4, breadth: 4, at: (fs: 20, bl: {middle}, wl: {middle})),"
        )
    };
    assert_eq!(solved(&bar(7.2), "").found, Vec::new());
    let clashes = solved(&bar(7.0), "");
    assert_eq!(pairs(&clashes), [["tube", "bar"]]);
    let out = -std::f64::consts::FRAC_1_SQRT_2;
    let depth = 10.0 - 7.0 * 2.0_f64.sqrt() - 10.0 * BEYOND;
    near(&clashes.found[0].places[0], depth, [0.0, out, out]);
}

/// A tube in a drilled hole of its own diameter touches it all round: the flats of both are no clash.
#[test]
fn a_tube_in_its_hole_only_touches() {
    let parts = |bl: f64| {
        format!(
            "\"web\": Plate(lies: Across, thickness: 2, width: 200, height: 200, at: (fs: 0, bl: 0, wl: 0), holes: {{\"bore\": (wl: 100, diameter: 40)}}),
             \"tube\": Tube(runs: FwdAft, length: 100, diameter: 40, wall: 1, at: (fs: -50, bl: {bl}, wl: 100)),"
        )
    };
    assert_eq!(solved(&parts(0.0), "").found, Vec::new());
    let clashes = solved(&parts(1.5), "");
    assert_eq!(pairs(&clashes), [["web", "tube"]]);
    // in by 1.5, give or take what the flats of both leave of the circle
    assert_abs_diff_eq!(clashes.found[0].depth_mm(), 1.5, epsilon = 0.05);
}

/// A longeron of 2 bent round a radius of 50 toward the left by 60 degrees, its bend at fs 100 to 143; a tube that stands in the bend,
/// about its centre (fs 100, bl −52): one of 100 touches it all round, one of 104 is in by 2.
#[test]
fn a_tube_in_a_bend_only_touches() {
    let parts = |diameter: f64| {
        format!(
            "\"longeron\": Longeron(runs: FwdAft, legs: (down: 20, left: 20), thickness: 2, path: [Straight(100), Bend(toward: Left, by: \"60 deg\", radius: 50), Straight(100)], at: (fs: 0, bl: 0, wl: 0)),
             \"tube\": Tube(runs: UpDown, length: 60, diameter: {diameter}, wall: 1, at: (fs: 100, bl: -52, wl: -62)),"
        )
    };
    assert_eq!(solved(&parts(100.0), "").found, Vec::new());
    let clashes = solved(&parts(104.0), "");
    assert_eq!(pairs(&clashes), [["longeron", "tube"]]);
    assert!(clashes.found[0].depth_mm() > 1.5);
}

/// A round skin of 0.6 on a radius of 300, its points 15 degrees apart: a strip of it spans 3.75 degrees and lies up to
/// 300 (1 − cos 1.875°) = 0.16 within the skin, at the level of the axis where the middle of one is. A bar inside that comes within 0.02
/// of the skin, its outer face at bl 299.38, is no clash, though it lies 0.14 in the strip; one that reaches out to bl 301.5 is.
#[test]
fn a_bar_that_touches_a_round_skin_is_no_clash() {
    let points: Vec<String> = (0..11)
        .map(|at| (-76.875 + 15.0 * f64::from(at)).to_radians())
        .map(|angle| format!("({}, {})", 300.0 * angle.cos(), 300.0 * angle.sin()))
        .collect();
    let points = points.join(", ");
    let clashes = |reach: f64| {
        let middle = reach - 5.0;
        let text = format!(
            "(format: 1, title: \"x\", unit: Millimetre, fit: \"1 mm\",
            contours: {{\"hull\": (sections: {{\"fwd\": (fs: 0, points: [{points}]), \"aft\": (fs: 500, points: [{points}])}})}},
            parts: {{\"skin\": Skin(contour: \"hull\", thickness: 0.6, from: 0, length: 500, sides: Both),
                \"bar\": Bar(runs: FwdAft, length: 100, depth: 10, breadth: 4, sides: Both, at: (fs: 200, bl: {middle}, wl: 0)),}})"
        );
        let document: Document = read(&text).unwrap();
        let assembly = assemble(&document).unwrap();
        let solved = assembly.solve().unwrap();
        let skin = solved.layout().part("skin R").unwrap().solids.clone();
        let bar = solved.layout().part("bar R").unwrap().solids.clone();
        (solved.clashes(), crate::clash::between(&skin, &bar))
    };
    let (found, strips) = clashes(299.38);
    assert_eq!(found.found, Vec::new());
    assert_abs_diff_eq!(strips[0].depth_mm, 0.14, epsilon = 0.01);
    let (mut found, _) = clashes(301.5);
    found.found.sort_by(|a, b| a.parts.cmp(&b.parts));
    assert_eq!(pairs(&found), [["skin L", "bar L"], ["skin R", "bar R"]]);
}
