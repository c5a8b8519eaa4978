//! A fore-and-aft flanged rib with an outline of its own.

use serde::Deserialize;
use strongback_solver::Affine;

use super::flanged::Flanges;
use super::outline::{self, Corner};
use super::shape::{Feature, Normal, Shape, Solid, middle, origin, with};
use super::sizes::{fault, visit};
use super::{PartKind, Plan, Role, Sizes, Stock, part};
use crate::source::{Entries, Fault, Given};
use crate::words::{Axis, Side};

part! {
    /// A flanged rib that stands along the fuselage: a seat rib, a keel web, a tunnel side.
    pub struct Rib {
        /// Thickness of the sheet.
        pub thickness: Given,
        /// Width of the flange, from the web's outside face to its edge.
        pub flange: Given,
        /// To which side the flange is bent.
        pub flanges: Flanges,
        /// Inside bend radius; without it the rib has no face `bend_tangent`.
        #[serde(default)]
        pub radius: Option<Given>,
        /// Length, in place of an outline.
        #[serde(default)]
        pub length: Option<Given>,
        /// Height, in place of an outline.
        #[serde(default)]
        pub height: Option<Given>,
        /// Corners (fs, wl) in order, in place of length and height.
        #[serde(default)]
        pub outline: Vec<Corner>,
        /// Straight edges with names of their own, each between two points (fs, wl) of the outline: a face that looks away from
        /// the metal. Of an edge that doesn't lie on the outline the metal is taken to lie to the left of the way from the first
        /// point to the second, seen from the left; it is told as a doubt.
        #[serde(default)]
        pub edges: Entries<Edge>,
    }
}

/// A straight edge between two points.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Edge(pub Corner, pub Corner);

const AXES: [Axis; 2] = [Axis::Station, Axis::Waterline];

impl Rib {
    fn corners(&self, sizes: &Sizes) -> Result<Vec<outline::Uv>, Fault> {
        match (&self.length, &self.height, self.outline.is_empty()) {
            (None, None, false) => outline::corners("outline", AXES, &self.outline, sizes)
                .map(outline::counter_clockwise),
            (Some(_), Some(_), true) => {
                let zero = Affine::constant(0.0);
                Ok(outline::rectangle(
                    [zero.clone(), sizes.form("length")],
                    [zero, sizes.form("height")],
                    [[0.0, sizes.value("length")], [0.0, sizes.value("height")]],
                ))
            }
            _ => Err(fault(
                self.thickness.span(),
                "a Rib needs either its `length` and `height` or an `outline`",
                "give both figures, or the corners of its outline as (fs, wl)",
            )),
        }
    }
}

impl PartKind for Rib {
    fn says(&self) -> &'static str {
        "A flanged rib along the fuselage, its flange bent along every side of its outline. Origin: left face of the web; for length and height at its \
         forward lower corner. Faces: web_left, web_right, flange_edge, bend_tangent (with a radius), \
         left, right, fwd, aft, bottom, top (the outermost metal), and each of its `edges` by name."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        f("thickness".to_owned(), Role::Gauge, &mut self.thickness);
        f("flange".to_owned(), Role::Extent, &mut self.flange);
        visit("radius", Role::Radius, &mut self.radius, f);
        visit("length", Role::Extent, &mut self.length, f);
        visit("height", Role::Extent, &mut self.height, f);
        outline::visit("outline", AXES, &mut self.outline, f);
        let names: Vec<String> = self.edges.names().map(str::to_owned).collect();
        for (name, Edge(from, to)) in names.iter().zip(self.edges.values_mut()) {
            for (end, Corner(u, v)) in [("start", from), ("end", to)] {
                f(format!("{name} {end} fs"), Role::Coordinate, u);
                f(format!("{name} {end} wl"), Role::Coordinate, v);
            }
        }
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        let list = self.corners(sizes)?;
        Flanges::check(&self.flange, sizes)?;
        let zero = Affine::constant(0.0);
        let (fs, wl) = (outline::bounds(&list, 0), outline::bounds(&list, 1));
        let centre = [middle(&fs[0], &fs[1]), zero.clone(), middle(&wl[0], &wl[1])];
        let mut shape = Shape::default();
        self.flanges.faces(&mut shape, &centre, sizes);
        for (side, bounds) in [
            (Side::Fwd, &fs[0]),
            (Side::Aft, &fs[1]),
            (Side::Down, &wl[0]),
            (Side::Up, &wl[1]),
        ] {
            shape.face(side.face(), side, with(centre.clone(), side.axis(), bounds));
        }
        for name in self.edges.names() {
            let end = |end: &str| {
                [
                    sizes.form(&format!("{name} {end} fs")),
                    zero.clone(),
                    sizes.form(&format!("{name} {end} wl")),
                ]
            };
            let (mut from, mut to) = (end("start"), end("end"));
            let drawn =
                |end: &str| ["fs", "wl"].map(|axis| sizes.value(&format!("{name} {end} {axis}")));
            match outline::metal_to_the_left(&list, [drawn("start"), drawn("end")]) {
                Some(true) => {}
                Some(false) => std::mem::swap(&mut from, &mut to),
                None => shape.doubts.push(format!(
                    "edge `{name}` doesn't lie on the outline: to which side it looks is taken from the order of its points"
                )),
            }
            let middle = [0, 1, 2].map(|i| middle(&from[i], &to[i]));
            shape.add(
                name,
                Feature::Face {
                    middle,
                    // y × (way) looks to the right of the way, seen from the left side
                    normal: Normal::OfEdge {
                        from: Box::new(from),
                        to: Box::new(to),
                        along: [0.0, 1.0, 0.0],
                    },
                },
            );
        }
        shape.solids.push(Solid {
            outline: list
                .iter()
                .map(|c| outline::raised(&c.0, AXES, Axis::ButtockLine, &zero))
                .collect(),
            openings: Vec::new(),
            sweep: with(origin(), Axis::ButtockLine, &sizes.form("thickness")),
            beyond: Affine::default(),
        });
        let [from, to] = self.flanges.reach(sizes);
        shape.solids.extend(outline::flange_strips(
            &list,
            AXES,
            Axis::ButtockLine,
            sizes.value("thickness"),
            &from,
            &to,
        ));
        Ok(shape)
    }

    fn through(&self) -> Option<Axis> {
        Some(Axis::ButtockLine)
    }

    fn stock(&self, sizes: &Sizes) -> Vec<Stock> {
        outline::flanged_sheet(self.corners(sizes), sizes)
    }

    fn plan(&self, sizes: &Sizes) -> Option<Plan> {
        let corners = self.corners(sizes).ok()?;
        let width = sizes.value("flange");
        let towards = self.flanges.towards();
        Some(Plan::flanged(AXES, &corners, Vec::new(), width, towards))
    }

    fn trimmed_at(&self, size: &str) -> Vec<Side> {
        self.flanges.trimmed_at(size)
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

    #[test]
    fn an_edge_on_the_outline_looks_away_from_the_metal_whichever_way_it_is_named() {
        for edge in ["((0, 7), (20, 7))", "((20, 7), (0, 7))"] {
            let text = format!(
                "(format: 1, title: \"\", unit: Inch, fit: \"1/32 in\", parts: {{\"rib\": Rib(thickness: \"0.032 in\", flange: \"5/8 in\", \
                 flanges: Right, at: (fs: 0, bl: 2, wl: 0), sides: Both, outline: [(0, 0), (0, 7), (20, 7), (20, 0)], edges: {{\"upper\": {edge}}})}})"
            );
            let document = Document::read(&text).unwrap();
            let layout = assemble(&document).unwrap().solve().unwrap().layout();
            for part in &layout.parts {
                let upper = part.features.iter().find(|it| it.name == "upper").unwrap();
                let way = upper.direction.unwrap();
                assert!(
                    (way[2] - 1.0).abs() < 1e-9,
                    "{edge}, {}: {way:?}",
                    part.name
                );
            }
        }
    }
}
