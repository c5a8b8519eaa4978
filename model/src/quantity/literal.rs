//! Reading a figure as builders write it. In: text at a digit or a point. Out: `23 1/2`, `5/8 in`, `1' 3 1/4"`, `16.5 mm`, `3 deg` as one literal.
//! A fraction alone is a literal only when a unit follows: `bay/2/3` divides twice, `5/8 in` is five eighths of an inch.
//! A whole number, a blank and a fraction are a mixed number with or without a unit. A word after a figure has to be a unit.

use std::ops::Range;

use winnow::ascii::{digit0, digit1};
use winnow::combinator::{alt, not, opt, peek};
use winnow::prelude::*;
use winnow::stream::Location;
use winnow::token::{any, take_while};

use super::expression::{Expression, Form, Literal, Node};
use super::fault::{FaultKind, nearest};
use super::name::{word_char, word_start};
use super::reader::{Input, Parsed, blanks, blanks1, halt, rest, text_at};
use super::unit::{Measure, Unit, WORDS};

/// Reads one literal; backtracks where no number stands.
pub(super) fn literal(i: &mut Input<'_>) -> Parsed<Expression> {
    let start = i.current_token_start();
    let (mut figure, mut form) = number(i)?;
    let mut measure = opt(measure_after).parse_next(i)?;
    if form == Form::Whole
        && measure == Some(Measure::Length(Unit::Foot))
        && let Some(inches) = inches_after_feet(i)?
    {
        figure = 12.0 * figure + inches;
        measure = Some(Measure::Length(Unit::Inch));
        form = Form::FeetAndInches;
    }
    let span = start..i.current_token_start();
    if !figure.is_finite() {
        return Err(halt(span, FaultKind::TooLarge));
    }
    let literal = Literal {
        figure,
        measure,
        form,
    };
    Ok(Expression {
        span,
        node: Node::Literal(literal),
    })
}

/// Whether a number begins here.
pub(super) fn begins_number(text: &str) -> bool {
    let text = text.strip_prefix('.').unwrap_or(text);
    text.starts_with(|c: char| c.is_ascii_digit())
}

fn number(i: &mut Input<'_>) -> Parsed<(f64, Form)> {
    alt((
        (fraction, peek((blanks, unit_word_or_mark))).map(|(figure, _)| (figure, Form::Fraction)),
        mixed.map(|figure| (figure, Form::Mixed)),
        decimal,
    ))
    .parse_next(i)
}

/// `5/8` without blanks, and not the beginning of `5/8.2`.
fn fraction(i: &mut Input<'_>) -> Parsed<f64> {
    let ((above, below), span) = (digit1.parse_to(), '/', digit1.parse_to())
        .map(|(above, _, below): (f64, _, f64)| (above, below))
        .with_span()
        .parse_next(i)?;
    not('.').parse_next(i)?;
    // Refused at once: to backtrack would read `1/0 in` as one over nought inches.
    if below == 0.0 {
        let text = text_at(i, &span).to_owned();
        return Err(halt(span, FaultKind::ZeroDenominator(text)));
    }
    // Both may be beyond an f64, and their ratio no number at all.
    if !(above.is_finite() && below.is_finite()) {
        return Err(halt(span, FaultKind::TooLarge));
    }
    Ok(above / below)
}

fn mixed(i: &mut Input<'_>) -> Parsed<f64> {
    let (whole, _, part): (f64, _, f64) = (digit1.parse_to(), blanks1, fraction).parse_next(i)?;
    Ok(whole + part)
}

fn decimal(i: &mut Input<'_>) -> Parsed<(f64, Form)> {
    alt(((digit1, opt(('.', digit0))).take(), ('.', digit1).take()))
        .verify_map(|text: &str| {
            let form = if text.contains('.') {
                Form::Decimal
            } else {
                Form::Whole
            };
            Some((text.parse().ok()?, form))
        })
        .parse_next(i)
}

/// A unit after a figure, with or without a blank; a word that is no unit is a fault.
fn measure_after(i: &mut Input<'_>) -> Parsed<Measure> {
    blanks(i)?;
    if let Some(measure) = opt(unit_word_or_mark).parse_next(i)? {
        return Ok(measure);
    }
    let (word, span) = word.with_span().parse_next(i)?;
    let likest = nearest(word, WORDS.iter().map(|&(known, _)| known));
    let unit = FaultKind::UnknownUnit {
        word: word.to_owned(),
        nearest: likest.map(ToOwned::to_owned),
    };
    Err(halt(span, unit))
}

fn unit_word_or_mark(i: &mut Input<'_>) -> Parsed<Measure> {
    alt((
        any.verify_map(Measure::from_mark),
        word.verify_map(Measure::from_word),
    ))
    .parse_next(i)
}

fn word<'i>(i: &mut Input<'i>) -> Parsed<&'i str> {
    (
        peek(any.verify(|&c| word_start(c))),
        take_while(1.., word_char),
    )
        .map(|(_, word)| word)
        .parse_next(i)
}

/// The inches of `1' 3 1/4"`. A number after feet that isn't in inches is a fault, for nobody can know what was meant.
fn inches_after_feet(i: &mut Input<'_>) -> Parsed<Option<f64>> {
    if !begins_number(rest(i).trim_start()) {
        return Ok(None);
    }
    blanks(i)?;
    let ((inches, _), span): (_, Range<usize>) = number.with_span().parse_next(i)?;
    match opt(measure_after).parse_next(i)? {
        Some(Measure::Length(Unit::Inch)) => Ok(Some(inches)),
        _ => {
            let text = text_at(i, &span).to_owned();
            Err(halt(span, FaultKind::FeetWithoutInches(text)))
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic)]
    use super::super::parse;
    use super::*;

    fn read(text: &str) -> (f64, Option<Measure>, Form) {
        match parse(text) {
            Ok(Expression {
                node:
                    Node::Literal(Literal {
                        figure,
                        measure,
                        form,
                    }),
                span,
            }) => {
                assert_eq!(span, 0..text.len(), "{text}");
                (figure, measure, form)
            }
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn figures_as_builders_write_them() {
        let inch = Some(Measure::Length(Unit::Inch));
        let mm = Some(Measure::Length(Unit::Millimetre));
        for (text, figure, measure, form) in [
            ("23 1/2", 23.5, None, Form::Mixed),
            ("23 1/2 in", 23.5, inch, Form::Mixed),
            ("23  1/2in", 23.5, inch, Form::Mixed),
            ("5/8\"", 0.625, inch, Form::Fraction),
            ("5/8″", 0.625, inch, Form::Fraction),
            ("5/8 Inches", 0.625, inch, Form::Fraction),
            ("1' 3 1/4\"", 15.25, inch, Form::FeetAndInches),
            ("1'3\"", 15.0, inch, Form::FeetAndInches),
            ("1 ft 3 1/4 in", 15.25, inch, Form::FeetAndInches),
            ("1 ft 5/8 in", 12.625, inch, Form::FeetAndInches),
            ("1’ 3.5”", 15.5, inch, Form::FeetAndInches),
            ("2 ft", 2.0, Some(Measure::Length(Unit::Foot)), Form::Whole),
            (
                "1.5 ft",
                1.5,
                Some(Measure::Length(Unit::Foot)),
                Form::Decimal,
            ),
            ("16.5 mm", 16.5, mm, Form::Decimal),
            (".032 in", 0.032, inch, Form::Decimal),
            ("5. mm", 5.0, mm, Form::Decimal),
            (
                "2 cm",
                2.0,
                Some(Measure::Length(Unit::Centimetre)),
                Form::Whole,
            ),
            ("2 m", 2.0, Some(Measure::Length(Unit::Metre)), Form::Whole),
            ("3 deg", 3.0, Some(Measure::Degree), Form::Whole),
            ("3 1/2°", 3.5, Some(Measure::Degree), Form::Mixed),
            ("0.1 rad", 0.1, Some(Measure::Radian), Form::Decimal),
            ("19", 19.0, None, Form::Whole),
        ] {
            assert_eq!(read(text), (figure, measure, form), "{text}");
        }
    }

    #[test]
    fn a_fraction_without_a_unit_is_a_division() {
        assert!(matches!(parse("5/8").unwrap().node, Node::Product(_)));
        assert!(matches!(parse("5 / 8 in").unwrap().node, Node::Product(_)));
        // No fraction over nought.
        assert!(matches!(parse("6/0.5").unwrap().node, Node::Product(_)));
        match parse("bay/2/3").unwrap().node {
            Node::Product(factors) => assert_eq!(factors.len(), 3),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn what_is_no_figure() {
        let fault = |text: &str| parse(text).unwrap_err();
        assert_eq!(
            fault("1/0 in").kind,
            FaultKind::ZeroDenominator("1/0".to_owned())
        );
        assert_eq!(fault("2 + 3 1/00").span, 6..10);
        assert_eq!(
            fault("1 ft 3").kind,
            FaultKind::FeetWithoutInches("3".to_owned())
        );
        assert_eq!(
            fault("1 ft 3 1/4 mm").kind,
            FaultKind::FeetWithoutInches("3 1/4".to_owned())
        );
        assert_eq!(fault("9".repeat(400).as_str()).kind, FaultKind::TooLarge);
        assert_eq!(
            fault(&format!("{0}/{0} in", "9".repeat(400))).kind,
            FaultKind::TooLarge
        );
        let unit = fault("2 * 5 inchs");
        assert_eq!(
            (unit.span.clone(), unit.to_string()),
            (6..11, "no unit is called `inchs`".to_owned())
        );
        assert_eq!(unit.help().unwrap(), "did you mean `inch`?");
        assert_eq!(fault("5 in2").to_string(), "no unit is called `in2`");
        assert!(
            fault("5/8 bay")
                .help()
                .unwrap()
                .contains("if `bay` is a name")
        );
        for text in [
            "1 2",
            "23 1 / 2",
            "23 1/2.5",
            "1.5 ft 3 in",
            "5 deg 30",
            "1.2.3",
            "3 [bay]",
        ] {
            assert!(
                matches!(fault(text).kind, FaultKind::MissingOperator { .. }),
                "{text}: {:?}",
                fault(text)
            );
        }
        for text in ["16,5 mm", "23½ in", "\"", "5''", "1e\u{0}", "½"] {
            let kind = fault(text).kind;
            assert!(
                matches!(
                    kind,
                    FaultKind::Unexpected(_) | FaultKind::UnknownUnit { .. }
                ),
                "{text}: {kind:?}"
            );
        }
    }
}
