//! A channel: a web and two flanges to one side of it.

use strongback_solver::Affine;

use super::shape::{Block, Shape, origin, with};
use super::sizes::{fault, visit};
use super::{PartKind, Plan, Role, SectionKind, Sizes, Stock, Strip, part};
use crate::source::{Fault, Given};
use crate::words::{Axis, Runs, Side};

part! {
    /// A channel, bent or extruded.
    pub struct Channel {
        /// The axis it runs along.
        pub runs: Runs,
        /// Its length.
        pub length: Given,
        /// Depth of the web, over both flanges.
        pub web: Given,
        /// Width of the flanges, over the outside face of the web.
        pub flange: Given,
        /// Thickness of web and flanges.
        pub thickness: Given,
        /// Inside radius of its bends, for its blank.
        #[serde(default)]
        pub radius: Option<Given>,
        /// The side to which the outside face of the web looks; the flanges lead the other way.
        pub back: Side,
        /// The axis along which the web's depth lies.
        pub web_along: Axis,
    }
}

impl PartKind for Channel {
    fn says(&self) -> &'static str {
        "A channel. Origin: the middle of the outside face of its web at the fwd, left or lower end. Faces: \
         web (outside), web_inside, flange_edge, the outsides of the two flanges and of the whole by the \
         sides they look to, and its two ends."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        f("length".to_owned(), Role::Extent, &mut self.length);
        f("web".to_owned(), Role::Extent, &mut self.web);
        f("flange".to_owned(), Role::Extent, &mut self.flange);
        f("thickness".to_owned(), Role::Gauge, &mut self.thickness);
        visit("radius", Role::Radius, &mut self.radius, f);
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        let along = self.runs.along();
        let across = self.back.axis();
        if across == along || self.web_along == along || self.web_along == across {
            return Err(fault(
                self.thickness.span(),
                format!(
                    "a Channel that runs {:?} can't have its back {:?} and its web along the {} axis",
                    self.runs,
                    self.back,
                    self.web_along.short()
                ),
                "the run, the web's depth and the way the back looks lie along three different axes",
            ));
        }
        let thickness = sizes.value("thickness");
        if sizes.value("flange") <= thickness || sizes.value("web") <= 2.0 * thickness {
            return Err(fault(
                self.thickness.span(),
                "web and flange leave no room for the thickness",
                "the web is measured over both flanges, a flange over the web",
            ));
        }
        let inwards = -self.back.sign();
        let depth = |by: &str| sizes.form(by).times(inwards);
        let half = sizes.form("web").times(0.5);
        let span = |from: &Affine, to: &Affine, low: &Affine, high: &Affine| {
            let mut block = Block {
                low: origin(),
                high: with(origin(), along, &sizes.form("length")),
            };
            let (near, far) = if inwards > 0.0 {
                (from, to)
            } else {
                (to, from)
            };
            block.low[across.index()] = near.clone();
            block.high[across.index()] = far.clone();
            block.low[self.web_along.index()] = low.clone();
            block.high[self.web_along.index()] = high.clone();
            block
        };
        let zero = Affine::constant(0.0);
        let below = half.clone().times(-1.0);
        let t = sizes.form("thickness");
        let whole = span(&zero, &depth("flange"), &below, &half);
        let web = span(&zero, &depth("thickness"), &below, &half);
        let mut shape = Shape::default();
        for side in Side::ALL {
            shape.add(side.face(), whole.face(side));
        }
        shape.alias("flange_edge", self.back.opposite().face());
        shape.add("web", web.face(self.back));
        shape.add("web_inside", web.face(self.back.opposite()));
        shape.ends(self.runs, &whole);
        shape.solids.push(web.solid());
        for (low, high) in [
            (below.clone(), below.clone().plus(&t)),
            (half.clone().minus(&t), half.clone()),
        ] {
            let flange = span(&depth("thickness"), &depth("flange"), &low, &high);
            shape.solids.push(flange.solid());
        }
        Ok(shape)
    }

    fn stock(&self, sizes: &Sizes) -> Vec<Stock> {
        let section = ["web", "flange", "thickness"];
        vec![Stock::length(
            SectionKind::Channel,
            &section,
            sizes.value("length"),
            sizes,
        )]
    }

    /// Of one that is bent; one that is extruded has no blank.
    fn plan(&self, sizes: &Sizes) -> Option<Plan> {
        let [web, flange] = ["web", "flange"].map(|name| sizes.value(name));
        let square = (std::f64::consts::FRAC_PI_2, true);
        Some(Plan::Strip(Strip {
            length: sizes.value("length"),
            legs: vec![("flange", flange), ("web", web), ("flange", flange)],
            bends: vec![square; 2],
            seen_from: "inside",
        }))
    }

    fn trimmed_at(&self, size: &str) -> Vec<Side> {
        match size {
            "length" => self.runs.along().sides().into(),
            "flange" => vec![self.back.opposite()],
            _ => Vec::new(),
        }
    }

    fn reverse(&mut self) -> bool {
        self.back = self.back.opposite();
        true
    }

    fn choices(&self) -> Vec<(&'static str, String)> {
        vec![("back", format!("{:?}", self.back))]
    }
}
