//! Adjustments that can be worked out by hand, and laws that hold for all of them.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;

use nalgebra::{DMatrix, DVector};
use proptest::prelude::*;

use super::*;

fn observations(rows: &[&[f64]], values: &[f64], deviations: &[f64]) -> Observations {
    let columns = rows.first().map_or(0, |row| row.len());
    Observations::new(
        DMatrix::from_row_iterator(
            rows.len(),
            columns,
            rows.iter().flat_map(|r| r.iter().copied()),
        ),
        DVector::from_row_slice(values),
        DVector::from_row_slice(deviations),
    )
    .unwrap()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-12 * (1.0 + b.abs())
}

/// A length taken three times, with weights 1, 1 and 4: the mean is (10 + 11 + 4 * 12) / 6 = 11.5.
#[test]
fn the_weighted_mean() {
    let all = observations(
        &[&[1.0], &[1.0], &[1.0]],
        &[10.0, 11.0, 12.0],
        &[1.0, 1.0, 0.5],
    );
    let told = all.adjust().unwrap();
    assert!(near(told.unknowns[0], 11.5), "{told:?}");
    assert!(near(told.deviations[0], 1.0 / 6.0_f64.sqrt()));
    assert_eq!(told.degrees_of_freedom, 2);
    // v = 1.5, 0.5, -0.5, of weights 1, 1, 4
    assert!(near(told.square_sum, 2.25 + 0.25 + 1.0));
    let redundancy: Vec<f64> = told.observed.iter().map(|one| one.redundancy).collect();
    for (got, expected) in redundancy.iter().zip([5.0 / 6.0, 5.0 / 6.0, 2.0 / 6.0]) {
        assert!(near(*got, expected), "{redundancy:?}");
    }
    let first = told.observed[0];
    assert!(near(
        first.normalised.unwrap(),
        1.5 / (5.0_f64 / 6.0).sqrt()
    ));
    // all three are adjusted to the mean, and vary as it does
    for one in &told.observed {
        assert!(near(one.deviation, 1.0 / 6.0_f64.sqrt()), "{one:?}");
    }
    // without the first the mean is (11 + 48) / 5 = 11.8, and the first is 1.8 too small
    assert!(near(first.error.unwrap(), -1.8));
    assert!(near(
        first.detectable.unwrap(),
        DELTA0 / (5.0_f64 / 6.0).sqrt()
    ));
    let others = all.adjust_without(&BTreeSet::from([0])).unwrap();
    assert!(near(others.unknowns[0], 11.8));
    assert_eq!(others.observed[0].used, Use::Predicted);
    assert!(near(others.observed[0].deviation, 1.0 / 5.0_f64.sqrt()));
    assert!(near(others.observed[0].error.unwrap(), -1.8));
    assert!(near(others.observed[0].redundancy, first.redundancy));
    assert!(near(
        others.observed[0].normalised.unwrap(),
        first.normalised.unwrap()
    ));
}

/// Two observations of one thing disagree: there is no saying which is false, and both are named.
#[test]
fn of_two_none_is_blamed_alone() {
    let all = observations(&[&[1.0], &[1.0]], &[0.0, 100.0], &[1.0, 1.0]);
    let told = all.snoop(&Snooping::default()).unwrap();
    assert_eq!(told.suspects.len(), 1);
    let named: Vec<usize> = told.suspects[0]
        .group
        .iter()
        .map(|m| m.observation)
        .collect();
    assert_eq!(named, [0, 1]);
    assert!(near(told.suspects[0].group[0].error, -100.0));
    assert!(near(told.suspects[0].group[1].error, 100.0));
    // of three, one is
    let all = observations(
        &[&[1.0], &[1.0], &[1.0]],
        &[0.0, 100.0, 0.0],
        &[1.0, 1.0, 1.0],
    );
    let told = all.snoop(&Snooping::default()).unwrap();
    assert_eq!(told.suspects.len(), 1);
    assert_eq!(told.suspects[0].group.len(), 1, "{told:?}");
    assert_eq!(told.suspects[0].group[0].observation, 1);
    assert!(near(told.adjustment.unknowns[0], 0.0));
}

/// Two good observations and a poor one of weight q: residuals of the two are correlated by ρ = −1/(1 + q), and of a blunder with
/// the statistic z = 10 in the one the other shows ρ z. Told apart are squares that differ by more than 3.84: of ρ = 0.99 by
/// 1.99, of ρ = 0.97 by 5.91.
#[test]
fn a_poor_third_tells_two_apart_or_not() {
    for (rho, expected) in [(0.99, &[0, 1][..]), (0.97, &[0][..])] {
        let q: f64 = 1.0 / rho - 1.0;
        let redundancy = (1.0 + q) / (2.0 + q);
        let blunder = 10.0 / redundancy.sqrt();
        let all = observations(
            &[&[1.0], &[1.0], &[1.0]],
            &[blunder, 0.0, 0.0],
            &[1.0, 1.0, 1.0 / q.sqrt()],
        );
        let told = all.snoop(&Snooping::default()).unwrap();
        assert_eq!(told.suspects.len(), 1);
        let group = told.suspects[0].group.iter();
        let named: Vec<usize> = group.map(|member| member.observation).collect();
        assert_eq!(named, expected, "{told:?}");
    }
}

/// What can't be that far off is not suspected, and the other one alone is.
#[test]
fn a_blunder_beyond_its_bound_is_no_explanation() {
    let all = observations(&[&[1.0], &[1.0]], &[0.0, 100.0], &[1.0, 1.0]).bounded(0, 50.0);
    let told = all.snoop(&Snooping::default()).unwrap();
    let named: Vec<usize> = told.suspects[0]
        .group
        .iter()
        .map(|m| m.observation)
        .collect();
    assert_eq!(named, [1]);
    let all = all.bounded(1, 50.0);
    assert_eq!(all.snoop(&Snooping::default()).unwrap().suspects, []);
}

#[test]
fn what_nothing_checks_has_no_statistics() {
    let all = observations(
        &[&[1.0, 0.0], &[1.0, 0.0], &[0.0, 1.0]],
        &[1.0, 1.0, 7.0],
        &[1.0; 3],
    );
    let told = all.adjust().unwrap();
    assert_eq!(told.observed[2].normalised, None);
    assert_eq!(told.observed[2].detectable, None);
    assert!(near(told.unknowns[1], 7.0));
    assert_eq!(told.correlation(0, 2), None);
    assert!(near(told.correlation(0, 1).unwrap(), -1.0));
}

#[test]
fn unknowns_that_nothing_settles_are_named() {
    let all = observations(
        &[&[1.0, 1.0, 0.0], &[1.0, 1.0, 0.0], &[0.0, 0.0, 1.0]],
        &[1.0; 3],
        &[1.0; 3],
    );
    let error = all.adjust().unwrap_err();
    assert_eq!(
        error,
        AdjustmentError::Undetermined {
            unknowns: vec![0, 1]
        }
    );
    let few = observations(&[&[1.0, 0.0]], &[1.0], &[1.0]);
    assert_eq!(
        few.adjust().unwrap_err(),
        AdjustmentError::Undetermined { unknowns: vec![1] }
    );
}

#[test]
fn without_unknowns_residuals_are_what_was_observed() {
    let all = Observations::new(
        DMatrix::zeros(2, 0),
        DVector::from_row_slice(&[1.0, -50.0]),
        DVector::from_row_slice(&[1.0, 2.0]),
    )
    .unwrap();
    let told = all.snoop(&Snooping::default()).unwrap();
    assert_eq!(told.suspects.len(), 1);
    assert_eq!(told.suspects[0].group.len(), 1);
    assert!(near(told.suspects[0].group[0].normalised, 25.0));
    assert!(near(told.suspects[0].group[0].error, -50.0));
    let none =
        Observations::new(DMatrix::zeros(0, 0), DVector::zeros(0), DVector::zeros(0)).unwrap();
    assert!(none.is_empty());
    assert_eq!(none.adjust().unwrap().sigma0(), None);
}

#[test]
fn what_is_no_number_is_refused() {
    let with = |design: f64, value: f64, deviation: f64| {
        Observations::new(
            DMatrix::from_element(1, 1, design),
            DVector::from_element(1, value),
            DVector::from_element(1, deviation),
        )
        .unwrap_err()
    };
    let not_finite = AdjustmentError::NotFinite { observation: 0 };
    assert_eq!(with(f64::NAN, 0.0, 1.0), not_finite);
    assert_eq!(with(1.0, f64::INFINITY, 1.0), not_finite);
    assert_eq!(with(1.0, 1e300, 1e-300), not_finite);
    // finite still, and its square no more
    assert_eq!(with(1.0, 1.0, 1e-200), not_finite);
    for deviation in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(
            with(1.0, 0.0, deviation),
            AdjustmentError::NoDeviation { observation: 0 }
        );
    }
    let lengths = Observations::new(DMatrix::zeros(2, 1), DVector::zeros(1), DVector::zeros(2));
    assert!(matches!(
        lengths.unwrap_err(),
        AdjustmentError::Lengths { .. }
    ));
}

/// A design with a unit row for each unknown, so that all are determined, and some rows besides.
fn nets() -> impl Strategy<Value = (Observations, Vec<f64>)> {
    (1_usize..6, 1_usize..7).prop_flat_map(|(unknowns, more)| {
        let rows = unknowns + more;
        let coefficients = prop::collection::vec(-1.0..1.0_f64, more * unknowns);
        let truth = prop::collection::vec(-1000.0..1000.0_f64, unknowns);
        let deviations = prop::collection::vec(0.01..10.0_f64, rows);
        (coefficients, truth, deviations).prop_map(move |(coefficients, truth, deviations)| {
            let design = DMatrix::from_fn(rows, unknowns, |row, column| {
                match row.checked_sub(unknowns) {
                    None => f64::from(row == column),
                    Some(row) => coefficients[row * unknowns + column],
                }
            });
            let values = &design * DVector::from_vec(truth.clone());
            let all = Observations::new(design, values, DVector::from_vec(deviations)).unwrap();
            (all, truth)
        })
    })
}

proptest! {
    /// Without errors x is the truth and nothing is suspect; redundancy numbers add up to the degrees of freedom.
    #[test]
    fn observations_without_errors_agree((all, truth) in nets()) {
        let told = all.snoop(&Snooping::default()).unwrap();
        prop_assert!(told.suspects.is_empty());
        for (x, truth) in told.adjustment.unknowns.iter().zip(&truth) {
            prop_assert!((x - truth).abs() < 1e-7, "{x} {truth}");
        }
        let sum: f64 = told.adjustment.observed.iter().map(|one| one.redundancy).sum();
        prop_assert!((sum - told.adjustment.degrees_of_freedom as f64).abs() < 1e-9);
    }

    /// A blunder moves its own residual by −r e, its estimate is e, and leaving it out gives the truth back. It is named,
    /// with others only where residuals go closely together.
    #[test]
    fn a_blunder_is_named((all, truth) in nets(), at in any::<prop::sample::Index>(), size in 10.0..1000.0_f64, negative: bool) {
        let at = at.index(all.len());
        let error = all.deviations[at] * if negative { -size } else { size };
        let mut spoilt = all.clone();
        spoilt.values[at] += error;
        let plain = spoilt.adjust().unwrap();
        let observed = plain.observed[at];
        prop_assert!((observed.residual + observed.redundancy * error).abs() < 1e-6 * error.abs());
        prop_assume!(observed.redundancy > 0.3);
        prop_assert!((observed.error.unwrap() - error).abs() < 1e-6 * error.abs());
        let told = spoilt.snoop(&Snooping::default()).unwrap();
        prop_assert_eq!(told.suspects.len(), 1);
        let group: Vec<usize> = told.suspects[0].group.iter().map(|m| m.observation).collect();
        prop_assert!(group.contains(&at));
        let square = observed.normalised.unwrap().powi(2);
        for other in (0..all.len()).filter(|other| *other != at) {
            let like = plain.correlation(at, other).unwrap_or(0.0).powi(2);
            // what a blunder here does to the statistic there is told by the correlation alone
            if square * (1.0 - like) > 4.0 {
                prop_assert!(!group.contains(&other), "{group:?} {other} {like}");
            }
        }
        let without = spoilt.adjust_without(&BTreeSet::from([at])).unwrap();
        for (x, truth) in without.unknowns.iter().zip(&truth) {
            prop_assert!((x - truth).abs() < 1e-6, "{x} {truth}");
        }
    }
}
