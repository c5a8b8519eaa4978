//! A part's metal in its own coordinates. In: the part in its place. Out: its extents, and whether metal that is there serves for
//! another make of it.

use schemars::JsonSchema;
use serde::Serialize;

use crate::layout::{PlacedPart, PlacedSolid};

/// Where the metal of a part serves whose side was changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Serves {
    /// Nowhere.
    Nowhere,
    /// In its place, turned round: it isn't handed.
    TurnedRound,
    /// On the other side of the fuselage, where it is the part of the other hand.
    OtherHand,
}

/// A place in a part's own coordinates.
pub(super) fn own(part: &PlacedPart, at: [f64; 3]) -> [f64; 3] {
    own_way(part, [0, 1, 2].map(|axis| at[axis] - part.origin_mm[axis]))
}

/// A direction in a part's own coordinates.
pub(super) fn own_way(part: &PlacedPart, way: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|column| {
        (0..3)
            .map(|row| part.rotation[row][column] * way[row])
            .sum()
    })
}

/// Corners of a part's metal in its own coordinates; drilled holes left out.
fn corners(part: &PlacedPart) -> Vec<[f64; 3]> {
    let drilled = |opening: &[[f64; 3]]| {
        let count = opening.len().max(1) as f64;
        let middle = [0, 1, 2].map(|axis| opening.iter().map(|at| at[axis]).sum::<f64>() / count);
        let middle = own(part, middle);
        part.holes.iter().any(|hole| {
            let across = hole.along.others().map(|axis| axis.index());
            across
                .iter()
                .all(|axis| (middle[*axis] - hole.at_own_mm[*axis]).abs() < ALIKE_MM)
        })
    };
    let of_solid = |solid: &PlacedSolid| -> Vec<[f64; 3]> {
        let openings = solid.openings_mm.iter().filter(|ring| !drilled(ring));
        let rings = std::iter::once(&solid.outline_mm).chain(openings);
        let near: Vec<[f64; 3]> = rings.flatten().copied().collect();
        let far = near
            .iter()
            .map(|at| [0, 1, 2].map(|axis| at[axis] + solid.sweep_mm[axis]));
        near.iter().copied().chain(far).collect()
    };
    let all = part.solids.iter().flat_map(of_solid);
    all.map(|at| own(part, at)).collect()
}

/// Least and greatest coordinates along the three own axes.
pub(super) type Extents = [[f64; 2]; 3];

/// Least and greatest own coordinates of a part's metal; none where it has no metal.
pub(super) fn extents(part: &PlacedPart) -> Option<Extents> {
    let corners = corners(part);
    (!corners.is_empty()).then(|| spans(&corners))
}

fn spans(corners: &[[f64; 3]]) -> Extents {
    [0, 1, 2].map(|axis| {
        let along = corners.iter().map(|at| at[axis]);
        let least = along.clone().fold(f64::INFINITY, f64::min);
        [least, along.fold(f64::NEG_INFINITY, f64::max)]
    })
}

/// Shapes are alike within a thousandth of a millimetre: rounding.
const ALIKE_MM: f64 = 1e-3;

pub(super) fn serves(old: &PlacedPart, new: &PlacedPart, other: Option<&PlacedPart>) -> Serves {
    if turned(&HALF_TURNS, old, new) {
        Serves::TurnedRound
    } else if other
        .is_some_and(|other| turned(&[[1.0; 3]], old, other) || turned(&HALF_TURNS, old, other))
    {
        Serves::OtherHand
    } else {
        Serves::Nowhere
    }
}

/// Half turns about the three own axes, as signs of the coordinates.
const HALF_TURNS: [[f64; 3]; 3] = [[1.0, -1.0, -1.0], [-1.0, 1.0, -1.0], [-1.0, -1.0, 1.0]];

/// Whether the old part, given one of some turns, has the new one's metal.
fn turned(turns: &[[f64; 3]], old: &PlacedPart, new: &PlacedPart) -> bool {
    let centred = |part: &PlacedPart| -> Vec<[f64; 3]> {
        let mut corners = corners(part);
        let middle = spans(&corners).map(|[least, most]| 0.5 * (least + most));
        for at in &mut corners {
            *at = [0, 1, 2].map(|axis| at[axis] - middle[axis]);
        }
        corners
    };
    let (old, new) = (centred(old), centred(new));
    let near = |a: &[f64; 3], b: &[f64; 3]| (0..3).all(|axis| (a[axis] - b[axis]).abs() < ALIKE_MM);
    let within = |these: &[[f64; 3]], those: &[[f64; 3]]| {
        these.iter().all(|a| those.iter().any(|b| near(a, b)))
    };
    !old.is_empty()
        && turns.iter().any(|signs| {
            let turned: Vec<[f64; 3]> = old
                .iter()
                .map(|at| [0, 1, 2].map(|axis| signs[axis] * at[axis]))
                .collect();
            within(&turned, &new) && within(&new, &turned)
        })
}
