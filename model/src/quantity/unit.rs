//! The units that a figure may carry. In: a word or a mark from the text. Out: the unit, and its size in mm (lengths) or rad (angles).
//! 1 in = 25.4 mm and 1 ft = 304.8 mm exactly: NIST SP 811 (2008), appendix B.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Millimetres in an inch, exact (NIST SP 811).
pub const MM_PER_INCH: f64 = 25.4;

/// A unit of length, as the file's `unit` names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub enum Unit {
    /// The international inch, 25.4 mm.
    Inch,
    /// The international foot, 12 inches.
    Foot,
    /// The millimetre.
    Millimetre,
    /// The centimetre.
    Centimetre,
    /// The metre.
    Metre,
}

impl Unit {
    /// Its size in millimetres.
    #[must_use]
    pub const fn mm(self) -> f64 {
        match self {
            Self::Inch => MM_PER_INCH,
            // Not 12 × 25.4, which is off by a last bit.
            Self::Foot => 304.8,
            Self::Millimetre => 1.0,
            Self::Centimetre => 10.0,
            Self::Metre => 1000.0,
        }
    }

    /// The short word written after a figure.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Foot => "ft",
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Metre => "m",
        }
    }

    /// Several of it, in a sentence.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Inch => "inches",
            Self::Foot => "feet",
            Self::Millimetre => "millimetres",
            Self::Centimetre => "centimetres",
            Self::Metre => "metres",
        }
    }
}

/// What a figure in the text is measured in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// A unit of length.
    Length(Unit),
    /// Degrees of arc.
    Degree,
    /// Radians.
    Radian,
}

/// Every word that stands for a unit; capitals make no difference.
pub(super) const WORDS: &[(&str, Measure)] = &[
    ("in", Measure::Length(Unit::Inch)),
    ("inch", Measure::Length(Unit::Inch)),
    ("inches", Measure::Length(Unit::Inch)),
    ("ft", Measure::Length(Unit::Foot)),
    ("foot", Measure::Length(Unit::Foot)),
    ("feet", Measure::Length(Unit::Foot)),
    ("mm", Measure::Length(Unit::Millimetre)),
    ("millimetre", Measure::Length(Unit::Millimetre)),
    ("millimetres", Measure::Length(Unit::Millimetre)),
    ("millimeter", Measure::Length(Unit::Millimetre)),
    ("millimeters", Measure::Length(Unit::Millimetre)),
    ("cm", Measure::Length(Unit::Centimetre)),
    ("centimetre", Measure::Length(Unit::Centimetre)),
    ("centimetres", Measure::Length(Unit::Centimetre)),
    ("centimeter", Measure::Length(Unit::Centimetre)),
    ("centimeters", Measure::Length(Unit::Centimetre)),
    ("m", Measure::Length(Unit::Metre)),
    ("metre", Measure::Length(Unit::Metre)),
    ("metres", Measure::Length(Unit::Metre)),
    ("meter", Measure::Length(Unit::Metre)),
    ("meters", Measure::Length(Unit::Metre)),
    ("deg", Measure::Degree),
    ("degree", Measure::Degree),
    ("degrees", Measure::Degree),
    ("rad", Measure::Radian),
    ("radian", Measure::Radian),
    ("radians", Measure::Radian),
];

impl Measure {
    /// The unit that a word stands for.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        WORDS
            .iter()
            .find(|(known, _)| known.eq_ignore_ascii_case(word))
            .map(|&(_, measure)| measure)
    }

    /// The unit that a mark stands for: straight or curled quotes, primes, and the ring of degrees.
    #[must_use]
    pub const fn from_mark(mark: char) -> Option<Self> {
        match mark {
            '"' | '\u{201d}' | '\u{2033}' => Some(Self::Length(Unit::Inch)),
            '\'' | '\u{2019}' | '\u{2032}' => Some(Self::Length(Unit::Foot)),
            '°' => Some(Self::Degree),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn words_and_marks() {
        assert_eq!(
            Measure::from_word("Inches"),
            Some(Measure::Length(Unit::Inch))
        );
        assert_eq!(Measure::from_word("inn"), None);
        assert_eq!(Measure::from_mark('″'), Some(Measure::Length(Unit::Inch)));
        assert_eq!(Measure::from_mark('x'), None);
        for unit in [
            Unit::Inch,
            Unit::Foot,
            Unit::Millimetre,
            Unit::Centimetre,
            Unit::Metre,
        ] {
            assert_eq!(
                Measure::from_word(unit.symbol()),
                Some(Measure::Length(unit))
            );
        }
    }

    #[test]
    fn sizes_of_nist_sp_811() {
        // NIST SP 811 (2008), appendix B.8: inch 2.54 E+00 cm, foot 3.048 E-01 m, both exact. From memory of the table.
        assert_eq!(Unit::Inch.mm(), 25.4);
        assert_eq!(Unit::Foot.mm(), 304.8);
    }

    #[test]
    fn reads_from_the_file() {
        assert_eq!(
            ron::from_str::<Unit>("Millimetre").unwrap(),
            Unit::Millimetre
        );
        assert!(ron::from_str::<Unit>("Furlong").is_err());
    }
}
