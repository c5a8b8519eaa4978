//! A short rib between two frames, flanged at its ends. In: its sizes in mm. Out: its faces, and the web and the two end
//! flanges as metal.

use strongback_solver::Affine;

use super::flanged::Flanges;
use super::shape::{Block, Shape, middle, place};
use super::sizes::{fault, visit};
use super::{Flange, PartKind, Plan, Role, Sizes, Stock, part};
use crate::source::{Fault, Given};
use crate::words::{Axis, Side};

part! {
    /// A short rib from one frame to the next, flanged at its two ends.
    pub struct Intercostal {
        /// Thickness of the sheet.
        pub thickness: Given,
        /// Width of the end flanges, from the web's outside face to their edges.
        pub flange: Given,
        /// To which side the end flanges are bent.
        pub flanges: Flanges,
        /// Inside bend radius; without it there is no face `bend_tangent`.
        #[serde(default)]
        pub radius: Option<Given>,
        /// Length over the outsides of the two end flanges; `Find` where two frames settle it.
        pub length: Given,
        /// Height of the web.
        pub height: Given,
    }
}

impl PartKind for Intercostal {
    fn says(&self) -> &'static str {
        "A short rib between two frames, with a flange at each end. Origin: left face of the web, at its forward lower \
         corner. Faces: fwd and aft (the outsides of the end flanges, which lie on the frames), web_left, web_right, \
         flange_edge, bend_tangent (with a radius), left, right, bottom, top. Two statements `Reaches` find its length."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        f("thickness".to_owned(), Role::Gauge, &mut self.thickness);
        f("flange".to_owned(), Role::Extent, &mut self.flange);
        visit("radius", Role::Radius, &mut self.radius, f);
        f("length".to_owned(), Role::Extent, &mut self.length);
        f("height".to_owned(), Role::Extent, &mut self.height);
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        Flanges::check(&self.flange, sizes)?;
        if sizes.value("length") <= 2.0 * (sizes.value("thickness") + sizes.value("radius")) {
            return Err(fault(
                self.length.span(),
                "there is no room for the two end flanges",
                "the length is measured over the outsides of both",
            ));
        }
        let zero = Affine::constant(0.0);
        let [length, height, thickness] =
            ["length", "height", "thickness"].map(|name| sizes.form(name));
        let centre = [middle(&zero, &length), zero.clone(), middle(&zero, &height)];
        let mut shape = Shape::default();
        self.flanges.faces(&mut shape, &centre, sizes);
        let web = Block {
            low: place(&zero, &zero, &zero),
            high: place(&length, &thickness, &height),
        };
        for side in [Side::Fwd, Side::Aft, Side::Down, Side::Up] {
            shape.add(side.face(), web.face(side));
        }
        shape.solids.push(web.solid());
        let [from, to] = self.flanges.reach(sizes);
        let inner = length.clone().minus(&thickness);
        for (near, far) in [(&zero, &thickness), (&inner, &length)] {
            let (low, high) = match self.flanges {
                Flanges::Right => (&from, &to),
                Flanges::Left => (&to, &from),
            };
            let flange = Block {
                low: place(near, low, &zero),
                high: place(far, high, &height),
            };
            shape.solids.push(flange.solid());
        }
        Ok(shape)
    }

    fn through(&self) -> Option<Axis> {
        Some(Axis::ButtockLine)
    }

    fn stock(&self, sizes: &Sizes) -> Vec<Stock> {
        let [length, flange, height] = ["length", "flange", "height"].map(|name| sizes.value(name));
        // a flange at each end, unfolded
        vec![Stock::sheet(
            sizes.value("thickness"),
            [length + 2.0 * flange, height],
        )]
    }

    fn plan(&self, sizes: &Sizes) -> Option<Plan> {
        let axes = [Axis::Station, Axis::Waterline];
        let [length, height] = ["length", "height"].map(|name| [0.0, sizes.value(name)]);
        let mut plan = Plan::rectangle(axes, [length, height]);
        if let Plan::Web(web) = &mut plan {
            // its two ends: the rectangle's second and last side
            let flange = Some(Flange {
                width: sizes.value("flange"),
                angle: std::f64::consts::FRAC_PI_2,
                towards: self.flanges.towards(),
            });
            web.flanges = vec![None, flange, None, flange];
        }
        Some(plan)
    }

    fn trimmed_at(&self, size: &str) -> Vec<Side> {
        match size {
            "height" => Axis::Waterline.sides().into(),
            _ => self.flanges.trimmed_at(size),
        }
    }

    fn reverse(&mut self) -> bool {
        self.flanges = self.flanges.reversed();
        true
    }

    fn choices(&self) -> Vec<(&'static str, String)> {
        vec![("flanges", format!("{:?}", self.flanges))]
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use crate::assembly::assemble;
    use crate::document::Document;
    use crate::layout::Layout;
    use crate::source::read;

    fn between_frames(flanges: &str, length: &str) -> Result<Layout, String> {
        let text = format!(
            r#"(format: 1, title: "bay", unit: Inch, fit: "1/32 in", parts: {{
                "front": Plate(lies: Across, thickness: "0.032 in", width: 20, height: 20, at: (fs: 0, bl: 0, wl: 0)),
                "back": Plate(lies: Across, thickness: "0.032 in", width: 20, height: 20, at: (fs: 10, bl: 0, wl: 0)),
                "rib": Intercostal(thickness: "0.025 in", flange: "5/8 in", flanges: {flanges}, radius: "3/32 in", length: {length}, height: 3, at: (bl: 4, wl: 2)),
            }}, relations: {{
                "starts": Reaches(end: "rib.fwd", face: "front.aft"),
                "ends": Reaches(end: "rib.aft", face: "back.fwd"),
            }})"#
        );
        let document: Document = read(&text).unwrap();
        let assembly = assemble(&document).map_err(|faults| faults[0].message.clone())?;
        Ok(assembly.solve().unwrap().layout())
    }

    #[test]
    fn two_frames_find_its_length() {
        let layout = between_frames("Right", "Find").unwrap();
        assert!(layout.is_sound());
        let rib = layout.part("rib").unwrap();
        assert!((rib.size("length").unwrap().value / 25.4 - 9.968).abs() < 1e-12);
        let bl = |face: &str| rib.feature(face).unwrap().at_mm[1] / 25.4;
        assert!((bl("flange_edge") - 4.625).abs() < 1e-12);
        assert!((bl("bend_tangent") - (4.0 + 0.025 + 0.09375)).abs() < 1e-12);
    }

    #[test]
    fn flanges_to_the_left_lie_left_of_the_web() {
        let layout = between_frames("Left", "Find").unwrap();
        let rib = layout.part("rib").unwrap();
        let bl = |face: &str| rib.feature(face).unwrap().at_mm[1] / 25.4;
        assert!((bl("web_left") - 4.0).abs() < 1e-12);
        assert!((bl("left") - (4.025 - 0.625)).abs() < 1e-12);
        assert!((rib.extent_mm[1][0] / 25.4 - bl("left")).abs() < 1e-12);
    }

    #[test]
    fn one_too_short_for_its_flanges_is_refused() {
        let fault = between_frames("Right", "\"0.2 in\"").unwrap_err();
        assert!(fault.contains("no room"), "{fault}");
    }
}
