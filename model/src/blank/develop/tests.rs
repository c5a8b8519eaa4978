//! Strips against closed forms, and the laws of a development.
#![allow(clippy::unwrap_used)]

use std::f64::consts::{PI, TAU};

use nalgebra::Vector3;
use proptest::prelude::*;

use super::*;

fn knots(to: f64) -> Vec<f64> {
    (0..=8).map(|at| to * f64::from(at) / 8.0).collect()
}

/// An oblique cone: circles of radius 3 and 1 whose middles are not above each other. Its rulings join equal angles, and all pass
/// through one apex, so that the flat keeps the distances from it.
#[test]
fn an_oblique_cone_keeps_the_distances_from_its_apex() {
    let ring = |radius: f64, x: f64, z: f64| {
        move |t: f64| Vector3::new(x + radius * t.cos(), radius * t.sin(), z)
    };
    let (one, two) = (ring(3.0, 0.0, 0.0), ring(1.0, 2.0, 4.0));
    let strip = develop(&one, &two, &knots(PI), Joined::ByTangents);
    // 3:1, so the apex lies half as far again beyond the small one
    let apex = Vector3::new(3.0, 0.0, 6.0);
    let rulings = strip.one.iter().zip(&strip.two).zip(&strip.rulings);
    let [x0, y0] = strip.one[0];
    let [x1, y1] = strip.two[0];
    let flat_apex = [x0 + 1.5 * (x1 - x0), y0 + 1.5 * (y1 - y0)];
    for ((a, b), [s, t]) in rulings {
        assert!((s - t).abs() < 1e-7, "{s} {t}");
        let from_apex = |at: &[f64; 2]| (at[0] - flat_apex[0]).hypot(at[1] - flat_apex[1]);
        assert!((from_apex(a) - (one(*s) - apex).norm()).abs() < 1e-6);
        assert!((from_apex(b) - (two(*t) - apex).norm()).abs() < 1e-6);
    }
}

/// The same cone with the small circle's angles counted from elsewhere: partners have to be found.
#[test]
fn partners_are_found_where_the_parameters_don_t_agree() {
    let one = |t: f64| Vector3::new(3.0 * t.cos(), 3.0 * t.sin(), 0.0);
    let warp = |t: f64| t + 0.3 * (t * t / PI - t) / PI;
    let two = move |t: f64| Vector3::new(warp(t).cos(), warp(t).sin(), 4.0);
    let strip = develop(&one, &two, &knots(PI), Joined::ByTangents);
    for [s, t] in &strip.rulings {
        assert!((s - warp(*t)).abs() < 1e-6, "{s} {}", warp(*t));
    }
    let slant = (16.0_f64 + 4.0).sqrt();
    for (a, b) in strip.one.iter().zip(&strip.two) {
        assert!(((a[0] - b[0]).hypot(a[1] - b[1]) - slant).abs() < 1e-6);
    }
    // straight from point to point of its arcs
    assert!((strip.area() - 0.5 * PI * (3.0 + 1.0) * slant).abs() < 1e-3);
}

/// A quarter of a circle and a straight line beside its end: partners end before the line does, and the rest is a fan.
#[test]
fn what_has_no_partner_is_a_fan() {
    let one = |t: f64| Vector3::new(0.0, t, 0.0);
    let two = |t: f64| Vector3::new(2.0, 3.0 * t, 0.0);
    let strip = develop(&one, &two, &[0.0, 1.0], Joined::ByTangents);
    // a flat trapezoid
    assert!((strip.area() - 2.0 * (1.0 + 3.0) * 0.5).abs() < 1e-9);
    assert_eq!(
        strip.lengths.map(|length| (length * 1e9).round() / 1e9),
        [1.0, 3.0]
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Frusta of any size, through any angle: a sector, by its radii and its angle, to a millionth.
    #[test]
    fn a_frustum_is_a_sector(small in 0.5..5.0_f64, more in 0.1..5.0_f64, height in 0.5..8.0_f64, whole in 0.3..TAU) {
        let large = small + more;
        let ring = |radius: f64, z: f64| move |t: f64| Vector3::new(radius * t.cos(), radius * t.sin(), z);
        let strip = develop(&ring(large, 0.0), &ring(small, height), &knots(whole), Joined::ByTangents);
        let slant = more.hypot(height);
        let outer = large * slant / more;
        let angle = whole * more / slant;
        // the apex lies an outer radius along the first ruling
        for (a, b) in strip.one.iter().zip(&strip.two) {
            prop_assert!(((a[0] - outer).hypot(a[1]) - outer).abs() < 1e-6 * outer);
            prop_assert!(((b[0] - outer).hypot(b[1]) - (outer - slant)).abs() < 1e-6 * outer);
        }
        let [x, y] = *strip.one.last().unwrap();
        let turned = (y.atan2(outer - x)).rem_euclid(TAU);
        prop_assert!((turned - angle).abs() < 1e-6, "{} {}", turned, angle);
        prop_assert!((strip.lengths[0] - large * whole).abs() < 1e-6);
    }

    /// A cylinder cut square at one end and obliquely at the other: x = r θ, y = r (1 - cos θ) tan α, and what is left of it.
    #[test]
    fn a_cut_cylinder_is_a_sine(radius in 0.5..5.0_f64, cut in 0.05..1.1_f64) {
        let slope = cut.tan();
        let height = move |t: f64| radius * (1.0 - t.cos()) * slope;
        let one = move |t: f64| Vector3::new(radius * t.cos(), radius * t.sin(), 0.0);
        let two = move |t: f64| one(t) + Vector3::new(0.0, 0.0, 1.0 + height(t));
        let strip = develop(&one, &two, &knots(TAU), Joined::ByTangents);
        for ((a, b), [s, _]) in strip.one.iter().zip(&strip.two).zip(&strip.rulings) {
            prop_assert!(a[0].abs() < 1e-6 && (a[1] - radius * s).abs() < 1e-6);
            prop_assert!((b[0] - 1.0 - height(*s)).abs() < 1e-6 && (b[1] - radius * s).abs() < 1e-6);
        }
        prop_assert!((strip.area() - TAU * radius * (1.0 + radius * slope)).abs() < 1e-5);
    }
}
