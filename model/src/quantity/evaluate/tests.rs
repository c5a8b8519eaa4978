//! Evaluation: kinds, bare numbers, faults, derivatives, and what is to be found.
#![allow(clippy::unwrap_used)]
use super::super::{MAX_DEPTH, parse};
use super::*;

/// bay 254 mm, pitch 25.4 mm, cant 0.1 rad, count 4, and `rail` (at 100 mm now) and `cap` (nowhere yet) to be found.
fn lookup(name: &str) -> Option<Named> {
    let (id, kind, value, find) = match name {
        "bay" => (0, Kind::Length, Some(254.0), false),
        "pitch" => (1, Kind::Length, Some(25.4), false),
        "cant" => (2, Kind::Angle, Some(0.1), false),
        "count" => (3, Kind::Number, Some(4.0), false),
        "rail" => (4, Kind::Length, Some(100.0), true),
        "cap" => (5, Kind::Length, None, true),
        "later" => (6, Kind::Length, None, false),
        _ => return None,
    };
    Some(Named {
        id,
        kind,
        value,
        find,
    })
}

fn given(text: &str, bare: BareUnit) -> Result<Affine, ExpressionFault> {
    evaluate(&parse(text)?, &lookup, bare)
}

fn in_inches(text: &str) -> Result<Affine, ExpressionFault> {
    given(text, BareUnit::length(Unit::Inch))
}

#[test]
fn bare_numbers() {
    for (text, mm) in [
        ("23 1/2", 23.5 * 25.4),
        ("5/8", 0.625 * 25.4),
        ("2 * 3", 6.0 * 25.4),
        ("bay * 2 + 5/8", 508.0 + 15.875),
        ("bay * 2 + 5/8 in", 508.0 + 15.875),
        ("2 * bay", 508.0),
        ("bay / 2", 127.0),
        ("3 + bay", 76.2 + 254.0),
        ("bay + -(1 + 2)", 254.0 - 76.2),
        ("(2 + 5/8) * bay", 2.625 * 254.0),
        ("2 * (3 + bay)", 2.0 * (76.2 + 254.0)),
        ("3 + 10 mm", 86.2),
        ("bay / pitch * 1 in", 254.0),
        ("bay * bay / pitch", 2540.0),
    ] {
        let affine = in_inches(text).unwrap();
        assert!((affine.value - mm).abs() < 1e-9, "{text}: {affine:?}");
        assert_eq!(affine.kind, Kind::Length, "{text}");
    }
    assert_eq!(
        given("3 + bay", BareUnit::length(Unit::Millimetre))
            .unwrap()
            .value,
        257.0
    );
    let right = given("90", BareUnit::angle(Unit::Inch)).unwrap();
    assert_eq!(
        (right.kind, right.value),
        (Kind::Angle, std::f64::consts::FRAC_PI_2)
    );
    assert!((in_inches("cant + 2").unwrap().value - 0.1 - 2f64.to_radians()).abs() < 1e-15);
    assert_eq!(
        given("count + 2", BareUnit::number(Unit::Inch))
            .unwrap()
            .value,
        6.0
    );
    assert_eq!(in_inches("bay / pitch").unwrap().kind, Kind::Number);
}

#[test]
fn kinds_that_do_not_fit() {
    for (text, span, sentence) in [
        (
            "bay + cant",
            6..10,
            "an angle can't be added to a length, or taken from it",
        ),
        (
            "2 deg - bay",
            8..11,
            "a length can't be added to an angle, or taken from it",
        ),
        (
            "bay + count",
            6..11,
            "a plain number can't be added to a length, or taken from it",
        ),
        (
            "count + bay * 2",
            8..15,
            "a length can't be added to a plain number, or taken from it",
        ),
        (
            "bay + bay / pitch",
            6..17,
            "a plain number can't be added to a length, or taken from it",
        ),
        (
            "bay * pitch + 3",
            14..15,
            "a plain number can't be added to an area, or taken from it",
        ),
        (
            "bay * pitch",
            0..11,
            "the result is an area: neither a length, an angle nor a plain number",
        ),
        (
            "5 / 8 in",
            0..8,
            "the result is one over a length: neither a length, an angle nor a plain number",
        ),
        (
            "bay * cant",
            0..10,
            "the result is a length times an angle: neither a length, an angle nor a plain number",
        ),
    ] {
        let fault = in_inches(text).unwrap_err();
        assert_eq!(
            (fault.span.clone(), fault.to_string()),
            (span, sentence.to_owned()),
            "{text}"
        );
    }
    let expression = parse("bay / 2").unwrap();
    let fault = evaluate_as(Kind::Angle, &expression, &lookup, Unit::Inch).unwrap_err();
    assert_eq!(
        fault.to_string(),
        "an angle is needed here, and this is a length"
    );
    assert!(evaluate_as(Kind::Length, &expression, &lookup, Unit::Inch).is_ok());
}

#[test]
fn values_that_are_not_there() {
    let fault = |text: &str| in_inches(text).unwrap_err();
    assert_eq!(fault("bay / (3 - 3)").kind, FaultKind::DivisionByZero);
    assert_eq!(fault("bay / (pitch - pitch)").span, 6..21);
    assert_eq!(fault("bay / 0").kind, FaultKind::DivisionByZero);
    assert_eq!(
        fault("bay + later").kind,
        FaultKind::NoValue("later".to_owned())
    );
    let unknown = fault("2 * by").with_nearest(["bay", "pitch"]);
    assert_eq!(
        (unknown.span.clone(), unknown.help().unwrap()),
        (4..6, "did you mean `bay`?".to_owned())
    );
    let huge = "9".repeat(300);
    assert_eq!(fault(&format!("{huge} * {huge}")).kind, FaultKind::TooLarge);
    assert_eq!(fault(&format!("{huge}0000000 m")).kind, FaultKind::TooLarge);
}

#[test]
fn given_values_are_linearised_about_themselves() {
    let area = in_inches("bay * bay / pitch").unwrap();
    // d(b²/p)/db = 2b/p = 20, d/dp = -b²/p² = -100
    assert_eq!(area.terms, [(0, 20.0), (1, -100.0)]);
    assert!((area.at(|id| if id == 0 { 254.0 } else { 25.4 }) - area.value).abs() < 1e-9);
    assert!(!area.provisional);
    let cancelled = in_inches("bay - bay + 1").unwrap();
    assert!(cancelled.is_constant() && cancelled.value == 25.4);
}

#[test]
fn what_is_to_be_found_has_to_stay_affine() {
    let half = in_inches("(rail - 1) / 2 + bay").unwrap();
    assert_eq!(half.terms, [(0, 1.0), (4, 0.5)]);
    assert!((half.constant + 12.7).abs() < 1e-12 && !half.provisional);
    for text in ["rail * cap / pitch", "rail * rail / bay"] {
        assert_eq!(
            in_inches(text).unwrap_err().kind,
            FaultKind::ProductOfUnknowns,
            "{text}"
        );
    }
    for text in ["bay * pitch / rail", "rail / rail", "2 / (cap + bay)"] {
        assert_eq!(
            in_inches(text).unwrap_err().kind,
            FaultKind::DivisionByUnknown,
            "{text}"
        );
    }
    assert_eq!(
        in_inches("(rail - rail + bay) * rail / pitch")
            .unwrap()
            .value,
        1000.0
    );
}

#[test]
fn given_times_found_holds_for_every_value_of_the_found() {
    for (text, slope) in [
        ("rail * count", 4.0),
        ("count * rail", 4.0),
        ("rail / count", 0.25),
    ] {
        let form = in_inches(text).unwrap();
        assert!(form.provisional);
        for rail in [-3.0, 0.0, 100.0, 512.5] {
            let value = form.at(|id| if id == 3 { 4.0 } else { rail });
            assert!((value - slope * rail).abs() < 1e-9, "{text} at {rail}");
        }
    }
    let unplaced = in_inches("cap * count + bay").unwrap();
    assert_eq!(
        (unplaced.terms.as_slice(), unplaced.value),
        ([(0, 1.0), (5, 4.0)].as_slice(), 254.0)
    );
}

#[test]
fn the_deepest_expression_needs_little_stack() {
    let nested = MAX_DEPTH / 3;
    let text = format!(
        "{}bay{}",
        "1 + 2 * -(3 * (".repeat(nested),
        "))".repeat(nested)
    );
    let wide = format!("bay{}", " + pitch".repeat(500));
    // A quarter of the stack that Rust gives a new thread.
    let outcome = std::thread::Builder::new()
        .stack_size(512 * 1024)
        .spawn(move || {
            (
                in_inches(&text).unwrap().value,
                in_inches(&wide).unwrap().terms,
            )
        })
        .unwrap()
        .join()
        .unwrap();
    let expected = (0..nested).fold(254.0, |inner, _| 25.4 - 6.0 * inner);
    assert!((outcome.0 / expected - 1.0).abs() < 1e-12);
    assert_eq!(outcome.1, [(0, 1.0), (1, 500.0)]);
}
