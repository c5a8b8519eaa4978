//! Drilled holes as openings of the metal. In: a part and its metal in its own frame. Out: the metal with each hole of a stated
//! diameter that goes through it whole; one that runs over an edge, or into another opening, is left out.

use strongback_solver::Affine;

use super::metal::At;
use crate::assembly::AssembledPart;
use crate::part::{Feature, Place, Solid, round};
use crate::words::Axis;

impl At<'_> {
    /// Cuts the holes out of a part's metal.
    pub(super) fn drill(&self, part: &AssembledPart, solids: &mut [Solid]) {
        let Some(stated) = &part.stated else {
            return;
        };
        for name in stated.kind().common().holes.names() {
            let Some(Feature::Line { middle, along }) = part.shape.features.get(name) else {
                continue;
            };
            let diameter = format!("{name} diameter");
            let Some(size) = part.sizes.iter().find(|size| size.name == diameter) else {
                continue;
            };
            let radius = 0.5 * self.form(&size.resolved.form);
            let axis = Axis::dominant(*along);
            let middle = self.own_numbers(middle);
            for solid in solids.iter_mut() {
                self.drill_one(solid, axis, &middle, radius);
            }
        }
    }

    /// Corners lie on the circle: the opening is no wider than the hole.
    fn drill_one(&self, solid: &mut Solid, axis: Axis, middle: &[f64; 3], radius: f64) {
        let sweep = self.own_numbers(&solid.sweep);
        let [first, second] = axis.others().map(Axis::index);
        let runs_through =
            sweep[first] == 0.0 && sweep[second] == 0.0 && sweep[axis.index()] != 0.0;
        let Some(corner) = solid.outline.first() else {
            return;
        };
        if !runs_through || radius <= 0.0 {
            return;
        }
        let mut at = middle.map(Affine::constant);
        at[axis.index()] = corner[axis.index()].clone();
        let flat = |ring: &[Place]| -> Vec<[f64; 2]> {
            ring.iter()
                .map(|place| {
                    let place = self.own_numbers(place);
                    [place[first], place[second]]
                })
                .collect()
        };
        let ring = round::ring(axis, &at, |share| Affine::constant(radius * share));
        let corners = flat(&ring);
        let outline = flat(&solid.outline);
        let whole = corners.iter().all(|corner| lies_in(&outline, *corner))
            && !outline.iter().any(|corner| lies_in(&corners, *corner));
        let clear = solid.openings.iter().all(|opening| {
            let opening = flat(opening);
            !corners.iter().any(|corner| lies_in(&opening, *corner))
                && !opening.iter().any(|corner| lies_in(&corners, *corner))
        });
        if whole && clear {
            solid.openings.push(ring);
            let beyond = self.form(&solid.beyond).max(radius * round::BEYOND);
            solid.beyond = Affine::constant(beyond);
        }
    }

    fn own_numbers(&self, place: &Place) -> [f64; 3] {
        [0, 1, 2].map(|axis| self.form(&place[axis]))
    }
}

/// Whether a point lies within a polygon: by the edges that a ray to the right crosses.
pub(crate) fn lies_in(polygon: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let edges = polygon.iter().zip(polygon.iter().cycle().skip(1));
    edges.fold(false, |inside, (a, b)| {
        let crosses =
            (a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]);
        inside != crosses
    })
}
