//! An extruded or bent angle.

use strongback_solver::Affine;

use super::legs::{Legs, leg_name};
use super::shape::{Block, Shape, origin, with};
use super::{PartKind, Role, Sizes, Stock, part};
use crate::source::{Fault, Given};
use crate::words::{Runs, Side};

part! {
    /// An angle: two legs at a right angle, along one axis.
    pub struct Angle {
        /// The axis it runs along.
        pub runs: Runs,
        /// Its length.
        pub length: Given,
        /// Its two legs, over the outside corner.
        pub legs: Legs,
        /// Thickness of both legs.
        pub thickness: Given,
    }
}

impl PartKind for Angle {
    fn says(&self) -> &'static str {
        "An angle. Origin: its outside corner at the fwd, left or lower end. Faces: the two outside \
         faces and the two leg edges by the sides they look to (fwd, aft, left, right, bottom, top), \
         inside_ and the side that the inside of a leg looks to (of a leg that leads down inside_left, where the other one leads left), \
         and its two ends; line: corner (the outside corner)."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        f("length".to_owned(), Role::Extent, &mut self.length);
        self.legs.visit(f);
        f("thickness".to_owned(), Role::Gauge, &mut self.thickness);
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        let along = self.runs.along();
        let [first, second] =
            self.legs
                .pair("an Angle", self.runs, sizes, self.thickness.span())?;
        let (length, thickness) = (sizes.form("length"), sizes.form("thickness"));
        let reach = |side: Side, by: &Affine| by.clone().times(side.sign());
        // a leg leads along its own side and is as thick as the stock towards the other one
        let leg = |own: Side, other: Side| {
            let mut block = Block {
                low: origin(),
                high: with(origin(), along, &length),
            };
            for (side, by) in [
                (own, sizes.form(&leg_name(own))),
                (other, thickness.clone()),
            ] {
                let end = reach(side, &by);
                let at = side.axis().index();
                if side.is_positive() {
                    block.high[at] = end;
                } else {
                    block.low[at] = end;
                }
            }
            block
        };
        let (a, b) = (leg(first, second), leg(second, first));
        let mut shape = Shape::default();
        for (block, own, other) in [(&a, first, second), (&b, second, first)] {
            let outside = other.opposite();
            shape.add(outside.face(), block.face(outside));
            shape.add(own.face(), block.face(own));
            shape.add(&format!("inside_{}", other.face()), block.face(other));
            shape.solids.push(block.solid());
        }
        shape.line(
            "corner",
            along,
            with(origin(), along, &length.clone().times(0.5)),
        );
        shape.ends(self.runs, &a);
        Ok(shape)
    }

    fn stock(&self, sizes: &Sizes) -> Vec<Stock> {
        vec![self.legs.stock(sizes.value("length"), sizes)]
    }

    fn trimmed_at(&self, size: &str) -> Vec<Side> {
        if size == "length" {
            return self.runs.along().sides().into();
        }
        self.legs.trimmed_at(size)
    }

    fn turned_by(&self) -> Option<&'static str> {
        Some("legs")
    }

    fn choices(&self) -> Vec<(&'static str, String)> {
        vec![("legs", self.legs.told())]
    }
}
