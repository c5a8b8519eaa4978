//! An arc that a path goes round: its places, and the flats that stand for it. In: where it starts, radii in mm, angles in radians.
//! Out: places affine in the radii.
//!
//! Flats touch the arc from outside, at its start and its end among other places, so that they hold it; on the inside of the metal
//! their corners lie where it lies.

use nalgebra::Vector3;
use strongback_solver::Affine;

use super::shape::{Place, moved};

/// An arc, by the angle that it has turned.
pub(super) struct Arc {
    centre: Place,
    /// The way it goes before it turns, and the way to its centre: of length 1.
    before: Vector3<f64>,
    inwards: Vector3<f64>,
}

impl Arc {
    /// From a place on, with its centre so far inwards of that.
    pub(super) fn new(
        at: &Place,
        before: Vector3<f64>,
        inwards: Vector3<f64>,
        radius: &Affine,
    ) -> Self {
        let centre = moved(at, inwards, radius);
        Self {
            centre,
            before,
            inwards,
        }
    }

    /// The way it goes.
    pub(super) fn way(&self, angle: f64) -> Vector3<f64> {
        self.before * angle.cos() + self.inwards * angle.sin()
    }

    /// The way from its centre.
    pub(super) fn outwards(&self, angle: f64) -> Vector3<f64> {
        self.before * angle.sin() - self.inwards * angle.cos()
    }

    /// A place at a distance from its centre.
    pub(super) fn at(&self, angle: f64, radius: &Affine) -> Place {
        moved(&self.centre, self.outwards(angle), radius)
    }
}

/// The flats of an arc.
pub(super) struct Flats {
    angle: f64,
    count: u32,
}

impl Flats {
    /// Of an arc of so many radians: at most five degrees each, and rising above one of so many millimetres by no more than a tenth
    /// of one.
    pub(super) fn of(angle: f64, radius_mm: f64) -> Self {
        const WIDEST: f64 = 5.0 * std::f64::consts::PI / 180.0;
        const RISES_MM: f64 = 0.1;
        /// No bend has more, however large.
        const MOST: f64 = 200.0;
        let finest = 2.0 * (radius_mm / (radius_mm + RISES_MM)).clamp(-1.0, 1.0).acos();
        let step = if finest > 0.0 {
            finest.min(WIDEST)
        } else {
            WIDEST
        };
        let count = (angle / step).ceil().clamp(1.0, MOST) as u32;
        Self { angle, count }
    }

    /// Half the angle of one.
    pub(super) fn half(&self) -> f64 {
        0.5 * self.angle / f64::from(self.count)
    }

    /// How far they rise above the arc where they meet, as a share of its radius.
    pub(super) fn rise(&self) -> f64 {
        1.0 / self.half().cos() - 1.0
    }

    /// Where they touch the arc, from its start to its end: angles.
    pub(super) fn touching(&self) -> impl DoubleEndedIterator<Item = f64> + ExactSizeIterator {
        let (angle, count) = (self.angle, self.count as usize);
        (0..count + 1).map(move |at| angle * at as f64 / count as f64)
    }

    /// Their corners, with the arc's own start and end: angles, and shares of its radius.
    pub(super) fn corners(&self) -> Vec<(f64, f64)> {
        let meet = (0..self.count).map(|at| {
            let middle = (f64::from(at) + 0.5) / f64::from(self.count);
            (self.angle * middle, 1.0 + self.rise())
        });
        let (start, end) = ((0.0, 1.0), (self.angle, 1.0));
        [start].into_iter().chain(meet).chain([end]).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A quarter circle of 1 m: flats that touch it rise above it by a tenth of a millimetre at most, at their corners, and lie on it
    /// at both ends.
    #[test]
    fn flats_hold_the_arc_and_rise_little_above_it() {
        let angle = std::f64::consts::FRAC_PI_2;
        for radius in [5.0, 50.0, 1000.0] {
            let flats = Flats::of(angle, radius);
            let corners = flats.corners();
            assert_eq!(
                (corners[0], corners[corners.len() - 1]),
                ((0.0, 1.0), (angle, 1.0))
            );
            let at = |(angle, share): (f64, f64)| {
                [radius * share * angle.cos(), radius * share * angle.sin()]
            };
            for pair in corners.windows(2) {
                let [a, b] = [pair[0], pair[1]].map(at);
                // the foot of the middle of the circle on the flat's line
                let (u, v) = (b[0] - a[0], b[1] - a[1]);
                let off = (a[0] * v - a[1] * u).abs() / u.hypot(v);
                assert!((off - radius).abs() < 1e-9, "{off}");
                assert!(a[0].hypot(a[1]) <= radius + 0.1 + 1e-9);
            }
            assert!(2.0 * flats.half() <= 5.0_f64.to_radians() + 1e-12);
            let touching: Vec<f64> = flats.touching().collect();
            assert_eq!((touching[0], touching[touching.len() - 1]), (0.0, angle));
            assert_eq!(touching.len(), corners.len() - 1);
        }
    }
}
