//! A frustum rolled out.
//!
//! Source: ceemrr.com, Geometry2, DrawingsNets6 (read): ducts of diameter 5 and 8 with a gap of 4 between them: radii of the flat 7.12
//! and 11.39, sector 126.4 degrees. Lateral area: Sheet Metal Drafting, section 43, p. 91 (read). Formulas: mathforum.org, Dr. Math 65796
//! (read).

use std::f64::consts::{PI, TAU};

use nalgebra::Vector3;
use strongback_model::blank::develop::{Developed, Joined, develop};

fn frustum(large: f64, small: f64, height: f64) -> Developed {
    let ring =
        |radius: f64, z: f64| move |t: f64| Vector3::new(radius * t.cos(), radius * t.sin(), z);
    let knots: Vec<f64> = (0..=8).map(|at| TAU * f64::from(at) / 8.0).collect();
    develop(
        &ring(large, 0.0),
        &ring(small, height),
        &knots,
        Joined::ByTangents,
    )
}

#[test]
fn the_published_sector() {
    let strip = frustum(4.0, 2.5, 4.0);
    let slant = 4.0_f64.hypot(1.5);
    // the first ruling lies along the first axis, the apex an outer radius along it
    let apex = 4.0 * slant / 1.5;
    assert!((apex - 11.39).abs() < 0.01 && (apex - slant - 7.12).abs() < 0.01);
    let mut furthest = 0.0_f64;
    for (a, b) in strip.one.iter().zip(&strip.two) {
        let from = |at: &[f64; 2]| (at[0] - apex).hypot(at[1]);
        furthest = furthest
            .max((from(a) - apex).abs())
            .max((from(b) - apex + slant).abs());
    }
    assert!(furthest < 1e-6, "{furthest}");
    let last = strip.one.last().copied().unwrap_or_default();
    let sector = last[1].atan2(apex - last[0]).rem_euclid(TAU);
    assert!((sector.to_degrees() - 126.4).abs() < 0.05);
    assert!((sector - TAU * 1.5 / slant).abs() < 1e-6, "computed");
    let area = PI * (4.0 + 2.5) * slant;
    // the outline goes straight from point to point of its arcs
    let polygon = strip.area();
    assert!(
        (polygon - area).abs() < 1e-4 * area,
        "lateral area: {polygon}"
    );
}
