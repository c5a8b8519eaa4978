//! Blanks of whole parts, and laws over random webs.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::plane::is_simple;
use super::*;
use crate::assembly::assemble;
use crate::document::Document;
use crate::source::read;

fn blanks(head: &str, part: &str) -> Blanks {
    let text = format!(
        "(format: 1, title: \"x\", unit: Inch, fit: 1, {head} parts: {{ \"part\": {part} }})"
    );
    let document: Document = read(&text).unwrap();
    assemble(&document).unwrap().solve().unwrap().blanks()
}

fn one(head: &str, part: &str) -> Blank {
    let blanks = blanks(head, part);
    assert!(blanks.unmade.is_empty(), "{blanks:?}");
    blanks.blanks[0].clone()
}

const AT: &str = "at: (fs: 0, bl: 0, wl: 0)";

fn inches(mm: f64) -> f64 {
    mm / 25.4
}

/// 30 x 20 over the flanges of 5/8, R 1/8, T 0.032: each flange takes off a bend deduction. 2 (0.157) - (π/2 0.125 + 0.702 0.032)
/// = 0.314 - 0.21882 = 0.09518.
#[test]
fn a_frame_is_as_large_as_it_is_over_its_legs_less_the_deductions() {
    let frame = format!(
        r#"Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, radius: "1/8 in", width: "30 in", height: "20 in", {AT})"#
    );
    let blank = one(r#"alloy: "2024-T3","#, &frame);
    let grows = 2.0 * (0.625 - 0.09518);
    assert!(
        (inches(blank.size_mm[0]) - 30.0 - grows).abs() < 1e-4,
        "{blank:?}"
    );
    assert!((inches(blank.size_mm[1]) - 20.0 - grows).abs() < 1e-4);
    assert!(blank.left_out.is_empty() && blank.holds());
    assert_eq!(blank.bends.len(), 4);
    assert!(blank.bends.iter().all(|bend| bend.up));
    assert_eq!(blank.reliefs.map(|reliefs| reliefs.count), Some(4));
    assert!(is_simple(&blank.pattern.outline));
    let radius = blank.radius.unwrap();
    assert_eq!(radius.verdict, RadiusVerdict::Holds);
}

/// Web 30 - 2 x 0.157 by 20 - 2 x 0.157; each flange as long as its side of it; holes of 1/8 take three quarters of a disc each.
#[test]
fn the_area_of_a_frame() {
    let frame = format!(
        r#"Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Fwd, radius: "1/8 in", width: "30 in", height: "20 in", {AT})"#
    );
    let blank = one("", &frame);
    assert!(blank.bends.iter().all(|bend| !bend.up), "seen from aft");
    let (setback, deduction) = (0.157, blank.bends[0].deduction_mm / 25.4);
    let (w, h) = (30.0 - 2.0 * setback, 20.0 - 2.0 * setback);
    let flange = 0.625 + setback - deduction;
    let holes = 4.0 * 0.75 * std::f64::consts::PI * 0.0625_f64.powi(2);
    let area = w * h + 2.0 * (w + h) * flange - holes;
    assert!((blank.pattern.area_mm2() / 25.4 / 25.4 - area).abs() < 1e-9);
    assert_eq!(blank.radius.unwrap().verdict, RadiusVerdict::NoAlloy);
}

#[test]
fn a_radius_of_the_table_stands_in_and_one_too_tight_is_told() {
    let rib = |radius: &str| {
        format!(
            r#"Rib(thickness: "0.032 in", flange: "5/8 in", flanges: Right, {radius} length: "12 in", height: "4 in", {AT})"#
        )
    };
    let radius = one(r#"alloy: "2024-T3","#, &rib("")).radius.unwrap();
    assert!(!radius.stated && (inches(radius.radius_mm) - 0.125).abs() < 1e-12);
    let blank = one(r#"alloy: "2024-T3","#, &rib(r#"radius: "1/16 in","#));
    assert!(!blank.holds());
    let own = r#"alloy: "2024-T3", bending: (own_radii: [("2024-T3", "0.032 in", "1/16 in")]),"#;
    assert!(one(own, &rib(r#"radius: "1/16 in","#)).holds());
    let none = blanks("", &rib(""));
    assert!(none.blanks.is_empty() && none.unmade[0].why.contains("no bend radius"));
    let not_there = blanks(r#"alloy: "7075-T6","#, &rib(""));
    assert!(not_there.unmade[0].why.contains("7075-T6"));
}

#[test]
fn a_pair_has_two_patterns_each_the_others_mirror_image() {
    let rib = r#"Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, radius: "1/8 in",
        outline: [(0, 0), (9, 0), (9, 8), (4, 12), (0, 12)], holes: {"tool": (bl: 3, wl: 2)}, sides: Both, at: (fs: 0, bl: 5, wl: 0))"#;
    let blanks = blanks("", rib);
    let [left, right] = ["part L", "part R"].map(|name| blanks.of(name).unwrap());
    assert!((left.pattern.area_mm2() - right.pattern.area_mm2()).abs() < 1e-9);
    let flip = |[x, y]: [f64; 2]| [-x, y];
    for corner in &right.pattern.outline.corners {
        let there = |other: &crate::pattern::Corner| {
            let [x, y] = flip(corner.at_mm);
            (other.at_mm[0] - x).hypot(other.at_mm[1] - y) < 1e-9
        };
        assert!(left.pattern.outline.corners.iter().any(there));
    }
    // right of the one is left of the other
    for [one, other] in [["left", "right"], ["right", "left"]] {
        let length = |blank: &Blank, side: &str| {
            let name = format!("{side} flange");
            let bend = blank.bends.iter().find(|bend| bend.name == name).unwrap();
            bend.length_mm
        };
        assert!((length(left, one) - length(right, other)).abs() < 1e-9);
    }
}

/// A web with a flange on its lower side only, its other sides leaning out or in. The flange is as long as its side or shorter, is on
/// both ends what its mirror image is on the other, and what is cut is simple.
#[test]
fn a_flange_ends_no_farther_than_its_side() {
    use super::bent::Bending;
    use crate::part::{Flange, Web};
    use crate::words::{Axis, Side};
    let bending = Bending {
        thickness: 0.8,
        radius: 3.2,
        allowance: crate::trade::bending::HANDBOOK,
        relief: 3.2,
    };
    for degrees in [
        30.0, 50.0, 60.0, 68.0, 75.0, 85.0, 89.9, 90.0, 100.0, 120.0_f64,
    ] {
        let lean = 40.0 / degrees.to_radians().tan();
        let flange = Flange {
            width: 16.0,
            angle: 0.5 * std::f64::consts::PI,
            towards: Side::Aft,
        };
        let web = Web {
            axes: [Axis::ButtockLine, Axis::Waterline],
            outline: vec![
                [-50.0, 0.0],
                [50.0, 0.0],
                [50.0 + lean, 40.0],
                [-50.0 - lean, 40.0],
            ],
            openings: Vec::new(),
            flanges: vec![Some(flange), None, None, None],
        };
        let unfolded = super::unfold::unfold(&web, &bending).unwrap();
        assert!(
            unfolded.left_out.is_empty() && is_simple(&unfolded.outline),
            "{degrees}"
        );
        let laid = &unfolded.flanges[0];
        for height in [0.0, 1.0, 3.0, 10.0] {
            let [from, to] = laid.across(height);
            assert!(
                (from.x + to.x).abs() < 1e-9,
                "{degrees} at {height}: {from} {to}"
            );
            assert!(to.x <= 50.0 + 1e-9, "{degrees} at {height}: {to}");
        }
        let mirrored = |at: [f64; 2]| {
            let corners = unfolded.outline.corners.iter();
            let mut off = corners.map(|c| (c.at_mm[0] + at[0]).hypot(c.at_mm[1] - at[1]));
            off.any(|off| off < 1e-9)
        };
        assert!(
            unfolded
                .outline
                .corners
                .iter()
                .all(|corner| mirrored(corner.at_mm))
        );
    }
}

/// A notch narrower than two flanges: their metal can't both come out of it.
#[test]
fn what_would_unfold_into_other_metal_is_left_out() {
    let frame = format!(
        r#"Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, radius: "1/8 in",
        outline: [(-10, 0), (10, 0), (10, 12), (0.5, 12), (0.5, 11), (-0.5, 11), (-0.5, 12), (-10, 12)], {AT})"#
    );
    let blank = one("", &frame);
    assert!(is_simple(&blank.pattern.outline));
    assert!(!blank.left_out.is_empty());
    for name in ["bottom flange", "left 2 flange", "right 1 flange"] {
        assert!(blank.bends.iter().any(|bend| bend.name == name), "{name}");
    }
}

/// The tangent line lies 0.157 inside the left edge. A hole of 1/4 at 0.5 keeps clear of it, one at 0.25 doesn't; an opening from 1 on
/// keeps clear, one from 0.1 on doesn't.
#[test]
fn what_runs_into_a_bend_is_told() {
    let frame = |openings: &str| {
        format!(
            r#"Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, radius: "1/8 in", outline: [(0, 0), (30, 0), (30, 20), (0, 20)],
            openings: [{openings}], holes: {{"clear": (bl: 0.5, wl: 10, diameter: "1/4 in"), "near": (bl: 0.25, wl: 5, diameter: "1/4 in")}}, {AT})"#
        )
    };
    let cut = |from: f64, low: f64| {
        format!(
            "[({from}, {low}), (2, {low}), (2, {}), ({from}, {})]",
            low + 1.0,
            low + 1.0
        )
    };
    let blank = one("", &frame(&[cut(1.0, 2.0), cut(0.1, 15.0)].join(", ")));
    assert_eq!(blank.into_bends, ["opening 2", "near"]);
    assert!(blank.unmarked.is_empty());
    let none = one("", &frame(&cut(1.0, 2.0)));
    assert_eq!(none.into_bends, ["near"]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    /// Random star-shaped webs: the pattern is simple, holds the web's flat, and every flange is there or told.
    #[test]
    fn patterns_are_simple(reach in prop::collection::vec(3.0..14.0_f64, 3..9), flange in 0.4..1.5_f64) {
        let count = reach.len() as f64;
        let corners: Vec<String> = reach.iter().enumerate().map(|(at, reach)| {
            let turn = std::f64::consts::TAU * at as f64 / count;
            format!("({:.4}, {:.4})", reach * turn.cos(), reach * turn.sin())
        }).collect();
        let frame = format!(
            r#"Frame(thickness: "0.032 in", flange: {flange:.3}, flanges: Aft, radius: "1/8 in", outline: [{}], {AT})"#,
            corners.join(", ")
        );
        let blank = one("", &frame);
        prop_assert!(is_simple(&blank.pattern.outline), "{:?}", blank.pattern.outline);
        prop_assert_eq!(blank.bends.len() + blank.left_out.len(), reach.len());
        for bend in &blank.pattern.bends {
            let [[x0, y0], [x1, y1]] = bend.ends_mm;
            prop_assert!((x1 - x0).hypot(y1 - y0) > 0.0);
        }
    }

    /// Folded up again: the outside of each flange comes to lie on the side that was stated, and its edge a leg above the web's
    /// outside face; its neutral line keeps the length that the flat has.
    #[test]
    fn folded_up_it_is_the_part_again(corners in 3..8_u32, reach in 6.0..14.0_f64, flange in 0.4..1.2_f64, radius in 0.03..0.2_f64) {
        let thickness = 0.032;
        let at = |corner: u32| {
            let turn = std::f64::consts::TAU * f64::from(corner) / f64::from(corners);
            [reach * turn.cos(), reach * turn.sin()]
        };
        let written: Vec<String> = (0..corners).map(at).map(|[x, y]| format!("({x:.9}, {y:.9})")).collect();
        let frame = format!(
            r#"Frame(thickness: "0.032 in", flange: {flange:.6}, flanges: Aft, radius: {radius:.6}, outline: [{}], {AT})"#,
            written.join(", ")
        );
        let blank = one("", &frame);
        prop_assert!(blank.left_out.is_empty(), "{:?}", blank.left_out);
        // of a regular outline all sides lie as far from the middle
        let side = reach * (std::f64::consts::PI / f64::from(corners)).cos();
        for (line, bend) in blank.pattern.bends.iter().zip(&blank.bends) {
            let [a, b] = line.ends_mm.map(|at| at.map(inches));
            let length = (b[0] - a[0]).hypot(b[1] - a[1]);
            let outward = [(b[1] - a[1]) / length, (a[0] - b[0]) / length];
            let middle = outward[0] * a[0] + outward[1] * a[1];
            let tangent = middle - 0.5 * inches(line.allowance_mm);
            prop_assert!((tangent + radius + thickness - side).abs() < 1e-5);
            let furthest = blank.pattern.outline.corners.iter().map(|corner| {
                let [x, y] = corner.at_mm.map(inches);
                outward[0] * x + outward[1] * y
            }).fold(f64::NEG_INFINITY, f64::max);
            // up round the arc, then on by what is flat
            let height = radius + thickness + furthest - tangent - inches(line.allowance_mm);
            prop_assert!((height - flange).abs() < 1e-5 || furthest > tangent + inches(bend.allowance_mm + bend.flat_mm) + 1e-5);
            let neutral = radius + crate::trade::bending::HANDBOOK.neutral() * thickness;
            prop_assert!((inches(bend.allowance_mm) - 0.5 * std::f64::consts::PI * neutral).abs() < 1e-5);
        }
    }
}
