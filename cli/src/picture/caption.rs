//! What is said under a picture. In: what moves. Out: sentences with the greatest shift each way, what is to be re-cut, added and left out.

use strongback_model::quantity::Unit;
use strongback_model::shift::Presence;

use super::Before;
use super::ribbon::Course;
use crate::render::figures::{self, count};

/// Which deviation, and what it comes to.
pub(super) fn sentences(before: &Before<'_>, unit: Unit) -> Vec<String> {
    let (deviation, shift) = (before.deviation, before.shift);
    let mut first = String::new();
    if !deviation.trim().is_empty() {
        first = format!("Deviation: {}. ", deviation.trim());
    }
    let along = Course::FUSELAGE;
    match along.greatest(shift) {
        Some((change, by)) => {
            let way = along.end(by);
            let moved = shift.parts.iter();
            let moved = moved.filter(|change| along.shift_of(change).is_some());
            first.push_str(&format!(
                "Greatest shift along the fuselage: {}, {} ({way}). {} of {} moved along it.",
                change.part,
                figures::signed(by, unit),
                count(moved.count(), "part", "parts"),
                shift.parts.len() + shift.unmoved.len()
            ));
        }
        None => first.push_str("No part moves along the station axis."),
    }
    let mut second = Vec::new();
    for (course, word) in [(Course::ACROSS, "across"), (Course::UPRIGHT, "up and down")] {
        second.extend(course.greatest(shift).map(|(change, by)| {
            let (text, way) = (figures::signed(by, unit), course.end(by));
            format!("Greatest shift {word}: {}, {text} ({way}).", change.part)
        }));
    }
    let turned = shift
        .parts
        .iter()
        .filter(|change| change.turned_deg.iter().any(|by| *by != 0.0))
        .count();
    if turned > 0 {
        second.push(format!("{} turned.", count(turned, "part", "parts")));
    }
    // the same list as `try` and `recut` give
    let remade: Vec<&str> = before
        .recut
        .parts
        .iter()
        .map(|part| part.part.as_str())
        .collect();
    if !remade.is_empty() {
        let parts = count(remade.len(), "part", "parts");
        second.push(format!("To re-cut: {parts} ({}).", some(&remade)));
    }
    for (presence, word) in [(Presence::Added, "Added"), (Presence::Dropped, "Left out")] {
        let names: Vec<&str> = shift
            .parts
            .iter()
            .filter(|change| change.presence == presence)
            .map(|change| change.part.as_str())
            .collect();
        if !names.is_empty() {
            second.push(format!("{word}: {}.", some(&names)));
        }
    }
    if shift.parts.is_empty() && remade.is_empty() {
        second.push("Nothing else changes either.".to_owned());
    }
    let second = second.join(" ");
    [first, second]
        .into_iter()
        .filter(|line| !line.is_empty())
        .collect()
}

/// At most four names.
pub(super) fn some(names: &[&str]) -> String {
    const MOST: usize = 4;
    let shown = names
        .iter()
        .take(MOST)
        .copied()
        .collect::<Vec<_>>()
        .join(", ");
    match names.len().checked_sub(MOST) {
        Some(more) if more > 0 => format!("{shown} and {more} more"),
        _ => shown,
    }
}

#[cfg(test)]
mod tests {
    use strongback_model::layout::Layout;
    use strongback_model::record::Progress;
    use strongback_model::recut::verdicts;
    use strongback_model::shift::{PartShift, Shift};

    use super::super::sample::empty;
    use super::*;

    fn told(deviation: &str, shift: &Shift) -> Vec<String> {
        let layout: Layout = empty();
        let recut = verdicts(&layout, &layout, shift, &Progress::default());
        let before = Before {
            layout: &layout,
            shift,
            recut: &recut,
            deviation,
        };
        sentences(&before, Unit::Inch)
    }

    fn change(part: &str, greatest_mm: [f64; 3]) -> PartShift {
        PartShift {
            part: part.to_owned(),
            presence: Presence::Both,
            features: Vec::new(),
            greatest_mm,
            turned_deg: [0.0; 3],
            sizes: Vec::new(),
            choices: Vec::new(),
            over_all_mm: [0.0; 3],
            over_all_now_mm: [0.0; 3],
            from: None,
            through: Vec::new(),
        }
    }

    #[test]
    fn along_and_across() {
        let shift = Shift {
            parts: vec![
                change("rib", [0.0, 3.175, 0.0]),
                change("frame", [-15.875, 0.0, 0.0]),
            ],
            unmoved: vec!["firewall".to_owned()],
            unsettled: Vec::new(),
            dimensions: Vec::new(),
        };
        assert_eq!(
            told("thick web", &shift),
            [
                "Deviation: thick web. Greatest shift along the fuselage: frame, -5/8 in (forward). 1 part of 3 moved along it.",
                "Greatest shift across: rib, +1/8 in (right)."
            ]
        );
    }

    #[test]
    fn nothing_moves() {
        let still = Shift {
            parts: Vec::new(),
            unmoved: Vec::new(),
            unsettled: Vec::new(),
            dimensions: Vec::new(),
        };
        assert_eq!(
            told("", &still),
            [
                "No part moves along the station axis.",
                "Nothing else changes either."
            ]
        );
        let mut gone = change("strap", [0.0; 3]);
        gone.presence = Presence::Dropped;
        let shift = Shift {
            parts: vec![gone],
            unmoved: Vec::new(),
            unsettled: Vec::new(),
            dimensions: Vec::new(),
        };
        assert!(told("x", &shift).concat().contains("Left out: strap."));
    }
}
