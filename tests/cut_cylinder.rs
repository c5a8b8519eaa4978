//! A pipe cut at 45 degrees, rolled out.
//!
//! Source: Math Central QQ.09.07 (read): a pipe of diameter 200 mm cut at 45 degrees: y = 100 cos(x/100), period 200 π = 628.3 mm.
//! Ordinates at each 30 degrees: computed.

use std::f64::consts::TAU;

use nalgebra::Vector3;
use strongback_model::blank::develop::{Joined, develop};

#[test]
fn the_published_cosine() {
    let square = |t: f64| Vector3::new(100.0 * t.cos(), 100.0 * t.sin(), -300.0);
    let cut = |t: f64| Vector3::new(100.0 * t.cos(), 100.0 * t.sin(), 100.0 * t.cos());
    let knots: Vec<f64> = (0..=12).map(|at| TAU * f64::from(at) / 12.0).collect();
    let strip = develop(&square, &cut, &knots, Joined::ByTangents);
    for (a, b) in strip.one.iter().zip(&strip.two) {
        let x = b[1];
        assert!(a[0].abs() < 1e-6 && (a[1] - x).abs() < 1e-6);
        assert!((b[0] - 300.0 - 100.0 * (x / 100.0).cos()).abs() < 1e-6);
    }
    assert!(
        (strip.lengths[0] - 628.3).abs() < 0.05
            && (strip.lengths[0] - 200.0 * TAU / 2.0).abs() < 1e-6
    );
    let each = (strip.two.len() - 1) / 12;
    for (at, ordinate) in [100.0, 86.60, 50.0, 0.0, -50.0, -86.60, -100.0]
        .into_iter()
        .enumerate()
    {
        let [y, _] = strip.two[at * each];
        assert!((y - 300.0 - ordinate).abs() < 0.01, "{at}: {y}");
    }
}
