//! A flat sheet without flanges.

use strongback_solver::Affine;

use super::shape::{Block, Shape};
use super::{PartKind, Plan, Role, Sizes, Stock, part};
use crate::source::{Fault, Given};
use crate::words::{Axis, Lies, Side};

part! {
    /// A flat sheet: a firewall, a floor, a doubler.
    pub struct Plate {
        /// How it lies.
        pub lies: Lies,
        /// Thickness of the sheet.
        pub thickness: Given,
        /// Extent along the station axis, unless that is its thickness.
        #[serde(default)]
        pub length: Option<Given>,
        /// Extent along the buttock-line axis, unless that is its thickness.
        #[serde(default)]
        pub width: Option<Given>,
        /// Extent along the waterline axis, unless that is its thickness.
        #[serde(default)]
        pub height: Option<Given>,
    }
}

/// The name of the extent along an axis.
fn extent(axis: Axis) -> &'static str {
    match axis {
        Axis::Station => "length",
        Axis::ButtockLine => "width",
        Axis::Waterline => "height",
    }
}

impl PartKind for Plate {
    fn says(&self) -> &'static str {
        "A flat sheet. Origin: its foremost and lowest edge or face; across the fuselage its middle, \
         or its left face if it lies FwdAft. Faces: fwd, aft, left, right, bottom, top."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        f("thickness".to_owned(), Role::Gauge, &mut self.thickness);
        super::sizes::visit("length", Role::Extent, &mut self.length, f);
        super::sizes::visit("width", Role::Extent, &mut self.width, f);
        super::sizes::visit("height", Role::Extent, &mut self.height, f);
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        let through = self.lies.through();
        let stated = [&self.length, &self.width, &self.height];
        let zero = Affine::constant(0.0);
        let (mut low, mut high) = (super::shape::origin(), super::shape::origin());
        for axis in Axis::ALL {
            let at = axis.index();
            let name = extent(axis);
            if axis == through {
                if let Some(given) = stated[at] {
                    return Err(super::sizes::fault(
                        given.span(),
                        format!(
                            "a Plate that lies {:?} has its thickness along the {} axis, so `{name}` has no meaning",
                            self.lies,
                            axis.short()
                        ),
                        "leave it out, or say how it lies",
                    ));
                }
                high[at] = sizes.form("thickness");
                continue;
            }
            if stated[at].is_none() {
                return Err(super::sizes::fault(
                    self.thickness.span(),
                    format!("a Plate that lies {:?} needs its `{name}`", self.lies),
                    "write the figure, or `Find` if no sheet gives it",
                ));
            }
            let size = sizes.form(name);
            if axis == Axis::ButtockLine {
                low[at] = size.clone().times(-0.5);
                high[at] = size.times(0.5);
            } else {
                low[at] = zero.clone();
                high[at] = size;
            }
        }
        let mut shape = Shape::default();
        shape.block(&Block { low, high });
        Ok(shape)
    }

    fn through(&self) -> Option<Axis> {
        Some(self.lies.through())
    }

    fn stock(&self, sizes: &Sizes) -> Vec<Stock> {
        let sides = self.lies.through().others();
        vec![Stock::sheet(
            sizes.value("thickness"),
            sides.map(|axis| sizes.value(extent(axis))),
        )]
    }

    fn plan(&self, sizes: &Sizes) -> Option<Plan> {
        let axes = self.lies.through().others();
        let spans = axes.map(|axis| {
            let size = sizes.value(extent(axis));
            match axis {
                Axis::ButtockLine => [-0.5 * size, 0.5 * size],
                Axis::Station | Axis::Waterline => [0.0, size],
            }
        });
        Some(Plan::rectangle(axes, spans))
    }

    fn trimmed_at(&self, size: &str) -> Vec<Side> {
        let axis = Axis::ALL.into_iter().find(|axis| extent(*axis) == size);
        axis.map(|axis| axis.sides().into()).unwrap_or_default()
    }

    fn choices(&self) -> Vec<(&'static str, String)> {
        vec![("lies", format!("{:?}", self.lies))]
    }
}
