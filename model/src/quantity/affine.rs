//! What evaluation takes and gives. In: the values that names stand for, and what numbers without a unit mean.
//! Out: an affine form, constant + Σ coefficient · name, in mm, rad or plain numbers.

use super::angle::Angle;
use super::kind::Kind;
use super::unit::Unit;

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Named {
    /// The caller's number for it; returned in the terms.
    pub id: usize,
    /// What it is.
    pub kind: Kind,
    /// Its value in mm, rad or as a plain number. For a value still to be found, where the solver starts or stands now; `None` counts as 0.
    pub value: Option<f64>,
    /// Whether it is still to be found.
    pub find: bool,
}

/// What numbers without a unit mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BareUnit {
    /// The file's unit: of bare numbers that are lengths. Those that are angles are degrees.
    pub unit: Unit,
    /// What a whole expression of bare numbers only is.
    pub alone: Kind,
}

impl BareUnit {
    /// Bare numbers where a length is wanted.
    #[must_use]
    pub const fn length(unit: Unit) -> Self {
        Self {
            unit,
            alone: Kind::Length,
        }
    }

    /// Bare numbers where an angle is wanted.
    #[must_use]
    pub const fn angle(unit: Unit) -> Self {
        Self {
            unit,
            alone: Kind::Angle,
        }
    }

    /// Bare numbers where a plain number is wanted.
    #[must_use]
    pub const fn number(unit: Unit) -> Self {
        Self {
            unit,
            alone: Kind::Number,
        }
    }

    /// How many mm, rad or ones a bare 1 is among values of this kind.
    pub(super) const fn size(self, kind: Kind) -> f64 {
        match kind {
            Kind::Length => self.unit.mm(),
            Kind::Angle => Angle::from_degrees(1.0).rad(),
            Kind::Number => 1.0,
        }
    }
}

/// constant + Σ coefficient · name, in mm, rad or plain numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct Affine {
    /// What the result is.
    pub kind: Kind,
    /// The part that hangs on no name.
    pub constant: f64,
    /// (id, coefficient) by rising id, each id once, no coefficient zero. The coefficient is the derivative by that name.
    pub terms: Vec<(usize, f64)>,
    /// The result at the names' present values, computed as the expression is written.
    pub value: f64,
    /// A product of a given value and one to be found has the derivative by the given value at the present value of the other:
    /// evaluate again when that is found. The form itself holds for every value of what is to be found.
    pub provisional: bool,
}

impl Affine {
    /// The form at other values of the names.
    pub fn at(&self, value: impl Fn(usize) -> f64) -> f64 {
        self.terms
            .iter()
            .fold(self.constant, |sum, &(id, coefficient)| {
                sum + coefficient * value(id)
            })
    }

    /// Whether it hangs on no name.
    #[must_use]
    pub const fn is_constant(&self) -> bool {
        self.terms.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_form_comes_to_its_constant_and_the_shares_of_its_names() {
        let form = |constant, terms: &[(usize, f64)]| Affine {
            kind: Kind::Length,
            constant,
            terms: terms.to_vec(),
            value: 0.0,
            provisional: false,
        };
        // 5 + 2 a + 3 c, with a = 0 and c = 2
        let whole = form(5.0, &[(0, 2.0), (2, 3.0)]);
        assert_eq!(whole.at(|id| id as f64), 11.0);
        assert_eq!(form(19.0, &[]).at(|id| id as f64), 19.0);
    }
}
