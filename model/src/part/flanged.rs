//! Sheet that stands along the fuselage with a flange bent to one side. In: the side, and the sizes `thickness`, `flange` and
//! `radius`. Out: where web, bend and flange lie along the buttock-line axis, as named faces. Origin: the web's left face.

use serde::Deserialize;
use strongback_solver::Affine;

use super::Sizes;
use super::shape::{Place, Shape, with};
use super::sizes::fault;
use crate::source::{Fault, Given};
use crate::words::{Axis, Side};

/// To which side flanges are bent.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, schemars::JsonSchema)]
pub enum Flanges {
    /// To the pilot's left; of a part written for both sides, as the right-hand one has it.
    Left,
    /// To the pilot's right; of a part written for both sides, as the right-hand one has it.
    Right,
}

impl Flanges {
    /// The other side.
    pub(super) fn reversed(self) -> Self {
        match self {
            Flanges::Left => Flanges::Right,
            Flanges::Right => Flanges::Left,
        }
    }

    /// The side to which it is bent.
    pub(super) fn towards(self) -> Side {
        match self {
            Flanges::Left => Side::Left,
            Flanges::Right => Side::Right,
        }
    }

    /// The side at which the flange may be made narrower: its edge.
    pub(super) fn trimmed_at(self, size: &str) -> Vec<Side> {
        match size {
            "flange" => vec![self.towards()],
            _ => Vec::new(),
        }
    }

    /// The way of a flange along the buttock-line axis: from the web's face that it starts at to its edge.
    pub(super) fn reach(self, sizes: &Sizes) -> [Affine; 2] {
        let (thickness, flange) = (sizes.form("thickness"), sizes.form("flange"));
        match self {
            Flanges::Right => [thickness, flange],
            Flanges::Left => [Affine::constant(0.0), thickness.minus(&flange)],
        }
    }

    /// The plane where the flat of the web ends.
    fn tangent(self, sizes: &Sizes) -> Affine {
        match self {
            Flanges::Right => sizes.form("thickness").plus(&sizes.form("radius")),
            Flanges::Left => sizes.form("radius").times(-1.0),
        }
    }

    /// Finds fault with a flange no wider than its own bend.
    pub(super) fn check(flange: &Given, sizes: &Sizes) -> Result<(), Fault> {
        if sizes.value("flange") > sizes.value("thickness") + sizes.value("radius") {
            return Ok(());
        }
        Err(fault(
            flange.span(),
            "the flange is no wider than its own bend",
            "a flange is measured from the web's outside face to its edge",
        ))
    }

    /// Adds the faces square to the buttock-line axis: web_left, web_right, flange_edge, bend_tangent where a radius is
    /// stated, left and right.
    pub(super) fn faces(self, shape: &mut Shape, centre: &Place, sizes: &Sizes) {
        let side = self.towards();
        let at = |y: &Affine| with(centre.clone(), Axis::ButtockLine, y);
        let [_, edge] = self.reach(sizes);
        shape.face("web_left", Side::Left, at(&Affine::constant(0.0)));
        shape.face("web_right", Side::Right, at(&sizes.form("thickness")));
        shape.face("flange_edge", side, at(&edge));
        if sizes.has("radius") {
            shape.face("bend_tangent", side, at(&self.tangent(sizes)));
        }
        let (left, right) = match self {
            Flanges::Right => ("web_left", "flange_edge"),
            Flanges::Left => ("flange_edge", "web_right"),
        };
        shape.alias("left", left);
        shape.alias("right", right);
    }
}
