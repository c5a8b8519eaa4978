//! A round tube along a path of straights and bends. In: diameter, wall, and the path's straights in mm, bends in radians with the
//! radii of the middle line. Out: the axis and tangent planes of each straight, the points where bends begin and end, metal, and the
//! length that is cut.

use nalgebra::Vector3;
use strongback_solver::Affine;

use super::arc::{Arc, Flats};
use super::path::{self, DEVELOPED, Stretch};
use super::shape::{Feature, Place, Shape, Solid, moved, origin};
use super::sizes::fault;
use super::tube::check_wall;
use super::{PartKind, Role, SectionKind, Sizes, Stock, part, round};
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
         left_end and right_end, or lower_end and upper_end; points on the axis: axis_start and axis_end at \
         the two ends, bend_1_start and bend_1_end. Straights may say \
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
        shape.add(low, Feature::face(course.at.clone(), -course.way));
        let on_axis = |at: &Place| Feature::Point { at: at.clone() };
        shape.add("axis_start", on_axis(&course.at));
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
        shape.add("axis_end", on_axis(&course.at));
        shape.add(high, Feature::face(course.at, course.way));
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
        vec![(path::BENDS, path::bends(&self.path))]
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
    /// The radius of its outside as drawn, in millimetres.
    outside_mm: f64,
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
        let [middle, half] = [sizes.value(&name), 0.5 * sizes.value("diameter")];
        if middle <= half {
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
            outside_mm: middle + half,
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
                shape.add(&format!("{}_{number}", side.face()), Feature::face(at, way));
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
        let arc = Arc::new(&self.at, self.way, turn.inwards, &turn.radius);
        let square = self.across[1 - turn.within].1;
        shape.solids.extend(turn.metal(&arc, diameter, square));
        let [start, end] = [0.0, turn.angle].map(|angle| arc.at(angle, &turn.radius));
        self.at = end.clone();
        for (name, at) in [("start", start), ("end", end)] {
            shape.add(&format!("bend_{number}_{name}"), Feature::Point { at });
        }
        self.way = arc.way(turn.angle);
        let led_inwards = self.across[turn.within].1.dot(&turn.inwards);
        self.across[turn.within].1 = -arc.outwards(turn.angle) * led_inwards;
    }
}

impl Turn {
    /// Straight pieces that hold the tube between them: their flats touch its outside, at both ends of the bend among other places, and
    /// reach in as far as its inside does where two of them meet.
    fn metal(&self, arc: &Arc, diameter: &Affine, square: Vector3<f64>) -> Vec<Solid> {
        let radius = diameter.clone().times(0.5);
        let outside = self.radius.clone().plus(&radius);
        let flats = Flats::of(self.angle, self.outside_mm);
        let half = flats.half();
        let inside = self.radius.clone().minus(&radius).times(half.cos());
        let middle = outside.clone().plus(&inside).times(0.5);
        let thick = outside.clone().minus(&inside);
        let reach = outside.clone().times(half.tan());
        let rise = outside.times(flats.rise());
        let touching = flats.touching();
        let last = touching.len().saturating_sub(1);
        let pieces = touching.enumerate().map(|(at, angle)| {
            // to both sides of where it touches, but at the ends of the bend
            let back = if at == 0 { 0.0 } else { 1.0 };
            let ahead = if at == last { 0.0 } else { 1.0 };
            let way = arc.way(angle);
            let start = moved(&arc.at(angle, &middle), way, &reach.clone().times(-back));
            let sweep = moved(&origin(), way, &reach.clone().times(back + ahead));
            let across = [square, arc.outwards(angle)];
            let mut piece = round::oval(&start, across, [diameter, &thick], sweep);
            piece.beyond = piece.beyond.plus(&rise);
            piece
        });
        pieces.collect()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::assembly::assemble;
    use crate::document::Document;
    use crate::fit::clearance::between as clearance;
    use crate::layout::{Layout, PlacedPart, PlacedSolid};
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
        assert_at(bow, "axis_end", [0.0, 400.0, 100.0]);
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
        // its flats touch the arc at both ends of a bend
        let [_, across, up] = bow.extent_mm;
        for (is, expected) in across.iter().chain(&up).zip([-10.0, 410.0, 0.0, 390.0]) {
            assert!((is - expected).abs() < 1e-9, "{across:?} {up:?}");
        }
    }

    /// A probe that stands 10 off the outside of a bend of 1 m, wherever, and one on its inside: never more is read than there is, and
    /// less by no more than a tenth of a millimetre and the flats of the tube.
    #[test]
    fn the_metal_of_a_bend_holds_the_tube() {
        let bow = layout(
            r#"Straight(300), Bend(toward: Right, by: "90 deg", radius: 1000), Straight(240)"#,
            "",
        );
        for (radius, sense) in [(1020.0, 1.0), (980.0, -1.0)] {
            for degrees in [1.0_f64, 17.3, 45.0, 62.9, 89.0] {
                let (sine, cosine) = degrees.to_radians().sin_cos();
                let (bl, wl) = (1000.0 - radius * cosine, 300.0 + radius * sine);
                // its corner is what lies nearest
                let ring = [(0.0, 0.0), (-sense, 0.0), (-sense, sense), (0.0, sense)];
                let probe = PlacedSolid {
                    outline_mm: ring.map(|(y, z)| [-0.01, bl + y, wl + z]).into(),
                    openings_mm: Vec::new(),
                    sweep_mm: [0.02, 0.0, 0.0],
                };
                let read = clearance(&bow.parts[0].solids, &[probe]);
                assert!((9.85..=10.0 + 1e-6).contains(&read), "{degrees}: {read}");
            }
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
