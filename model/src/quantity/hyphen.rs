//! The minus that could be a hyphen. In: two neighbouring terms of a difference, and their text. Out: a fault where a drawing would
//! write the same for one figure: `23-1/2` for the mixed number, `1'-3"` for feet and inches. Read as differences they would move metal
//! without a word, so they are refused. (That drawings write both so: common practice, no source.)

use std::ops::Range;

use super::expression::{Expression, Form, Literal, Node, Step};
use super::fault::{ExpressionFault, FaultKind};
use super::unit::{Measure, Unit};

/// The fault of `before - after`, if the minus could be a hyphen:
/// - after a whole number of feet and before inches, always;
/// - after a whole bare number and before a fraction, unless it has a blank on either side and `before` holds more than bare numbers.
pub(super) fn ambiguous_hyphen(
    text: &str,
    before: &Expression,
    after: &Expression,
) -> Option<ExpressionFault> {
    let last = last_figure(before)?;
    let Node::Literal(Literal {
        form: Form::Whole,
        measure,
        ..
    }) = last.node
    else {
        return None;
    };
    let part = |span: &Range<usize>| text.get(span.clone()).unwrap_or_default().to_owned();
    match measure {
        Some(Measure::Length(Unit::Foot)) => {
            let inches = leading_inches(after)?;
            let kind = FaultKind::HyphenAfterFeet {
                feet: part(&last.span),
                inches: part(&inches),
            };
            Some(ExpressionFault::new(last.span.start..inches.end, kind))
        }
        None => {
            let fraction = leading_fraction(after)?;
            let between = text.get(last.span.end..fraction.start).unwrap_or_default();
            let apart =
                between.starts_with(char::is_whitespace) && between.ends_with(char::is_whitespace);
            if apart && !bare_only(before) {
                return None;
            }
            let kind = FaultKind::HyphenBeforeFraction {
                whole: part(&last.span),
                fraction: part(&fraction),
            };
            Some(ExpressionFault::new(last.span.start..fraction.end, kind))
        }
        Some(_) => None,
    }
}

/// The figure that the text of a term ends with, unless it is the lower half of a fraction such as `5/8`.
fn last_figure(term: &Expression) -> Option<&Expression> {
    match &term.node {
        Node::Literal(_) => Some(term),
        Node::Negative(inner) => last_figure(inner),
        Node::Product(factors) => match factors.as_slice() {
            [.., (_, above), (Step::DividedBy, below)] if whole(above) && whole(below) => None,
            [.., (_, last)] => last_figure(last),
            [] => None,
        },
        _ => None,
    }
}

/// Where a term begins with `1/2`, be it one literal or two whole numbers and a stroke.
fn leading_fraction(term: &Expression) -> Option<Range<usize>> {
    match &term.node {
        Node::Literal(Literal {
            form: Form::Fraction,
            ..
        }) => Some(term.span()),
        Node::Product(factors) => match factors.as_slice() {
            [(_, above), (Step::DividedBy, below), ..] if whole(above) && whole(below) => {
                Some(above.span.start..below.span.end)
            }
            [(_, first), ..] => leading_fraction(first),
            [] => None,
        },
        _ => None,
    }
}

/// Where a term begins with a figure in inches.
fn leading_inches(term: &Expression) -> Option<Range<usize>> {
    match &term.node {
        Node::Literal(Literal {
            measure: Some(Measure::Length(Unit::Inch)),
            ..
        }) => Some(term.span()),
        Node::Product(factors) => factors.first().and_then(|(_, first)| leading_inches(first)),
        _ => None,
    }
}

fn whole(figure: &Expression) -> bool {
    matches!(
        figure.node,
        Node::Literal(Literal {
            form: Form::Whole,
            ..
        })
    )
}

fn bare_only(term: &Expression) -> bool {
    match &term.node {
        Node::Literal(literal) => literal.measure.is_none(),
        Node::Negative(inner) => bare_only(inner),
        Node::Product(factors) => factors.iter().all(|(_, factor)| bare_only(factor)),
        Node::Name(_) | Node::Group(_) | Node::Sum(_) => false,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::parse;
    use super::*;

    #[test]
    fn a_hyphen_in_a_mixed_number_is_refused() {
        for text in [
            "23-1/2 in",
            "23 -1/2 in",
            "23 - 1/2 in",
            "23-1/2",
            "-23-1/2 in",
            "bay + 23-1/2",
            "bay*2-1/2",
            "2*23-1/2 in",
            "bay/2-1/8 in",
        ] {
            let fault = parse(text).unwrap_err();
            assert!(
                matches!(fault.kind, FaultKind::HyphenBeforeFraction { .. }),
                "{text}: {fault:?}"
            );
        }
        let fault = parse("bay + 23-1/2 in").unwrap_err();
        assert_eq!(fault.span, 6..15);
        assert_eq!(
            fault.help().unwrap(),
            "write `23 1/2 in` for the mixed number, or `(23) - 1/2 in` for the difference"
        );
        for text in [
            "bay-1/8 in",
            "bay - 1/8 in",
            "bay * 2 - 1/8 in",
            "(23) - 1/2 in",
            "23 in - 1/2 in",
            "23 1/2-1/8",
            "5/8-1/16",
            "23-0.5 in",
            "23.5-1/2",
        ] {
            assert!(parse(text).is_ok(), "{text}: {:?}", parse(text));
        }
    }

    #[test]
    fn a_hyphen_between_feet_and_inches_is_refused() {
        for text in [
            "1'-3\"",
            "1' - 3 1/4\"",
            "1 ft-3 in",
            "2 * 1'-3\"",
            "1'-3\"*2",
            "1'-1/4\"",
        ] {
            let fault = parse(text).unwrap_err();
            assert!(
                matches!(fault.kind, FaultKind::HyphenAfterFeet { .. }),
                "{text}: {fault:?}"
            );
        }
        let fault = parse("1'-3 1/4\"").unwrap_err();
        assert_eq!(
            fault.help().unwrap(),
            "write `1' 3 1/4\"` for feet and inches, or `1' - (3 1/4\")` for the difference"
        );
        for text in [
            "1 ft - (3 in)",
            "1.5 ft - 3 in",
            "1' 3\" - 1\"",
            "1 ft - bay",
            "1 ft - 20 mm",
        ] {
            assert!(parse(text).is_ok(), "{text}: {:?}", parse(text));
        }
    }
}
