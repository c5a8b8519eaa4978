//! Pitch: the distances between the fasteners of one joint, in a row and from row to row. In: a measured joint. Out: what is found.

use super::checks::{ROUNDING, Rules, spots};
use super::findings::{Finding, Spot, What};
use super::measured::Measured;
use crate::trade::rivets::{self, InDiameters};

pub(super) fn pitch_rules(one: &Measured<'_>, rules: &Rules, d: f64) -> Vec<Finding> {
    let mut list = Vec::new();
    let row_of: Vec<usize> = one
        .rows
        .iter()
        .enumerate()
        .flat_map(|(row, laid)| laid.places.iter().map(move |_| row))
        .collect();
    let least = |same: bool| -> Vec<(usize, f64)> {
        let all = one.at.iter().enumerate();
        all.filter_map(|(a, here)| {
            let others = one
                .at
                .iter()
                .enumerate()
                .filter(|(b, _)| *b != a && (row_of.get(*b) == row_of.get(a)) == same);
            let near = others.map(|(_, there)| (there - here).norm());
            Some((a, near.min_by(f64::total_cmp)?))
        })
        .collect()
    };
    let within = |list: &[(usize, f64)], from: f64, to: f64| {
        let inside = list.iter().filter(|(_, distance)| {
            *distance >= from * d - ROUNDING && *distance < to * d - ROUNDING
        });
        spots(inside.map(|(at, distance)| (one.under(*at), *distance)))
    };
    let (in_row, across) = (least(true), least(false));
    let mut push = |what, violates, rule: InDiameters, spots: Vec<Spot>| {
        if !spots.is_empty() {
            list.push(Finding::new(what, violates, spots).rule(rule, d));
        }
    };
    let none = f64::NEG_INFINITY;
    push(
        What::Pitch,
        true,
        rules.pitch,
        within(&in_row, none, rules.pitch.times),
    );
    // the rule of rows is one of rivets; bolts keep their pitch whichever row they stand in
    let apart = if rules.rivet {
        rivets::ROWS_APART
    } else {
        rules.pitch
    };
    push(What::Pitch, true, apart, within(&across, none, apart.times));
    let strict = rivets::PITCH_STRICTER;
    push(
        What::PitchStrict,
        false,
        strict,
        within(&in_row, rules.pitch.times, strict.times),
    );
    if rules.rivet {
        let most = rivets::PITCH_USUAL_MOST;
        let mut wide = within(&in_row, most.times + 2.0 * ROUNDING / d, f64::INFINITY);
        wide.reverse();
        push(What::PitchWide, false, most, wide);
    }
    list
}
