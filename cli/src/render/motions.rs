//! `loose` as text.

use super::table::wrapped;
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
            text.push_str("  Nothing of the usual was found to settle it by itself.\n");
        }
        for (at, relation) in motion.settled_by.iter().enumerate() {
            let lead = if at == 0 { "settled by" } else { "or by" };
            text.push_str(&wrapped(&format!("  {lead} {relation}"), width, 6));
        }
        text.push('\n');
    }
    text.push_str(&neighbours);
    text.push_str(&wrapped(
        "Each suggestion was tried: with it one freedom is gone and nothing new is at odds. Which of them the drawings mean \
         is yours to look up; `…` stands for a figure.",
        width,
        0,
    ));
    text
}
