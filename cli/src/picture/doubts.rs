//! What is not as it should be. In: a layout, and the parts about which a statement doesn't hold. Out: whether a part's place and
//! that of the datum can be trusted, and sentences that say what is loose and what is at odds.

use strongback_model::layout::{Layout, PlacedPart};
use strongback_model::quantity::Unit;

use super::caption::some;
use super::look::Place;
use crate::render::figures;

/// Whether a part's place can be trusted.
pub(super) fn place(part: &PlacedPart, at_odds: &[String]) -> Place {
    if !part.settled {
        Place::Loose
    } else if at_odds.contains(&part.name) {
        Place::AtOdds
    } else {
        Place::Settled
    }
}

/// Whether the parts that the datum's words name are where they should be; without such words nothing is doubted, unless no
/// part at all is settled.
pub(super) fn datum(layout: &Layout, at_odds: &[String]) -> Place {
    let words = layout.datum.as_deref().unwrap_or_default().to_lowercase();
    let all_loose = layout.parts.iter().all(|part| !part.settled) && !layout.parts.is_empty();
    let named = layout
        .parts
        .iter()
        .filter(|part| !part.name.trim().is_empty())
        .filter(|part| words.contains(&part.name.to_lowercase()))
        .map(|part| place(part, at_odds))
        .max();
    named.unwrap_or(if all_loose {
        Place::Loose
    } else {
        Place::Settled
    })
}

/// What is loose, at odds or waits; nothing if all is well.
pub(super) fn sentences(layout: &Layout) -> Vec<String> {
    let mut sentences = Vec::new();
    let loose: Vec<&str> = layout
        .parts
        .iter()
        .filter(|part| !part.settled)
        .map(|part| part.name.as_str())
        .collect();
    if !loose.is_empty() {
        sentences.push(format!(
            "Loose: {}. Drawn where the search ended: take no station, size or shift of it from this picture.",
            some(&loose)
        ));
    }
    let at_odds: Vec<String> = layout
        .at_odds
        .iter()
        .map(|odd| {
            let miss = miss(odd.miss, odd.angle, layout.unit);
            format!("`{}` misses by {miss}", odd.statement)
        })
        .collect();
    if !at_odds.is_empty() {
        let at_odds: Vec<&str> = at_odds.iter().map(String::as_str).collect();
        sentences.push(format!("At odds: {}.", some(&at_odds)));
    }
    let waiting: Vec<&str> = layout
        .waiting
        .iter()
        .map(|waiting| waiting.statement.as_str())
        .collect();
    if !waiting.is_empty() {
        sentences.push(format!(
            "Waiting, as something is loose: {}.",
            some(&waiting)
        ));
    }
    sentences
}

fn miss(by: f64, angle: bool, unit: Unit) -> String {
    if angle {
        figures::angle(by.abs())
    } else {
        figures::length(by.abs(), unit)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use resvg::usvg::roxmltree::Document;
    use strongback_model::document::Trust;
    use strongback_model::layout::{AtOdds, Waiting};

    use super::super::sample::{empty, frame};
    use super::super::tests::{check, of_class};
    use super::super::{Drawing, View, svg};
    use super::*;

    fn bay() -> Layout {
        let mut layout = empty();
        layout.parts = vec![frame("firewall", 0.0), frame("panel frame", 20.0)];
        layout
    }

    #[test]
    fn the_datum_is_as_sure_as_the_part_it_names() {
        let mut layout = bay();
        assert_eq!(datum(&layout, &[]), Place::Settled);
        assert_eq!(datum(&layout, &["panel frame".to_owned()]), Place::Settled);
        assert_eq!(datum(&layout, &["firewall".to_owned()]), Place::AtOdds);
        layout.parts[1].settled = false;
        assert_eq!(datum(&layout, &[]), Place::Settled);
        layout.parts[0].settled = false;
        assert_eq!(datum(&layout, &[]), Place::Loose);
        layout.datum = None;
        assert_eq!(datum(&layout, &[]), Place::Loose, "nothing is settled");
    }

    #[test]
    fn what_is_amiss_is_told() {
        let mut layout = bay();
        assert!(sentences(&layout).is_empty());
        layout.parts[1].settled = false;
        layout.at_odds.push(AtOdds {
            statement: "second spacing".to_owned(),
            trust: Trust::default(),
            sheet: None,
            miss: -15.875,
            angle: false,
            against: Vec::new(),
        });
        layout.waiting.push(Waiting {
            statement: "rail ends".to_owned(),
            sheet: None,
            miss: 1.0,
            angle: false,
        });
        let told = sentences(&layout);
        assert!(told[0].starts_with("Loose: panel frame."), "{told:?}");
        assert_eq!(told[1], "At odds: `second spacing` misses by 5/8 in.");
        assert!(told[2].ends_with("rail ends."));
    }

    #[test]
    fn loose_parts_and_those_at_odds_are_marked() {
        let mut layout = empty();
        layout.datum = Some("the aft face of the firewall".to_owned());
        layout.parts = vec![
            frame("firewall", 0.0),
            frame("adrift", 20.0),
            frame("disputed", 40.0),
        ];
        let sound = svg(&Drawing::new(&layout, View::Side));
        assert!(sound.contains("; 0 is the aft face of the firewall."));
        layout.parts[0].settled = false;
        layout.parts[1].settled = false;
        let at_odds = ["disputed".to_owned()];
        let svg = svg(&Drawing {
            at_odds: &at_odds,
            ..Drawing::new(&layout, View::Side)
        });
        check(&svg);
        let document = Document::parse(&svg).unwrap();
        for (class, count) in [("loose", 2), ("at-odds", 1)] {
            let groups = of_class(&document, class);
            assert_eq!(groups.len(), count, "{class}");
            // by the kind of line, so that it shows without its name and in grey
            assert!(
                groups
                    .iter()
                    .all(|group| group.attribute("stroke-dasharray").is_some())
            );
        }
        assert!(svg.contains(">adrift (loose)<") && svg.contains(">disputed (at odds)<"));
        assert!(
            svg.contains("; 0 is meant to be the aft face of the firewall, but that is loose.")
        );
        assert!(svg.contains("Loose: firewall, adrift."));
    }
}
