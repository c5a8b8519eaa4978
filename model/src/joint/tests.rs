//! Joints by hand. Inches in the texts and in the comments, millimetres in the figures.

#![allow(clippy::unwrap_used)]

use approx::assert_abs_diff_eq;

use super::Joint;
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
    assert_abs_diff_eq!(joint.layers[0].thickness_mm, 0.032 * INCH, epsilon = 1e-9);
    assert_abs_diff_eq!(joint.layers[1].thickness_mm, 0.050 * INCH, epsilon = 1e-9);
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
        list[0].layers[1].thickness_mm,
        (1.0 - 0.032) * INCH,
        epsilon = 1e-6
    );
    assert_eq!(list[0].direction, [-1.0, 0.0, 0.0]);
    assert!(list[0].places_mm.is_empty());
    assert_eq!(list[0].count, Some(4));
}

/// The leg of an angle counts with its own thickness, a frame's web with its gauge, whatever opening is in the middle of it.
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
        .map(|l| l.thickness_mm / INCH)
        .collect();
    for (found, wanted) in thick
        .iter()
        .zip([0.0625, 0.032, 0.032, 0.125, 0.032, 0.125])
    {
        assert_abs_diff_eq!(*found, wanted, epsilon = 1e-9);
    }
    assert_eq!(list[2].count, Some(20));
}

#[test]
fn tell() {
    let document: Document = read(include_str!("../../../demo-models/first-bay.ron")).unwrap();
    let assembly = assemble(&document).unwrap();
    let solved = assembly.solve().unwrap();
    for report in solved.joint_reports() {
        eprintln!("{report:#?}");
    }
}
