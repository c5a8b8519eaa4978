//! Figures as the person works: in the file's unit.

use strongback_model::quantity::format::{self, Sign, Style};
use strongback_model::quantity::{Angle, Length, Unit};

/// A shift smaller than this is not shown, in millimetres: the last place of a figure in inches.
pub const SHOWN_MM: f64 = 0.5e-4 * 25.4;
/// A turn smaller than this is not shown, in degrees: the last place of a figure.
pub const SHOWN_DEG: f64 = 0.5e-3;

/// A length with its unit.
pub fn length(mm: f64, unit: Unit) -> String {
    thousandths(
        format::length(Length::from_mm(mm), unit, Style::Short),
        unit,
    )
}

/// A length without its unit, for a column.
pub fn column(mm: f64, unit: Unit) -> String {
    let figure = format::figure(Length::from_mm(mm), unit, Style::Short, Sign::MinusOnly);
    thousandths(figure, unit)
}

/// A length with its sign and its unit.
pub fn signed(mm: f64, unit: Unit) -> String {
    thousandths(format::shift(Length::from_mm(mm), unit, Style::Short), unit)
}

/// A length with its sign, for a column.
pub fn signed_column(mm: f64, unit: Unit) -> String {
    let figure = format::figure(Length::from_mm(mm), unit, Style::Short, Sign::Both);
    thousandths(figure, unit)
}

/// A decimal of an inch is read in thousandths: 0.040, not 0.04.
fn thousandths(figure: String, unit: Unit) -> String {
    let (number, rest) = match figure.find(' ') {
        Some(at) => figure.split_at(at),
        None => (figure.as_str(), ""),
    };
    match number.split_once('.') {
        Some((_, decimals)) if unit == Unit::Inch && decimals.len() < 3 => {
            let zeros = "0".repeat(3 - decimals.len());
            format!("{number}{zeros}{rest}")
        }
        _ => figure,
    }
}

/// A stretch without its unit: `0 to 19 3/8`; of nothing that shows, the one figure.
pub fn range(mm: [f64; 2], unit: Unit) -> String {
    let [least, most] = mm.map(|mm| column(mm, unit));
    if least == most {
        least
    } else {
        format!("{least} to {most}")
    }
}

/// The sheet on which something stands, behind it: ` (S1)`.
pub fn sheet(sheet: Option<&str>) -> String {
    sheet.map_or_else(String::new, |sheet| format!(" ({sheet})"))
}

/// An angle.
pub fn angle(degrees: f64) -> String {
    format::angle(Angle::from_degrees(degrees))
}

/// An angle with its sign.
pub fn turn(degrees: f64) -> String {
    format::turn(Angle::from_degrees(degrees))
}

/// A length or an angle.
pub fn value(value: f64, is_angle: bool, unit: Unit) -> String {
    if is_angle {
        angle(value)
    } else {
        length(value, unit)
    }
}

/// A shift along an axis in words: `5/8 in aft`.
pub fn way(mm: f64, axis: usize, unit: Unit) -> String {
    let words = [["fwd", "aft"], ["left", "right"], ["down", "up"]][axis.min(2)];
    let word = if mm < 0.0 { words[0] } else { words[1] };
    format!("{} {word}", length(mm.abs(), unit))
}

/// An area: in square feet where the file is in inches or feet, else in square metres.
pub fn area(mm2: f64, unit: Unit) -> String {
    match unit {
        Unit::Inch | Unit::Foot => format!("{:.2} sq ft", mm2 / Unit::Foot.mm().powi(2)),
        Unit::Millimetre | Unit::Centimetre | Unit::Metre => {
            format!("{:.3} m²", mm2 / Unit::Metre.mm().powi(2))
        }
    }
}

/// Hours to a hundredth: `1 hour`, `2.25 hours`.
pub fn hours(hours: f64) -> String {
    let figure = hundredths(hours);
    let word = if figure == "1" { "hour" } else { "hours" };
    format!("{figure} {word}")
}

/// A number to a hundredth, with no more places than it needs.
pub fn hundredths(number: f64) -> String {
    // adding zero turns a negative zero into zero
    ((number * 100.0).round() / 100.0 + 0.0).to_string()
}

/// `1 part`, `3 parts`.
pub fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}
