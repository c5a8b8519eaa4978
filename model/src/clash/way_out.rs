//! The shortest way along which some pieces of metal come out of others. In: both, and the ways to be tried. Out: the
//! distance in millimetres and the way.

use parry3d_f64::math::Vector;

use super::CONTACT_MM;
use super::overlap::Piece;
use super::prism::Gaps;

/// Ways whose lengths differ by less are equally short, in millimetres: rounding.
const ROUNDING_MM: f64 = 1e-7;

/// Tries each way in both senses; the first of several equally short ones.
pub(super) fn way_out(a: &[&Piece], b: &[&Piece], ways: &[Vector]) -> Option<(f64, Vector)> {
    let mut best: Option<(f64, Vector)> = None;
    let gaps: Vec<Gaps> = a
        .iter()
        .flat_map(|one| b.iter().map(move |other| one.gaps(other)))
        .collect();
    for way in ways {
        let stretches: Vec<[f64; 2]> = gaps.iter().filter_map(|gaps| gaps.along(*way)).collect();
        for (out, way) in [
            (first_free(&stretches, 1.0), *way),
            (first_free(&stretches, -1.0), -*way),
        ] {
            if best.is_none_or(|(least, _)| out < least - ROUNDING_MM) {
                best = Some((out, way));
            }
        }
    }
    best
}

/// How far from nought the stretches reach without a gap: on one that begins where another ends the parts only touch both.
fn first_free(stretches: &[[f64; 2]], sense: f64) -> f64 {
    let mut ahead: Vec<[f64; 2]> = stretches
        .iter()
        .map(|[from, to]| {
            if sense > 0.0 {
                [*from, *to]
            } else {
                [-*to, -*from]
            }
        })
        .collect();
    ahead.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut at = 0.0_f64;
    for [from, to] in ahead {
        if from > at - CONTACT_MM && at > 0.0 || from > -CONTACT_MM && at == 0.0 {
            break;
        }
        if to > CONTACT_MM {
            at = at.max(to);
        }
    }
    at
}
