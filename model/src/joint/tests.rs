//! Joints by hand. Inches in the texts and in the comments, millimetres in the figures.

#![allow(clippy::unwrap_used, clippy::panic)]

mod missing;
mod stated;

use approx::assert_abs_diff_eq;

use super::{Finding, Joint, JointReport, RowTrouble, What};
use crate::assembly::assemble;
use crate::document::Document;
use crate::source::read;

pub(super) const INCH: f64 = 25.4;

/// A model of parts and relations, in inches.
pub(super) fn text(parts: &str, relations: &str, must_fit: &str) -> String {
    format!(
        "(format: 1, title: \"t\", unit: Inch, fit: \"1/32 in\", parts: {{ {parts} }}, relations: {{ {relations} }}, \
         must_fit: {{ {must_fit} }})"
    )
}

pub(super) fn joints(text: &str) -> Vec<Joint> {
    let document: Document = read(text).unwrap();
    let assembly = assemble(&document).unwrap();
    assembly.solve().unwrap().joints()
}

/// Two straps that lie flat, 4 in square and 4 x 2 in: 0.032 above 0.050, their fwd edges in one plane.
const STRAPS: &str = r#"
    "upper": Plate(lies: Flat, thickness: "0.032 in", length: "4 in", width: "4 in", at: (fs: 0, bl: 0, wl: "0.05 in")),
    "lower": Plate(lies: Flat, thickness: "0.050 in", length: "4 in", width: "2 in", at: (fs: 0, bl: 0, wl: 0)),
"#;

fn strapped(row: &str) -> String {
    let seam = format!(
        r#""rivets": Seam(layers: ["upper", "lower"], heads: Up, with: MS20470AD4, rows: [({row})])"#
    );
    text(STRAPS, &seam, "")
}

/// 1/4 in inside of the fwd edge, over the 2 in that both have in common: bl −3/4 to 3/4.
#[test]
fn a_row_lies_over_the_metal_in_common() {
    let list = joints(&strapped(
        r#"beside: "lower.fwd", by: "1/4 in", ends: "1/4 in", count: 4"#,
    ));
    let [joint] = &list[..] else {
        panic!("{list:?}")
    };
    assert_eq!(joint.layers[0].part, "upper");
    assert_abs_diff_eq!(
        joint.layers[0].thickness_mm.unwrap(),
        0.032 * INCH,
        epsilon = 1e-9
    );
    assert_abs_diff_eq!(
        joint.layers[1].thickness_mm.unwrap(),
        0.050 * INCH,
        epsilon = 1e-9
    );
    assert_eq!(joint.direction, [0.0, 0.0, -1.0]);
    assert_eq!(joint.count, Some(4));
    for (at, bl) in joint.places_mm.iter().zip([-0.75, -0.25, 0.25, 0.75]) {
        for (value, wanted) in at.iter().zip([0.25, bl, 0.082]) {
            assert_abs_diff_eq!(*value, wanted * INCH, epsilon = 1e-9);
        }
    }
}

/// A pitch of 0.4 in fits three times in 1 1/2 in: four rivets, 1/2 in apart; one of 3/8 in fits four times.
#[test]
fn as_many_as_fit_at_a_pitch() {
    for (pitch, count) in [("0.4 in", 4), ("3/8 in", 5), ("2 in", 1)] {
        let list = joints(&strapped(&format!(
            r#"beside: "lower.fwd", by: "1/4 in", ends: "1/4 in", pitch: "{pitch}""#
        )));
        assert_eq!(list[0].places_mm.len(), count, "{pitch}");
    }
}

/// The bolts of a chain with a packer: part, packer, what it is bolted to.
#[test]
fn a_packer_is_a_layer_whose_thickness_is_found() {
    let parts = r#"
        "spar": Plate(lies: Across, thickness: "0.063 in", width: "20 in", height: "4 in", at: (fs: "1 in", bl: 0, wl: 0)),
        "frame": Plate(lies: Across, thickness: "0.032 in", width: "20 in", height: "4 in", at: (fs: 0, bl: 0, wl: 0)),
        "packer": Spacer(lies: Across, thickness: Find, diameter: "1 in"),
    "#;
    let bolts =
        r#""b": BoltedBehind(part: "spar", to: "frame", through: ["packer"], with: AN3, count: 4)"#;
    let list = joints(&text(parts, bolts, ""));
    let layers: Vec<(&str, bool)> = list[0]
        .layers
        .iter()
        .map(|l| (l.part.as_str(), l.found))
        .collect();
    assert_eq!(
        layers,
        [("spar", false), ("packer", true), ("frame", false)]
    );
    assert_abs_diff_eq!(
        list[0].layers[1].thickness_mm.unwrap(),
        (1.0 - 0.032) * INCH,
        epsilon = 1e-6
    );
    assert_eq!(list[0].direction, [-1.0, 0.0, 0.0]);
    assert!(list[0].places_mm.is_empty());
    assert_eq!(list[0].count, Some(4));
}

/// The leg of an angle counts with its own thickness, a frame's web with its gauge, whatever opening is in the middle of it.
/// A lug bolted to a push rod; the same rod of solid metal is as it is measured.
#[test]
fn a_tube_is_told_to_be_hollow() {
    for (wall, expected) in [("0.049 in", true), ("1/2 in", false)] {
        let parts = format!(
            r#"
        "rod": Tube(runs: FwdAft, length: "20 in", diameter: "1 in", wall: "{wall}", at: (fs: 0, bl: 0, wl: 0)),
        "lug": Plate(lies: FwdAft, thickness: "1/8 in", length: "2 in", height: "1 in", at: (fs: 1, wl: "-1/2 in")),
    "#
        );
        let bolts =
            r#""b": BoltedTo(part: "lug", to: "rod.left", side: Left, with: AN3, count: 1)"#;
        let all = reports(&text(&parts, bolts, ""));
        let findings = all[0].findings.iter();
        let hollow: Vec<_> = findings.filter(|one| one.what == What::Hollow).collect();
        assert_eq!(hollow.len(), usize::from(expected), "{wall}: {:?}", all[0]);
        let noted = |one: &&Finding| one.part.as_deref() == Some("rod") && !one.violates;
        assert!(hollow.iter().all(noted));
    }
}

#[test]
fn the_first_bay() {
    let list = joints(include_str!("../../../demo-models/first-bay.ron"));
    let names: Vec<&str> = list.iter().map(|joint| joint.statement.as_str()).collect();
    assert_eq!(
        names,
        ["stiffener on frame", "floor rivets L", "floor rivets R"]
    );
    let thick: Vec<f64> = list
        .iter()
        .flat_map(|j| &j.layers)
        .map(|l| l.thickness_mm.unwrap() / INCH)
        .collect();
    for (found, wanted) in thick
        .iter()
        .zip([0.0625, 0.032, 0.032, 0.125, 0.032, 0.125])
    {
        assert_abs_diff_eq!(*found, wanted, epsilon = 1e-9);
    }
    assert_eq!(list[2].count, Some(20));
}

pub(super) fn reports(text: &str) -> Vec<JointReport> {
    let document: Document = read(text).unwrap();
    let assembly = assemble(&document).unwrap();
    assembly.solve().unwrap().joint_reports()
}

/// What is found of a kind, with the worst value in inches.
fn found(report: &JointReport, what: What) -> Vec<(Option<&str>, f64, usize)> {
    let of_kind = report
        .findings
        .iter()
        .filter(|finding| finding.what == what);
    of_kind
        .map(|finding| {
            let worst = finding
                .places
                .first()
                .map_or(f64::NAN, |spot| spot.value_mm / INCH);
            (finding.part.as_deref(), worst, finding.places.len())
        })
        .collect()
}

#[track_caller]
fn only(list: &[(Option<&str>, f64, usize)], part: Option<&str>, value: f64, places: usize) {
    let [(about, found, count)] = list else {
        panic!("{list:?}")
    };
    assert_eq!((*about, *count), (part, places));
    assert_abs_diff_eq!(*found, value, epsilon = 1e-9);
}

/// D is 1/8: an edge of 3/16 is 1.5 D, below 2 D, in both layers; the ends at 3/16 are too.
#[test]
fn too_near_to_an_edge_is_told_of_each_layer() {
    let all = reports(&strapped(
        r#"beside: "lower.fwd", by: "3/16 in", ends: "1 in", count: 1"#,
    ));
    let edges = found(&all[0], What::Edge);
    assert_eq!(edges.len(), 2);
    for (edge, part) in edges.iter().zip(["upper", "lower"]) {
        only(&[*edge], Some(part), 0.1875, 1);
    }
    assert!(!all[0].is_well());
}

/// Four in a row over 1 in are 1/3 in apart, 2.67 D; over 1 1/2 in 1/2 in, 4 D; two over 1 1/2 in are 12 D apart.
#[test]
fn pitch_has_a_least_and_a_usual_most() {
    let close = reports(&strapped(
        r#"beside: "lower.fwd", by: "1/2 in", ends: "1/2 in", count: 4"#,
    ));
    only(&found(&close[0], What::Pitch), None, 1.0 / 3.0, 4);
    let well = reports(&strapped(
        r#"beside: "lower.fwd", by: "1/2 in", ends: "5/16 in", pitch: "3/8 in""#,
    ));
    assert!(well[0].is_well(), "{:#?}", well[0].findings);
    let wide = reports(&strapped(
        r#"beside: "lower.fwd", by: "1/2 in", ends: "1/4 in", count: 2"#,
    ));
    only(&found(&wide[0], What::PitchWide), None, 1.5, 2);
}

/// The lower strap is 2 in wide: a row 1/4 in inside of the upper one's right edge, at bl 1 3/4, lies 3/4 in outside of it.
#[test]
fn a_row_beside_the_metal_is_a_negative_edge_distance() {
    let all = reports(&strapped(
        r#"beside: "upper.right", by: "1/4 in", ends: "1 in", count: 3"#,
    ));
    only(&found(&all[0], What::Edge), Some("lower"), -0.75, 3);
    assert_eq!(found(&all[0], What::NoMetal), []);
}

/// Raised by 0.010 the straps don't touch; lowered by as much they lie in one another.
#[test]
fn layers_that_do_not_touch_are_told_with_the_gap() {
    for (wl, what, value) in [
        ("0.06 in", What::Gap, 0.010),
        ("0.04 in", What::Overlap, -0.010),
    ] {
        let parts = STRAPS.replace("\"0.05 in\"", &format!("\"{wl}\""));
        let seam =
            r#""rivets": Seam(layers: ["upper", "lower"], heads: Up, with: MS20470AD4, count: 6)"#;
        let all = reports(&text(&parts, seam, ""));
        only(&found(&all[0], what), Some("upper"), value, 1);
    }
}

#[test]
fn a_row_that_is_longer_than_the_metal_has_no_places() {
    let all = reports(&strapped(
        r#"beside: "lower.fwd", by: "1/4 in", ends: "1 1/2 in", count: 2"#,
    ));
    assert!(all[0].joint.places_mm.is_empty());
    assert_eq!(found(&all[0], What::Row).len(), 1);
    let Some(RowTrouble::TooShort(by)) = all[0].rows[0].trouble else {
        panic!()
    };
    assert_abs_diff_eq!(by, 1.0 * INCH, epsilon = 1e-9);
}

/// A third strap under the two: the rivets go through it, whether it is named or not.
#[test]
fn metal_against_the_stack_is_drilled_too() {
    let third = format!(
        r#"{STRAPS} "doubler": Plate(lies: Flat, thickness: "0.040 in", length: "1 in", width: "1 in", at: (fs: 0, bl: 0, wl: "-0.040 in")),"#
    );
    let seam = r#""rivets": Seam(layers: ["upper", "lower"], heads: Up, with: MS20470AD4,
        rows: [(beside: "lower.fwd", by: "1/4 in", ends: "1/4 in", count: 4)])"#;
    let all = reports(&text(&third, seam, ""));
    // bl ±1/4 of four lie within its inch
    only(&found(&all[0], What::OtherMetal), Some("doubler"), 0.040, 2);
}

/// Rivets 1/4 in from the inside of an angle's other leg are well; at 1/8 in from it the shop head, 3/32 in, still is; a bolt's
/// washer of 0.438 in over all needs 0.219 in.
#[test]
fn a_washer_needs_a_flat_beside_the_leg() {
    let parts = r#"
        "floor": Plate(lies: Flat, thickness: "0.032 in", length: "10 in", width: "4 in", at: (fs: 0, bl: 0, wl: 0)),
        "rail": Angle(runs: FwdAft, length: "10 in", legs: (down: "1 in", left: "1 in"), thickness: "1/8 in", at: (fs: 0, bl: "1 in", wl: 0)),
    "#;
    let seam = |with: &str| {
        let seam = format!(
            r#""s": Seam(layers: ["floor", "rail"], heads: Up, with: {with}, rows: [(beside: "rail.right", by: "1/4 in", ends: "1 in", pitch: "1 in")])"#
        );
        reports(&text(parts, &seam, ""))
    };
    assert_eq!(found(&seam("MS20470AD4")[0], What::Seat), []);
    only(&found(&seam("AN3")[0], What::Seat), Some("rail"), 0.125, 9);
}

/// A stated hole is an edge to its neighbours, and none to the rivet that goes into it: 1/8 wide at bl 1/4, 1/2 from the next rivet.
#[test]
fn a_stated_hole_is_an_edge() {
    let with_hole = |diameter: &str| {
        STRAPS.replace(
            r#"wl: 0)),"#,
            &format!(
                r#"wl: 0), holes: {{"h": (fs: "1/2 in", bl: "1/4 in", diameter: "{diameter}")}}),"#
            ),
        )
    };
    let seam = r#""s": Seam(layers: ["upper", "lower"], heads: Up, with: MS20470AD4,
        rows: [(beside: "lower.fwd", by: "1/2 in", ends: "1/4 in", count: 4)])"#;
    for (diameter, edge) in [("1/8 in", 0.25), ("5/8 in", 0.1875)] {
        let all = reports(&text(&with_hole(diameter), seam, ""));
        // the ends of the row are 1/4 from the sides of the lower strap; its second rivet is 1/2 from the hole's middle
        assert_abs_diff_eq!(all[0].edges_mm[1].unwrap(), edge * INCH, epsilon = 1e-9);
        assert_abs_diff_eq!(all[0].edges_mm[0].unwrap(), 0.5 * INCH, epsilon = 1e-9);
    }
}

/// A rib's flange under a floor: the rivets go through the flange, 0.025, and have their edges in it, though the middle of the rib's top
/// lies on its web, 3 in high. By 1/4 from its edge at bl 5/8; its ends are 1/2 from the last rivets.
#[test]
fn a_flange_counts_where_the_rivets_are() {
    let parts = r#"
        "floor": Plate(lies: Flat, thickness: "0.032 in", length: "4 in", width: "4 in", at: (fs: 0, bl: 0, wl: 0)),
        "rib": Rib(thickness: "0.025 in", flange: "5/8 in", flanges: Right, length: "4 in", height: "3 in", at: (fs: 0, bl: 0, wl: "-3 in")),
    "#;
    let seam = r#""s": Seam(layers: ["floor", "rib"], heads: Up, with: MS20470AD3,
        rows: [(beside: "rib.flange_edge", by: "1/4 in", ends: "1/2 in", count: 4)])"#;
    let all = reports(&text(parts, seam, ""));
    assert_abs_diff_eq!(
        all[0].joint.layers[1].thickness_mm.unwrap(),
        0.025 * INCH,
        epsilon = 1e-9
    );
    assert_abs_diff_eq!(all[0].edges_mm[1].unwrap(), 0.25 * INCH, epsilon = 1e-9);
    assert!(all[0].is_well(), "{:#?}", all[0].findings);
}

/// Two joints of one plate, their rows 1/4 in apart: 2 D of a 1/8 rivet, 3 D are wanted.
#[test]
fn fasteners_of_another_joint_count() {
    let parts = r#"
        "a": Plate(lies: Flat, thickness: "0.032 in", length: "4 in", width: "4 in", at: (fs: 0, bl: 0, wl: 0)),
        "b": Plate(lies: Flat, thickness: "0.032 in", length: "2 in", width: "4 in", at: (fs: 0, bl: 0, wl: "-0.032 in")),
        "c": Plate(lies: Flat, thickness: "0.032 in", length: "2 in", width: "4 in", at: (fs: "2 in", bl: 0, wl: "-0.032 in")),
    "#;
    let seams = r#"
        "one": Seam(layers: ["a", "b"], heads: Up, with: MS20470AD4, rows: [(beside: "b.aft", by: "1/8 in", ends: "1 in", count: 3)]),
        "two": Seam(layers: ["a", "c"], heads: Up, with: MS20470AD4, rows: [(beside: "c.fwd", by: "1/8 in", ends: "1 in", count: 3)]),
    "#;
    let all = reports(&text(parts, seams, ""));
    for report in &all {
        only(&found(report, What::OtherJoint), Some("a"), 0.25, 3);
    }
}

/// 0.100 found: the nearest sheet is just that. 0.0975 beside it 5 in away: 0.0025 thick over 5 in.
#[test]
fn a_spacer_is_rounded_to_stock() {
    let parts = r#"
        "spar": Plate(lies: Across, thickness: "0.063 in", width: "20 in", height: "8 in", at: (fs: "0.1295 in", bl: 0, wl: 0), holes: {"up": (wl: "6 in", diameter: "1/4 in"), "low": (wl: "1 in", diameter: "1/4 in")}),
        "frame": Plate(lies: Across, thickness: "0.032 in", width: "20 in", height: "8 in", at: (fs: 0, bl: 0, wl: 0)),
        "one": Spacer(lies: Across, thickness: Find, diameter: "1 in"),
        "two": Spacer(lies: Across, thickness: Find, diameter: "1 in"),
    "#;
    let bolts = r#"
        "u": BoltedBehind(part: "spar", to: "frame", through: ["one"], at: "spar.up", with: AN3, count: 1),
        "l": BoltedBehind(part: "spar", to: "frame", through: ["two"], at: "spar.low", with: AN3, count: 1),
    "#;
    let all = reports(&text(parts, bolts, ""));
    let spacer = &all[0].spacers[0];
    assert_abs_diff_eq!(spacer.found_mm, 0.0975 * INCH, epsilon = 1e-6);
    let sheet = &spacer.fills[0];
    assert_abs_diff_eq!(sheet.thickness_mm, 0.100 * INCH, epsilon = 1e-9);
    assert_abs_diff_eq!(sheet.off_mm, 0.0025 * INCH, epsilon = 1e-6);
    assert_abs_diff_eq!(spacer.over_mm.unwrap(), 5.0 * INCH, epsilon = 1e-6);
    assert_abs_diff_eq!(
        sheet.cant_deg.unwrap(),
        (0.0025_f64 / 5.0).atan().to_degrees(),
        epsilon = 1e-9
    );
}

/// The shop head of a 1/8 rivet is 3/16 over all: at bl 0, its side is at 3/32. The block begins at 1/4, below the lower strap: 5/32 are
/// left, less what a polygon round the head sticks out, 0.0033.
#[test]
fn room_is_measured_to_the_shop_head() {
    let parts = format!(
        r#"{STRAPS} "block": Bar(runs: FwdAft, length: "1 in", depth: "1/2 in", breadth: "1/2 in", at: (fs: 0, bl: "1/2 in", wl: "-0.28 in")),"#
    );
    let seam = r#""rivets": Seam(layers: ["upper", "lower"], heads: Up, with: MS20470AD4,
        rows: [(beside: "lower.fwd", by: "1/2 in", ends: "1 in", count: 1)])"#;
    let fit = r#""room": Room(round: "rivets", for: "block", at_least: "1/8 in")"#;
    let document: Document = read(&text(&parts, seam, fit)).unwrap();
    let assembly = assemble(&document).unwrap();
    let fits = assembly.solve().unwrap().fits();
    let measured = fits[0].worst().unwrap();
    assert_abs_diff_eq!(
        measured.value,
        (0.25 - 0.09375) * INCH,
        epsilon = 0.01 * INCH
    );
    assert!(fits[0].holds());
}
