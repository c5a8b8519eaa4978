//! The axis under a histogram. In: what was measured, in millimetres or degrees. Out: where it stands on the paper, round numbers
//! along it, and under it how far something reaches.

use strongback_model::stack::{Sampled, StackedMeasure};

use super::sheet::{Anchor, Lettering, Sheet, number};
use super::{MARGIN, PAPER, font, ink};
use crate::render::decimal::Decimal;

/// Where the axis starts and ends along the paper.
pub(super) const LEFT: f64 = MARGIN + 14.0;
pub(super) const RIGHT: f64 = PAPER - MARGIN - 6.0;

/// An axis along the paper, for values in millimetres or degrees.
#[derive(Clone, Copy)]
pub(super) struct Axis {
    pub(super) from: f64,
    pub(super) to: f64,
}

impl Axis {
    /// From the least to the greatest that was met or feared, and to limits that don't lie far off.
    pub(super) fn of(measure: &StackedMeasure, sampled: &Sampled) -> Axis {
        /// A limit further off than this share of the rest would press the bars together.
        const FAR: f64 = 0.6;
        let reach = measure.worst_range();
        let mut from = sampled.least.min(reach[0]).min(measure.nominal);
        let mut to = sampled.greatest.max(reach[1]).max(measure.nominal);
        let span = to - from;
        for limit in [measure.least, measure.most].into_iter().flatten() {
            if limit < from && from - limit <= FAR * span {
                from = limit;
            } else if limit > to && limit - to <= FAR * span {
                to = limit;
            }
        }
        let air = 0.04 * (to - from).max(1e-9);
        Axis {
            from: from - air,
            to: to + air,
        }
    }

    /// Where a value stands on the paper.
    pub(super) fn x(self, value: f64) -> f64 {
        LEFT + (RIGHT - LEFT) * (value - self.from) / (self.to - self.from)
    }

    /// Whether a value stands on the axis.
    pub(super) fn holds(self, value: f64) -> bool {
        self.from <= value && value <= self.to
    }
}

/// Round values between two, not more than so many: 1, 2 or 5 times a power of ten apart.
pub(super) fn round_values(from: f64, to: f64, most: f64) -> Vec<f64> {
    let least = (to - from) / most;
    if !(least > 0.0 && least.is_finite()) {
        return Vec::new();
    }
    let power = 10.0_f64.powf(least.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .map(|by| by * power)
        .into_iter()
        .find(|step| *step >= least);
    let step = step.unwrap_or(10.0 * power);
    let (first, last) = ((from / step).ceil(), (to / step).floor());
    (0..=(last - first).max(-1.0) as i64)
        .map(|at| (first + at as f64) * step)
        .collect()
}

/// The axis with its numbers; gives where it ends.
pub(super) fn scale(sheet: &mut Sheet, axis: Axis, decimal: Decimal, foot: f64) -> f64 {
    let units = [axis.from, axis.to].map(|value| value / decimal.per_unit);
    sheet.open(&format!(
        r#"class="axis" stroke="{}" stroke-width="{}""#,
        ink::INK,
        ink::FINE
    ));
    sheet.line([LEFT, foot], [RIGHT, foot], "");
    let values = round_values(units[0], units[1], 9.0);
    for value in &values {
        let x = axis.x(value * decimal.per_unit);
        sheet.line([x, foot], [x, foot + 1.4], "");
    }
    sheet.close();
    let words = Lettering::new(ink::NUMBER, ink::INK, Anchor::Middle);
    for value in values {
        let value = value * decimal.per_unit;
        sheet.text([axis.x(value), foot + 4.2], &decimal.figure(value), words);
    }
    let words = Lettering::new(ink::NUMBER, ink::PALE_INK, Anchor::End);
    sheet.text([PAPER - MARGIN, foot + 4.2], decimal.symbol, words);
    foot + 5.0
}

/// How far something reaches, as a line with ends, and its words.
pub(super) fn reach(sheet: &mut Sheet, axis: Axis, [from, to]: [f64; 2], words: &str, y: f64) {
    let clamp = |value: f64| axis.x(value).clamp(LEFT, RIGHT);
    let (left, right) = (clamp(from), clamp(to));
    sheet.open(&format!(
        r#"class="reach" stroke="{}" stroke-width="{}""#,
        ink::INK,
        ink::LINE
    ));
    sheet.line([left, y], [right, y], "");
    for x in [left, right] {
        sheet.line([x, y - 0.8], [x, y + 0.8], "");
    }
    sheet.close();
    let lettering = |anchor| Lettering::new(ink::NUMBER, ink::INK, anchor);
    let room = font::width(words, ink::NUMBER) + 2.0;
    if right + room <= PAPER - MARGIN {
        sheet.text([right + 1.5, y + 0.8], words, lettering(Anchor::Start));
    } else if left - room >= MARGIN {
        sheet.text([left - 1.5, y + 0.8], words, lettering(Anchor::End));
    } else {
        let middle = 0.5 * (left + right);
        sheet.put(format_args!(
            r##"<rect x="{}" y="{}" width="{}" height="{}" fill="#ffffff"/>"##,
            number(middle - 0.5 * room),
            number(y - 1.2),
            number(room),
            number(2.4)
        ));
        sheet.text([middle, y + 0.8], words, lettering(Anchor::Middle));
    }
}

#[cfg(test)]
mod tests {
    use super::round_values;

    #[test]
    fn round_values_lie_between() {
        assert_eq!(
            round_values(0.0, 10.0, 5.0),
            [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]
        );
        assert_eq!(round_values(-1.0, 1.5, 4.0), [-1.0, 0.0, 1.0]);
        for nothing in [
            (1.0, 1.0),
            (2.0, 1.0),
            (0.0, f64::NAN),
            (0.0, f64::INFINITY),
        ] {
            assert!(round_values(nothing.0, nothing.1, 5.0).is_empty());
        }
    }
}
