//! A level circuit with four benchmarks, adjusted by least squares.
//!
//! Source: J. Mahun, open course notes "Least Squares Lite", chapters B, D and E: observed differences, adjusted heights,
//! residuals and standard deviations (read). The benchmarks' heights stand only in a figure there; they follow from the published
//! adjusted values and residuals. Figures with six decimals are recomputed: where the source prints S0 0.028 and 0.014 they give
//! 0.0290 and 0.0149. The planted blunder is recomputed and not published. Feet.

use crate::levelling::{Net, agree};
use strongback_model::reconcile::Verdict;
use strongback_solver::adjustment::{Scale, Snooping};

const FOOT: (&str, f64) = ("Foot", 304.8);

/// All observations of one standard deviation, which changes no height.
fn circuit(deviation: f64) -> Net {
    let observed = [
        ("A", "Q", 8.91),
        ("B", "Q", -2.92),
        ("C", "Q", -4.67),
        ("D", "Q", -8.66),
        ("A", "R", -3.56),
        ("C", "R", -17.12),
        ("D", "R", -21.10),
        ("Q", "R", -12.47),
    ];
    Net {
        unit: FOOT,
        known: vec![("A", 806.52), ("B", 818.32), ("C", 820.12), ("D", 824.04)],
        sought: vec![("Q", 815.0), ("R", 803.0)],
        observed: observed
            .map(|(from, to, by)| (from, to, by, deviation))
            .to_vec(),
    }
}

#[test]
fn chapter_b_without_the_line_between_the_two() {
    let mut net = circuit(1.0);
    net.observed.pop();
    net.heights();
    let told = net.observations().adjust().unwrap();
    let residuals = [-0.015, 0.015, -0.035, 0.035, 0.007, -0.033, 0.027];
    agree(
        "residuals",
        told.observed.iter().map(|one| one.residual),
        &residuals,
        0.0005,
    );
    assert!(
        (told.square_sum - 0.004767).abs() < 5e-7,
        "{}",
        told.square_sum
    );
}

#[test]
fn chapter_d_with_equal_weights() {
    let net = circuit(1.0);
    let heights = net.heights();
    agree(
        "heights, read",
        heights.clone(),
        &[815.418, 802.962],
        0.0005,
    );
    agree("heights", heights, &[815.418421, 802.962105], 5e-7);
    let told = net.observations().adjust().unwrap();
    assert_eq!(told.degrees_of_freedom, 6);
    let sigma0 = told.sigma0().unwrap();
    agree(
        "S0",
        [sigma0, told.square_sum],
        &[0.029049, 0.00506316],
        5e-7,
    );
    let deviations = told.deviations.iter().map(|one| one * sigma0);
    agree("deviations", deviations, &[0.013329, 0.014902], 5e-7);
    let residuals = [
        -0.011579, 0.018421, -0.031579, 0.038421, 0.002105, -0.037895, 0.022105, 0.013684,
    ];
    agree(
        "residuals",
        told.observed.iter().map(|one| one.residual),
        &residuals,
        5e-7,
    );
    let redundancy = [
        0.789474, 0.789474, 0.789474, 0.789474, 0.736842, 0.736842, 0.736842, 0.631579,
    ];
    agree(
        "redundancy",
        told.observed.iter().map(|one| one.redundancy),
        &redundancy,
        5e-7,
    );
    let differences = [
        8.898, -2.902, -4.702, -8.622, -3.558, -17.158, -21.078, -12.456,
    ];
    let known = [806.52, 818.32, 820.12, 824.04, 806.52, 820.12, 824.04, 0.0];
    let adjusted = told
        .observed
        .iter()
        .zip(known)
        .map(|(one, known)| one.adjusted - known);
    agree("adjusted differences, read", adjusted, &differences, 0.001);
    let deviations = told.observed.iter().map(|one| one.deviation * sigma0);
    let read = [0.013, 0.013, 0.013, 0.013, 0.014, 0.014, 0.014, 0.017];
    agree("their deviations, read", deviations, &read, 0.0012);
}

#[test]
fn chapter_e_weighted_by_the_number_of_set_ups() {
    let mut net = circuit(1.0);
    let weights = [4.0, 6.0, 12.0, 4.0, 4.0, 3.0, 6.0, 4.0_f64];
    for (one, weight) in net.observed.iter_mut().zip(weights) {
        one.3 = 1.0 / weight.sqrt();
    }
    let heights = net.heights();
    agree(
        "heights, read",
        heights.clone(),
        &[815.424, 802.958],
        0.0015,
    );
    agree("heights", heights, &[815.425182, 802.958866], 5e-7);
    let told = net.observations().adjust().unwrap();
    let sigma0 = told.sigma0().unwrap();
    agree(
        "S0",
        [sigma0, told.square_sum],
        &[0.066740, 0.0267255],
        5e-7,
    );
    let deviations = told.deviations.iter().map(|one| one * sigma0);
    agree("deviations", deviations, &[0.012381, 0.016447], 5e-7);
}

/// A tenth of a foot added to the third observation shows there, although nobody said how good the observations are.
#[test]
fn a_planted_blunder_is_the_largest_studentised_residual() {
    let all = circuit(1.0).with_error(3, 0.10).observations();
    let told = all.adjust().unwrap();
    assert!((told.sigma0().unwrap() - 0.05668).abs() < 5e-6);
    let sizes: Vec<f64> = (0..8)
        .map(|at| told.studentised(at).unwrap().abs())
        .collect();
    assert!((sizes[2] - 2.194776).abs() < 5e-7, "{sizes:?}");
    assert!(
        sizes
            .iter()
            .enumerate()
            .all(|(at, size)| at == 2 || *size < 1.182),
        "{sizes:?}"
    );
    // v / r = 0.110526 / 0.789474 = 0.140: the planted 0.10 and 0.040 that was there
    assert!((told.observed[2].error.unwrap() - 0.14).abs() < 1e-6);
    let rule = Snooping {
        critical: 2.0,
        scale: Scale::Estimated,
    };
    let snooped = all.snoop(&rule).unwrap();
    assert_eq!(snooped.suspects.len(), 1);
    assert_eq!(snooped.suspects[0].group[0].observation, 2);
}

/// The same as a model file, with levels good to 0.02 ft: it is named alone, and what it would have to read is told.
#[test]
fn a_planted_blunder_is_named_in_a_model() {
    let told = circuit(0.02).reconciled();
    assert!(told.suspects.is_empty(), "{:?}", told.suspects);
    let told = circuit(0.02).with_error(3, 0.10).reconciled();
    let [suspect] = &told.suspects[..] else {
        panic!("{:?}", told.suspects);
    };
    let [only] = &suspect.one_of[..] else {
        panic!("{suspect:?}");
    };
    assert_eq!(only.name, "3");
    assert!(
        (only.would_have_to_say / 304.8 + 4.71).abs() < 1e-5,
        "{only:?}"
    );
    for (at, one) in told.measurements.iter().enumerate() {
        let expected = if at == 2 {
            Verdict::Suspect
        } else {
            Verdict::Agrees
        };
        assert_eq!(one.verdict, expected, "{}", one.name);
    }
}
