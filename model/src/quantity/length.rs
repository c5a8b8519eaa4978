//! A length. In: millimetres, inches, or a figure in any [`Unit`]. Out: the same, and the arithmetic of lengths.
//! Held in millimetres; serialised as that plain number.

use schemars::JsonSchema;
use serde::Serialize;

use super::arithmetic::linear_arithmetic;
use super::unit::{MM_PER_INCH, Unit};

/// A length or a shift along an axis, in millimetres.
#[derive(Debug, Clone, Copy, Default, PartialEq, PartialOrd, Serialize, JsonSchema)]
pub struct Length(f64);

linear_arithmetic!(Length);

impl Length {
    /// From millimetres.
    #[must_use]
    pub const fn from_mm(mm: f64) -> Self {
        Self(mm)
    }

    /// From inches of 25.4 mm.
    #[must_use]
    pub const fn from_inches(inches: f64) -> Self {
        Self(inches * MM_PER_INCH)
    }

    /// From a figure in `unit`.
    #[must_use]
    pub const fn from_unit(figure: f64, unit: Unit) -> Self {
        Self(figure * unit.mm())
    }

    /// In millimetres.
    #[must_use]
    pub const fn mm(self) -> f64 {
        self.0
    }

    /// In inches.
    #[must_use]
    pub const fn inches(self) -> f64 {
        self.0 / MM_PER_INCH
    }

    /// As a figure in `unit`.
    #[must_use]
    pub const fn in_unit(self, unit: Unit) -> f64 {
        self.0 / unit.mm()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arithmetic_keeps_units() {
        let bay = Length::from_inches(10.0);
        assert_eq!(bay.mm(), 254.0);
        assert_eq!((2.0 * bay - bay / 2.0 + -bay).mm(), 127.0);
        assert_eq!(bay / Length::from_mm(127.0), 2.0);
        assert_eq!(Length::from_unit(2.0, Unit::Foot).mm(), 609.6);
        assert_eq!(
            Length::from_unit(2.0, Unit::Metre).in_unit(Unit::Centimetre),
            200.0
        );
        let mut sum: Length = [bay, bay].into_iter().sum();
        sum -= bay;
        sum += Length::from_mm(-300.0);
        assert_eq!(sum.mm(), -46.0);
        assert_eq!(sum.abs().min(bay).max(Length::ZERO).mm(), 46.0);
        assert!(!Length::from_mm(f64::NAN).is_finite());
        assert!(sum < bay && sum.total_cmp(&bay).is_lt());
    }
}
