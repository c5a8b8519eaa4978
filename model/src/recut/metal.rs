//! A part's metal in its own coordinates. In: the part in its place. Out: its extents, and whether metal that is there serves for
//! another make of it.

use schemars::JsonSchema;
use serde::Serialize;

use super::pattern::{Hole, falls_on};
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

/// Where the bare metal of a part serves for another make of it, and where it does with the holes that it has.
#[derive(Clone, Copy, Debug)]
pub(super) struct Served {
    pub(super) bare: Serves,
    pub(super) drilled: Serves,
    /// Whether all holes are known; where they aren't, nobody can tell where it serves with them.
    pub(super) known: bool,
}

/// A part with its holes, if all of them are known.
pub(super) type Drilled<'a> = (&'a PlacedPart, Option<Vec<Hole>>);

pub(super) fn serves(old: &Drilled<'_>, new: &Drilled<'_>, other: Option<&Drilled<'_>>) -> Served {
    const AS_IT_IS: [f64; 3] = [1.0; 3];
    let in_its_place = HALF_TURNS
        .into_iter()
        .map(|turn| (Serves::TurnedRound, turn, Some(new)));
    let over_there = [AS_IT_IS].into_iter().chain(HALF_TURNS);
    let over_there = over_there.map(|turn| (Serves::OtherHand, turn, other));
    let mut served = Served {
        bare: Serves::Nowhere,
        drilled: Serves::Nowhere,
        known: old.1.is_some() && new.1.is_some(),
    };
    let old_metal = Centred::of(old.0);
    for (serves, turn, then) in in_its_place.chain(over_there) {
        let Some((part, holes)) = then else { continue };
        let metal = Centred::of(part);
        if !old_metal.falls_on(turn, &metal) {
            continue;
        }
        if served.bare == Serves::Nowhere {
            served.bare = serves;
        }
        if let (Some(was), Some(is)) = (&old.1, holes)
            && falls_on(turn, (was, old_metal.middle), (is, metal.middle))
        {
            served.drilled = serves;
            break;
        }
    }
    served
}

/// Half turns about the three own axes, as signs of the coordinates.
const HALF_TURNS: [[f64; 3]; 3] = [[1.0, -1.0, -1.0], [-1.0, 1.0, -1.0], [-1.0, -1.0, 1.0]];

/// Corners of a part's metal about its middle.
struct Centred {
    middle: [f64; 3],
    corners: Vec<[f64; 3]>,
}

impl Centred {
    fn of(part: &PlacedPart) -> Self {
        let mut corners = corners(part);
        let middle = spans(&corners).map(|[least, most]| 0.5 * (least + most));
        for at in &mut corners {
            *at = [0, 1, 2].map(|axis| at[axis] - middle[axis]);
        }
        Self { middle, corners }
    }

    /// Whether it is another one's metal once it is turned.
    fn falls_on(&self, signs: [f64; 3], other: &Centred) -> bool {
        let near =
            |a: &[f64; 3], b: &[f64; 3]| (0..3).all(|axis| (a[axis] - b[axis]).abs() < ALIKE_MM);
        let within = |these: &[[f64; 3]], those: &[[f64; 3]]| {
            these.iter().all(|a| those.iter().any(|b| near(a, b)))
        };
        let turned = self.corners.iter();
        let turned = turned.map(|at| [0, 1, 2].map(|axis| signs[axis] * at[axis]));
        let turned: Vec<[f64; 3]> = turned.collect();
        !turned.is_empty() && within(&turned, &other.corners) && within(&other.corners, &turned)
    }
}
