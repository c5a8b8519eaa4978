//! A round tube.

use super::bar::along_axis;
use super::round;
use super::shape::Shape;
use super::sizes::fault;
use super::{PartKind, Role, SectionKind, Sizes, Stock, part};
use crate::source::{Fault, Given};
use crate::words::{Runs, Side};

part! {
    /// A round tube: a push rod, a torque tube.
    pub struct Tube {
        /// The axis it runs along.
        pub runs: Runs,
        /// Its length.
        pub length: Given,
        /// Outside diameter.
        pub diameter: Given,
        /// Wall thickness.
        pub wall: Given,
    }
}

impl PartKind for Tube {
    fn says(&self) -> &'static str {
        "A round tube. Origin: its axis at the fwd, left or lower end. Faces: its two ends, and the tangent \
         planes fwd, aft, left, right, bottom, top; line: axis. Its clearance is measured as that of solid rod."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        f("length".to_owned(), Role::Extent, &mut self.length);
        f("diameter".to_owned(), Role::Extent, &mut self.diameter);
        f("wall".to_owned(), Role::Gauge, &mut self.wall);
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        check_wall(&self.wall, sizes)?;
        let across = self.runs.along().others();
        let diameter = sizes.form("diameter");
        let length = sizes.form("length");
        let mut shape = along_axis(
            self.runs,
            &length,
            [(across[0], diameter.clone()), (across[1], diameter.clone())],
        );
        shape.solids = vec![round::bar(self.runs.along(), &diameter, &length)];
        Ok(shape)
    }

    fn stock(&self, sizes: &Sizes) -> Vec<Stock> {
        let section = ["diameter", "wall"];
        vec![Stock::length(
            SectionKind::Tube,
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

/// Finds fault with a wall that leaves nothing of the inside.
pub(super) fn check_wall(wall: &Given, sizes: &Sizes) -> Result<(), Fault> {
    if 2.0 * sizes.value("wall") > sizes.value("diameter") {
        return Err(fault(
            wall.span(),
            "the wall is thicker than half the diameter",
            "for solid rod take a Bar, or a wall of half the diameter",
        ));
    }
    Ok(())
}
