//! The affine forms that arise inside an expression. In: two forms with their powers of length and angle. Out: their sum, product or quotient.
//! Products of given values are linearised about these values: with p = a·b, dp = b·da + a·db; with q = a/b, dq = (da − q·db)/b.
//! The constant is chosen so that the form has exactly the value at the values given.

use super::fault::FaultKind;
use super::kind::{Kind, Powers};

/// One name in a form.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Term {
    pub(super) id: usize,
    pub(super) coefficient: f64,
    /// Whether the name is still to be found.
    pub(super) find: bool,
}

/// constant + Σ coefficient · name, in mm and rad to the powers given.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Linear {
    pub(super) powers: Powers,
    /// Made of numbers without a unit only, and of no names.
    pub(super) bare: bool,
    pub(super) constant: f64,
    /// By rising id, each id once, no coefficient zero.
    pub(super) terms: Vec<Term>,
    pub(super) value: f64,
    /// See [`Affine::provisional`](super::Affine::provisional).
    pub(super) provisional: bool,
}

impl Linear {
    pub(super) const fn constant(powers: Powers, value: f64) -> Self {
        Self {
            powers,
            bare: false,
            constant: value,
            terms: Vec::new(),
            value,
            provisional: false,
        }
    }

    pub(super) fn is_finite(&self) -> bool {
        self.value.is_finite()
            && self.constant.is_finite()
            && self.terms.iter().all(|term| term.coefficient.is_finite())
    }

    fn has_find(&self) -> bool {
        self.terms.iter().any(|term| term.find)
    }

    fn has_given(&self) -> bool {
        self.terms.iter().any(|term| !term.find)
    }

    /// A multiple by a plain number.
    pub(super) fn scaled(mut self, factor: f64) -> Self {
        self.constant *= factor;
        self.value *= factor;
        for term in &mut self.terms {
            term.coefficient *= factor;
        }
        self.terms.retain(|term| term.coefficient != 0.0);
        self
    }

    /// A bare figure as one of `kind`, where a bare 1 is `size` mm, rad or ones.
    pub(super) fn settled(self, kind: Kind, size: f64) -> Self {
        Self {
            powers: kind.into(),
            bare: false,
            ..self.scaled(size)
        }
    }

    /// A sum; the powers are those of `self`, the caller has compared them.
    pub(super) fn plus(self, other: Self) -> Self {
        Self {
            constant: self.constant + other.constant,
            terms: merged(&self.terms, &other.terms),
            value: self.value + other.value,
            provisional: self.provisional || other.provisional,
            ..self
        }
    }

    /// A product, or why it isn't affine.
    pub(super) fn times(self, other: &Self) -> Result<Self, FaultKind> {
        let (left, right) = (self.has_find(), other.has_find());
        if left && right {
            return Err(FaultKind::ProductOfUnknowns);
        }
        let provisional = self.provisional
            || other.provisional
            || left && other.has_given()
            || right && self.has_given();
        let powers = self.powers.times(other.powers);
        let bare = self.bare && other.bare;
        let (a, b) = (self.value, other.value);
        // Scaling by a constant keeps the form exact to the last bit; the general case takes a difference.
        let product = if other.terms.is_empty() {
            self.scaled(b)
        } else if self.terms.is_empty() {
            other.clone().scaled(a)
        } else {
            Self {
                constant: b * self.constant + a * other.constant - a * b,
                terms: merged(
                    &scaled_terms(&self.terms, b),
                    &scaled_terms(&other.terms, a),
                ),
                value: a * b,
                ..self
            }
        };
        Ok(Self {
            powers,
            bare,
            provisional,
            ..product
        })
    }

    /// A quotient, or why there is none.
    pub(super) fn over(self, other: &Self) -> Result<Self, FaultKind> {
        if other.has_find() {
            return Err(FaultKind::DivisionByUnknown);
        }
        let (a, b) = (self.value, other.value);
        if b == 0.0 {
            return Err(FaultKind::DivisionByZero);
        }
        let provisional =
            self.provisional || other.provisional || self.has_find() && other.has_given();
        let powers = self.powers.over(other.powers);
        let bare = self.bare && other.bare;
        let ratio = a / b;
        let mut terms = self.terms;
        for term in &mut terms {
            term.coefficient /= b;
        }
        let quotient = Self {
            constant: if other.terms.is_empty() {
                self.constant / b
            } else {
                self.constant / b + ratio * (1.0 - other.constant / b)
            },
            terms: merged(&terms, &scaled_terms(&other.terms, -ratio / b)),
            value: ratio,
            ..Self::constant(powers, 0.0)
        };
        Ok(Self {
            bare,
            provisional,
            ..quotient
        })
    }
}

fn scaled_terms(terms: &[Term], factor: f64) -> Vec<Term> {
    terms
        .iter()
        .map(|&term| Term {
            coefficient: term.coefficient * factor,
            ..term
        })
        .collect()
}

/// The terms of a sum of two forms, by rising id; those that cancel are left out.
fn merged(left: &[Term], right: &[Term]) -> Vec<Term> {
    let (mut left, mut right) = (
        left.iter().copied().peekable(),
        right.iter().copied().peekable(),
    );
    let mut all = Vec::new();
    loop {
        let next = match (left.peek(), right.peek()) {
            (Some(l), Some(r)) if l.id == r.id => {
                let coefficient = l.coefficient + r.coefficient;
                let term = Term { coefficient, ..*l };
                left.next();
                right.next();
                Some(term)
            }
            (Some(l), Some(r)) if r.id < l.id => right.next(),
            (Some(_), _) => left.next(),
            (None, _) => right.next(),
        };
        match next {
            Some(term) if term.coefficient != 0.0 => all.push(term),
            Some(_) => {}
            None => return all,
        }
    }
}
