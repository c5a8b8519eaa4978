//! Reading an expression. In: the text of a field. Out: its tree with byte spans, or the first fault with its place.
//! The grammar, lowest to highest: sums (`+ -`), products (`* /`), signs, and then a figure, a name or parentheses.
//! The text's length and the depth of its nesting are bounded, so no text can exhaust the stack.

use winnow::combinator::{alt, delimited, opt};
use winnow::error::ErrMode;
use winnow::prelude::*;
use winnow::stream::{LocatingSlice, Location, Stateful};
use winnow::token::one_of;

use super::expression::{Expression, Node, Sign, Step};
use super::fault::{ExpressionFault, FaultKind};
use super::hyphen::ambiguous_hyphen;
use super::literal::{begins_number, literal};
use super::name::{bracketed_name, name, word_start};
use super::reader::{Input, Miss, Parsed, Reader, blanks, halt, rest};

/// Bytes that an expression may have at most; a page of text is no figure on a drawing.
pub const MAX_TEXT: usize = 4096;

/// Levels of parentheses and signs that an expression may have at most.
pub const MAX_DEPTH: usize = 48;

/// Reads an expression.
///
/// # Errors
/// A fault with its place where the text isn't an expression, is longer than [`MAX_TEXT`] or deeper than [`MAX_DEPTH`].
pub fn parse(text: &str) -> Result<Expression, ExpressionFault> {
    if text.len() > MAX_TEXT {
        return Err(ExpressionFault::new(
            0..text.len(),
            FaultKind::TooLong(text.len()),
        ));
    }
    if text.trim().is_empty() {
        return Err(ExpressionFault::new(0..text.len(), FaultKind::Empty));
    }
    let mut input = Stateful {
        input: LocatingSlice::new(text),
        state: Reader { text, depth: 0 },
    };
    let parsed = sum(&mut input).and_then(|expression| {
        let end = input.current_token_start();
        blanks(&mut input)?;
        if rest(&input).is_empty() {
            Ok(expression)
        } else {
            Err(leftover(&input, end))
        }
    });
    parsed.map_err(|miss| {
        let here = input.current_token_start();
        match miss {
            ErrMode::Cut(Miss(Some(fault))) | ErrMode::Backtrack(Miss(Some(fault))) => fault,
            _ => operand_fault(text, here),
        }
    })
}

fn sum(i: &mut Input<'_>) -> Parsed<Expression> {
    let first = product(i)?;
    let mut terms = vec![(Sign::Plus, first)];
    while let Some(sign) = opt(delimited(blanks, sign, blanks)).parse_next(i)? {
        let term = product(i)?;
        if let (Sign::Minus, Some((_, before))) = (sign, terms.last())
            && let Some(fault) = ambiguous_hyphen(i.state.text, before, &term)
        {
            return Err(ErrMode::Cut(Miss(Some(fault))));
        }
        terms.push((sign, term));
    }
    Ok(joined(terms, Node::Sum))
}

fn product(i: &mut Input<'_>) -> Parsed<Expression> {
    let first = signed(i)?;
    let mut factors = vec![(Step::Times, first)];
    while let Some(step) = opt(delimited(blanks, step, blanks)).parse_next(i)? {
        factors.push((step, signed(i)?));
    }
    Ok(joined(factors, Node::Product))
}

/// One part stands for itself; several are joined by `node`.
fn joined<S>(
    mut parts: Vec<(S, Expression)>,
    node: fn(Vec<(S, Expression)>) -> Node,
) -> Expression {
    let start = parts.first().map_or(0, |(_, part)| part.span.start);
    match parts.pop() {
        Some((_, only)) if parts.is_empty() => only,
        Some(last) => {
            let span = start..last.1.span.end;
            parts.push(last);
            Expression {
                span,
                node: node(parts),
            }
        }
        None => Expression {
            span: start..start,
            node: node(parts),
        },
    }
}

fn sign(i: &mut Input<'_>) -> Parsed<Sign> {
    alt((
        '+'.value(Sign::Plus),
        one_of(['-', '\u{2212}']).value(Sign::Minus),
    ))
    .parse_next(i)
}

fn step(i: &mut Input<'_>) -> Parsed<Step> {
    alt((
        one_of(['*', '×']).value(Step::Times),
        one_of(['/', '÷']).value(Step::DividedBy),
    ))
    .parse_next(i)
}

fn signed(i: &mut Input<'_>) -> Parsed<Expression> {
    blanks(i)?;
    let start = i.current_token_start();
    match opt(sign).parse_next(i)? {
        None => operand(i),
        Some(sign) => {
            let inner = deeper(i, start, signed)?;
            let span = start..inner.span.end;
            Ok(match sign {
                Sign::Plus => Expression { span, ..inner },
                Sign::Minus => Expression {
                    span,
                    node: Node::Negative(Box::new(inner)),
                },
            })
        }
    }
}

fn deeper<'i, T>(
    i: &mut Input<'i>,
    start: usize,
    inner: fn(&mut Input<'i>) -> Parsed<T>,
) -> Parsed<T> {
    if i.state.depth >= MAX_DEPTH {
        let here = i.current_token_start();
        return Err(halt(start..here, FaultKind::TooDeep));
    }
    i.state.depth += 1;
    let result = inner(i);
    i.state.depth -= 1;
    result
}

fn operand(i: &mut Input<'_>) -> Parsed<Expression> {
    alt((literal, bracketed_name, name, group)).parse_next(i)
}

fn group(i: &mut Input<'_>) -> Parsed<Expression> {
    let start = i.current_token_start();
    '('.parse_next(i)?;
    // What is missing inside is a fault of the text: nothing else begins with a parenthesis.
    let inner = deeper(i, start, sum).map_err(|miss| match miss {
        ErrMode::Cut(_) => miss,
        _ => {
            let fault = operand_fault(i.state.text, i.current_token_start());
            ErrMode::Cut(Miss(Some(fault)))
        }
    })?;
    let end = i.current_token_start();
    blanks(i)?;
    if opt(')').parse_next(i)?.is_none() {
        let unclosed = rest(i).is_empty();
        return Err(if unclosed {
            halt(start..start + 1, FaultKind::Unclosed('('))
        } else {
            leftover(i, end)
        });
    }
    Ok(Expression {
        span: start..i.current_token_start(),
        node: Node::Group(Box::new(inner)),
    })
}

/// The fault of text after a complete value that ends at `end`.
fn leftover(i: &Input<'_>, end: usize) -> ErrMode<Miss> {
    let here = i.current_token_start();
    let Some(next) = rest(i).chars().next() else {
        return halt(here..here, FaultKind::Empty);
    };
    let kind = match next {
        ')' | ']' => FaultKind::Unopened(next),
        _ if begins_number(rest(i)) || word_start(next) || matches!(next, '(' | '[') => {
            let before = i.state.text.get(..end).unwrap_or_default().trim_end();
            let left = if before.ends_with(')') {
                ")"
            } else {
                before
                    .rsplit(['+', '-', '*', '/', '('])
                    .next()
                    .unwrap_or(before)
                    .trim()
            };
            FaultKind::MissingOperator {
                left: left.to_owned(),
                right: next,
            }
        }
        _ => FaultKind::Unexpected(next),
    };
    halt(here..here + next.len_utf8(), kind)
}

/// The fault where a value is due and none begins.
fn operand_fault(text: &str, here: usize) -> ExpressionFault {
    let next = text
        .get(here..)
        .and_then(|rest| rest.trim_start().chars().next());
    let before = text.get(..here).unwrap_or_default().trim_end();
    match (before.chars().next_back(), next) {
        (Some(last), None | Some(')' | '*' | '/' | '×' | '÷')) => ExpressionFault::new(
            before.len() - last.len_utf8()..before.len(),
            FaultKind::MissingOperand(last),
        ),
        (_, Some(next)) => {
            let start = text.len() - text.get(here..).unwrap_or_default().trim_start().len();
            ExpressionFault::new(start..start + next.len_utf8(), FaultKind::Unexpected(next))
        }
        (None, None) => ExpressionFault::new(0..text.len(), FaultKind::Empty),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use std::ops::Range;

    use super::super::names;
    use super::*;

    fn fault(text: &str) -> (FaultKind, Range<usize>) {
        let fault = parse(text).unwrap_err();
        (fault.kind, fault.span)
    }

    #[test]
    fn faults_have_their_place() {
        for (text, kind, span) in [
            ("", FaultKind::Empty, 0..0),
            ("  \t", FaultKind::Empty, 0..3),
            ("bay * ", FaultKind::MissingOperand('*'), 4..5),
            ("bay -", FaultKind::MissingOperand('-'), 4..5),
            ("bay * / 2", FaultKind::MissingOperand('*'), 4..5),
            ("(bay + ) * 2", FaultKind::MissingOperand('+'), 5..6),
            ("2 * ()", FaultKind::MissingOperand('('), 4..5),
            ("* 2", FaultKind::Unexpected('*'), 0..1),
            ("bay + ?", FaultKind::Unexpected('?'), 6..7),
            ("bay ^ 2", FaultKind::Unexpected('^'), 4..5),
            ("bay 5'", FaultKind::Unexpected('\''), 5..6),
            ("2 + (bay", FaultKind::Unclosed('('), 4..5),
            ("[bay", FaultKind::Unclosed('['), 0..1),
            ("bay) + 2", FaultKind::Unopened(')'), 3..4),
            ("bay]", FaultKind::Unopened(']'), 3..4),
            ("[ ]", FaultKind::EmptyName, 0..3),
        ] {
            assert_eq!(fault(text), (kind, span), "{text}");
        }
        let sentence = |text: &str| parse(text).unwrap_err().to_string();
        assert_eq!(
            sentence("2 * (bay + 3 in) pitch"),
            "an operator is missing between `)` and `p`"
        );
        assert_eq!(
            sentence("bay + 5 7"),
            "an operator is missing between `5` and `7`"
        );
    }

    #[test]
    fn size_and_depth_are_bounded() {
        assert_eq!(fault(&"(".repeat(100_000)).0, FaultKind::TooLong(100_000));
        assert_eq!(
            fault(&"(".repeat(MAX_TEXT)),
            (FaultKind::TooDeep, MAX_DEPTH..MAX_DEPTH + 1)
        );
        let minus = "\u{2212}";
        assert_eq!(
            fault(&minus.repeat(MAX_DEPTH + 1)),
            (FaultKind::TooDeep, 3 * MAX_DEPTH..3 * (MAX_DEPTH + 1))
        );
        let side_by_side = vec!["-(1)"; 2 * MAX_DEPTH].join(" + ");
        assert!(parse(&side_by_side).is_ok());
        let deepest = format!("{}bay{}", "(".repeat(MAX_DEPTH), ")".repeat(MAX_DEPTH));
        let chain = format!("bay{}", "+1".repeat((MAX_TEXT - 3) / 2));
        // A quarter of the stack that Rust gives a new thread.
        std::thread::Builder::new()
            .stack_size(512 * 1024)
            .spawn(move || {
                let mut expression = parse(&deepest).unwrap();
                assert_eq!(names(&expression).len(), 1);
                expression = parse(&chain).unwrap();
                assert_eq!(names(&expression).len(), 1);
            })
            .unwrap()
            .join()
            .expect("no overflow");
    }

    #[test]
    fn typographic_signs_are_read_as_plain_ones() {
        let Node::Sum(terms) = parse("bay \u{2212} 2 × pitch ÷ 3").unwrap().node else {
            panic!("no sum")
        };
        assert_eq!(terms[1].0, Sign::Minus);
        let Node::Product(factors) = &terms[1].1.node else {
            panic!("no product")
        };
        assert_eq!((factors[1].0, factors[2].0), (Step::Times, Step::DividedBy));
    }
}
