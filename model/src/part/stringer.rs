//! A stringer of hat section. In: its sizes in mm and the side on which the skin lies. Out: its faces, and crown, webs and
//! flanges as metal. The webs are drawn square to the skin; corners have no radius.

use strongback_solver::Affine;

use super::shape::{Block, Shape, origin, with};
use super::sizes::{fault, visit};
use super::{PartKind, Plan, Role, SectionKind, Sizes, Stock, Strip, part};
use crate::source::{Fault, Given};
use crate::words::{Axis, Runs, Side};

part! {
    /// A thin formed hat section along the fuselage, its two flanges on the skin.
    pub struct Stringer {
        /// Its length.
        pub length: Given,
        /// Thickness of the sheet.
        pub thickness: Given,
        /// Inside radius of its bends, for its blank.
        #[serde(default)]
        pub radius: Option<Given>,
        /// Width over both flanges.
        pub width: Given,
        /// Width of the crown, over the outsides of the webs.
        pub crown: Given,
        /// Height from the skin to the outside of the crown.
        pub height: Given,
        /// The side on which the skin lies; the crown looks the other way.
        pub skin: Side,
    }
}

impl PartKind for Stringer {
    fn says(&self) -> &'static str {
        "A formed hat section along the fuselage. Origin: the middle of its width on the skin face, at the fwd end. Faces: \
         skin_face (the two flanges' side that lies on the skin), crown (outside), crown_inside, the outermost metal by the \
         sides fwd, aft, left, right, bottom, top, and its two ends; line: middle (of the skin face). Webs are taken as \
         square to the skin."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        f("length".to_owned(), Role::Extent, &mut self.length);
        f("thickness".to_owned(), Role::Gauge, &mut self.thickness);
        visit("radius", Role::Radius, &mut self.radius, f);
        f("width".to_owned(), Role::Extent, &mut self.width);
        f("crown".to_owned(), Role::Extent, &mut self.crown);
        f("height".to_owned(), Role::Extent, &mut self.height);
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        let runs = Runs::FwdAft;
        let (deep, wide) = match self.skin.axis() {
            Axis::ButtockLine => (Axis::ButtockLine, Axis::Waterline),
            Axis::Waterline => (Axis::Waterline, Axis::ButtockLine),
            Axis::Station => {
                return Err(fault(
                    self.thickness.span(),
                    format!(
                        "a Stringer runs along the fuselage, and can't have the skin {:?}",
                        self.skin
                    ),
                    "the skin lies Left, Right, Down or Up of it",
                ));
            }
        };
        let thickness = sizes.value("thickness");
        if sizes.value("height") <= 2.0 * thickness
            || sizes.value("crown") <= 2.0 * thickness
            || sizes.value("width") <= sizes.value("crown")
        {
            return Err(fault(
                self.thickness.span(),
                "the sizes make no hat section",
                "the width goes over both flanges, the crown over both webs, the height from the skin to the crown's outside",
            ));
        }
        let length = sizes.form("length");
        // depths count away from the skin
        let away = -self.skin.sign();
        let block = |depths: [&Affine; 2], widths: [&Affine; 2]| {
            let [near, far] = depths.map(|depth| depth.clone().times(away));
            let (low, high) = if away > 0.0 { (near, far) } else { (far, near) };
            Block {
                low: with(with(origin(), deep, &low), wide, widths[0]),
                high: with(
                    with(with(origin(), runs.along(), &length), deep, &high),
                    wide,
                    widths[1],
                ),
            }
        };
        let zero = Affine::constant(0.0);
        let (t, height) = (sizes.form("thickness"), sizes.form("height"));
        let [edge, wall] = ["width", "crown"].map(|name| sizes.form(name).times(0.5));
        let [minus_edge, minus_wall] = [&edge, &wall].map(|half| half.clone().times(-1.0));
        let inside = height.clone().minus(&t);
        let whole = block([&zero, &height], [&minus_edge, &edge]);
        let crown = block([&inside, &height], [&minus_wall, &wall]);
        let mut shape = Shape::default();
        shape.add("skin_face", whole.face(self.skin));
        shape.add("crown", crown.face(self.skin.opposite()));
        shape.add("crown_inside", crown.face(self.skin));
        for side in Side::ALL {
            shape.add(side.face(), whole.face(side));
        }
        shape.ends(runs, &whole);
        let middle = with(origin(), Axis::Station, &length.clone().times(0.5));
        shape.line("middle", runs.along(), middle);
        shape.solids.push(crown.solid());
        let (inner, minus_inner) = (wall.clone().minus(&t), minus_wall.clone().plus(&t));
        for widths in [[&minus_wall, &minus_inner], [&inner, &wall]] {
            shape.solids.push(block([&zero, &inside], widths).solid());
        }
        for widths in [[&minus_edge, &minus_wall], [&wall, &edge]] {
            shape.solids.push(block([&zero, &t], widths).solid());
        }
        Ok(shape)
    }

    fn stock(&self, sizes: &Sizes) -> Vec<Stock> {
        let section = ["width", "crown", "height", "thickness"];
        vec![Stock::length(
            SectionKind::Hat,
            &section,
            sizes.value("length"),
            sizes,
        )]
    }

    fn plan(&self, sizes: &Sizes) -> Option<Plan> {
        let size = |name| sizes.value(name);
        // a flange is measured to where the skin face meets the web's inside: over the outside of its own bend
        let flange = 0.5 * (size("width") - size("crown")) + size("thickness");
        let (web, right) = (size("height"), std::f64::consts::FRAC_PI_2);
        Some(Plan::Strip(Strip {
            length: size("length"),
            legs: vec![
                ("flange", flange),
                ("web", web),
                ("crown", size("crown")),
                ("web", web),
                ("flange", flange),
            ],
            bends: vec![(right, false), (right, true), (right, true), (right, false)],
            seen_from: "the skin",
        }))
    }

    fn trimmed_at(&self, size: &str) -> Vec<Side> {
        match (size, self.skin.axis()) {
            ("length", _) => Axis::Station.sides().into(),
            ("width", Axis::Waterline) => Axis::ButtockLine.sides().into(),
            ("width", _) => Axis::Waterline.sides().into(),
            _ => Vec::new(),
        }
    }

    fn choices(&self) -> Vec<(&'static str, String)> {
        vec![("skin", format!("{:?}", self.skin))]
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::source::read;

    fn stringer(skin: &str) -> (Stringer, Sizes) {
        let text = format!(
            r#"(length: 500, thickness: 1, width: 50, crown: 20, height: 18, skin: {skin})"#
        );
        let mut part: Stringer = read(&text).unwrap();
        let mut sizes = Sizes::default();
        part.visit_sizes(&mut |name, _, given| {
            let Given::Number(number) = given else { return };
            sizes.insert(name, Affine::constant(number.value), number.value);
        });
        (part, sizes)
    }

    fn volume(shape: &Shape) -> f64 {
        let prism = |solid: &super::super::Solid| {
            let at = |i: usize, axis: usize| solid.outline[i % 4][axis].constant;
            let area: f64 = (0..4)
                .map(|i| 0.5 * (at(i, 1) * at(i + 1, 2) - at(i + 1, 1) * at(i, 2)))
                .sum();
            (area * solid.sweep[0].constant).abs()
        };
        shape.solids.iter().map(prism).sum()
    }

    #[test]
    fn its_metal_is_the_developed_width_with_square_corners() {
        for skin in ["Left", "Right", "Down", "Up"] {
            let (part, sizes) = stringer(skin);
            let shape = part.shape(&sizes).unwrap();
            // crown 20, two webs of 17, two flanges of 15: each counted once
            assert!(
                (volume(&shape) - 500.0 * (20.0 + 34.0 + 30.0)).abs() < 1e-6,
                "{skin}"
            );
            let depth = part.skin.axis().index();
            let at = |name: &str| shape.features[name].middle()[depth].constant;
            assert_eq!(at("skin_face"), 0.0);
            assert_eq!(at("crown"), -18.0 * part.skin.sign());
            assert_eq!(at("crown_inside"), -17.0 * part.skin.sign());
        }
    }

    #[test]
    fn what_makes_no_hat_is_refused() {
        let (part, sizes) = stringer("Aft");
        assert!(
            part.shape(&sizes)
                .unwrap_err()
                .message
                .contains("runs along the fuselage")
        );
        let (part, mut sizes) = stringer("Right");
        sizes.insert("crown".to_owned(), Affine::constant(60.0), 60.0);
        assert!(part.shape(&sizes).is_err());
    }
}
