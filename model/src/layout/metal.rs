//! Metal where a state puts it: the solution's, or that of one sample of it. In: a part as it is assembled, and the values of all
//! variables. Out: its sizes, and its prisms in the airframe's axes, in millimetres.

use strongback_solver::{Affine, Point, State, System};

use super::PlacedSolid;
use crate::assembly::{AssembledPart, Solved};
use crate::part::{Place, Sizes, Solid};
use crate::relation::Hand;

/// A system at a state of its variables.
#[derive(Clone, Copy)]
pub(crate) struct At<'a> {
    pub(crate) system: &'a System,
    pub(crate) state: &'a State,
}

impl Solved<'_> {
    /// At the solution.
    pub(crate) fn at(&self) -> At<'_> {
        At {
            system: &self.assembly.system,
            state: self.solution.state(),
        }
    }
}

impl At<'_> {
    /// The value of a form.
    pub(super) fn form(&self, form: &Affine) -> f64 {
        self.system.form_at(form, self.state)
    }

    /// A part's sizes.
    pub(crate) fn sizes(&self, part: &AssembledPart) -> Sizes {
        let mut sizes = Sizes::following(part.contour.clone());
        for size in &part.sizes {
            let form = &size.resolved.form;
            sizes.insert(size.name.clone(), form.clone(), self.form(form));
        }
        sizes
    }

    /// The metal of a part in its place, built anew from its sizes; none where they make no shape.
    pub(crate) fn metal(&self, part: &AssembledPart) -> Vec<PlacedSolid> {
        let with_rounds = self.metal_with_rounds(part);
        with_rounds.into_iter().map(|(solid, _)| solid).collect()
    }

    /// The same with no stated hole drilled in it.
    pub(crate) fn undrilled(&self, part: &AssembledPart) -> Vec<PlacedSolid> {
        let with_rounds = self.placed(part, |_| {});
        with_rounds.into_iter().map(|(solid, _)| solid).collect()
    }

    /// The same; of each solid how far its flats may lie beyond the round metal that they stand for, in millimetres.
    pub(crate) fn metal_with_rounds(&self, part: &AssembledPart) -> Vec<(PlacedSolid, f64)> {
        self.placed(part, |solids| self.drill(part, solids))
    }

    fn placed(
        &self,
        part: &AssembledPart,
        drill: impl Fn(&mut [Solid]),
    ) -> Vec<(PlacedSolid, f64)> {
        let Some(stated) = &part.stated else {
            return Vec::new();
        };
        // a solution was looked over for this before: see assembly/outcome.rs
        let Ok(shape) = stated.kind().shape(&self.sizes(part)) else {
            return Vec::new();
        };
        let mut shape = match part.hand {
            Hand::AsWritten => shape,
            Hand::Mirrored => shape.mirrored(),
        };
        drill(&mut shape.solids);
        let place = |at: &Place| self.own_point(part, at);
        let nowhere = [(); 3].map(|()| Affine::default());
        let start = place(&nowhere);
        shape
            .solids
            .iter()
            .map(|solid| {
                let end = place(&solid.sweep);
                let placed = PlacedSolid {
                    outline_mm: solid.outline.iter().map(place).collect(),
                    openings_mm: solid
                        .openings
                        .iter()
                        .map(|opening| opening.iter().map(place).collect())
                        .collect(),
                    sweep_mm: [0, 1, 2].map(|axis| end[axis] - start[axis]),
                };
                (placed, self.form(&solid.beyond))
            })
            .collect()
    }

    fn own_point(&self, part: &AssembledPart, at: &Place) -> [f64; 3] {
        let point = Point {
            body: part.body,
            at: at.clone(),
        };
        self.system.point_at(&point, self.state)
    }
}
