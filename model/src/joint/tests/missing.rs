//! Layers that have no metal where the fasteners go, by hand. Inches in the texts.

use proptest::prelude::*;

use super::super::flat::{Flat, Frame, Section};
use super::super::missing::in_all;
use super::super::{Finding, JointReport, What};
use super::{INCH, reports, text};
use crate::assembly::assemble;
use crate::document::Document;
use crate::fit::{FitVerdict, Remark};
use crate::layout::PlacedSolid;
use crate::source::read;

/// A rib 20 in long and 6 in high, its flanges to the right; a stiffener on its right, from 1 in above its foot to 1 in below its top.
fn stiffened(to: &str) -> String {
    let parts = r#"
        "rib": Rib(thickness: "0.032 in", flange: "5/8 in", flanges: Right, at: (fs: 0, bl: 0, wl: 0), outline: [(0, 0), (20, 0), (20, 6), (0, 6)]),
        "stiffener": Angle(runs: UpDown, length: "4 in", legs: (aft: "3/4 in", right: "3/4 in"), thickness: "1/16 in", at: (fs: "10 in", wl: "1 in")),
    "#;
    let joint = format!(
        r#""on rib": BoltedTo(part: "stiffener", to: "{to}", side: Right, with: MS20470AD3, count: 5)"#
    );
    text(parts, &joint, "")
}

fn missing(report: &JointReport) -> Vec<&Finding> {
    let findings = report.findings.iter();
    findings.filter(|it| it.what == What::NoMetal).collect()
}

/// The outermost metal of the rib on its right are the edges of its flanges, 5/8 in from the left face of its web: between them the stack
/// lies on nothing, 5/8 - 0.032 in off the web.
#[test]
fn the_edge_of_a_flange_is_no_layer() {
    let all = reports(&stiffened("rib"));
    let report = &all[0];
    let found = missing(report);
    let [finding] = &found[..] else {
        panic!("{report:#?}")
    };
    assert!(finding.violates && !report.is_well());
    assert_eq!(finding.part.as_deref(), Some("rib"));
    assert_eq!(finding.on.as_deref(), Some("rib.flange_edge"));
    assert_eq!(finding.other.as_deref(), Some("rib.web_right"));
    let off = finding.wanted_mm.unwrap() / INCH;
    assert!((off - (0.625 - 0.032)).abs() < 1e-6, "{off}");
    assert_eq!((report.grip_mm, &report.buy), (None, &None));
    let thick: Vec<bool> = report
        .joint
        .layers
        .iter()
        .map(|it| it.thickness_mm.is_some())
        .collect();
    assert_eq!(thick, [true, false]);
    // on the web all is well
    let all = reports(&stiffened("rib.web_right"));
    assert!(missing(&all[0]).is_empty());
    let grip = all[0].grip_mm.unwrap() / INCH;
    assert!((grip - (0.0625 + 0.032)).abs() < 1e-6 && all[0].buy.is_some());
}

/// Without a place of its own a spacer goes to the middle of the pad, at bl 0; the angles begin at bl 1.
#[test]
fn a_spacer_beside_the_angle_is_told() {
    let parts = r#"
        "pad": Plate(lies: Flat, thickness: "1/4 in", length: "4 in", width: "6 in", at: (bl: 0, fs: 0)),
        "angle": Angle(runs: FwdAft, length: "10 in", legs: (up: "1 in", left: "1 in"), thickness: "1/8 in", at: (fs: 0, wl: 0, bl: 2)),
        "spacer": Spacer(lies: Flat, thickness: "3/16 in", diameter: "3/4 in"),
    "#;
    let joint = r#""on": BoltedTo(part: "pad", to: "angle.inside_top", side: Up, through: ["spacer"], with: AN4, count: 1),"#;
    let all = reports(&text(parts, joint, ""));
    let found = missing(&all[0]);
    let [finding] = &found[..] else {
        panic!("{:#?}", all[0])
    };
    assert!(finding.violates);
    assert_eq!(finding.part.as_deref(), Some("angle"));
    assert_eq!(finding.other, None);
    assert!((finding.wanted_mm.unwrap() / INCH - 1.0).abs() < 1e-6);
    assert_eq!((all[0].grip_mm, &all[0].buy), (None, &None));
    // its place stated, all three have metal there
    let placed = format!(
        r#"{joint} "out": Spaced(from: "datum.buttock_line", to: "spacer.axis", by: "1 1/2 in"),"#
    );
    let all = reports(&text(parts, &placed, ""));
    assert!(missing(&all[0]).is_empty(), "{:#?}", all[0]);
    assert!((all[0].grip_mm.unwrap() / INCH - 0.5625).abs() < 1e-6);
}

/// Two straps, the lower one 2 in wide in the middle; a row over the outer part of the upper one meets none of it.
#[test]
fn a_row_beside_a_layer_has_no_thickness() {
    let parts = r#"
        "upper": Plate(lies: Flat, thickness: "0.032 in", length: "4 in", width: "4 in", at: (fs: 0, bl: 0, wl: "0.05 in")),
        "lower": Plate(lies: Flat, thickness: "0.050 in", length: "4 in", width: "2 in", at: (fs: 0, bl: 0, wl: 0)),
    "#;
    let seam = |by: &str| {
        let seam = format!(
            r#""rivets": Seam(layers: ["upper", "lower"], heads: Up, with: MS20470AD4,
            rows: [(beside: "upper.right", by: "{by}", ends: "1/2 in", count: 3)])"#
        );
        reports(&text(parts, &seam, "")).remove(0)
    };
    let beside = seam("1/2 in");
    assert_eq!(beside.joint.layers[1].thickness_mm, None);
    assert_eq!((beside.grip_mm, &beside.buy), (None, &None));
    assert!(!beside.is_well());
    let over = seam("1 1/2 in");
    assert!((over.grip_mm.unwrap() / INCH - 0.082).abs() < 1e-9);
    assert!(over.buy.is_some());
}

/// Bolts through a spacer 3/4 in across, whose ends keep 1 1/4 in free; the room round them can't be measured.
#[test]
fn a_row_without_room_names_what_limits_it() {
    let parts = r#"
        "pad": Plate(lies: Flat, thickness: "1/4 in", length: "4 in", width: "4 in", at: (bl: 0, fs: 0)),
        "floor": Plate(lies: Flat, thickness: "1/8 in", length: "10 in", width: "10 in", at: (bl: 0, fs: 0, wl: 0)),
        "spacer": Spacer(lies: Flat, thickness: "3/16 in", diameter: "3/4 in"),
        "duct": Bar(runs: FwdAft, length: "10 in", depth: "1 in", breadth: "1 in", at: (fs: 0, bl: 0, wl: -3)),
    "#;
    let joint = r#""on": BoltedTo(part: "pad", to: "floor", side: Up, through: ["spacer"], with: AN4,
        rows: [(beside: "pad.right", by: "2 in", ends: "5/8 in", count: 2)])"#;
    let room = r#""room": Room(round: "on", for: "duct", at_least: "1/16 in")"#;
    let text = text(parts, joint, room);
    let all = reports(&text);
    let [row] = &all[0].rows[..] else {
        panic!("{:#?}", all[0])
    };
    let limits: Vec<&str> = row.limits.iter().map(|limit| limit.part.as_str()).collect();
    assert_eq!(limits, ["spacer"]);
    assert!((row.limits[0].along_mm / INCH - 0.75).abs() < 0.02);
    assert!((row.ends_mm / INCH - 1.25).abs() < 1e-9);
    let document: Document = read(&text).unwrap();
    let assembly = assemble(&document).unwrap();
    let fits = assembly.solve().unwrap().fits();
    assert_eq!(fits[0].verdict, FitVerdict::Unmeasured);
    let joint = "on".to_owned();
    assert_eq!(
        fits[0].worst().unwrap().remark,
        Some(Remark::NoPlaces { joint })
    );
}

/// A skin against the tail of a bolt is one of its layers, whoever forgot it.
#[test]
fn what_lies_against_the_stack_is_named_where_room_is_wanted() {
    let parts = r#"
        "pad": Plate(lies: Flat, thickness: "1/4 in", length: "4 in", width: "4 in", at: (bl: 0, fs: 0)),
        "floor": Plate(lies: Flat, thickness: "1/8 in", length: "10 in", width: "10 in", at: (bl: 0, fs: 0, wl: 0)),
        "skin": Plate(lies: Flat, thickness: "0.032 in", length: "10 in", width: "10 in", at: (bl: 0, fs: 0)),
    "#;
    let joint = r#""on": BoltedTo(part: "pad", to: "floor", side: Up, with: AN4, rows: [(beside: "pad.right", by: "2 in", ends: "1 in", count: 2)]),
        "skin under": Against("skin.top", "floor.bottom"),"#;
    let room = r#""room": Room(round: "on", for: "skin", at_least: "1/16 in")"#;
    let document: Document = read(&text(parts, joint, room)).unwrap();
    let assembly = assemble(&document).unwrap();
    let fits = assembly.solve().unwrap().fits();
    assert_eq!(fits[0].verdict, FitVerdict::Misses);
    let remark = Remark::AgainstStack {
        part: "skin".to_owned(),
        joint: "on".to_owned(),
    };
    assert_eq!(fits[0].worst().unwrap().remark, Some(remark));
}

/// A rectangle a millimetre thick that reaches from one corner to the other.
fn sheet([x, y]: [f64; 2], [long, wide]: [f64; 2]) -> Section {
    let solid = PlacedSolid {
        outline_mm: vec![
            [x, y, 0.0],
            [x + long, y, 0.0],
            [x + long, y + wide, 0.0],
            [x, y + wide, 0.0],
        ],
        openings_mm: Vec::new(),
        sweep_mm: [0.0, 0.0, 1.0],
    };
    let frame = Frame::new(nalgebra::Vector3::zeros(), nalgebra::Vector3::z());
    Section::of(&[solid], &frame, 0.5)
}

proptest! {
    /// Whatever two crosses of two sheets each have in common, a place in it is found; and none where they have nothing.
    #[test]
    fn a_place_in_common_is_found_whenever_there_is_one(
        corners in prop::array::uniform2(prop::array::uniform2(0.0..60.0_f64)),
        sizes in prop::array::uniform2(prop::array::uniform2(2.0..40.0_f64)),
    ) {
        let sections = [sheet(corners[0], sizes[0]), sheet(corners[1], sizes[1])];
        let shared = [0, 1].map(|axis| {
            let from = corners[0][axis].max(corners[1][axis]);
            let to = (corners[0][axis] + sizes[0][axis]).min(corners[1][axis] + sizes[1][axis]);
            to - from
        });
        let all: Vec<&Section> = sections.iter().collect();
        let at = in_all(Flat::new(-500.0, -500.0), &all);
        let held = all.iter().all(|section| section.holds(at));
        // slivers thinner than the step beside a corner may be missed
        if shared.iter().all(|by| *by > 0.2) {
            prop_assert!(held);
        }
        if shared.iter().any(|by| *by < 0.0) {
            prop_assert!(!held);
        }
    }
}
