//! The waterline ruler up the left of a view from behind. In: where waterlines lie on the paper, the file's unit. Out: ticks at
//! round waterlines, numbers at the roundest, a wedge at waterline 0.

use strongback_model::quantity::Unit;

use super::ink;
use super::ruler::{Ticks, counts};
use super::sheet::{Anchor, Lettering, Sheet, number};
use super::view::Mapping;
use crate::render::figures;

/// Draws it with its edge at `x`, from one waterline to another, in mm.
pub(super) fn draw(sheet: &mut Sheet, mapping: &Mapping, [from, to]: [f64; 2], x: f64, unit: Unit) {
    let ticks = Ticks::fitting(unit, mapping.scale.paper_per_mm);
    sheet.open(&format!(
        r#"class="ruler up" stroke="{}" stroke-width="{}""#,
        ink::INK,
        ink::FINE
    ));
    sheet.line([x, mapping.y(from)], [x, mapping.y(to)], "");
    let mut numbers = Vec::new();
    for count in counts(from, to, ticks.small_mm) {
        let water = count as f64 * ticks.small_mm;
        let y = mapping.y(water);
        let length = ticks.length(count);
        if count % ticks.numbered == 0 {
            numbers.push((water, y));
        }
        sheet.line([x, y], [x - length, y], "");
    }
    sheet.close();
    let lettering = Lettering::new(ink::NUMBER, ink::INK, Anchor::End);
    for (water, y) in numbers {
        let text = figures::column(water, unit);
        sheet.text([x - 3.0, y + 0.8], &text, lettering);
    }
    if from <= 0.0 && 0.0 <= to {
        let [tip, foot] = [x + 0.4, x + 2.1].map(number);
        let y = mapping.y(0.0);
        let [y, upper, lower] = [y, y - 1.1, y + 1.1].map(number);
        sheet.put(format_args!(
            r#"<path class="datum" d="M{tip} {y}L{foot} {upper}L{foot} {lower}Z" fill="{}"/>"#,
            ink::INK
        ));
    }
}
