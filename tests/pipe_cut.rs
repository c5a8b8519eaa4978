//! A pipe cut at 30 degrees.
//!
//! Source: pipecalculators.com, after Triouleyre (read): radius 57.15, plane at 30 degrees: z = R sin θ tan 30 = 32.99 at 90 degrees, -32.99
//! at 270, none at 0 and 180. Its circumference, 359.02, is a misprint: 2 π 57.15 is 359.08.

use std::f64::consts::TAU;

use nalgebra::Vector3;
use strongback_model::blank::develop::{Joined, develop};

#[test]
fn the_published_ordinates() {
    let slope = 30_f64.to_radians().tan();
    let ring = |t: f64| Vector3::new(57.15 * t.cos(), 57.15 * t.sin(), 0.0);
    let cut = move |t: f64| ring(t) + Vector3::new(0.0, 0.0, 100.0 + 57.15 * t.sin() * slope);
    let knots: Vec<f64> = (0..=4).map(|at| TAU * f64::from(at) / 4.0).collect();
    let strip = develop(&ring, &cut, &knots, Joined::ByTangents);
    let quarter = (strip.two.len() - 1) / 4;
    for (at, z) in [0.0, 32.99, 0.0, -32.99, 0.0].into_iter().enumerate() {
        let [y, _] = strip.two[at * quarter];
        assert!((y - 100.0 - z).abs() < 0.01, "{at}: {y}");
    }
    assert!((strip.lengths[0] - TAU * 57.15).abs() < 1e-6);
    assert!((strip.lengths[0] - 359.02).abs() > 0.05, "the misprint");
}
