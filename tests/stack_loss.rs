//! The stack-loss data: a regression with an outlier, and no stated standard deviation.
//!
//! Source: K. A. Brownlee, "Statistical Theory and Methodology in Science and Engineering" (1965), in many texts; data from
//! memory, figures recomputed. Row 21 is the classic outlier, published as -2.64 and -3.33.

use nalgebra::{DMatrix, DVector};
use strongback_solver::adjustment::{Observations, Scale, Snooping};

/// Air flow, water temperature, acid concentration, stack loss.
const ROWS: [[f64; 4]; 21] = [
    [80.0, 27.0, 89.0, 42.0],
    [80.0, 27.0, 88.0, 37.0],
    [75.0, 25.0, 90.0, 37.0],
    [62.0, 24.0, 87.0, 28.0],
    [62.0, 22.0, 87.0, 18.0],
    [62.0, 23.0, 87.0, 18.0],
    [62.0, 24.0, 93.0, 19.0],
    [62.0, 24.0, 93.0, 20.0],
    [58.0, 23.0, 87.0, 15.0],
    [58.0, 18.0, 80.0, 14.0],
    [58.0, 18.0, 89.0, 14.0],
    [58.0, 17.0, 88.0, 13.0],
    [58.0, 18.0, 82.0, 11.0],
    [58.0, 19.0, 93.0, 12.0],
    [50.0, 18.0, 89.0, 8.0],
    [50.0, 18.0, 86.0, 7.0],
    [50.0, 19.0, 72.0, 8.0],
    [50.0, 19.0, 79.0, 8.0],
    [50.0, 20.0, 80.0, 9.0],
    [56.0, 20.0, 82.0, 15.0],
    [70.0, 20.0, 91.0, 15.0],
];

fn observations() -> Observations {
    let design = DMatrix::from_fn(21, 4, |row, column| match column {
        0 => 1.0,
        _ => ROWS[row][column - 1],
    });
    let values = DVector::from_fn(21, |row, _| ROWS[row][3]);
    Observations::new(design, values, DVector::from_element(21, 1.0)).unwrap()
}

#[test]
fn coefficients_and_scale() {
    let told = observations().adjust().unwrap();
    let expected = [-39.919674, 0.715640, 1.295286, -0.152123];
    for (got, expected) in told.unknowns.iter().zip(expected) {
        assert!((got - expected).abs() < 1e-6, "{:?}", told.unknowns);
    }
    assert_eq!(told.degrees_of_freedom, 17);
    assert!((told.sigma0().unwrap() - 3.243364).abs() < 5e-7);
}

/// v is adjusted less observed here, the other way round in the source.
#[test]
fn studentised_residuals() {
    let told = observations().adjust().unwrap();
    for (row, internal, external) in [
        (21, -2.63822, -3.330493),
        (4, 1.881816, 2.051797),
        (3, 1.546020, 1.617904),
    ] {
        let got = -told.studentised(row - 1).unwrap();
        assert!((got - internal).abs() < 5e-6, "row {row}: {got}");
        let got = -told.studentised_by_others(row - 1).unwrap();
        assert!((got - external).abs() < 5e-6, "row {row}: {got}");
    }
}

/// Without row 21, row 4 stands out: of the four that texts suspect (1, 3, 4 and 21; from memory) these are two.
#[test]
fn the_classic_outlier_is_found() {
    let rule = Snooping {
        critical: 2.5,
        scale: Scale::Estimated,
    };
    let told = observations().snoop(&rule).unwrap();
    let suspects: Vec<usize> = told
        .suspects
        .iter()
        .map(|one| one.group[0].observation + 1)
        .collect();
    assert_eq!(suspects, [21, 4]);
}
