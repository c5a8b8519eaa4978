//! What a must-fit measures. In: the places of its features, in mm of the aircraft. Out: a mark at each and a line through them, over
//! the view.

use super::ink;
use super::sheet::{Sheet, number};
use super::view::{Mapping, View};

/// Half of a mark's width, mm of paper.
const MARK: f64 = 1.3;

/// Draws the marks, in order; places that are no number are left out.
pub(super) fn draw(sheet: &mut Sheet, view: View, mapping: &Mapping, places: &[[f64; 3]]) {
    if places.is_empty() {
        return;
    }
    let points: Vec<[f64; 2]> = places
        .iter()
        .filter(|place| place.iter().all(|x| x.is_finite()))
        .map(|place| {
            let [along, up, _] = view.turned(*place);
            mapping.point([along, up])
        })
        .collect();
    sheet.open(&format!(
        r#"class="measured" fill="none" stroke="{}" stroke-width="{}" stroke-linecap="round""#,
        ink::PICKED,
        number(ink::BOLD)
    ));
    for pair in points.windows(2) {
        if let [from, to] = pair {
            sheet.line(*from, *to, r#" stroke-dasharray="1.6 1""#);
        }
    }
    for [x, y] in points {
        sheet.put(format_args!(
            r##"<circle cx="{}" cy="{}" r="{}" fill="#ffffff" fill-opacity="0.6"/>"##,
            number(x),
            number(y),
            number(MARK)
        ));
        sheet.line([x - MARK, y], [x + MARK, y], "");
        sheet.line([x, y - MARK], [x, y + MARK], "");
    }
    sheet.close();
}
