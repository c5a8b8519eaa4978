//! `loose` as text.

use strongback_model::words::without_hand;

use super::table::{indented, wrapped};
use super::{figures, neighbours};
use crate::command::LooseAnswer;

/// The whole answer.
pub fn text(answer: &LooseAnswer, width: usize) -> String {
    let neighbours = neighbours::text(&answer.neighbours, answer.unit, width);
    if answer.motions.is_empty() {
        let remarks = if neighbours.is_empty() { "" } else { "\n" };
        return format!("Nothing is loose.\n{remarks}{neighbours}");
    }
    let ways = figures::count(answer.motions.len(), "way", "ways");
    let parts = figures::count(answer.parts, "part is", "parts are");
    let mut text = wrapped(&format!("{parts} loose, in {ways}."), width, 0);
    text.push('\n');
    for motion in &answer.motions {
        text.push_str(&wrapped(&format!("{}.", motion.motion.told), width, 2));
        if motion.settled_by.is_empty() {
            let none = "none of the usual contacts and distances settles it by itself";
            text.push_str(&indented(none, width));
        }
        for (at, relation) in motion.settled_by.iter().enumerate() {
            let lead = if at == 0 { "settled by" } else { "or by" };
            text.push_str(&indented(&format!("{lead} {relation}"), width));
        }
        // any unknown that moves takes the whole motion with it, once it is given; one hand of two can't be given alone
        let of_a_hand = |figure: &str| {
            let mut parts = motion.motion.parts.iter();
            parts.any(|part| without_hand(part).is_some() && figure.starts_with(part.as_str()))
        };
        let mut figures = motion.motion.rates.iter().map(|(figure, _)| figure);
        if let Some(figure) = figures.find(|figure| !of_a_hand(figure)) {
            let lead = if motion.settled_by.is_empty() {
                "settled"
            } else {
                "or"
            };
            text.push_str(&indented(&format!("{lead} by stating {figure}"), width));
        }
        text.push('\n');
    }
    text.push_str(&neighbours);
    text.push_str(&wrapped(
        "Each relation was tried: with it one freedom is gone and nothing new is at odds. Which of them the drawings mean \
         is yours to look up; `…` stands for a figure.",
        width,
        0,
    ));
    text
}
