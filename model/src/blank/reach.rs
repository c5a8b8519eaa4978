//! What is cut or drilled in the web and reaches into a bend. In: a web's openings and the holes through it, and the web unfolded. Out:
//! which of them run over a tangent line, into a bend or beyond it.
//!
//! Such an opening or hole lies in metal that is bent: there it is pulled out of shape, and its place in the flat is not the one that
//! the drawing gives it.

use super::plane::{Vec2, overlap, sampled};
use super::unfold::Unfolded;
use crate::part::Web;
use crate::pattern::{Loop, Mark};

/// Names of what reaches into a bend: openings by their number, holes by their name.
pub(super) fn into_bends(web: &Web, unfolded: &Unfolded, marks: &[Mark]) -> Vec<String> {
    let openings = web.openings.iter().enumerate().map(|(at, opening)| {
        let corners: Vec<Vec2> = opening.iter().copied().map(Vec2::from).collect();
        (format!("opening {}", at + 1), corners)
    });
    let holes = marks.iter().filter_map(|mark| match mark {
        Mark::Centre {
            name,
            at_mm,
            diameter_mm,
        } => {
            let rim = Loop::circle(*at_mm, 0.5 * (*diameter_mm)?, true);
            Some((name.clone(), sampled(&rim)))
        }
        _ => None,
    });
    let bends: Vec<[Vec2; 4]> = unfolded
        .flanges
        .iter()
        .map(|laid| laid.laid_out())
        .collect();
    openings
        .chain(holes)
        .filter(|(_, corners)| bends.iter().any(|bend| overlap(corners, bend)))
        .map(|(name, _)| name)
        .collect()
}
