//! Stacks along one axis, stated as parts and relations: worst case and root-sum-square against published and recomputed sums.

use crate::stacked;
use std::fmt::Write;

use crate::stacked::{PLAIN, measure, rate};
use approx::assert_abs_diff_eq as assert_near;
use strongback_model::stack::Spread;

const INCH: f64 = 25.4;

/// A shaft with two bearings in a housing and a retaining ring: K. W. Chase, "Minimum-cost tolerance allocation", ADCATS report
/// 99-5. Figures from memory, sums recomputed: the clearance −A + B − C + D − E + F − G is 0.0199 in, of which 0.020 ± 0.015 in
/// is wanted; worst case ± 0.0245, root-sum-square ± 0.011079.
const BEARINGS: &str = r#"dimensions: {
        "A": (is: "0.0505 in", within: "0.0015 in"),
        "B": (is: "8.000 in", within: "0.008 in"),
        "C": (is: "0.5093 in", within: "0.0025 in"),
        "D": (is: "0.400 in", within: "0.002 in"),
        "E": (is: "7.711 in", within: "0.006 in"),
        "F": (is: "0.400 in", within: "0.002 in"),
        "G": (is: "0.5093 in", within: "0.0025 in"),
    },
    parts: {
        "shaft": Custom(planes: {"shoulder": (looks: Aft), "groove": (looks: Fwd, at: (fs: "B"))}, at: (fs: 0, bl: 0, wl: 0)),
        "first bearing": Custom(planes: {"fwd": (looks: Fwd), "aft": (looks: Aft, at: (fs: "C"))}, at: (bl: 0, wl: 0)),
        "housing": Custom(planes: {"fwd seat": (looks: Fwd, at: (fs: "D")), "aft seat": (looks: Aft, at: (fs: "E - F"))}, at: (bl: 0, wl: 0)),
        "second bearing": Custom(planes: {"fwd": (looks: Fwd), "aft": (looks: Aft, at: (fs: "G"))}, at: (bl: 0, wl: 0)),
        "ring": Custom(planes: {"fwd": (looks: Fwd), "aft": (looks: Aft, at: (fs: "A"))}, at: (bl: 0, wl: 0)),
    },
    relations: {
        "one": Flush("first bearing.fwd", "shaft.shoulder"),
        "two": Flush("housing.fwd seat", "first bearing.aft"),
        "three": Flush("second bearing.fwd", "housing.aft seat"),
        "four": Flush("ring.fwd", "second bearing.aft"),
    },
    must_fit: {
        "clearance": Between(from: "ring.aft", to: "shaft.groove", at_least: "0.005 in", at_most: "0.035 in"),
    },"#;

#[test]
fn the_bearings_fail_at_worst_and_pass_by_the_root_sum_square() {
    let clearance = measure("Inch", BEARINGS, "clearance", PLAIN);
    assert_near!(clearance.nominal / INCH, 0.0199, epsilon = 1e-9);
    assert_near!(clearance.worst_case / INCH, 0.0245, epsilon = 1e-9);
    assert_near!(clearance.rss / INCH, 0.011_079, epsilon = 1e-6);
    assert!(!clearance.fits_at_worst());
    for (figure, sign) in [
        ("A", -1.0),
        ("B", 1.0),
        ("C", -1.0),
        ("D", 1.0),
        ("E", -1.0),
        ("F", 1.0),
        ("G", -1.0),
    ] {
        assert_near!(rate(&clearance, figure), sign, epsilon = 1e-9);
    }
    // (0.035 − 0.005) / 6σ and (0.0199 − 0.005) / 3σ with σ = 0.011079 / 3
    let capability = clearance.capability;
    assert_near!(
        capability.cp.unwrap(),
        0.030 / (2.0 * 0.011_079),
        epsilon = 0.03
    );
    assert_near!(capability.cpk.unwrap(), 0.0149 / 0.011_079, epsilon = 0.03);
    assert!(clearance.linear.unwrap().fails.is_empty());
    // a sum of seven: at the corners the true equations give the worst case itself
    let [least, greatest] = clearance.corners.unwrap();
    assert_near!(least / INCH, 0.0199 - 0.0245, epsilon = 1e-9);
    assert_near!(greatest / INCH, 0.0199 + 0.0245, epsilon = 1e-9);
}

/// A spacer, a ring and a shoulder in a housing bore: "Tolerance stack-up: a worked example", metricmech.com, 14 June 2026.
/// Inputs and the nominal gap of 3.00 mm read; worst case ± 0.23 and root-sum-square ± 0.1261 mm recomputed. Here each length is
/// the figure of a relation, with its tolerance beside it.
#[test]
fn the_housing_bore() {
    let body = r#"parts: {
        "floor": Custom(planes: {"face": (looks: Aft)}, at: (fs: 0, bl: 0, wl: 0)),
        "mouth": Custom(planes: {"face": (looks: Aft)}, at: (bl: 0, wl: 0)),
        "spacer": Custom(planes: {"face": (looks: Aft)}, at: (bl: 0, wl: 0)),
        "ring": Custom(planes: {"face": (looks: Aft)}, at: (bl: 0, wl: 0)),
        "shoulder": Custom(planes: {"face": (looks: Aft)}, at: (bl: 0, wl: 0)),
    },
    relations: {
        "bore": (is: Spaced(from: "floor.face", to: "mouth.face", by: 40), within: 0.10),
        "spacer length": (is: Spaced(from: "floor.face", to: "spacer.face", by: 25), within: 0.05),
        "ring length": (is: Spaced(from: "spacer.face", to: "ring.face", by: 2), within: 0.03),
        "shoulder length": (is: Spaced(from: "ring.face", to: "shoulder.face", by: 10), within: 0.05),
    },
    must_fit: { "gap": Between(from: "shoulder.face", to: "mouth.face", at_least: 2.7) },"#;
    let gap = measure("Millimetre", body, "gap", PLAIN);
    assert_near!(gap.nominal, 3.0, epsilon = 1e-9);
    assert_near!(gap.worst_case, 0.23, epsilon = 1e-9);
    assert_near!(gap.rss, 0.1261, epsilon = 5e-5);
    assert_eq!(gap.shares[0].name, "bore");
    // one limit: no Cp
    assert_eq!(gap.capability.cp, None);
    assert_near!(gap.capability.cpk.unwrap(), 0.3 / 0.1261, epsilon = 0.05);
}

/// Ten parts on top of each other, each a figure of its own, or all cut to one.
fn ten(thickness: impl Fn(usize) -> String, dimensions: &str) -> String {
    let (mut parts, mut relations) = (String::new(), String::new());
    for k in 0..10 {
        let own = thickness(k);
        writeln!(parts, r#""part {k}": Custom(planes: {{"fwd": (looks: Fwd), "aft": (looks: Aft, at: (fs: "{own}"))}}, at: (bl: 0, wl: 0)),"#).unwrap();
        let on = if k == 0 {
            "datum.station".to_owned()
        } else {
            format!("part {}.aft", k - 1)
        };
        writeln!(relations, r#""{k} on": Flush("part {k}.fwd", "{on}"),"#).unwrap();
    }
    format!(
        r#"dimensions: {{ {dimensions} }}, parts: {{ {parts} }}, relations: {{ {relations} }},
        must_fit: {{ "whole": Between(from: "datum.station", to: "part 9.aft", at_most: 101) }},"#
    )
}

/// Ten equal parts of ± 0.1 mm: worst case ± 1.0, root-sum-square ± 0.316 (read on a page on such stacks; 0.316228 recomputed).
#[test]
fn ten_equal_parts() {
    let mut dimensions = String::new();
    for k in 0..10 {
        write!(dimensions, r#""t{k}": (is: 10, within: 0.1),"#).unwrap();
    }
    let whole = measure(
        "Millimetre",
        &ten(|k| format!("t{k}"), &dimensions),
        "whole",
        PLAIN,
    );
    assert_near!(whole.worst_case, 1.0, epsilon = 1e-9);
    assert_near!(whole.rss, 0.316_228, epsilon = 1e-6);
    // evenly spread over the limits the standard deviation is t/√3 for each
    let sampling = stacked::PLAIN;
    let sampling = strongback_model::stack::Sampling {
        spread: Spread::Uniform,
        ..sampling
    };
    let whole = measure(
        "Millimetre",
        &ten(|k| format!("t{k}"), &dimensions),
        "whole",
        sampling,
    );
    assert_near!(
        whole.sampled.unwrap().sd,
        0.316_228 / 3.0_f64.sqrt(),
        epsilon = 0.004
    );
}

/// The same ten, all cut to one figure: they are off together.
#[test]
fn ten_parts_of_one_figure_are_off_together() {
    let whole = measure(
        "Millimetre",
        &ten(|_| "t".to_owned(), r#""t": (is: 10, within: 0.1)"#),
        "whole",
        PLAIN,
    );
    assert_near!(whole.worst_case, 1.0, epsilon = 1e-9);
    assert_near!(whole.rss, 1.0, epsilon = 1e-9);
    assert_eq!(whole.shares.len(), 1);
    assert_near!(rate(&whole, "t"), 10.0, epsilon = 1e-9);
}
