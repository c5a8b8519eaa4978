//! A spacer, or a pack of washers.

use super::round;
use super::shape::{Block, Shape, origin};
use super::{PartKind, Plan, Role, Sizes, Stock, part};
use crate::source::{Fault, Given};
use crate::words::{Axis, Lies};

part! {
    /// A spacer, a packer, a pack of washers: a disc with a thickness.
    pub struct Spacer {
        /// How it lies: its thickness is along the station axis when it lies Across.
        pub lies: Lies,
        /// Its thickness.
        pub thickness: Given,
        /// Its diameter.
        pub diameter: Given,
    }
}

impl PartKind for Spacer {
    fn says(&self) -> &'static str {
        "A spacer. Origin: the middle of its fwd, left or bottom face. Faces: fwd, aft, left, right, bottom, \
         top; line: axis. A chain of bolted parts that goes through it also places it."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        f("thickness".to_owned(), Role::Gauge, &mut self.thickness);
        f("diameter".to_owned(), Role::Extent, &mut self.diameter);
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        let through = self.lies.through();
        let mut block = Block {
            low: origin(),
            high: origin(),
        };
        let radius = sizes.form("diameter").times(0.5);
        for axis in Axis::ALL {
            let at = axis.index();
            if axis == through {
                block.high[at] = sizes.form("thickness");
            } else {
                block.low[at] = radius.clone().times(-1.0);
                block.high[at] = radius.clone();
            }
        }
        let mut shape = Shape::default();
        shape.block(&block);
        shape.solids = vec![round::bar(
            through,
            &sizes.form("diameter"),
            &sizes.form("thickness"),
        )];
        shape.line("axis", through, block.middle());
        Ok(shape)
    }

    fn through(&self) -> Option<Axis> {
        Some(self.lies.through())
    }

    fn fills_a_gap(&self) -> bool {
        true
    }

    fn plan(&self, sizes: &Sizes) -> Option<Plan> {
        Some(Plan::Disc {
            diameter: sizes.value("diameter"),
            through: self.lies.through(),
        })
    }

    fn stock(&self, sizes: &Sizes) -> Vec<Stock> {
        let diameter = sizes.value("diameter");
        vec![Stock::sheet(sizes.value("thickness"), [diameter, diameter])]
    }
}
