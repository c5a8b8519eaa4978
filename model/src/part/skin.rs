//! A piece of the outside skin. In: the contour that its outside follows, its first station and its length along the fuselage, in
//! mm. Out: its two end faces, and its metal as flat strips from section to section.

use strongback_solver::{Affine, Surface};

use super::edge::{Edge, STEEPEST};
use super::shape::{Feature, Normal, Place, Shape, Solid, place};
use super::sizes::{fault, visit};
use super::{PartKind, Plan, Role, Sizes, Stock, part};
use crate::source::{Fault, Given, Text};
use crate::words::{Axis, Side};

part! {
    /// A piece of the outside skin, from one station to another.
    pub struct Skin {
        /// The contour that its outside follows.
        pub contour: Text,
        /// Thickness of the sheet.
        pub thickness: Given,
        /// Station of its fwd edge.
        pub from: Given,
        /// Length along the fuselage, from the fwd edge to the aft one.
        pub length: Given,
        /// How far the fwd edge leans, top aft, about its lower end, where `from` is.
        #[serde(default)]
        pub fwd_cant: Option<Given>,
        /// How far the aft edge leans, top aft, about its lower end.
        #[serde(default)]
        pub aft_cant: Option<Given>,
    }
}

/// Strips between two points of a section.
const STRIPS: u32 = 4;

impl PartKind for Skin {
    fn says(&self) -> &'static str {
        "A piece of the outside skin, the right-hand half of its contour; `sides: Both` makes the left-hand one too. A contour may be \
         that of a wing's upper or lower side, its sections at stations of the chord. It lies where its \
         contour lies, and takes no `at` and no `turn`. Faces: fwd and aft, its cut edges, at their stations at the lower end \
         of the section; `fwd_cant` and `aft_cant` lean them about it. It is drawn in \
         flat strips from section to section, and a clearance to it is that to these strips: how far a point lies off the skin \
         itself is asked by `OnContour`."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        f("thickness".to_owned(), Role::Gauge, &mut self.thickness);
        f("from".to_owned(), Role::Coordinate, &mut self.from);
        f("length".to_owned(), Role::Extent, &mut self.length);
        visit("fwd cant", Role::Bend, &mut self.fwd_cant, f);
        visit("aft cant", Role::Bend, &mut self.aft_cant, f);
    }

    fn contour(&self) -> Option<&Text> {
        Some(&self.contour)
    }

    /// As wide as its widest section and as long as its longest line along the fuselage, both as they are drawn: about right for
    /// one that tapers little.
    fn stock(&self, sizes: &Sizes) -> Vec<Stock> {
        let Some(surface) = sizes.contour() else {
            return Vec::new();
        };
        let from = sizes.value("from");
        let rows = rows(surface, from, from + sizes.value("length"));
        let columns = columns(surface);
        let at = |u: f64, v: f64| surface.place(u, v).0;
        let along = |places: Vec<[f64; 3]>| -> f64 {
            let steps = places.windows(2);
            steps
                .map(|pair| {
                    let square = |axis: usize| (pair[1][axis] - pair[0][axis]).powi(2);
                    (square(0) + square(1) + square(2)).sqrt()
                })
                .sum()
        };
        let round = |v: &f64| along(columns.iter().map(|u| at(*u, *v)).collect());
        let lengthwise = |u: &f64| along(rows.iter().map(|v| at(*u, *v)).collect());
        let girth = rows.iter().map(round).fold(0.0, f64::max);
        let length = columns.iter().map(lengthwise).fold(0.0, f64::max);
        vec![Stock::sheet(sizes.value("thickness"), [length, girth])]
    }

    fn plan(&self, sizes: &Sizes) -> Option<Plan> {
        let from = sizes.value("from");
        Some(Plan::Skin {
            from,
            to: from + sizes.value("length"),
            cants: ["fwd cant", "aft cant"].map(|name| sizes.value(name)),
        })
    }

    fn trimmed_at(&self, size: &str) -> Vec<Side> {
        match size {
            "length" => Axis::Station.sides().into(),
            _ => Vec::new(),
        }
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        let Some(surface) = sizes.contour() else {
            return Err(fault(
                self.contour.span.clone(),
                "a Skin needs its contour",
                "name one of the file's `contours`",
            ));
        };
        let from = sizes.value("from");
        let to = from + sizes.value("length");
        let stations = surface.rows();
        let ends = [stations.first(), stations.last()].map(|end| end.copied().unwrap_or_default());
        let found = |given: &Given| matches!(given, Given::Find { .. });
        // what is to be found is judged by what holds it to other parts
        if !found(&self.from)
            && !found(&self.length)
            && (from < ends[0] - SLACK || to > ends[1] + SLACK)
        {
            return Err(fault(
                self.from.span(),
                "the skin reaches beyond its contour",
                "add a section where it begins and one where it ends, or cut it shorter",
            ));
        }
        for (name, given) in [("fwd cant", &self.fwd_cant), ("aft cant", &self.aft_cant)] {
            if let Some(given) = given
                && sizes.value(name).abs() >= STEEPEST
            {
                return Err(fault(
                    given.span(),
                    "the edge leans by 60 degrees or more",
                    "an edge leans about the buttock-line axis, positive with its top aft",
                ));
            }
        }
        let columns = columns(surface);
        let middle = columns.get(columns.len() / 2).copied().unwrap_or_default();
        let cuts = cuts(surface, sizes);
        for (name, given) in [("aft cant", &self.aft_cant), ("fwd cant", &self.fwd_cant)] {
            let Some(given) = given else { continue };
            let all_stated = ![&self.from, &self.length, given].into_iter().any(found);
            let cut = cuts[usize::from(name == "aft cant")];
            let beyond = |fs: f64| fs < ends[0] - SLACK || fs > ends[1] + SLACK;
            if all_stated && columns.iter().any(|u| beyond(cut.at(*u))) {
                return Err(fault(
                    given.span(),
                    "the edge leans beyond the contour",
                    "add a section where it ends, or let it lean less",
                ));
            }
            let crosses = |u: &f64| cuts[1].at(*u) <= cuts[0].at(*u);
            if all_stated && to > from && columns.iter().any(crosses) {
                return Err(fault(
                    given.span(),
                    "the two edges of the skin cross",
                    "both lean positive with their tops aft",
                ));
            }
        }
        let mut shape = Shape::default();
        let forms = [
            sizes.form("from"),
            sizes.form("from").plus(&sizes.form("length")),
        ];
        let given = [from, to];
        for (at, side) in [Side::Fwd, Side::Aft].into_iter().enumerate() {
            let station = cuts[at].at(middle);
            let ([_, y, z], _) = surface.place(middle, station);
            let [y, z] = [y, z].map(Affine::constant);
            // a canted edge lies elsewhere at the middle of its section
            let form = forms[at]
                .clone()
                .plus(&Affine::constant(station - given[at]));
            let face = Feature::Face {
                middle: place(&form, &y, &z),
                normal: Normal::Fixed(cuts[at].normal(side == Side::Aft)),
            };
            shape.add(side.face(), face);
        }
        let rows = rows(surface, from, to);
        let thickness = sizes.form("thickness");
        for along in rows.windows(2) {
            for around in columns.windows(2) {
                shape.solids.push(strip(
                    surface,
                    [around[0], around[1]],
                    [along[0], along[1]],
                    cuts,
                    &thickness,
                ));
            }
        }
        Ok(shape)
    }
}

/// A thousandth of a millimetre: rounding.
const SLACK: f64 = 1e-3;

/// The cuts at its two ends.
fn cuts<'s>(surface: &'s Surface, sizes: &Sizes) -> [Edge<'s>; 2] {
    let from = sizes.value("from");
    let ends = [
        (from, "fwd cant"),
        (from + sizes.value("length"), "aft cant"),
    ];
    ends.map(|(station, cant)| Edge::new(surface, station, sizes.value(cant)))
}

/// Stations at which strips meet.
fn rows(surface: &Surface, from: f64, to: f64) -> Vec<f64> {
    let mut rows = vec![from];
    let between = |fs: &&f64| **fs > from && **fs < to;
    rows.extend(surface.rows().iter().filter(between));
    rows.push(to);
    rows
}

/// Parameters round the section at which strips meet.
fn columns(surface: &Surface) -> Vec<f64> {
    let knots = surface.columns();
    let mut list: Vec<f64> = Vec::new();
    for pair in knots.windows(2) {
        let step = (pair[1] - pair[0]) / f64::from(STRIPS);
        list.extend((0..STRIPS).map(|at| pair[0] + f64::from(at) * step));
    }
    list.extend(knots.last());
    list
}

/// A flat strip between two parameters and two stations, its thickness inwards.
fn strip(
    surface: &Surface,
    around: [f64; 2],
    along: [f64; 2],
    cuts: [Edge<'_>; 2],
    thickness: &Affine,
) -> Solid {
    // between canted edges stations are spread by the room there is
    let [from, to] = cuts.map(|cut| cut.at_foot());
    let leans = cuts.iter().any(Edge::leans);
    let spread = |u: f64, v: f64| {
        if !leans || to <= from {
            return v;
        }
        let [fwd, aft] = cuts.map(|cut| cut.at(u));
        fwd + (v - from) / (to - from) * (aft - fwd)
    };
    let corner =
        |u: f64, v: f64| -> Place { surface.place(u, spread(u, v)).0.map(Affine::constant) };
    let share = |pair: [f64; 2], at: f64| pair[0] + at * (pair[1] - pair[0]);
    let place = |u: f64, v: f64| {
        let (u, v) = (share(around, u), share(along, v));
        (u, spread(u, v))
    };
    let (u, v) = place(0.5, 0.5);
    let (_, normal) = surface.place(u, v);
    let off = off_the_strip(surface, normal, place);
    Solid {
        outline: vec![
            corner(around[0], along[0]),
            corner(around[1], along[0]),
            corner(around[1], along[1]),
            corner(around[0], along[1]),
        ],
        openings: Vec::new(),
        sweep: normal.map(|component| thickness.clone().times(-component)),
        beyond: Affine::constant(off),
    }
}

/// How far the surface, as it is seen at some points between two parameters and two stations, lies off the strip's four corners along
/// its normal: the metal there lies that far off the flat strip.
fn off_the_strip(
    surface: &Surface,
    normal: [f64; 3],
    share: impl Fn(f64, f64) -> (f64, f64),
) -> f64 {
    const AT: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];
    let height = |u: f64, v: f64| {
        let (u, v) = share(u, v);
        let (at, _) = surface.place(u, v);
        (0..3).map(|i| at[i] * normal[i]).sum::<f64>()
    };
    let places = AT.iter().flat_map(|u| AT.map(|v| (*u, v)));
    let heights: Vec<f64> = places.map(|(u, v)| height(u, v)).collect();
    let least = heights.iter().copied().fold(f64::INFINITY, f64::min);
    let most = heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    (most - least).max(0.0)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use crate::assembly::assemble;
    use crate::document::Document;
    use crate::source::read;

    /// A side that stands upright, 10 high, over a length of 40.
    fn skin(from: f64, length: f64, cants: &str) -> Result<(), String> {
        let text = format!(
            r#"(format: 1, title: "x", unit: Inch, fit: 1, contours: {{"side": (sections: {{
                "front": (fs: 0, points: [(8, 0), (8, 10)]), "rear": (fs: 40, points: [(8, 0), (8, 10)])}})}},
                parts: {{"skin": Skin(contour: "side", thickness: "0.032 in", from: {from}, length: {length}, {cants})}})"#
        );
        let document: Document = read(&text).map_err(|fault| format!("{fault:?}"))?;
        let faults = assemble(&document).err();
        faults.map_or(Ok(()), |faults| Err(format!("{faults:?}")))
    }

    /// 10 up, an edge that leans 30 degrees lies 10 tan 30 = 5.77 further aft.
    #[test]
    fn an_edge_leans_no_farther_than_the_contour_and_the_other_edge() {
        assert_eq!(skin(2.0, 30.0, r#"aft_cant: "30 deg""#), Ok(()));
        let beyond = skin(2.0, 33.0, r#"aft_cant: "30 deg""#).unwrap_err();
        assert!(beyond.contains("leans beyond the contour"), "{beyond}");
        let beyond = skin(2.0, 33.0, r#"fwd_cant: "-30 deg""#).unwrap_err();
        assert!(beyond.contains("leans beyond the contour"), "{beyond}");
        assert_eq!(skin(6.0, 7.0, r#"fwd_cant: "30 deg""#), Ok(()));
        let crossed = skin(6.0, 5.0, r#"fwd_cant: "30 deg""#).unwrap_err();
        assert!(crossed.contains("cross"), "{crossed}");
    }
}
