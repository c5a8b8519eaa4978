//! A flanged bulkhead or former.

use serde::Deserialize;
use strongback_solver::Affine;

use super::outline::{self, Corner};
use super::shape::{Shape, Solid, origin, with};
use super::sizes::{fault, visit};
use super::{PartKind, Plan, Role, Sizes, Stock, part};
use crate::source::{Fault, Given};
use crate::words::{Axis, Side};

/// To which side a frame's flanges are bent.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, schemars::JsonSchema)]
pub enum Flanges {
    /// Towards the nose.
    Fwd,
    /// Towards the tail.
    Aft,
}

part! {
    /// A flanged bulkhead or former: a web across the fuselage with a flange round its outline.
    pub struct Frame {
        /// Thickness of the sheet.
        pub thickness: Given,
        /// Width of the flange, from the web's outside face to its edge.
        pub flange: Given,
        /// To which side the flange is bent.
        pub flanges: Flanges,
        /// Inside bend radius; without it the frame has no face `bend_tangent`.
        #[serde(default)]
        pub radius: Option<Given>,
        /// Width over the flanges, in place of an outline.
        #[serde(default)]
        pub width: Option<Given>,
        /// Height over the flanges, in place of an outline.
        #[serde(default)]
        pub height: Option<Given>,
        /// Corners (bl, wl) in order, in place of width and height.
        #[serde(default)]
        pub outline: Vec<Corner>,
        /// Openings in the web, each a list of corners (bl, wl).
        #[serde(default)]
        pub openings: Vec<Vec<Corner>>,
    }
}

const AXES: [Axis; 2] = [Axis::ButtockLine, Axis::Waterline];

impl Frame {
    fn corners(&self, sizes: &Sizes) -> Result<Vec<outline::Uv>, Fault> {
        match (&self.width, &self.height, self.outline.is_empty()) {
            (None, None, false) => outline::corners("outline", AXES, &self.outline, sizes)
                .map(outline::counter_clockwise),
            (Some(_), Some(_), true) => {
                let (w, h) = (sizes.form("width"), sizes.form("height"));
                let (wv, hv) = (sizes.value("width"), sizes.value("height"));
                Ok(outline::rectangle(
                    [w.clone().times(-0.5), w.times(0.5)],
                    [Affine::constant(0.0), h],
                    [[-0.5 * wv, 0.5 * wv], [0.0, hv]],
                ))
            }
            _ => Err(fault(
                self.thickness.span(),
                "a Frame needs either its `width` and `height` or an `outline`",
                "give both figures, or the corners of its outline as (bl, wl)",
            )),
        }
    }
}

impl PartKind for Frame {
    fn says(&self) -> &'static str {
        "A flanged bulkhead or former. Origin: forward face of the web, whichever way the flange is \
         bent; for width and height in the middle of its bottom edge. Faces: web_fwd, web_aft, \
         flange_edge, bend_tangent (with a radius), fwd and aft (foremost and aftmost metal), left, \
         right, bottom, top."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        f("thickness".to_owned(), Role::Gauge, &mut self.thickness);
        f("flange".to_owned(), Role::Extent, &mut self.flange);
        visit("radius", Role::Radius, &mut self.radius, f);
        visit("width", Role::Extent, &mut self.width, f);
        visit("height", Role::Extent, &mut self.height, f);
        outline::visit("outline", AXES, &mut self.outline, f);
        for (at, opening) in self.openings.iter_mut().enumerate() {
            outline::visit(&format!("opening {}", at + 1), AXES, opening, f);
        }
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        let list = self.corners(sizes)?;
        let (thickness, flange) = (sizes.form("thickness"), sizes.form("flange"));
        if sizes.value("flange") <= sizes.value("thickness") + sizes.value("radius") {
            return Err(fault(
                self.flange.span(),
                "the flange is no wider than its own bend",
                "a flange is measured from the web's outside face to its edge",
            ));
        }
        let zero = Affine::constant(0.0);
        // the outside face of the web is the one away from the flange
        let (edge, edge_side, tangent) = match self.flanges {
            Flanges::Aft => (
                flange.clone(),
                Side::Aft,
                thickness.clone().plus(&sizes.form("radius")),
            ),
            Flanges::Fwd => (
                thickness.clone().minus(&flange),
                Side::Fwd,
                sizes.form("radius").times(-1.0),
            ),
        };
        let (bl, wl) = (outline::bounds(&list, 0), outline::bounds(&list, 1));
        let centre = [
            zero.clone(),
            super::shape::middle(&bl[0], &bl[1]),
            super::shape::middle(&wl[0], &wl[1]),
        ];
        let at = |x: &Affine| with(centre.clone(), Axis::Station, x);
        let mut shape = Shape::default();
        shape.face("web_fwd", Side::Fwd, at(&zero));
        shape.face("web_aft", Side::Aft, at(&thickness));
        shape.face("flange_edge", edge_side, at(&edge));
        if self.radius.is_some() {
            shape.face("bend_tangent", edge_side, at(&tangent));
        }
        let (fwd, aft) = match self.flanges {
            Flanges::Aft => ("web_fwd", "flange_edge"),
            Flanges::Fwd => ("flange_edge", "web_aft"),
        };
        shape.alias("fwd", fwd);
        shape.alias("aft", aft);
        let middle = at(&super::shape::middle(
            if self.flanges == Flanges::Aft {
                &zero
            } else {
                &edge
            },
            if self.flanges == Flanges::Aft {
                &edge
            } else {
                &thickness
            },
        ));
        for (side, bounds) in [
            (Side::Left, &bl[0]),
            (Side::Right, &bl[1]),
            (Side::Down, &wl[0]),
            (Side::Up, &wl[1]),
        ] {
            shape.face(side.face(), side, with(middle.clone(), side.axis(), bounds));
        }
        let openings = self
            .openings
            .iter()
            .enumerate()
            .map(|(at, written)| {
                let list = outline::corners(&format!("opening {}", at + 1), AXES, written, sizes)?;
                Ok(list
                    .iter()
                    .map(|c| outline::raised(&c.0, AXES, Axis::Station, &zero))
                    .collect())
            })
            .collect::<Result<_, Fault>>()?;
        shape.solids.push(Solid {
            outline: list
                .iter()
                .map(|c| outline::raised(&c.0, AXES, Axis::Station, &zero))
                .collect(),
            openings,
            sweep: with(origin(), Axis::Station, &thickness),
            beyond: Affine::default(),
        });
        let from = match self.flanges {
            Flanges::Aft => &thickness,
            Flanges::Fwd => &zero,
        };
        shape.solids.extend(outline::flange_strips(
            &list,
            AXES,
            Axis::Station,
            sizes.value("thickness"),
            from,
            &edge,
        ));
        Ok(shape)
    }

    fn through(&self) -> Option<Axis> {
        Some(Axis::Station)
    }

    fn stock(&self, sizes: &Sizes) -> Vec<Stock> {
        outline::flanged_sheet(self.corners(sizes), sizes)
    }

    fn plan(&self, sizes: &Sizes) -> Option<Plan> {
        let corners = self.corners(sizes).ok()?;
        let openings = (1..=self.openings.len()).zip(&self.openings);
        let openings = openings
            .map(|(at, written)| {
                let list = outline::corners(&format!("opening {at}"), AXES, written, sizes).ok()?;
                Some(list.into_iter().map(|corner| corner.1).collect())
            })
            .collect::<Option<_>>()?;
        let towards = match self.flanges {
            Flanges::Fwd => Side::Fwd,
            Flanges::Aft => Side::Aft,
        };
        let width = sizes.value("flange");
        Some(Plan::flanged(AXES, &corners, openings, width, towards))
    }

    fn trimmed_at(&self, size: &str) -> Vec<Side> {
        match (size, self.flanges) {
            ("flange", Flanges::Fwd) => vec![Side::Fwd],
            ("flange", Flanges::Aft) => vec![Side::Aft],
            _ => Vec::new(),
        }
    }

    fn reverse(&mut self) -> bool {
        self.flanges = match self.flanges {
            Flanges::Fwd => Flanges::Aft,
            Flanges::Aft => Flanges::Fwd,
        };
        true
    }

    fn choices(&self) -> Vec<(&'static str, String)> {
        vec![("flanges", format!("{:?}", self.flanges))]
    }
}
