//! A flat pattern: what is cut, bent and marked on a flat sheet. Plain data in millimetres, y up, for text and for files alike.

use schemars::JsonSchema;
use serde::Serialize;

/// A flat pattern of one piece of sheet.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Pattern {
    /// The part.
    pub part: String,
    /// Thickness of the sheet.
    pub gauge_mm: f64,
    /// The outside of the blank, counter-clockwise.
    pub outline: Loop,
    /// What is cut out of it: openings, relief holes, holes to their size; clockwise.
    pub openings: Vec<Loop>,
    /// Where it is bent.
    pub bends: Vec<BendLine>,
    /// What is marked and not cut.
    pub marks: Vec<Mark>,
}

/// A closed line of straights and arcs.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Loop {
    /// Its corners in order.
    pub corners: Vec<Corner>,
}

/// A corner of a loop, with the way to the next one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Corner {
    /// Where it lies.
    pub at_mm: [f64; 2],
    /// The tangent of a quarter of the arc's angle to the next corner, positive counter-clockwise; zero for a straight.
    pub bulge: f64,
}

/// A bend, by the two lines at which the flat ends.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BendLine {
    /// What it is called, as `flange 3`.
    pub name: String,
    /// The middle of the bend, from end to end.
    pub ends_mm: [[f64; 2]; 2],
    /// How wide the bend is in the flat: its allowance. The tangent lines lie half of it to either side.
    pub allowance_mm: f64,
    /// Degrees bent from flat.
    pub angle_deg: f64,
    /// Whether it is bent up, towards the reader of the pattern.
    pub up: bool,
    /// Inside radius.
    pub radius_mm: f64,
}

/// Something that is marked.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "mark")]
pub enum Mark {
    /// The middle of a hole that is drilled.
    Centre {
        /// What it is for.
        name: String,
        /// Where it lies.
        at_mm: [f64; 2],
        /// Its diameter, if it is known.
        diameter_mm: Option<f64>,
    },
    /// A line to be drawn, such as a station or the sight line of a brake.
    Line {
        /// What it is.
        name: String,
        /// From where to where.
        ends_mm: [[f64; 2]; 2],
    },
}

impl Loop {
    /// A loop of straights.
    pub fn straight(corners: impl IntoIterator<Item = [f64; 2]>) -> Loop {
        Loop {
            corners: corners
                .into_iter()
                .map(|at_mm| Corner { at_mm, bulge: 0.0 })
                .collect(),
        }
    }

    /// A full circle, as two half circles; counter-clockwise, or clockwise for one that is cut out.
    pub fn circle(centre: [f64; 2], radius: f64, counter_clockwise: bool) -> Loop {
        let bulge = if counter_clockwise { 1.0 } else { -1.0 };
        let corner = |x: f64| Corner {
            at_mm: [centre[0] + x, centre[1]],
            bulge,
        };
        Loop {
            corners: vec![corner(radius), corner(-radius)],
        }
    }

    /// Each side: a corner and the next one.
    fn sides(&self) -> impl Iterator<Item = (&Corner, &Corner)> {
        self.corners.iter().zip(self.corners.iter().cycle().skip(1))
    }

    /// Area in square millimetres, positive when it runs counter-clockwise.
    pub fn area_mm2(&self) -> f64 {
        let side = |(from, to): (&Corner, &Corner)| {
            let ([x0, y0], [x1, y1]) = (from.at_mm, to.at_mm);
            let chord = (x1 - x0).hypot(y1 - y0);
            // between arc and chord: r² (θ - sin θ) / 2, by the bulge b = tan(θ/4), of a chord 2 r sin(θ/2)
            let angle = 4.0 * from.bulge.atan();
            let half = (0.5 * angle).sin();
            let segment = if half == 0.0 {
                0.0
            } else {
                0.125 * (chord / half).powi(2) * (angle - angle.sin())
            };
            0.5 * (x0 * y1 - x1 * y0) + segment
        };
        self.sides().map(side).sum()
    }

    /// The loop as corners of straights, each arc as chords that stay as near to it as this, in millimetres.
    pub fn straightened(&self, within_mm: f64) -> Vec<[f64; 2]> {
        let mut points = Vec::new();
        for (from, to) in self.sides() {
            points.push(from.at_mm);
            let angle = 4.0 * from.bulge.atan();
            let [dx, dy] = [0, 1].map(|i| to.at_mm[i] - from.at_mm[i]);
            let sine = (0.5 * angle).sin();
            if sine == 0.0 {
                continue;
            }
            let radius = 0.5 * dx.hypot(dy) / sine.abs();
            // a chord of the angle a lies r (1 - cos a/2) off its arc
            let least = 2.0 * (1.0 - (within_mm / radius).min(1.0)).acos();
            let chords = (angle.abs() / least.max(1e-3)).ceil().clamp(1.0, 720.0) as u32;
            // the centre lies off the middle of the chord, to its left where the arc runs counter-clockwise
            let off = 0.5 / (0.5 * angle).tan();
            let centre = [
                0.5 * (from.at_mm[0] + to.at_mm[0]) - off * dy,
                0.5 * (from.at_mm[1] + to.at_mm[1]) + off * dx,
            ];
            let [x, y] = [0, 1].map(|i| from.at_mm[i] - centre[i]);
            for at in 1..chords {
                let (sin, cos) = (angle * f64::from(at) / f64::from(chords)).sin_cos();
                points.push([centre[0] + x * cos - y * sin, centre[1] + x * sin + y * cos]);
            }
        }
        points
    }

    /// Length all round, in millimetres.
    pub fn length_mm(&self) -> f64 {
        let side = |(from, to): (&Corner, &Corner)| {
            let chord = (to.at_mm[0] - from.at_mm[0]).hypot(to.at_mm[1] - from.at_mm[1]);
            let half = 2.0 * from.bulge.atan();
            if half == 0.0 {
                chord
            } else {
                chord * half / half.sin()
            }
        };
        self.sides().map(side).sum()
    }
}

impl Pattern {
    /// Area of the metal in square millimetres.
    pub fn area_mm2(&self) -> f64 {
        let cut: f64 = self.openings.iter().map(|hole| hole.area_mm2().abs()).sum();
        self.outline.area_mm2().abs() - cut
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;
    use std::f64::consts::PI;

    #[test]
    fn a_circle_has_the_area_and_the_length_of_one() {
        for counter_clockwise in [true, false] {
            let circle = Loop::circle([3.0, -1.0], 2.0, counter_clockwise);
            let sign = if counter_clockwise { 1.0 } else { -1.0 };
            assert_abs_diff_eq!(circle.area_mm2(), sign * 4.0 * PI, epsilon = 1e-12);
            assert_abs_diff_eq!(circle.length_mm(), 4.0 * PI, epsilon = 1e-12);
        }
    }

    #[test]
    fn straightened_arcs_stay_near() {
        let circle = Loop::circle([5.0, -2.0], 10.0, true);
        let points = circle.straightened(0.01);
        assert!(points.len() > 60 && points.len() < 140, "{}", points.len());
        for [x, y] in &points {
            assert_abs_diff_eq!((x - 5.0).hypot(y + 2.0), 10.0, epsilon = 1e-9);
        }
        let area = Loop::straight(points).area_mm2();
        assert!(area > 0.0 && (100.0 * PI - area) / (100.0 * PI) < 0.002);
        let clockwise = Loop::circle([0.0, 0.0], 3.0, false).straightened(0.05);
        assert!(Loop::straight(clockwise).area_mm2() < 0.0);
    }

    #[test]
    fn a_plate_with_a_hole_and_a_round_corner() {
        // 10 x 6 with one corner rounded to 2: 60 - (4 - π), less a hole of radius 1
        let quarter = (PI / 8.0).tan();
        let mut outline =
            Loop::straight([[0.0, 0.0], [10.0, 0.0], [10.0, 4.0], [8.0, 6.0], [0.0, 6.0]]);
        if let Some(corner) = outline.corners.get_mut(2) {
            corner.bulge = quarter;
        }
        assert_abs_diff_eq!(
            outline.length_mm(),
            10.0 + 4.0 + PI + 8.0 + 6.0,
            epsilon = 1e-12
        );
        let pattern = Pattern {
            part: "plate".to_owned(),
            gauge_mm: 1.0,
            outline,
            openings: vec![Loop::circle([4.0, 3.0], 1.0, false)],
            bends: Vec::new(),
            marks: Vec::new(),
        };
        assert_abs_diff_eq!(pattern.area_mm2(), 60.0 - (4.0 - PI) - PI, epsilon = 1e-12);
    }
}
