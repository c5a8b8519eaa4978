//! A round tube along a path of straights and bends. In: diameter, wall, and the path's straights in mm, bends in radians with the
//! radii of the middle line. Out: the axis and tangent planes of each straight, the points where bends begin and end, metal, and the
//! length that is cut.

use nalgebra::Vector3;
use strongback_solver::Affine;

use super::path::{self, DEVELOPED, Stretch};
use super::shape::{Feature, Normal, Place, Shape, moved, origin};
use super::sizes::fault;
use super::tube::check_wall;
use super::{PartKind, Role, SectionKind, Sizes, Stock, bend, part, round};
use crate::source::{Fault, Given};
use crate::words::{Axis, Runs, Side};

part! {
    /// A round tube along a path with bends, such as the bow of a canopy.
    pub struct BentTube {
        /// The axis along which its first straight runs.
        pub runs: Runs,
        /// Outside diameter.
        pub diameter: Given,
        /// Wall thickness.
        pub wall: Given,
        /// Straights and bends in turn, from the fwd, left or lower end, with a straight at both ends: `Straight(length)`, from
        /// its end or the point where a bend ends to the next one, and `Bend(toward: side, by: angle from straight, radius: radius)`: the
        /// side is one across the first straight, and turns with the tube from bend to bend; the radius is that of the tube's middle
        /// line.
        pub path: Vec<Stretch>,
    }
}

/// Where the path has come to: the middle of the section, the way it goes, and the ways across it, by their sides in the first straight.
struct Course {
    at: Place,
    way: Vector3<f64>,
    across: [(Side, Vector3<f64>); 2],
}

impl PartKind for BentTube {
    fn says(&self) -> &'static str {
        "A round tube along a path of straights and bends. Origin: its axis at the fwd, left or lower end; `runs` is the axis of the \
         first straight. Faces: of each straight, counted from 1, its tangent planes with its number, as top_1 and left_2, and line axis_1, \
         by the sides of the first straight however far the path has turned; its two ends, which go by `runs`: fwd_end and aft_end, \
         left_end and right_end, or lower_end and upper_end; points bend_1_start and bend_1_end on the axis. Straights may say \
         `Find`, a bend's angle may not, and no tolerance of it is followed. Its sizes go by their number: `straight 1`, `bend 1` \
         (its angle), `bend 1 radius`. Its `developed length` is what is cut, without what the bender holds: the straights, and \
         for each bend the length of its middle line; `bend 1 starts at` and `bend 1 ends at` are marked on it from the end that is \
         the origin. Its clearance is measured as that of solid rod; \
         whether tube and bender take the radius isn't checked."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        f("diameter".to_owned(), Role::Extent, &mut self.diameter);
        f("wall".to_owned(), Role::Gauge, &mut self.wall);
        path::visit(&mut self.path, f);
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        check_wall(&self.wall, sizes)?;
        path::check(&self.path, self.diameter.span())?;
        let along = self.runs.along();
        let across = |axis: Axis| (axis.positive(), Vector3::from(axis.vector()));
        let mut course = Course {
            at: origin(),
            way: Vector3::from(along.vector()),
            across: along.others().map(across),
        };
        let diameter = sizes.form("diameter");
        let mut shape = Shape::default();
        let [low, high] = self.runs.ends();
        shape.add(low, face(course.at.clone(), -course.way));
        for (at, stretch) in self.path.iter().enumerate() {
            let number = at / 2 + 1;
            match stretch {
                Stretch::Straight(_) => {
                    let length = sizes.form(&path::straight(number));
                    course.straight(&mut shape, &diameter, &length, number);
                }
                Stretch::Bend { toward, by, radius } => {
                    let turn = self.turn(&course, *toward, number, sizes, [by, radius])?;
                    course.bend(&mut shape, &diameter, &turn, number);
                }
            }
        }
        shape.add(high, face(course.at, course.way));
        Ok(shape)
    }

    fn derived(&self, sizes: &Sizes) -> Vec<(String, Affine)> {
        let middle_line = |angle, radius: &Affine| radius.clone().times(angle);
        path::along_stock(&self.path, sizes, middle_line)
    }

    fn stock(&self, sizes: &Sizes) -> Vec<Stock> {
        let section = ["diameter", "wall"];
        let length = sizes.value(DEVELOPED);
        vec![Stock::length(SectionKind::Tube, &section, length, sizes)]
    }

    fn trimmed_at(&self, size: &str) -> Vec<Side> {
        path::trimmed_at(&self.path, self.runs, size)
    }

    fn choices(&self) -> Vec<(&'static str, String)> {
        vec![("bends", path::bends(&self.path))]
    }
}

/// A bend, once it is understood.
struct Turn {
    /// Which of the two ways across lies in its plane.
    within: usize,
    /// Towards its centre.
    inwards: Vector3<f64>,
    angle: f64,
    radius: Affine,
}

impl BentTube {
    fn turn(
        &self,
        course: &Course,
        toward: Side,
        number: usize,
        sizes: &Sizes,
        [by, radius]: [&Given; 2],
    ) -> Result<Turn, Fault> {
        let axis = |(side, _): &(Side, Vector3<f64>)| side.axis();
        let mut across = course.across.iter().map(axis);
        let Some(within) = across.position(|axis| axis == toward.axis()) else {
            return Err(fault(
                by.span(),
                format!("a bend can't turn {toward:?}: the tube runs along that axis"),
                "it turns toward a side across the first straight",
            ));
        };
        let angle = path::angle(number, by, sizes)?;
        let name = path::bend_radius(number);
        if sizes.value(&name) <= 0.5 * sizes.value("diameter") {
            return Err(fault(
                radius.span(),
                "so tight a bend has its centre within the tube",
                "the radius is that of the tube's middle line: more than half the diameter, and as much as the bender and the \
                 material ask for",
            ));
        }
        let sense = if toward.is_positive() { 1.0 } else { -1.0 };
        let inwards = course.across.get(within).map(|(_, way)| way * sense);
        Ok(Turn {
            within,
            inwards: inwards.unwrap_or_default(),
            angle,
            radius: sizes.form(&name),
        })
    }
}

impl Course {
    /// Adds the faces and the metal of a straight, and goes along it.
    fn straight(&mut self, shape: &mut Shape, diameter: &Affine, length: &Affine, number: usize) {
        let middle = moved(&self.at, self.way, &length.clone().times(0.5));
        let radius = diameter.clone().times(0.5);
        for (side, way) in self.across {
            for (side, way) in [(side, way), (side.opposite(), -way)] {
                let at = moved(&middle, way, &radius);
                shape.add(&format!("{}_{number}", side.face()), face(at, way));
            }
        }
        let axis = Feature::Line {
            middle,
            along: self.way.into(),
        };
        shape.add(&format!("axis_{number}"), axis);
        let across = self.across.map(|(_, way)| way);
        let metal = round::rod(
            &self.at,
            across,
            diameter,
            moved(&origin(), self.way, length),
        );
        shape.solids.push(metal);
        self.at = moved(&self.at, self.way, length);
    }

    /// Adds the ends and the metal of a bend, and goes round it.
    fn bend(&mut self, shape: &mut Shape, diameter: &Affine, turn: &Turn, number: usize) {
        let centre = moved(&self.at, turn.inwards, &turn.radius);
        let (before, inwards) = (self.way, turn.inwards);
        let outwards = |angle: f64| before * angle.sin() - inwards * angle.cos();
        let way = |angle: f64| before * angle.cos() + inwards * angle.sin();
        let on_arc = |angle: f64| moved(&centre, outwards(angle), &turn.radius);
        let square = self.across[1 - turn.within].1;
        let shares: Vec<f64> = bend::facets(turn.angle).collect();
        for pair in shares.windows(2) {
            let &[from, to] = pair else { continue };
            let [from, to] = [from, to].map(|share| share * turn.angle);
            let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
            let length = turn.radius.clone().times(2.0 * half.sin());
            let sweep = moved(&origin(), way(middle), &length);
            let across = [square, outwards(middle)];
            let mut chord = round::rod(&on_arc(from), across, diameter, sweep);
            // on the inside of the bend its flats lie beyond the metal
            let rise = turn.radius.clone().times(bend::rise(turn.angle));
            chord.beyond = chord.beyond.plus(&rise);
            shape.solids.push(chord);
        }
        for (name, angle) in [("start", 0.0), ("end", turn.angle)] {
            let at = on_arc(angle);
            shape.add(&format!("bend_{number}_{name}"), Feature::Point { at });
        }
        self.at = on_arc(turn.angle);
        self.way = way(turn.angle);
        let led_inwards = self.across[turn.within].1.dot(&inwards);
        self.across[turn.within].1 = -outwards(turn.angle) * led_inwards;
    }
}

fn face(middle: Place, normal: Vector3<f64>) -> Feature {
    Feature::Face {
        middle,
        normal: Normal::Fixed(normal.into()),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::assembly::assemble;
    use crate::document::Document;
    use crate::layout::{Layout, PlacedPart};
    use crate::source::read;

    fn layout(path: &str, sides: &str) -> Layout {
        let text = format!(
            r#"(format: 1, title: "bow", unit: Millimetre, fit: 1, parts: {{
                "bow": BentTube(runs: UpDown, diameter: 20, wall: 1, path: [{path}], at: (fs: 0, bl: 0, wl: 0){sides}) }})"#
        );
        let document: Document = read(&text).unwrap();
        assemble(&document).unwrap().solve().unwrap().layout()
    }

    fn assert_at(part: &PlacedPart, feature: &str, expected: [f64; 3]) {
        let at = part.feature(feature).unwrap().at_mm;
        let near = at
            .iter()
            .zip(expected)
            .all(|(is, at)| (is - at).abs() < 1e-9);
        assert!(near, "{feature} at {at:?}, by hand {expected:?}");
    }

    /// Up 300, round to the right by a radius of 80, 240 across, round again and down 200. By hand: the second leg stands
    /// 80 + 240 + 80 to the right of the first and ends 300 - 200 above its foot, and the top is at 300 + 80 and half the tube. Cut
    /// is 300 + 240 + 200 and two quarter circles, 80 pi.
    #[test]
    fn a_bow_ends_where_its_straights_and_bends_lead() {
        let layout = layout(
            r#"Straight(300), Bend(toward: Right, by: "90 deg", radius: 80), Straight(240),
               Bend(toward: Right, by: "90 deg", radius: 80), Straight(200)"#,
            "",
        );
        let bow = &layout.parts[0];
        assert_at(bow, "lower_end", [0.0, 0.0, 0.0]);
        assert_at(bow, "upper_end", [0.0, 400.0, 100.0]);
        assert_at(bow, "bend_1_start", [0.0, 0.0, 300.0]);
        assert_at(bow, "bend_1_end", [0.0, 80.0, 380.0]);
        assert_at(bow, "axis_2", [0.0, 200.0, 380.0]);
        // the left side of the first straight has come to look up, and then to the right
        assert_at(bow, "left_2", [0.0, 200.0, 390.0]);
        assert_at(bow, "left_3", [0.0, 410.0, 200.0]);
        assert_at(bow, "aft_3", [10.0, 400.0, 200.0]);
        let quarter = 40.0 * std::f64::consts::PI;
        for (size, expected) in [
            ("bend 1 starts at", 300.0),
            ("bend 1 ends at", 300.0 + quarter),
            ("bend 2 starts at", 540.0 + quarter),
            ("bend 2 ends at", 540.0 + 2.0 * quarter),
            (DEVELOPED, 740.0 + 2.0 * quarter),
        ] {
            let is = bow.size(size).unwrap().value;
            assert!(
                (is - expected).abs() < 1e-9,
                "{size}: {is}, by hand {expected}"
            );
        }
        // chords lie within the arc; between the axes the flats reach beyond the tube by a fifth of a per cent of its radius
        let [_, across, up] = bow.extent_mm;
        for (is, expected) in across.iter().chain(&up).zip([-10.0, 410.0, 0.0, 390.0]) {
            assert!((is - expected).abs() < 1e-9, "{across:?} {up:?}");
        }
    }

    /// To the right, and then aft: the second bend turns about an axis that the first one has laid over.
    #[test]
    fn bends_need_not_lie_in_one_plane_and_a_right_hand_mirrors_them() {
        let path = r#"Straight(100), Bend(toward: Right, by: "90 deg", radius: 50), Straight(60),
                      Bend(toward: Aft, by: "90 deg", radius: 30), Straight(40)"#;
        let both = layout(path, ", sides: Both");
        let end = [30.0 + 40.0, 50.0 + 60.0 + 30.0, 100.0 + 50.0];
        // as it is written it is the right one
        for (name, sense) in [("bow R", 1.0), ("bow L", -1.0)] {
            let one = both.part(name).unwrap();
            assert_at(one, "upper_end", [end[0], sense * end[1], end[2]]);
        }
    }

    #[test]
    fn a_path_that_no_tube_takes_is_refused_where_it_is_written() {
        for (path, message) in [
            ("", "a path ends with a straight"),
            (
                r#"Straight(10), Bend(toward: Up, by: "90 deg", radius: 50), Straight(10)"#,
                "a bend can't turn Up: the tube runs along that axis",
            ),
            (
                r#"Straight(10), Bend(toward: Left, by: "180 deg", radius: 50), Straight(10)"#,
                "a bend's angle lies between 0 and 180 degrees",
            ),
            (
                r#"Straight(10), Bend(toward: Left, by: "90 deg", radius: 10), Straight(10)"#,
                "so tight a bend has its centre within the tube",
            ),
        ] {
            let text = format!(
                r#"(format: 1, title: "bow", unit: Millimetre, fit: 1, parts: {{
                    "bow": BentTube(runs: UpDown, diameter: 20, wall: 1, path: [{path}], at: (fs: 0, bl: 0, wl: 0)) }})"#
            );
            let document: Document = read(&text).unwrap();
            let faults = assemble(&document).unwrap_err();
            assert_eq!(faults[0].message, message);
            assert!(faults[0].span().is_some() && faults[0].help.is_some());
        }
    }
}
