//! Level nets of a text book.
//!
//! Source: C. D. Ghilani and P. R. Wolf, "Adjustment Computations", chapter 12; inputs and results from memory, recomputed, and
//! in agreement with each other. That the book has example 12.1 with A = 437.596 m was read.

use crate::levelling::{Net, agree};

const METRE: (&str, f64) = ("Metre", 1000.0);

/// The standard deviation of weight 1: any will do beside which the prior of a model is weak
/// and no residual is suspect.
const UNIT: f64 = 0.1;

/// Between two benchmarks, with these weights.
fn two_benchmarks(weights: [f64; 7]) -> Net {
    let observed = [
        ("X", "A", 5.10),
        ("A", "Y", 2.34),
        ("Y", "C", -1.25),
        ("C", "X", -6.13),
        ("A", "B", -0.68),
        ("Y", "B", -3.00),
        ("B", "C", 1.70),
    ];
    let observed = observed.into_iter().zip(weights);
    Net {
        unit: METRE,
        known: vec![("X", 100.0), ("Y", 107.5)],
        sought: vec![("A", 105.0), ("B", 104.0), ("C", 106.0)],
        observed: observed
            .map(|((from, to, by), weight)| (from, to, by, UNIT / weight.sqrt()))
            .collect(),
    }
}

#[test]
fn equal_weights() {
    let net = two_benchmarks([1.0; 7]);
    let heights = net.heights();
    agree(
        "heights, from memory",
        heights.clone(),
        &[105.141, 104.483, 106.188],
        0.0005,
    );
    agree(
        "heights",
        heights,
        &[105.140952, 104.482857, 106.187619],
        5e-7,
    );
    let told = net.observations().adjust().unwrap();
    assert_eq!(told.degrees_of_freedom, 4);
    assert!((told.sigma0().unwrap() * UNIT - 0.050119).abs() < 5e-7);
    let residuals = [0.041, 0.019, -0.062, -0.058, 0.022, -0.017, 0.005];
    agree(
        "residuals, from memory",
        told.observed.iter().map(|one| one.residual),
        &residuals,
        0.0005,
    );
}

/// Weights by lengths of 4, 3, 2, 3, 2, 2 and 2 miles, times 12.
#[test]
fn weights_by_length() {
    let net = two_benchmarks([3.0, 4.0, 6.0, 4.0, 6.0, 6.0, 6.0]);
    let heights = net.heights();
    agree(
        "heights, from memory",
        heights.clone(),
        &[105.150, 104.489, 106.197],
        0.0005,
    );
    agree("heights", heights, &[105.1504, 104.4892, 106.1972], 0.00005);
    let told = net.observations().adjust().unwrap();
    assert!((told.sigma0().unwrap() * UNIT - 0.107219).abs() < 5e-7);
}

/// Example 12.1.
#[test]
fn weights_by_standard_deviation() {
    let net = Net {
        unit: METRE,
        known: vec![("A", 437.596)],
        sought: vec![("B", 448.0), ("C", 453.0), ("D", 445.0)],
        observed: vec![
            ("A", "B", 10.509, 0.006),
            ("B", "C", 5.360, 0.004),
            ("C", "D", -8.523, 0.005),
            ("D", "A", -7.348, 0.003),
            ("B", "D", -3.167, 0.004),
            ("A", "C", 15.881, 0.012),
        ],
    };
    let heights = net.heights();
    agree(
        "heights, from memory",
        heights.clone(),
        &[448.1087, 453.4685, 444.9436],
        0.00005,
    );
    agree(
        "heights",
        heights,
        &[448.108712, 453.468468, 444.943605],
        5e-7,
    );
    let told = net.observations().adjust().unwrap();
    assert_eq!(told.degrees_of_freedom, 3);
    let sigma0 = told.sigma0().unwrap();
    assert!((sigma0 - 0.65118).abs() < 5e-6);
    let deviations = told.deviations.iter().map(|one| one * sigma0);
    agree(
        "deviations",
        deviations,
        &[0.002295, 0.002636, 0.001761],
        5e-7,
    );
    assert!(net.reconciled().suspects.is_empty());
}
