//! Printed figures: fractions, rests, signs, carries and what is no length.
use super::*;

fn inch(inches: f64, style: Style) -> String {
    length(Length::from_inches(inches), Unit::Inch, style)
}

#[test]
fn fractions_are_reduced() {
    for (value, text) in [
        (23.5, "23 1/2 in"),
        (0.625, "5/8 in"),
        (-0.1875, "-3/16 in"),
        (3.0, "3 in"),
        (1.0 / 64.0, "1/64 in"),
        (-0.0, "0 in"),
    ] {
        assert_eq!(inch(value, Style::Short), text);
        assert_eq!(inch(value, Style::Long), text);
    }
    assert_eq!(inch(0.25, Style::Decimal), "0.25 in");
}

#[test]
fn the_rest_is_in_decimals() {
    assert_eq!(inch(11.28546, Style::Long), "11 9/32 in + 0.0042 in");
    assert_eq!(inch(-11.28546, Style::Long), "-11.2855 in");
    assert_eq!(inch(11.27702, Style::Long), "11 9/32 in - 0.0042 in");
    assert_eq!(inch(-11.27702, Style::Long), "-11.277 in");
    assert_eq!(inch(11.28546, Style::Short), "11.2855 in");
    let column = figure(
        Length::from_inches(11.28546),
        Unit::Inch,
        Style::Long,
        Sign::Both,
    );
    assert_eq!(column, "+11 9/32 + 0.0042");
    assert_eq!(inch(0.032, Style::Short), "0.032 in");
    assert_eq!(inch(0.004, Style::Long), "0.004 in");
}

/// A sum of a negative figure and a positive rest is read wrong at a glance.
#[test]
fn a_length_below_nought_has_no_rest() {
    assert_eq!(inch(-23.9992, Style::Long), "-23.9992 in");
    assert_eq!(inch(-24.0, Style::Long), "-24 in");
    let feet = length(Length::from_inches(-23.9992), Unit::Foot, Style::Long);
    assert_eq!(feet, "-1 ft 11.9992 in");
}

/// A half of the last place, brought through millimetres, lies a hair below or above itself.
#[test]
fn halves_are_rounded_up() {
    for (inches, text) in [
        (41.75075, "41.7508 in"),
        (0.03125 + 0.01235, "0.0436 in"),
        (1.00005, "1.0001 in"),
    ] {
        assert_eq!(inch(inches, Style::Short), text);
    }
    let metric = length(Length::from_mm(2.0005), Unit::Millimetre, Style::Short);
    assert_eq!(metric, "2.001 mm");
}

#[test]
fn the_tolerance_of_a_fraction() {
    assert_eq!(inch(23.5 + 0.9e-6, Style::Long), "23 1/2 in");
    assert_eq!(inch(23.5 + 1.1e-6, Style::Long), "23 1/2 in + 0.000001 in");
    assert_eq!(inch(23.5 + 1.1e-6, Style::Short), "23.5 in");
}

#[test]
fn signs() {
    let shown = |inches: f64| {
        figure(
            Length::from_inches(inches),
            Unit::Inch,
            Style::Short,
            Sign::Both,
        )
    };
    assert_eq!(
        [shown(0.625), shown(-0.1875), shown(0.0), shown(-1e-9)],
        ["+5/8", "-3/16", "0", "0"]
    );
    assert_eq!(
        shift(Length::from_mm(-0.0004), Unit::Millimetre, Style::Short),
        "0 mm"
    );
    assert_eq!(
        shift(Length::from_mm(0.5), Unit::Millimetre, Style::Short),
        "+0.5 mm"
    );
    assert_eq!(turn(Angle::from_degrees(0.25)), "+0.25 deg");
    assert_eq!(angle(Angle::from_degrees(-12.3456)), "-12.346 deg");
    assert_eq!(angle(Angle::from_rad(-0.0)), "0 deg");
}

#[test]
fn feet_and_metric() {
    let foot = |inches: f64, style| length(Length::from_inches(inches), Unit::Foot, style);
    assert_eq!(foot(15.25, Style::Short), "1 ft 3 1/4 in");
    assert_eq!(foot(-24.0, Style::Short), "-2 ft");
    assert_eq!(foot(0.5, Style::Short), "1/2 in");
    assert_eq!(foot(11.999_97, Style::Short), "1 ft");
    assert_eq!(foot(23.9958, Style::Long), "2 ft 0 in - 0.0042 in");
    assert_eq!(foot(15.2854, Style::Short), "1 ft 3.2854 in");
    let metric = |unit| length(Length::from_mm(1234.5678), unit, Style::Long);
    assert_eq!(
        [
            metric(Unit::Millimetre),
            metric(Unit::Centimetre),
            metric(Unit::Metre)
        ],
        ["1234.568 mm", "123.4568 cm", "1.234568 m"]
    );
}

#[test]
fn what_is_no_length_is_still_text() {
    for value in [
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        1e300,
        f64::MIN_POSITIVE,
    ] {
        for unit in [Unit::Inch, Unit::Foot, Unit::Millimetre] {
            assert!(length(Length::from_mm(value), unit, Style::Long).len() < 32);
        }
    }
}
