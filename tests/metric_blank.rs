//! A metric blank with a neutral line of its own.
//!
//! Source: formulafactory.tools, flat pattern page (read): 300 mm over the outsides, three bends of 90 degrees, 2 mm steel, inside
//! radius 3 mm, k 0.33: deduction 4.25 mm each, flat 287.25 mm.

use std::f64::consts::FRAC_PI_2;

use strongback_model::trade::bending::Allowance;

#[test]
fn deduction_and_flat() {
    let form = Allowance::of_neutral(0.33);
    let deduction = form.deduction(FRAC_PI_2, 3.0, 2.0);
    assert!((deduction - 4.25).abs() < 0.01, "{deduction}");
    assert!((300.0 - 3.0 * deduction - 287.25).abs() < 0.01);
    assert!((form.neutral() - 0.33).abs() < 1e-12);
}
