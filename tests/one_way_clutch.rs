//! The stack-up of a one-way clutch: a roller between a flat hub and a round ring, stated as parts and relations.
//!
//! K. W. Chase, J. Gao, S. P. Magleby, "General 2-D tolerance analysis of mechanical assemblies with small kinematic
//! adjustments", ADCATS report 94-1. The report's existence, title and method were read; its figures are from memory. All values
//! below are recomputed from the closed form (e − c) cos φ = a + c, b = (e − c) sin φ, which the tests rest on. The roller's radius c
//! is used twice: two independent uses of it would give a smaller root-sum-square, the classic mistake.

use crate::stacked::{PLAIN, measure, rate};
use approx::assert_abs_diff_eq as assert_near;
use strongback_model::stack::{Fails, Sampling, StackedMeasure};

/// Hub height, roller radius and inner radius of the ring in millimetres, each with its tolerance (from memory).
const DIMENSIONS: &str = r#"
    "hub height": (is: 27.645, within: 0.0125),
    "roller radius": (is: 11.430, within: 0.0100),
    "ring radius": (is: 50.800, within: 0.0500),"#;

/// The clutch seen along the station axis: buttock lines to the right, waterlines up. The contact's face turns with the line
/// from the ring's centre to the roller's, to the right of up by φ: a roll of −φ.
fn clutch(dimensions: &str, on_the_flat: &str) -> String {
    format!(
        r#"dimensions: {{ {dimensions} }},
    parts: {{
        "ring": Custom(points: {{"centre": ()}}, at: (fs: 0, bl: 0, wl: 0)),
        "hub": Custom(planes: {{"flat": (looks: Up, at: (wl: "hub height"))}}, at: (fs: 0, bl: 0, wl: 0)),
        "roller": Custom(points: {{"centre": ()}}, at: (fs: 0, bl: Find(near: 5), wl: Find(near: 39))),
        "contact": Custom(planes: {{"side": (looks: Right)}}, at: (fs: 0, bl: 0, wl: 0), turn: (roll: Find)),
    }},
    relations: {{
        "on the flat": Spaced(from: "hub.flat", to: "roller.centre", by: "{on_the_flat}"),
        "in the ring": Spaced(from: "ring.centre", to: "roller.centre", by: "ring radius - roller radius"),
        "contact line": Touches("roller.centre", "contact.side"),
    }},
    must_fit: {{
        "offset": Between(from: "ring.centre", to: "roller.centre", toward: Right, at_least: 4.3, at_most: 5.3),
        "pressure angle": (is: Canted(face: "contact.side", by: 0, about: Station), within: "7.6 deg"),
    }},"#
    )
}

/// For linear figures, on which samples have no bearing.
const FEW: Sampling = Sampling {
    samples: 300,
    ..PLAIN
};

fn pressure_angle(sampling: Sampling) -> StackedMeasure {
    let body = clutch(DIMENSIONS, "roller radius");
    measure("Millimetre", &body, "pressure angle", sampling)
}

#[test]
fn nominal_values_are_those_of_the_closed_form() {
    assert_near!(pressure_angle(FEW).nominal, -7.018_390, epsilon = 1e-6);
    let offset = measure(
        "Millimetre",
        &clutch(DIMENSIONS, "roller radius"),
        "offset",
        FEW,
    );
    assert_near!(offset.nominal, 4.810_538, epsilon = 1e-6);
}

#[test]
fn sensitivities_worst_case_and_root_sum_square_of_the_angle() {
    let angle = pressure_angle(FEW);
    // degrees per millimetre; the roll is minus the pressure angle
    assert_near!(rate(&angle, "hub height"), 11.910_473, epsilon = 1e-5);
    assert_near!(rate(&angle, "roller radius"), 23.731_700, epsilon = 1e-5);
    assert_near!(rate(&angle, "ring radius"), -11.821_227, epsilon = 1e-5);
    assert_near!(angle.worst_case, 0.977_259, epsilon = 1e-6);
    assert_near!(angle.rss, 0.654_094, epsilon = 1e-6);
    let percent: f64 = angle.shares.iter().map(|share| share.of_variance).sum();
    assert_near!(percent, 100.0, epsilon = 1e-9);
    assert_eq!(angle.shares[0].name, "ring radius");
}

#[test]
fn sensitivities_worst_case_and_root_sum_square_of_the_offset() {
    let offset = measure(
        "Millimetre",
        &clutch(DIMENSIONS, "roller radius"),
        "offset",
        FEW,
    );
    assert_near!(rate(&offset, "hub height"), -8.122_792, epsilon = 1e-5);
    assert_near!(rate(&offset, "roller radius"), -16.306_908, epsilon = 1e-5);
    assert_near!(rate(&offset, "ring radius"), 8.184_116, epsilon = 1e-5);
    assert_near!(offset.worst_case, 0.673_810, epsilon = 1e-6);
    assert_near!(offset.rss, 0.452_051, epsilon = 1e-6);
}

/// The true corners are off the linear worst case by 8 %, and that is said.
#[test]
fn the_corners_are_those_of_the_closed_form_and_not_linear() {
    let angle = pressure_angle(FEW);
    let [least, greatest] = angle.corners.unwrap();
    assert_near!(least, -7.934_687, epsilon = 1e-6);
    assert_near!(greatest, -5.960_208, epsilon = 1e-6);
    let check = angle.linear.unwrap();
    assert_near!(
        check.corner_ratio.unwrap(),
        1.058_182 / 0.977_259,
        epsilon = 1e-5
    );
    assert_eq!(check.fails, [Fails::Corners]);
}

/// Against 2 million draws of the closed form, each dimension normal with a third of its tolerance (recomputed, with another
/// generator): mean 7.0147 deg, standard deviation 0.21832 deg, skewness −0.096. Four standard errors of 20,000 samples.
#[test]
fn samples_agree_with_sampling_the_closed_form() {
    let angle = pressure_angle(PLAIN);
    let sampled = angle.sampled.unwrap();
    assert_eq!((sampled.count, sampled.failed), (20_000, 0));
    let n = 20_000.0_f64;
    let (mean, sd, skewness) = (-7.0147, 0.218_32, 0.096);
    assert_near!(sampled.mean, mean, epsilon = 4.0 * sd / n.sqrt());
    assert_near!(sampled.sd, sd, epsilon = 4.0 * sd / (2.0 * n).sqrt());
    assert_near!(sampled.skewness, skewness, epsilon = 4.0 * (6.0 / n).sqrt());
    assert_eq!(sampled.histogram.counts.iter().sum::<usize>(), 20_000);
}

/// Two rollers' radii in place of one: what a tool gets that takes the two uses of c for two figures. The derivative by the
/// radius on the flat is that by the hub's height, the rest belongs to the ring's side.
#[test]
fn a_dimension_used_twice_counts_once() {
    let two = format!(r#"{DIMENSIONS} "another radius": (is: 11.430, within: 0.0100),"#);
    let two = measure(
        "Millimetre",
        &clutch(&two, "another radius"),
        "pressure angle",
        FEW,
    );
    let one = pressure_angle(FEW);
    assert_near!(two.worst_case, one.worst_case, epsilon = 1e-9);
    let apart =
        (23.731_700_f64.powi(2) - 11.910_473_f64.powi(2) - 11.821_227_f64.powi(2)).sqrt() * 0.01;
    assert_near!(
        (one.rss.powi(2) - two.rss.powi(2)).sqrt(),
        apart,
        epsilon = 1e-5
    );
    assert_eq!((one.shares.len(), two.shares.len()), (3, 4));
}
