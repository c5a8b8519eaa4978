//! Decimal figures that stand under each other: a stack-up compares thousandths, and fractions don't. In: millimetres or degrees.
//! Out: the file's unit, with as many places as the spread of a measure calls for.

use strongback_model::quantity::Unit;
use strongback_model::stack::StackedMeasure;

/// How figures of one measure are written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Decimal {
    /// The symbol behind a figure.
    pub symbol: &'static str,
    /// Millimetres or degrees of one unit.
    pub per_unit: f64,
    places: usize,
}

/// At most so many places.
const MOST: f64 = 6.0;

impl Decimal {
    /// For figures of which `spread`, in millimetres or degrees, shows in three digits.
    pub fn for_spread(spread: f64, angle: bool, unit: Unit) -> Decimal {
        let (symbol, per_unit) = if angle {
            ("deg", 1.0)
        } else {
            (unit.symbol(), unit.mm())
        };
        let size = spread.abs() / per_unit;
        let places = if size > 0.0 && size.is_finite() {
            (2.0 - size.log10().floor()).clamp(0.0, MOST)
        } else {
            4.0
        };
        Decimal {
            symbol,
            per_unit,
            places: places as usize,
        }
    }

    /// For what is told of a measure.
    pub fn of(measure: &StackedMeasure, unit: Unit) -> Decimal {
        Decimal::for_spread(measure.rss, measure.angle, unit)
    }

    /// Without its unit.
    pub fn figure(self, value: f64) -> String {
        let text = format!("{:.*}", self.places, value / self.per_unit);
        // no sign before nothing
        match text.strip_prefix('-') {
            Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.to_owned(),
            _ => text,
        }
    }

    /// With its unit.
    pub fn told(self, value: f64) -> String {
        format!("{} {}", self.figure(value), self.symbol)
    }

    /// What lies so far to both sides.
    pub fn both_sides(self, value: f64) -> String {
        format!("±{}", self.told(value))
    }

    /// Two ends of a range.
    pub fn range(self, [from, to]: [f64; 2]) -> String {
        format!("{} to {}", self.figure(from), self.told(to))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_spread_shows_in_three_digits() {
        let inches = Decimal::for_spread(0.0245 * 25.4, false, Unit::Inch);
        assert_eq!(inches.told(0.0199 * 25.4), "0.0199 in");
        assert_eq!(inches.both_sides(0.0245 * 25.4), "±0.0245 in");
        assert_eq!(inches.range([-0.1, 25.4]), "-0.0039 to 1.0000 in");
        let degrees = Decimal::for_spread(0.654, true, Unit::Inch);
        assert_eq!(degrees.told(7.018_390), "7.018 deg");
        assert_eq!(degrees.told(-0.000_01), "0.000 deg");
        // nothing that varies, and no number
        for spread in [0.0, f64::NAN, f64::INFINITY] {
            assert_eq!(
                Decimal::for_spread(spread, true, Unit::Inch).told(1.0),
                "1.0000 deg"
            );
        }
    }
}
