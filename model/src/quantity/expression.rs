//! The tree of an expression, with the place of every node in its text.
//! In: made by [`parse()`](super::parse()) only, so that its depth is bounded. Out: the names it uses, for putting definitions in order.
//! Sums and products hold any number of terms: a long chain is a wide node, not a deep one, and recursion stays shallow.

use std::ops::Range;

use super::unit::Measure;

/// An expression and the bytes of the text it was read from.
#[derive(Debug, Clone, PartialEq)]
pub struct Expression {
    pub(super) span: Range<usize>,
    pub(super) node: Node,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) enum Node {
    Literal(Literal),
    Name(String),
    Negative(Box<Expression>),
    /// In parentheses, kept because they are how a person says that a minus is meant.
    Group(Box<Expression>),
    /// At least two terms.
    Sum(Vec<(Sign, Expression)>),
    /// At least two factors; the first is always `Times`.
    Product(Vec<(Step, Expression)>),
}

/// A figure as written, in its own unit; feet and inches are held in inches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Literal {
    pub(super) figure: f64,
    /// `None` for a bare number.
    pub(super) measure: Option<Measure>,
    pub(super) form: Form,
}

/// How a figure was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    Whole,
    Decimal,
    Fraction,
    Mixed,
    FeetAndInches,
}

/// The sign of a term.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    Plus,
    Minus,
}

/// What a factor does to the product before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Step {
    Times,
    DividedBy,
}

impl Expression {
    /// The bytes of the text that it stands in.
    #[must_use]
    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// The name, when the expression is nothing but one.
    #[must_use]
    pub fn as_name(&self) -> Option<&str> {
        match &self.node {
            Node::Name(name) => Some(name),
            Node::Group(inner) => inner.as_name(),
            _ => None,
        }
    }
}

/// The names that an expression uses with their places, in the order of the text, each as often as it stands there.
#[must_use]
pub fn names(expression: &Expression) -> Vec<(&str, Range<usize>)> {
    let mut found = Vec::new();
    collect(expression, &mut found);
    found
}

fn collect<'a>(expression: &'a Expression, found: &mut Vec<(&'a str, Range<usize>)>) {
    match &expression.node {
        Node::Literal(_) => {}
        Node::Name(name) => found.push((name, expression.span())),
        Node::Negative(inner) | Node::Group(inner) => collect(inner, found),
        Node::Sum(terms) => terms.iter().for_each(|(_, term)| collect(term, found)),
        Node::Product(factors) => factors
            .iter()
            .for_each(|(_, factor)| collect(factor, found)),
    }
}
