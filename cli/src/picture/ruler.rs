//! The station ruler along the bottom of a view. In: where stations lie on the paper, the file's unit, the datum.
//! Out: ticks at round stations, numbers at the roundest, a wedge at station 0, and a mark at each part's web or forward face.

use strongback_model::quantity::Unit;

use super::ink;
use super::look::Place;
use super::sheet::{Anchor, Lettering, Sheet, number};
use super::view::{Aspect, Mapping};
use crate::render::figures;

/// Distance of the small, middle and numbered ticks, in mm of the aircraft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ticks {
    pub(super) small_mm: f64,
    /// How many small ones from a middle one to the next, and from a numbered one to the next.
    pub(super) middle: i64,
    pub(super) numbered: i64,
}

/// Paper mm below which small ticks run together, and numbers do.
const LEAST_SMALL: f64 = 0.75;
const LEAST_NUMBERED: f64 = 10.0;

/// Small tick in inches; how many of them make a middle and a numbered one: as a rule is divided, then by tens.
const INCHES: [(f64, i64, i64); 8] = [
    (1.0 / 32.0, 8, 32),
    (1.0 / 16.0, 4, 16),
    (0.125, 4, 8),
    (0.25, 4, 8),
    (0.5, 2, 10),
    (1.0, 5, 10),
    (2.0, 5, 10),
    (5.0, 2, 10),
];

const FEET: [(f64, i64, i64); 3] = [(1.0 / 12.0, 3, 12), (0.25, 2, 4), (0.5, 2, 10)];

const TENS: [(f64, i64, i64); 3] = [(1.0, 5, 10), (2.0, 5, 10), (5.0, 2, 10)];

impl Ticks {
    /// The closest ticks that can still be told apart on the paper.
    pub(super) fn fitting(unit: Unit, paper_per_mm: f64) -> Ticks {
        let own: &[(f64, i64, i64)] = match unit {
            Unit::Inch => &INCHES,
            Unit::Foot => &FEET,
            Unit::Millimetre | Unit::Centimetre | Unit::Metre => &[],
        };
        let least_power = if own.is_empty() { -4 } else { 0 };
        let tens = (least_power..=12).flat_map(|power: i32| {
            TENS.iter().map(move |&(small, middle, numbered)| {
                (small * 10f64.powi(power), middle, numbered)
            })
        });
        let ticks = |(small, middle, numbered): (f64, i64, i64)| Ticks {
            small_mm: small * unit.mm(),
            middle,
            numbered,
        };
        own.iter()
            .copied()
            .chain(tens)
            .map(ticks)
            .find(|ticks| {
                let small = ticks.small_mm * paper_per_mm;
                small >= LEAST_SMALL && small * ticks.numbered as f64 >= LEAST_NUMBERED
            })
            .unwrap_or_else(|| ticks((1e12, 5, 10)))
    }

    /// How long the tick at so many small steps is, mm of paper.
    pub(super) fn length(self, count: i64) -> f64 {
        if count % self.numbered == 0 {
            2.4
        } else if count % self.middle == 0 {
            1.7
        } else {
            1.0
        }
    }

    /// The numbered stations between two.
    pub(super) fn numbered_between(self, from: f64, to: f64) -> Vec<f64> {
        let step = self.small_mm * self.numbered as f64;
        counts(from, to, step)
            .map(|count| count as f64 * step)
            .collect()
    }
}

/// Whole multiples of a step between two stations; none if there would be absurdly many.
pub(super) fn counts(from: f64, to: f64, step: f64) -> std::ops::Range<i64> {
    let (first, last) = ((from / step - 1e-6).ceil(), (to / step + 1e-6).floor());
    if last - first > 5000.0 || !(last - first).is_finite() {
        return 0..0;
    }
    first as i64..last as i64 + 1
}

/// What stations are counted from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Datum<'a> {
    /// In words.
    pub(super) words: &'a str,
    /// Whether it is where it should be.
    pub(super) place: Place,
}

impl Datum<'_> {
    fn told(self) -> String {
        match (self.words.trim(), self.place) {
            ("", _) => String::new(),
            (words, Place::Settled) => format!("; 0 is {words}"),
            (words, Place::AtOdds) => {
                format!("; 0 is meant to be {words}, but that is at odds")
            }
            (words, Place::Loose) => {
                format!("; 0 is meant to be {words}, but that is loose")
            }
        }
    }
}

/// What a ruler along the bottom of a view counts, in words.
pub(super) fn told(aspect: &Aspect, unit: Unit, datum: Option<Datum<'_>>) -> String {
    let mut words = aspect.along.replace("{unit}", unit_words(unit));
    if aspect.by_station {
        if let Some(datum) = datum {
            words.push_str(&datum.told());
        }
        words.push_str(". Wedges: webs and forward faces of parts.");
    } else {
        words.push('.');
    }
    words
}

/// Height of the ruler on the paper, words included.
pub(super) const HEIGHT: f64 = 12.5;

/// Draws the ruler with its upper edge at `y`, with what it counts told in words; `marks` are the stations of parts.
pub(super) fn draw(
    sheet: &mut Sheet,
    mapping: &Mapping,
    [from, to]: [f64; 2],
    y: f64,
    unit: Unit,
    told: &str,
    marks: &[(String, f64)],
) {
    let ticks = Ticks::fitting(unit, mapping.scale.paper_per_mm);
    let edge = y + 1.8;
    sheet.open(&format!(
        r#"class="ruler" stroke="{}" stroke-width="{}""#,
        ink::INK,
        ink::FINE
    ));
    sheet.line([mapping.x(from), edge], [mapping.x(to), edge], "");
    let mut numbers = Vec::new();
    for count in counts(from, to, ticks.small_mm) {
        let station = count as f64 * ticks.small_mm;
        let x = mapping.x(station);
        let numbered = count % ticks.numbered == 0;
        if numbered {
            numbers.push((station, x));
        }
        sheet.line([x, edge], [x, edge + ticks.length(count)], "");
    }
    sheet.close();
    let lettering = Lettering::new(ink::NUMBER, ink::INK, Anchor::Middle);
    for (station, x) in numbers {
        let text = figures::column(station, unit);
        sheet.text([x, edge + 5.0], &text, lettering);
    }
    sheet.open(&format!(r#"class="marks" fill="{}""#, ink::PALE_INK));
    for (part, station) in marks {
        let [x, left, right] = [0.0, -0.45, 0.45].map(|by| number(mapping.x(*station) + by));
        let [tip, foot] = [edge, edge - 1.4].map(number);
        sheet.put(format_args!(
            r#"<path d="M{x} {tip}L{left} {foot}L{right} {foot}Z" data-mark="{}"/>"#,
            super::sheet::escaped(part)
        ));
    }
    sheet.close();
    if from <= 0.0 && 0.0 <= to {
        let x = mapping.x(0.0);
        let [x, left, right] = [x, x - 1.1, x + 1.1].map(number);
        let [tip, foot] = [edge + 5.7, edge + 7.4].map(number);
        sheet.put(format_args!(
            r#"<path class="datum" d="M{x} {tip}L{left} {foot}L{right} {foot}Z" fill="{}"/>"#,
            ink::INK
        ));
    }
    let start = super::MARGIN;
    let words = super::font::fitted(told, ink::NUMBER, super::PAPER - 2.0 * super::MARGIN);
    let lettering = Lettering::new(ink::NUMBER, ink::PALE_INK, Anchor::Start);
    sheet.text([start, y + HEIGHT - 0.8], &words, lettering);
}

fn unit_words(unit: Unit) -> &'static str {
    match unit {
        Unit::Inch => "inches",
        Unit::Foot => "feet",
        Unit::Millimetre => "mm",
        Unit::Centimetre => "cm",
        Unit::Metre => "m",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_as_a_rule_is_divided() {
        let inches = |ratio: f64| Ticks::fitting(Unit::Inch, 1.0 / ratio);
        let told = |ticks: Ticks| (ticks.small_mm / 25.4, ticks.middle, ticks.numbered);
        assert_eq!(told(inches(1.0)), (1.0 / 32.0, 8, 32));
        assert_eq!(told(inches(20.0)), (1.0, 5, 10));
        assert_eq!(told(inches(40.0)), (2.0, 5, 10));
        let mm = Ticks::fitting(Unit::Millimetre, 1.0 / 20.0);
        assert_eq!((mm.small_mm, mm.middle, mm.numbered), (20.0, 5, 10));
        let m = Ticks::fitting(Unit::Metre, 1.0 / 20.0);
        assert!((m.small_mm - 20.0).abs() < 1e-9);
    }

    #[test]
    fn numbered_stations() {
        let ticks = Ticks::fitting(Unit::Inch, 1.0 / 20.0);
        assert_eq!(ticks.numbered_between(-260.0, 500.0), [-254.0, 0.0, 254.0]);
        assert!(ticks.numbered_between(0.0, f64::INFINITY).is_empty());
    }
}
