//! A strip with three bends against a work book's worked numbers.
//!
//! Source: sheetmetalworkbook.com/90bends.htm (read): T 0.050, R 0.032; allowance 0.085, deduction 0.079; outside legs 0.740, 0.420,
//! 1.050, 1.000 make a blank of 2.973; 0.370 outside to inside is 0.420 outside to outside.

use std::f64::consts::FRAC_PI_2;

use strongback_model::trade::bending::{Form, flats, setback};

const T: f64 = 0.050;
const R: f64 = 0.032;

#[test]
fn allowance_and_deduction() {
    for form in [Form::Handbook, Form::AsPrinted] {
        let form = form.allowance();
        assert!((form.allowance(FRAC_PI_2, R, T) - 0.085).abs() < 0.0005);
        assert!((form.deduction(FRAC_PI_2, R, T) - 0.079).abs() < 0.0005);
    }
}

#[test]
fn the_blank() {
    // 0.370 to the inside is a thickness more to the outside; 1.740 less 0.740, and a thickness
    let legs = [0.740, 0.370 + T, 1.740 - 0.740 + T, 1.000];
    assert!((legs[1] - 0.420).abs() < 0.0005 && (legs[2] - 1.050_f64).abs() < 0.0005);
    let form = Form::Handbook.allowance();
    let setbacks = [setback(FRAC_PI_2, R, T); 3];
    let by_flats =
        flats(&legs, &setbacks).iter().sum::<f64>() + 3.0 * form.allowance(FRAC_PI_2, R, T);
    let by_deductions = legs.iter().sum::<f64>() - 3.0 * form.deduction(FRAC_PI_2, R, T);
    assert!((by_flats - 2.973).abs() < 0.0015, "{by_flats}");
    assert!((by_flats - by_deductions).abs() < 1e-12);
}
