//! A solid bar, rectangular in section.

use strongback_solver::Affine;

use super::shape::{Block, Shape};
use super::{PartKind, Role, SectionKind, Sizes, Stock, part};
use crate::source::{Fault, Given};
use crate::words::{Axis, Runs, Side};

part! {
    /// A solid bar: two sides of its section and a length.
    pub struct Bar {
        /// The axis it runs along.
        pub runs: Runs,
        /// Its length.
        pub length: Given,
        /// Extent of the section along the first of the two other axes (station, buttock line, waterline).
        pub depth: Given,
        /// Extent of the section along the second of the two other axes.
        pub breadth: Given,
    }
}

impl PartKind for Bar {
    fn says(&self) -> &'static str {
        "A solid bar. Origin: the middle of its section at the fwd, left or lower end. `depth` lies along \
         the first and `breadth` along the second of the two other axes in the order station, buttock \
         line, waterline. Faces: fwd, aft, left, right, bottom, top, its two ends; line: axis."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        f("length".to_owned(), Role::Extent, &mut self.length);
        f("depth".to_owned(), Role::Gauge, &mut self.depth);
        f("breadth".to_owned(), Role::Extent, &mut self.breadth);
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        let across = self.runs.along().others();
        Ok(along_axis(
            self.runs,
            &sizes.form("length"),
            [
                (across[0], sizes.form("depth")),
                (across[1], sizes.form("breadth")),
            ],
        ))
    }

    fn stock(&self, sizes: &Sizes) -> Vec<Stock> {
        let section = ["depth", "breadth"];
        vec![Stock::length(
            SectionKind::Bar,
            &section,
            sizes.value("length"),
            sizes,
        )]
    }

    fn trimmed_at(&self, size: &str) -> Vec<Side> {
        match size {
            "length" => self.runs.along().sides().into(),
            _ => Vec::new(),
        }
    }
}

/// A box that runs along an axis, its section centred on it, with its ends and its axis named.
pub(super) fn along_axis(runs: Runs, length: &Affine, section: [(Axis, Affine); 2]) -> Shape {
    let along = runs.along();
    let mut block = Block {
        low: super::shape::origin(),
        high: super::shape::with(super::shape::origin(), along, length),
    };
    for (axis, size) in section {
        block.low[axis.index()] = size.clone().times(-0.5);
        block.high[axis.index()] = size.times(0.5);
    }
    let mut shape = Shape::default();
    shape.block(&block);
    shape.ends(runs, &block);
    shape.line("axis", along, block.middle());
    shape
}
