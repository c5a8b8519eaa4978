//! A level loop measured both ways, with the test of normalised residuals.
//!
//! Source: sample output of GNU Gama, published on vrmapper.com (read, every figure reproduced). Metres; 5 mm for each
//! difference. Figures with six decimals are recomputed.

use crate::levelling::{Net, agree};
use strongback_solver::adjustment::{Scale, Snooping};

fn net() -> Net {
    let observed = [
        ("1a", "4", -1.225),
        ("4", "3", -0.848),
        ("3", "2", 1.342),
        ("2", "1a", 0.720),
        ("1a", "2", -0.724),
        ("2", "3", -1.335),
        ("3", "4", 0.842),
        ("4", "1a", 1.231),
    ];
    Net {
        unit: ("Metre", 1000.0),
        known: vec![("1a", 1000.0)],
        sought: vec![("4", 998.0), ("3", 998.0), ("2", 999.0)],
        observed: observed
            .map(|(from, to, by)| (from, to, by, 0.005))
            .to_vec(),
    }
}

#[test]
fn heights_and_their_deviations() {
    let heights = net().heights();
    agree(
        "heights, read",
        heights.clone(),
        &[998.77513, 997.93325, 999.27487],
        0.000006,
    );
    agree(
        "heights",
        heights,
        &[998.775125, 997.933250, 999.274875],
        5e-7,
    );
    let told = net().observations().adjust().unwrap();
    assert_eq!(told.degrees_of_freedom, 5);
    // [pvv] 146.625 mm², m0' 5.42 mm
    assert!((told.square_sum * 25.0 - 146.625).abs() < 1e-6);
    assert!((told.sigma0().unwrap() * 5.0 - 5.415).abs() < 0.0005);
    let deviations: Vec<f64> = told.deviations.iter().map(|one| 1000.0 * one).collect();
    agree(
        "deviations, read, mm",
        deviations.clone(),
        &[3.1, 3.5, 3.1],
        0.05,
    );
    agree(
        "deviations, mm",
        deviations,
        &[3.0619, 3.5355, 3.0619],
        0.00005,
    );
}

#[test]
fn normalised_residuals() {
    let told = net().observations().adjust().unwrap();
    let sizes = told
        .observed
        .iter()
        .map(|one| one.normalised.unwrap().abs());
    agree(
        "normalised",
        sizes,
        &[0.032, 1.550, 0.095, 1.297, 0.285, 1.676, 0.032, 1.550],
        0.0005,
    );
    agree(
        "redundancy",
        told.observed.iter().map(|one| one.redundancy),
        &[0.625; 8],
        1e-12,
    );
    let largest = told.observed[5].normalised.unwrap().abs();
    assert!((largest - 1.68).abs() < 0.005, "read");
}

/// The largest is below 1.96: the source declares no blunder.
#[test]
fn no_blunder_is_declared() {
    let rule = Snooping {
        critical: 1.96,
        scale: Scale::Stated,
    };
    assert!(
        net()
            .observations()
            .snoop(&rule)
            .unwrap()
            .suspects
            .is_empty()
    );
    assert!(net().reconciled().suspects.is_empty());
}

/// Observations 2, 6 and 8 have nearly the same statistic, 1.55, 1.68 and 1.55: under a sharper test that blames one, the
/// others are named with it, since they explain the data about as well (the grouping is this project's own, not the source's).
#[test]
fn what_explains_the_loop_as_well_is_named_with_it() {
    let rule = Snooping {
        critical: 1.6,
        scale: Scale::Stated,
    };
    let told = net().observations().snoop(&rule).unwrap();
    let group: Vec<usize> = told.suspects[0]
        .group
        .iter()
        .map(|one| one.observation + 1)
        .collect();
    assert_eq!(group[0], 6);
    assert!(group.contains(&2) && group.contains(&8), "{group:?}");
}

/// A blunder of 6 cm is named alone in a net of such redundancy.
#[test]
fn a_planted_blunder_is_named() {
    for observation in 1..=8 {
        let told = net().with_error(observation, 0.06).reconciled();
        assert_eq!(told.suspects.len(), 1);
        let names: Vec<&str> = told.suspects[0]
            .one_of
            .iter()
            .map(|one| one.name.as_str())
            .collect();
        assert_eq!(names, [observation.to_string()]);
    }
}
