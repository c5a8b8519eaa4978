//! The value of an expression as an affine form over the names it uses.
//! In: the tree, the named values in mm, rad or plain numbers, and what bare numbers mean. Out: constant + Σ coefficient · name, with
//! the value at the names' present values; the coefficients are the first derivatives (forward differentiation by the product and
//! quotient rules, Griewank and Walther, Evaluating Derivatives, 2nd ed. 2008, chapter 3). Faults carry the place of the operand.

use std::ops::Range;

use super::affine::{Affine, BareUnit, Named};
use super::angle::Angle;
use super::expression::{Expression, Literal, Node, Sign, Step};
use super::fault::{ExpressionFault, FaultKind};
use super::kind::{Kind, Powers};
use super::linear::{Linear, Term};
use super::unit::{Measure, Unit};

/// Evaluates an expression; whatever kind it is, so long as it is one.
///
/// # Errors
/// A fault with its place for an unknown name, kinds that don't fit, a division by zero, a number too large, and a product or quotient
/// that isn't affine in what is to be found.
pub fn evaluate(
    expression: &Expression,
    lookup: &dyn Fn(&str) -> Option<Named>,
    bare: BareUnit,
) -> Result<Affine, ExpressionFault> {
    let mut linear = Evaluator { lookup, bare }.linear(expression)?;
    if linear.bare {
        linear = finite(
            linear.settled(bare.alone, bare.size(bare.alone)),
            &expression.span,
        )?;
    }
    match linear.powers.kind() {
        Some(kind) => Ok(Affine {
            kind,
            constant: linear.constant,
            terms: linear
                .terms
                .iter()
                .map(|term| (term.id, term.coefficient))
                .collect(),
            value: linear.value,
            provisional: linear.provisional,
        }),
        None => Err(ExpressionFault::new(
            expression.span(),
            FaultKind::NoKind(linear.powers),
        )),
    }
}

/// Evaluates an expression that has to be of one kind, which is also what bare numbers are when they stand alone.
///
/// # Errors
/// Those of [`evaluate()`], and a fault for a result of another kind.
pub fn evaluate_as(
    expected: Kind,
    expression: &Expression,
    lookup: &dyn Fn(&str) -> Option<Named>,
    unit: Unit,
) -> Result<Affine, ExpressionFault> {
    let affine = evaluate(
        expression,
        lookup,
        BareUnit {
            unit,
            alone: expected,
        },
    )?;
    if affine.kind == expected {
        Ok(affine)
    } else {
        let kind = FaultKind::WrongKind {
            expected,
            found: affine.kind,
        };
        Err(ExpressionFault::new(expression.span(), kind))
    }
}

struct Evaluator<'a> {
    lookup: &'a dyn Fn(&str) -> Option<Named>,
    bare: BareUnit,
}

impl Evaluator<'_> {
    fn linear(&self, expression: &Expression) -> Result<Linear, ExpressionFault> {
        let linear = match &expression.node {
            Node::Literal(literal) => literal_value(*literal),
            Node::Name(name) => self.named(name, &expression.span)?,
            Node::Group(inner) => self.linear(inner)?,
            Node::Negative(inner) => self.linear(inner)?.scaled(-1.0),
            Node::Sum(terms) => self.sum(terms)?,
            Node::Product(factors) => self.product(factors)?,
        };
        finite(linear, &expression.span)
    }

    fn named(&self, name: &str, span: &Range<usize>) -> Result<Linear, ExpressionFault> {
        let fault = |kind| ExpressionFault::new(span.clone(), kind);
        let named = (self.lookup)(name).ok_or_else(|| {
            fault(FaultKind::UnknownName {
                name: name.to_owned(),
                nearest: None,
            })
        })?;
        let value = match named.value {
            Some(value) => value,
            None if named.find => 0.0,
            None => return Err(fault(FaultKind::NoValue(name.to_owned()))),
        };
        let term = Term {
            id: named.id,
            coefficient: 1.0,
            find: named.find,
        };
        Ok(Linear {
            terms: vec![term],
            value,
            ..Linear::constant(named.kind.into(), 0.0)
        })
    }

    /// A sum takes the powers of its first term that isn't bare, and bare terms take the unit that goes with them.
    fn sum(&self, terms: &[(Sign, Expression)]) -> Result<Linear, ExpressionFault> {
        let mut values = Vec::with_capacity(terms.len());
        for (sign, term) in terms {
            let factor = match sign {
                Sign::Plus => 1.0,
                Sign::Minus => -1.0,
            };
            values.push((self.linear(term)?.scaled(factor), &term.span));
        }
        let Some(powers) = values
            .iter()
            .find(|(value, _)| !value.bare)
            .map(|(value, _)| value.powers)
        else {
            let bare = values
                .into_iter()
                .fold(Linear::constant(Powers::NONE, 0.0), |sum, (value, _)| {
                    sum.plus(value)
                });
            return Ok(Linear { bare: true, ..bare });
        };
        let mut sum = Linear::constant(powers, 0.0);
        for (mut value, span) in values {
            if value.bare
                && let Some(kind) = powers.kind()
            {
                value = value.settled(kind, self.bare.size(kind));
            }
            if value.powers != powers {
                let kind = FaultKind::KindsDiffer {
                    left: powers,
                    right: value.powers,
                };
                return Err(ExpressionFault::new(span.clone(), kind));
            }
            sum = sum.plus(value);
        }
        Ok(sum)
    }

    fn product(&self, factors: &[(Step, Expression)]) -> Result<Linear, ExpressionFault> {
        let mut product: Option<Linear> = None;
        for (step, factor) in factors {
            let value = self.linear(factor)?;
            let Some(left) = product else {
                product = Some(value);
                continue;
            };
            let result = match step {
                Step::Times => left.times(&value),
                Step::DividedBy => left.over(&value),
            };
            let result = result.map_err(|kind| ExpressionFault::new(factor.span(), kind))?;
            product = Some(finite(result, &factor.span)?);
        }
        Ok(product.unwrap_or_else(|| Linear::constant(Powers::NONE, 1.0)))
    }
}

fn literal_value(literal: Literal) -> Linear {
    let (kind, size) = match literal.measure {
        Some(Measure::Length(unit)) => (Kind::Length, unit.mm()),
        Some(Measure::Degree) => (Kind::Angle, Angle::from_degrees(1.0).rad()),
        Some(Measure::Radian) => (Kind::Angle, 1.0),
        None => (Kind::Number, 1.0),
    };
    Linear {
        bare: literal.measure.is_none(),
        ..Linear::constant(kind.into(), literal.figure * size)
    }
}

fn finite(linear: Linear, span: &Range<usize>) -> Result<Linear, ExpressionFault> {
    if linear.is_finite() {
        Ok(linear)
    } else {
        Err(ExpressionFault::new(span.clone(), FaultKind::TooLarge))
    }
}

#[cfg(test)]
mod tests;
