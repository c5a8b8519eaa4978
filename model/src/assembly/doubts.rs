//! What of a model is probably a slip, though it can be built so. In: the parts as they are assembled. Out: sentences, each once for a
//! part on both sides.

use super::Assembly;
use crate::part::{Plan, Role, Sizes};
use crate::quantity::Length;
use crate::quantity::format::{Style, length};
use crate::relation::Hand;
use crate::trade::gauges;
use crate::words::{Sides, without_hand};

/// Sheet counts as thicker than a gauge from so much on, in millimetres: rounding of a gauge stated in millimetres.
const THICKER: f64 = 0.1;

/// Notes the doubts.
pub(super) fn enter(assembly: &mut Assembly) {
    let mut doubts = Vec::new();
    let written = assembly
        .parts
        .iter()
        .filter(|part| part.hand == Hand::AsWritten);
    for part in written {
        let Some(stated) = &part.stated else {
            continue;
        };
        let both = stated.kind().common().sides == Sides::Both;
        let name = without_hand(&part.name)
            .filter(|_| both)
            .unwrap_or(&part.name);
        let mut doubt = |told: &str| doubts.push(format!("`{name}`: {told}"));
        part.shape.doubts.iter().for_each(|told| doubt(told));
        let mut sizes = Sizes::following(part.contour.clone());
        for size in &part.sizes {
            let (form, value) = (size.resolved.form.clone(), size.resolved.value);
            sizes.insert(size.name.clone(), form, value);
        }
        let of_sheet = match stated.kind().plan(&sizes) {
            Some(Plan::Web(web)) => web.flanges.iter().any(Option::is_some),
            Some(Plan::Skin { .. }) => true,
            _ => false,
        };
        let thickest = 25.4 * gauges::IN_USE.iter().copied().fold(0.0, f64::max);
        let told = |mm: f64| length(Length::from_mm(mm), assembly.unit, Style::Short);
        for size in part.sizes.iter().filter(|size| size.role == Role::Gauge) {
            let is = size.resolved.value;
            if of_sheet && is > thickest + THICKER {
                doubt(&format!(
                    "its {} is {}, and the thickest sheet gauge in use is {}; is the point where it belongs?",
                    size.name,
                    told(is),
                    told(thickest)
                ));
            }
        }
    }
    assembly.doubts = doubts;
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use crate::assembly::assemble;
    use crate::document::Document;

    fn of(rib: &str) -> Vec<String> {
        let text = format!(
            "(format: 1, title: \"\", unit: Inch, fit: \"1/32 in\", parts: {{\"rib\": Rib(flange: \"5/8 in\", flanges: Right, sides: Both, \
             at: (fs: 0, bl: 2, wl: 0), outline: [(0, 0), (0, 7), (20, 6), (20, 0)], {rib})}})"
        );
        assemble(&Document::read(&text).unwrap()).unwrap().doubts
    }

    #[test]
    fn an_edge_above_all_metal_is_told_and_one_on_the_outline_is_not() {
        let on = r#"thickness: "0.032 in", edges: {"upper": ((0, 7), (20, 6)), "again": ((20, 6), (0, 7))}"#;
        assert_eq!(of(on), [""; 0]);
        let off = r#"thickness: "0.032 in", edges: {"above": ((20, 9), (0, 9))}"#;
        let told = of(off);
        assert_eq!(told.len(), 1, "once for both hands: {told:?}");
        assert!(told[0].starts_with("`rib`: edge `above` doesn't lie on the outline"));
    }

    #[test]
    fn sheet_thicker_than_any_gauge_is_told() {
        assert_eq!(of(r#"thickness: "0.125 in""#), [""; 0]);
        assert_eq!(
            of(r#"thickness: "0.32 in""#),
            [
                "`rib`: its thickness is 0.32 in, and the thickest sheet gauge in use is 1/8 in; is the point where it belongs?"
            ]
        );
    }
}
