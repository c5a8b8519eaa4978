//! A spar: a web across the fuselage with cap angles along its upper and lower edge.

use serde::Deserialize;
use strongback_solver::Affine;

use super::shape::{Block, Shape, middle, place, with};
use super::sizes::fault;
use super::{PartKind, Plan, Role, Section, SectionKind, Sizes, Stock, part};
use crate::source::{Fault, Given};
use crate::words::{Axis, Side};

/// A pair of cap angles on one side of the web, one along the top and one along the bottom edge.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Caps {
    /// Width of both legs, over the outside corner.
    pub leg: Given,
    /// Thickness of the legs.
    pub thickness: Given,
}

part! {
    /// A spar: a web across the fuselage with cap angles along its upper and lower edge.
    pub struct Spar {
        /// Thickness of the web.
        pub web: Given,
        /// Extent across the fuselage.
        pub span: Given,
        /// Height over the caps.
        pub height: Given,
        /// Caps on the forward face of the web.
        #[serde(default)]
        pub fwd_caps: Option<Caps>,
        /// Caps on the aft face of the web.
        #[serde(default)]
        pub aft_caps: Option<Caps>,
    }
}

impl PartKind for Spar {
    fn says(&self) -> &'static str {
        "A spar with cap angles. Origin: forward face of the web, in the middle of its bottom edge. \
         Faces: web_fwd, web_aft, web (its forward face), fwd_cap and aft_cap (outside of the legs that \
         lie on the web), fwd and aft (foremost and aftmost metal), left, right, bottom, top."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        f("web".to_owned(), Role::Gauge, &mut self.web);
        f("span".to_owned(), Role::Extent, &mut self.span);
        f("height".to_owned(), Role::Extent, &mut self.height);
        for (name, caps) in [
            ("fwd cap", &mut self.fwd_caps),
            ("aft cap", &mut self.aft_caps),
        ] {
            if let Some(caps) = caps {
                f(format!("{name} leg"), Role::Extent, &mut caps.leg);
                f(
                    format!("{name} thickness"),
                    Role::Gauge,
                    &mut caps.thickness,
                );
            }
        }
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        let zero = Affine::constant(0.0);
        let (web, height) = (sizes.form("web"), sizes.form("height"));
        let half = sizes.form("span").times(0.5);
        let left = half.clone().times(-1.0);
        let mid_height = height.clone().times(0.5);
        let at = |x: &Affine| place(x, &zero, &mid_height);
        let mut shape = Shape::default();
        shape.face("web_fwd", Side::Fwd, at(&zero));
        shape.face("web_aft", Side::Aft, at(&web));
        shape.alias("web", "web_fwd");
        shape.solids.push(
            Block {
                low: place(&zero, &left, &zero),
                high: place(&web, &half, &height),
            }
            .solid(),
        );
        let (mut foremost, mut aftmost) = (zero.clone(), web.clone());
        for (side, caps) in [(Side::Fwd, &self.fwd_caps), (Side::Aft, &self.aft_caps)] {
            let Some(caps) = caps else { continue };
            let name = side.face();
            let key = |what: &str| format!("{name} cap {what}");
            let (leg, thickness) = (sizes.form(&key("leg")), sizes.form(&key("thickness")));
            if sizes.value(&key("leg")) <= sizes.value(&key("thickness")) {
                return Err(fault(
                    caps.leg.span(),
                    "a cap's leg is no wider than it is thick",
                    "a leg is measured over the outside corner of the angle",
                ));
            }
            let surface = if side == Side::Fwd { &zero } else { &web };
            let out = |by: &Affine| surface.clone().plus(&by.clone().times(side.sign()));
            let (flat, outermost) = (out(&thickness), out(&leg));
            shape.face(&format!("{name}_cap"), side, at(&flat));
            for (low, high) in [
                (zero.clone(), leg.clone()),
                (height.clone().minus(&leg), height.clone()),
            ] {
                shape
                    .solids
                    .push(slab(surface, &flat, &left, &half, &low, &high));
            }
            for (low, high) in [
                (zero.clone(), thickness.clone()),
                (height.clone().minus(&thickness), height.clone()),
            ] {
                shape
                    .solids
                    .push(slab(&flat, &outermost, &left, &half, &low, &high));
            }
            if side == Side::Fwd {
                foremost = outermost;
            } else {
                aftmost = outermost;
            }
        }
        shape.face("fwd", Side::Fwd, at(&foremost));
        shape.face("aft", Side::Aft, at(&aftmost));
        let centre = at(&middle(&foremost, &aftmost));
        for (side, bound) in [
            (Side::Left, &left),
            (Side::Right, &half),
            (Side::Down, &zero),
            (Side::Up, &height),
        ] {
            shape.face(side.face(), side, with(centre.clone(), side.axis(), bound));
        }
        Ok(shape)
    }

    fn through(&self) -> Option<Axis> {
        Some(Axis::Station)
    }

    fn stock(&self, sizes: &Sizes) -> Vec<Stock> {
        let span = sizes.value("span");
        let web = Stock::sheet(sizes.value("web"), [span, sizes.value("height")]);
        let caps = [("fwd cap", &self.fwd_caps), ("aft cap", &self.aft_caps)];
        let caps = caps.into_iter().filter(|(_, caps)| caps.is_some());
        // one along the top and one along the bottom edge
        let caps = caps.flat_map(|(name, _)| {
            let [leg, thickness] =
                ["leg", "thickness"].map(|what| sizes.value(&format!("{name} {what}")));
            let section = Section {
                what: SectionKind::Angle,
                sizes_mm: vec![leg, leg, thickness],
            };
            let cap = Stock::Length {
                section,
                length_mm: span,
            };
            [cap.clone(), cap]
        });
        std::iter::once(web).chain(caps).collect()
    }

    /// The web; its caps are angles.
    fn plan(&self, sizes: &Sizes) -> Option<Plan> {
        let axes = [Axis::ButtockLine, Axis::Waterline];
        let half = 0.5 * sizes.value("span");
        Some(Plan::rectangle(
            axes,
            [[-half, half], [0.0, sizes.value("height")]],
        ))
    }

    fn trimmed_at(&self, size: &str) -> Vec<Side> {
        match size {
            "span" => Axis::ButtockLine.sides().into(),
            _ => Vec::new(),
        }
    }

    fn reverse(&mut self) -> bool {
        std::mem::swap(&mut self.fwd_caps, &mut self.aft_caps);
        true
    }

    fn choices(&self) -> Vec<(&'static str, String)> {
        let side = match (&self.fwd_caps, &self.aft_caps) {
            (Some(_), Some(_)) => "fwd and aft",
            (Some(_), None) => "fwd",
            (None, Some(_)) => "aft",
            (None, None) => "none",
        };
        vec![("caps", side.to_owned())]
    }
}

fn slab(
    x0: &Affine,
    x1: &Affine,
    y0: &Affine,
    y1: &Affine,
    z0: &Affine,
    z1: &Affine,
) -> super::Solid {
    Block {
        low: place(x0, y0, z0),
        high: place(x1, y1, z1),
    }
    .solid()
}
