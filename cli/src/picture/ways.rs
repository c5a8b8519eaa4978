//! A chain of figures as arrows to scale, each beginning where the one before it ends; or the two ways round a contradiction, one
//! below the other, the second one dashed. In: the signed shares of the figures in mm. Out: an SVG.

use strongback_model::odds::Contradiction;
use strongback_model::quantity::Unit;
use strongback_model::why::Leg;

use super::font;
use super::sheet::{Anchor, Lettering, Sheet, number};
use super::{MARGIN, PAPER, ink};
use crate::render::figures;

/// One way: its name, and each figure with its share.
#[derive(Clone, Debug)]
pub struct Way {
    /// What stands before it; may be empty.
    pub name: String,
    /// The figures: name, and share in mm.
    pub legs: Vec<(String, f64)>,
}

impl Way {
    /// The way of a chain; figures that add nothing are left out.
    #[must_use]
    pub fn of(legs: &[Leg]) -> Self {
        let adding = legs.iter().filter(|leg| leg.adds_mm != 0.0);
        Self {
            name: String::new(),
            legs: adding.map(|leg| (leg.name.clone(), leg.adds_mm)).collect(),
        }
    }

    /// The two ways round a contradiction, the figures of each as they add up.
    #[must_use]
    pub fn round(contradiction: &Contradiction) -> [Self; 2] {
        let [own, other] = &contradiction.ways;
        [("one way round", own), ("the other way", other)].map(|(name, way)| {
            // a way whose figures add up to less than nothing is drawn the other way about, as its sum is told
            let sum: f64 = way.legs.iter().map(|leg| leg.adds_mm).sum();
            let sign = if sum < 0.0 { -1.0 } else { 1.0 };
            let legs = way.legs.iter();
            Self {
                name: name.to_owned(),
                legs: legs
                    .map(|leg| (leg.name.clone(), sign * leg.adds_mm))
                    .collect(),
            }
        })
    }

    /// Where each figure begins and ends.
    fn runs(&self) -> Vec<[f64; 2]> {
        let mut at = 0.0;
        self.legs
            .iter()
            .map(|(_, adds)| {
                let from = at;
                at += adds;
                [from, at]
            })
            .collect()
    }
}

/// From one arrow to the next below it.
const STEP: f64 = 4.6;
/// Least length of an arrow's head.
const HEAD: f64 = 1.4;
/// Kinds of line: the second way is dashed.
const DASHES: [&str; 2] = ["", r#" stroke-dasharray="2 1""#];

/// Draws the ways below each other, to one scale and from one line.
#[must_use]
pub fn ways(ways: &[Way], unit: Unit) -> String {
    let mut sheet = Sheet::default();
    let runs: Vec<Vec<[f64; 2]>> = ways.iter().map(Way::runs).collect();
    let ends = runs.iter().flatten().flatten().copied();
    let ends: Vec<f64> = ends.filter(|end| end.is_finite()).chain([0.0]).collect();
    let least = ends.iter().copied().fold(f64::INFINITY, f64::min);
    let most = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    // names stand beside their arrows, to the right of all
    let names = ways.iter().flat_map(|way| &way.legs);
    let widest = names.map(|(name, adds)| font::width(&label(name, *adds, unit), ink::CAPTION));
    let room = widest.fold(0.0, f64::max).min(0.45 * PAPER) + 4.0;
    let (left, right) = (MARGIN, PAPER - MARGIN - room);
    let scale = (right - left) / (most - least).max(1e-6);
    let x = |at: f64| left + (at - least) * scale;
    let mut y = MARGIN;
    let top = y;
    let words = Lettering::new(ink::CAPTION, ink::INK, Anchor::Start);
    let mut far = Vec::new();
    for (at, (way, runs)) in ways.iter().zip(&runs).enumerate() {
        if !way.name.is_empty() {
            y += STEP;
            sheet.text([MARGIN, y], &way.name, words);
        }
        let dashes = DASHES[at % DASHES.len()];
        sheet.open(&format!(
            r#"class="way" stroke="{}" stroke-width="{}" fill="none""#,
            ink::PICKED,
            number(1.4 * ink::BOLD)
        ));
        let head = y;
        for (leg, [from, to]) in runs.iter().enumerate() {
            y += STEP;
            arrow(&mut sheet, [x(*from), x(*to)], y, dashes);
            if leg + 1 < runs.len() {
                sheet.line(
                    [x(*to), y],
                    [x(*to), y + STEP],
                    &format!(r#" stroke-width="{}""#, ink::FINE),
                );
            }
        }
        sheet.close();
        for (leg, (name, adds)) in way.legs.iter().enumerate() {
            let at = head + (leg + 1) as f64 * STEP;
            let told = font::fitted(&label(name, *adds, unit), ink::CAPTION, room - 3.0);
            sheet.text([right + 3.0, at + 0.9], &told, words);
        }
        far.push((runs.last().map_or(0.0, |run| run[1]), y));
        y += 1.0;
    }
    sheet.open(&format!(
        r#"class="guides" stroke="{}" stroke-width="{}""#,
        ink::PALE_INK,
        ink::FINE
    ));
    sheet.line([x(0.0), top], [x(0.0), y], "");
    for (end, foot) in &far {
        sheet.line([x(*end), *foot], [x(*end), y + 2.0], "");
    }
    sheet.close();
    if let [(first, _), (second, _)] = far[..] {
        y += 3.0;
        let [from, to] = if first < second {
            [first, second]
        } else {
            [second, first]
        };
        sheet.open(&format!(
            r#"class="miss" stroke="{}" stroke-width="{}""#,
            ink::REMADE,
            number(ink::BROAD)
        ));
        sheet.line([x(from), y - 1.0], [x(to), y - 1.0], "");
        sheet.close();
        let told = format!(
            "the two ways end {} apart",
            figures::length(to - from, unit)
        );
        let lettering = Lettering::new(ink::CAPTION, ink::REMADE, Anchor::Start);
        y += STEP;
        sheet.text([MARGIN, y], &told, lettering);
    }
    let about = "Figures as arrows to scale, each from where the one before it ends";
    sheet.finish(PAPER, y + MARGIN, about)
}

fn label(name: &str, adds: f64, unit: Unit) -> String {
    format!("{name} {}", figures::signed(adds, unit))
}

/// An arrow along the paper.
fn arrow(sheet: &mut Sheet, [from, to]: [f64; 2], y: f64, dashes: &str) {
    sheet.line([from, y], [to, y], dashes);
    let back = HEAD.min((to - from).abs()) * (to - from).signum();
    for side in [-0.5, 0.5] {
        sheet.line([to - back, y + side * HEAD], [to, y], "");
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic)]
    use super::super::tests::check;
    use super::*;
    use resvg::usvg::roxmltree::Document;

    fn way(name: &str, legs: &[f64]) -> Way {
        let named = legs.iter().enumerate();
        Way {
            name: name.to_owned(),
            legs: named
                .map(|(at, adds)| (format!("figure {at}"), *adds))
                .collect(),
        }
    }

    #[test]
    fn arrows_begin_where_the_one_before_ends_and_add_up() {
        let svg = ways(&[way("", &[100.0, -25.0, 50.0])], Unit::Inch);
        check(&svg);
        let document = Document::parse(&svg).unwrap();
        let number = |node: roxmltree::Node<'_, '_>, name: &str| -> f64 {
            node.attribute(name).unwrap().parse().unwrap()
        };
        use resvg::usvg::roxmltree;
        let level: Vec<[f64; 2]> = document
            .descendants()
            .filter(|node| {
                node.has_tag_name("line")
                    && node.parent().unwrap().attribute("class") == Some("way")
            })
            .filter(|node| number(*node, "y1") == number(*node, "y2"))
            .map(|node| [number(node, "x1"), number(node, "x2")])
            .collect();
        let [first, second, third] = level[..] else {
            panic!("{level:?}")
        };
        assert_eq!((first[1], second[1]), (second[0], third[0]));
        // to one scale: 100 forward, 25 back, 50 forward
        let ratio = |run: [f64; 2]| (run[1] - run[0]) / (first[1] - first[0]);
        assert!((ratio(second) + 0.25).abs() < 1e-3 && (ratio(third) - 0.5).abs() < 1e-3);
    }

    #[test]
    fn two_ways_end_as_far_apart_as_they_miss() {
        let svg = ways(
            &[
                way("one way", &[100.0]),
                way("the other way", &[60.0, 20.0]),
            ],
            Unit::Millimetre,
        );
        check(&svg);
        assert!(svg.contains("the two ways end 20 mm apart"), "{svg}");
        assert!(svg.contains("stroke-dasharray"));
    }

    #[test]
    fn what_is_no_number_is_survived() {
        check(&ways(
            &[way("", &[f64::NAN, 3.0, f64::INFINITY])],
            Unit::Inch,
        ));
        check(&ways(&[], Unit::Inch));
    }
}
