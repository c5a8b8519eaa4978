//! Figures as the person works. In: a length, shift or angle, the unit and the style. Out: text that [`parse()`](super::parse()) reads back.
//! Inches to the nearest 1/64 with the rest in decimals; mm to 3 decimals, cm to 4, m to 6 (a thousandth of a mm each); degrees to 3.
//! The same value gives the same text everywhere; a negative zero is never shown.

use std::fmt::Write as _;

use super::angle::Angle;
use super::length::Length;
use super::unit::Unit;

/// Inches within which a length is taken for a multiple of 1/64: far below what any rule or gauge shows, far above what is lost in
/// computing with millimetres.
pub const SIXTY_FOURTH_TOLERANCE: f64 = 1e-6;

/// How inches that are no multiple of 1/64 are shown. Metric units look the same in every style.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    /// The nearest 1/64 and the rest in decimals: `11 9/32 + 0.0042`, for whoever holds a rule. Below nought as
    /// [`Style::Short`].
    Long,
    /// Decimals to four places: `11.2855`, for whoever holds a gauge.
    Short,
    /// Decimals to four places for multiples of 1/64 too: `0.25`, for sheet and wire that is sold by its thousandths.
    Decimal,
}

/// Whether a plus is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// For a length: only a minus is.
    MinusOnly,
    /// For a shift: `+5/8`, `-3/16`, and `0` without a sign.
    Both,
}

/// A length with its unit: `23 1/2 in`, `1 ft 3 1/4 in`, `16.5 mm`.
#[must_use]
pub fn length(length: Length, unit: Unit, style: Style) -> String {
    written(length, unit, style, Sign::MinusOnly, Marks::Unit)
}

/// A shift with its sign and unit: `+5/8 in`, `-3/16 in`.
#[must_use]
pub fn shift(shift: Length, unit: Unit, style: Style) -> String {
    written(shift, unit, style, Sign::Both, Marks::Unit)
}

/// A length or a shift for a column that names the unit at its head: `23 1/2`, `+5/8`. Feet and inches keep their words.
#[must_use]
pub fn figure(length: Length, unit: Unit, style: Style, sign: Sign) -> String {
    written(length, unit, style, sign, Marks::None)
}

/// An angle in degrees to 3 decimals: `12.5 deg`.
#[must_use]
pub fn angle(angle: Angle) -> String {
    let degrees = angle.degrees();
    signed(
        degrees < 0.0,
        &format!("{} deg", decimals(degrees.abs(), 3)),
        Sign::MinusOnly,
    )
}

/// A turn in degrees with its sign: `+0.25 deg`.
#[must_use]
pub fn turn(turn: Angle) -> String {
    let degrees = turn.degrees();
    signed(
        degrees < 0.0,
        &format!("{} deg", decimals(degrees.abs(), 3)),
        Sign::Both,
    )
}

#[derive(Clone, Copy, PartialEq)]
enum Marks {
    Unit,
    None,
}

fn written(length: Length, unit: Unit, style: Style, sign: Sign, marks: Marks) -> String {
    let negative = length.mm() < 0.0;
    // `-24 in + 0.0008 in` is right by its signs and read as 24.0008 in below nought
    let style = match style {
        Style::Long if negative => Style::Short,
        other => other,
    };
    let size = length.abs();
    let places = match unit {
        Unit::Inch => return signed(negative, &inches(size.inches(), style, marks), sign),
        Unit::Foot => return signed(negative, &feet(size.inches(), style), sign),
        Unit::Millimetre => 3,
        Unit::Centimetre => 4,
        Unit::Metre => 6,
    };
    let mut text = decimals(size.in_unit(unit), places);
    if marks == Marks::Unit {
        let _ = write!(text, " {}", unit.symbol());
    }
    signed(negative, &text, sign)
}

/// Puts the sign before the text of a size, unless the size is shown as nought.
fn signed(negative: bool, size: &str, sign: Sign) -> String {
    let shown = size.contains(|c: char| matches!(c, '1'..='9'));
    match (shown, negative, sign) {
        (true, true, _) => format!("-{size}"),
        (true, false, Sign::Both) => format!("+{size}"),
        _ => size.to_owned(),
    }
}

/// A size in inches, split into what is shown.
enum Split {
    /// So many 1/64.
    Exact(u64),
    /// The nearest multiple of 1/64, never 0, and what is over (or, below zero, lacking) in inches.
    Near(u64, f64),
    /// Decimals only.
    Decimal,
}

/// Beyond this a count of 1/64 is no count: a hundred thousand miles of inches.
const MOST_INCHES: f64 = 1e10;

fn split(size: f64, style: Style) -> Split {
    if style == Style::Decimal || !size.is_finite() || size > MOST_INCHES {
        return Split::Decimal;
    }
    let count = (size * 64.0).round();
    let over = size - count / 64.0;
    // Not negative and below 2^63, so the cast is exact.
    let whole = count as u64;
    match style {
        _ if over.abs() <= SIXTY_FOURTH_TOLERANCE => Split::Exact(whole),
        Style::Long if whole > 0 => Split::Near(whole, over),
        _ => Split::Decimal,
    }
}

fn inches(size: f64, style: Style, marks: Marks) -> String {
    let unit = if marks == Marks::Unit { " in" } else { "" };
    match split(size, style) {
        Split::Exact(count) => format!("{}{unit}", sixty_fourths(count)),
        Split::Near(count, over) => {
            format!(
                "{}{unit} {} {}{unit}",
                sixty_fourths(count),
                rest_sign(over),
                rest_decimals(over)
            )
        }
        Split::Decimal => format!("{}{unit}", decimals(size, 4)),
    }
}

fn feet(size: f64, style: Style) -> String {
    const SIXTY_FOURTHS_PER_FOOT: u64 = 12 * 64;
    let (whole, part, rest) = match split(size, style) {
        Split::Exact(count) => (
            count / SIXTY_FOURTHS_PER_FOOT,
            sixty_fourths(count % SIXTY_FOURTHS_PER_FOOT),
            None,
        ),
        Split::Near(count, over) => {
            let rest = format!(" {} {} in", rest_sign(over), rest_decimals(over));
            (
                count / SIXTY_FOURTHS_PER_FOOT,
                sixty_fourths(count % SIXTY_FOURTHS_PER_FOOT),
                Some(rest),
            )
        }
        Split::Decimal if size.is_finite() && size <= MOST_INCHES => {
            // Rounded before it is split, or 11.99999 in would be shown as 12 in.
            let units = (size * (1.0 + LOST) * 1e4).round() as u64;
            (
                units / 120_000,
                decimals((units % 120_000) as f64 / 1e4, 4),
                None,
            )
        }
        Split::Decimal => return format!("{} ft", decimals(size / 12.0, 4)),
    };
    let rest = rest.unwrap_or_default();
    match (whole, part.as_str()) {
        (0, _) => format!("{part} in{rest}"),
        // With a rest the inches stay: `2 ft - 0.0042 in` could be read as feet and inches with a hyphen.
        (_, "0") if rest.is_empty() => format!("{whole} ft"),
        _ => format!("{whole} ft {part} in{rest}"),
    }
}

/// A count of 1/64 as a whole number and a reduced fraction.
fn sixty_fourths(count: u64) -> String {
    let (whole, part) = (count / 64, count % 64);
    if part == 0 {
        return whole.to_string();
    }
    let twos = part.trailing_zeros();
    let (above, below) = (part >> twos, 64 >> twos);
    if whole == 0 {
        format!("{above}/{below}")
    } else {
        format!("{whole} {above}/{below}")
    }
}

/// The sign before the rest.
const fn rest_sign(over: f64) -> char {
    if over < 0.0 { '-' } else { '+' }
}

/// Four decimals, or six where four would show nothing of a rest that is there.
fn rest_decimals(over: f64) -> String {
    match decimals(over.abs(), 4) {
        nothing if nothing == "0" => decimals(over.abs(), 6),
        some => some,
    }
}

/// More than a way through millimetres and back takes off a half, far less than any figure shows.
const LOST: f64 = 1e-12;

/// A size with at most so many decimals and no trailing zeros; halves of the last place are rounded up.
fn decimals(size: f64, places: usize) -> String {
    let size = size * (1.0 + LOST);
    // Past this an f64 holds no thousandths, and a hundred digits help nobody.
    if size >= 1e15 {
        return format!("{size:e}");
    }
    let text = format!("{size:.places$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

#[cfg(test)]
mod tests;
