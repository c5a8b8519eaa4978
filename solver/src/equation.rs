//! The closed set of equations: what a system may demand of its bodies.
//!
//! Each residual is written once, over a number type that may carry derivatives. Rows that compare
//! lengths are in millimetres; rows that compare directions are in radians times the system's
//! reference length, so that all rows of a system are of one kind of magnitude.

use std::sync::Arc;

use nalgebra::Vector3;
use num_dual::DualNum;

use crate::geometry::{self, Affine, Axis, BodyId, Direction, Plane, Point, Reading, cross, dot};
use crate::surface::Surface;

/// One equation of one or two rows, each of them zero when it holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Equation {
    /// An affine form is zero: `f`.
    Held {
        /// The form, in millimetres, or in radians when `angular`.
        form: Affine,
        /// What the form measures.
        measure: Measure,
    },
    /// A point lies at a distance from a plane, counted along the plane's normal: `n · (p − q) − d`.
    PointOnPlane {
        /// The point p.
        point: Point,
        /// The plane, with q and n.
        plane: Plane,
        /// The distance d.
        offset: Affine,
    },
    /// A point lies a distance off a surface that is fixed, on the side to which its normal looks: `n · (p − q) − d`, q the foot of p.
    PointOnSurface {
        /// The point p.
        point: Point,
        /// The surface, in fixed coordinates.
        surface: Arc<Surface>,
        /// The distance d.
        offset: Affine,
    },
    /// A point lies on an axis: the two components of `p − q` across the axis. Two rows.
    PointOnAxis {
        /// The point p.
        point: Point,
        /// The axis, with q and its direction.
        axis: Axis,
    },
    /// A point lies a distance from an axis: the length of the two components of `p − q` across it, less d.
    PointFromAxis {
        /// The point p.
        point: Point,
        /// The axis, with q and its direction.
        axis: Axis,
        /// The distance d, not negative.
        distance: Affine,
    },
    /// A point lies midway between two planes: half of `n₁ · (p − q₁) − n₂ · (p − q₂)`, the distance from the middle.
    Midway {
        /// The point p.
        point: Point,
        /// The planes; both normals lead towards the point.
        between: Box<[Plane; 2]>,
    },
    /// Two points lie a distance apart: `|p − q| − d`.
    Distance {
        /// The point p.
        from: Point,
        /// The point q.
        to: Point,
        /// The distance d, not negative.
        distance: Affine,
    },
    /// Two directions are parallel or opposite: the two components of a across b. Two rows.
    Parallel {
        /// The direction a.
        a: Direction,
        /// The direction b.
        b: Direction,
    },
    /// Two directions stand square: `a · b`, the sine of what is missing from a right angle.
    Perpendicular {
        /// The direction a.
        a: Direction,
        /// The direction b.
        b: Direction,
    },
    /// The angle from a to b about an axis c, right-handed:
    /// `atan2(c · (a × b), a · b − (a · c)(b · c)) − φ`.
    Angle {
        /// The direction a.
        a: Direction,
        /// The direction b.
        b: Direction,
        /// The axis c.
        about: Direction,
        /// The angle φ in radians.
        angle: Affine,
    },
    /// A direction is parallel to the mirror image of another one. Two rows.
    Mirrored {
        /// The direction a.
        a: Direction,
        /// The direction b, whose image is taken.
        b: Direction,
        /// The normal of the mirror, in fixed components.
        across: [f64; 3],
    },
}

/// What a variable or a held form measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// Millimetres.
    Length,
    /// Radians.
    Angle,
}

/// At most this many rows make one equation.
pub(crate) const MAX_ROWS: usize = 2;

impl Equation {
    /// The number of rows.
    pub fn rows(&self) -> usize {
        match self {
            Equation::Held { .. }
            | Equation::PointOnPlane { .. }
            | Equation::PointOnSurface { .. }
            | Equation::PointFromAxis { .. }
            | Equation::Midway { .. }
            | Equation::Distance { .. }
            | Equation::Perpendicular { .. }
            | Equation::Angle { .. } => 1,
            Equation::PointOnAxis { .. }
            | Equation::Parallel { .. }
            | Equation::Mirrored { .. } => 2,
        }
    }

    /// What a row measures before it is multiplied by the reference length.
    pub fn measure(&self) -> Measure {
        match self {
            Equation::Held { measure, .. } => *measure,
            Equation::PointOnPlane { .. }
            | Equation::PointOnSurface { .. }
            | Equation::PointOnAxis { .. }
            | Equation::PointFromAxis { .. }
            | Equation::Midway { .. }
            | Equation::Distance { .. } => Measure::Length,
            Equation::Parallel { .. }
            | Equation::Perpendicular { .. }
            | Equation::Angle { .. }
            | Equation::Mirrored { .. } => Measure::Angle,
        }
    }

    /// Whether the rows are affine in all variables once the turns of its bodies are held.
    pub(crate) fn is_affine_with_turns_held(&self) -> bool {
        match self {
            Equation::Held { .. } => true,
            Equation::PointOnPlane { plane, .. } => is_fixed(&plane.normal),
            Equation::PointOnAxis { axis, .. } => is_fixed(&axis.direction),
            Equation::Midway { between, .. } => between.iter().all(|plane| is_fixed(&plane.normal)),
            Equation::PointOnSurface { .. }
            | Equation::PointFromAxis { .. }
            | Equation::Distance { .. } => false,
            Equation::Parallel { a, b }
            | Equation::Perpendicular { a, b }
            | Equation::Angle { a, b, .. }
            | Equation::Mirrored { a, b, .. } => is_fixed(a) && is_fixed(b),
        }
    }

    /// Whether the rows are sums of affine forms once the turns of its bodies are held: see [`sums`](crate::sums).
    pub(crate) fn is_sum_with_turns_held(&self) -> bool {
        use Equation::{Held, Midway, PointOnAxis, PointOnPlane};
        let is_sum = matches!(
            self,
            Held { .. } | PointOnPlane { .. } | PointOnAxis { .. } | Midway { .. }
        );
        is_sum && self.is_affine_with_turns_held()
    }

    /// Calls `f` with each affine form of the equation.
    pub(crate) fn for_each_form<'e>(&'e self, f: &mut impl FnMut(&'e Affine)) {
        match self {
            Equation::Held { form, .. } => f(form),
            Equation::PointOnPlane {
                point,
                plane,
                offset,
            } => {
                of_point(point, f);
                of_point(&plane.point, f);
                forms_of_direction(&plane.normal, f);
                f(offset);
            }
            Equation::PointOnSurface { point, offset, .. } => {
                of_point(point, f);
                f(offset);
            }
            Equation::PointOnAxis { point, axis } => {
                of_point(point, f);
                of_point(&axis.point, f);
                forms_of_direction(&axis.direction, f);
            }
            Equation::PointFromAxis {
                point,
                axis,
                distance,
            } => {
                of_point(point, f);
                of_point(&axis.point, f);
                forms_of_direction(&axis.direction, f);
                f(distance);
            }
            Equation::Midway { point, between } => {
                of_point(point, f);
                for plane in between.iter() {
                    of_point(&plane.point, f);
                    forms_of_direction(&plane.normal, f);
                }
            }
            Equation::Distance { from, to, distance } => {
                of_point(from, f);
                of_point(to, f);
                f(distance);
            }
            Equation::Parallel { a, b }
            | Equation::Perpendicular { a, b }
            | Equation::Mirrored { a, b, .. } => {
                forms_of_direction(a, f);
                forms_of_direction(b, f);
            }
            Equation::Angle { a, b, about, angle } => {
                forms_of_direction(a, f);
                forms_of_direction(b, f);
                forms_of_direction(about, f);
                f(angle);
            }
        }
    }

    /// Calls `f` with each body that the equation reads, and whether it reads the body's origin.
    pub(crate) fn for_each_body(&self, f: &mut impl FnMut(BodyId, Reads)) {
        match self {
            Equation::Held { .. } => {}
            Equation::PointOnPlane { point, plane, .. } => {
                f(point.body, Reads::OriginAndTurn);
                f(plane.point.body, Reads::OriginAndTurn);
                f(plane.normal.body(), Reads::Turn);
            }
            Equation::PointOnSurface { point, .. } => f(point.body, Reads::OriginAndTurn),
            Equation::Midway { point, between } => {
                f(point.body, Reads::OriginAndTurn);
                for plane in between.iter() {
                    f(plane.point.body, Reads::OriginAndTurn);
                    f(plane.normal.body(), Reads::Turn);
                }
            }
            Equation::PointOnAxis { point, axis } | Equation::PointFromAxis { point, axis, .. } => {
                f(point.body, Reads::OriginAndTurn);
                f(axis.point.body, Reads::OriginAndTurn);
                f(axis.direction.body(), Reads::Turn);
            }
            Equation::Distance { from, to, .. } => {
                f(from.body, Reads::OriginAndTurn);
                f(to.body, Reads::OriginAndTurn);
            }
            Equation::Parallel { a, b }
            | Equation::Perpendicular { a, b }
            | Equation::Mirrored { a, b, .. } => {
                f(a.body(), Reads::Turn);
                f(b.body(), Reads::Turn);
            }
            Equation::Angle { a, b, about, .. } => {
                f(a.body(), Reads::Turn);
                f(b.body(), Reads::Turn);
                f(about.body(), Reads::Turn);
            }
        }
    }

    /// The rows at a reading. `scale` is the reference length by which angles are multiplied.
    pub(crate) fn residual<D: DualNum<f64> + Copy, R: Reading<D>>(
        &self,
        reading: &R,
        scale: f64,
    ) -> [D; MAX_ROWS] {
        let none = D::from(0.0);
        match self {
            Equation::Held { form, measure } => {
                let value = geometry::affine(form, reading);
                let factor = match measure {
                    Measure::Length => 1.0,
                    Measure::Angle => scale,
                };
                [value * factor, none]
            }
            Equation::PointOnPlane {
                point,
                plane,
                offset,
            } => {
                let off = geometry::off_plane(point, plane, reading);
                [off - geometry::affine(offset, reading), none]
            }
            Equation::PointOnSurface {
                point,
                surface,
                offset,
            } => {
                // the foot moves along the surface, across its normal: to first order the distance doesn't see it
                let point = geometry::point(point, reading);
                let foot = surface.foot(point.map(|c| c.re()).into());
                let [at, normal] = [foot.at, foot.normal].map(|v| Vector3::from(v).map(D::from));
                [
                    dot(&normal, &(point - at)) - geometry::affine(offset, reading),
                    none,
                ]
            }
            Equation::PointOnAxis { point, axis } => {
                let apart = geometry::point(point, reading) - geometry::point(&axis.point, reading);
                let [_, t1, t2] = geometry::frame(&axis.direction, reading);
                [dot(&t1, &apart), dot(&t2, &apart)]
            }
            Equation::PointFromAxis {
                point,
                axis,
                distance,
            } => {
                let apart = geometry::point(point, reading) - geometry::point(&axis.point, reading);
                let [_, t1, t2] = geometry::frame(&axis.direction, reading);
                let across = Vector3::new(dot(&t1, &apart), dot(&t2, &apart), none);
                [
                    geometry::length(&across) - geometry::affine(distance, reading),
                    none,
                ]
            }
            Equation::Midway { point, between } => {
                let [first, second] = [&between[0], &between[1]]
                    .map(|plane| geometry::off_plane(point, plane, reading));
                [(first - second) * 0.5, none]
            }
            Equation::Distance { from, to, distance } => {
                let apart = geometry::point(to, reading) - geometry::point(from, reading);
                let distance = geometry::affine(distance, reading);
                [geometry::length(&apart) - distance, none]
            }
            Equation::Parallel { a, b } => {
                let a = geometry::direction(a, reading);
                let [_, t1, t2] = geometry::frame(b, reading);
                [dot(&t1, &a) * scale, dot(&t2, &a) * scale]
            }
            Equation::Perpendicular { a, b } => {
                let (a, b) = (
                    geometry::direction(a, reading),
                    geometry::direction(b, reading),
                );
                [dot(&a, &b) * scale, none]
            }
            Equation::Angle { a, b, about, angle } => {
                let (a, b) = (
                    geometry::direction(a, reading),
                    geometry::direction(b, reading),
                );
                let c = geometry::direction(about, reading);
                let sine = dot(&c, &cross(&a, &b));
                let cosine = dot(&a, &b) - dot(&a, &c) * dot(&b, &c);
                let turned = sine.atan2(cosine) - geometry::affine(angle, reading);
                [within_half_turn(turned) * scale, none]
            }
            Equation::Mirrored { a, b, across: n } => {
                let a = geometry::direction(a, reading);
                let n = Vector3::from(*n).normalize().map(D::from);
                let [_, t1, t2] = geometry::frame(b, reading).map(|v| {
                    let twice = dot(&n, &v) * 2.0;
                    v - n.map(|c| c * twice)
                });
                [dot(&t1, &a) * scale, dot(&t2, &a) * scale]
            }
        }
    }
}

/// What of a body an equation reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Reads {
    /// Only its turn.
    Turn,
    /// Its origin and its turn.
    OriginAndTurn,
}

fn is_fixed(direction: &Direction) -> bool {
    matches!(direction, Direction::Fixed { .. })
}

fn of_point<'e>(point: &'e Point, f: &mut impl FnMut(&'e Affine)) {
    point.at.iter().for_each(f);
}

fn forms_of_direction<'e>(direction: &'e Direction, f: &mut impl FnMut(&'e Affine)) {
    match direction {
        Direction::Fixed { .. } => {}
        Direction::Between(way) | Direction::Across { edge: way, .. } => {
            way.from.at.iter().for_each(&mut *f);
            way.to.iter().for_each(f);
        }
    }
}

/// Adds or takes whole turns until the angle lies within half a turn of zero.
fn within_half_turn<D: DualNum<f64> + Copy>(angle: D) -> D {
    let turns = (angle.re() / std::f64::consts::TAU).round();
    angle - D::from(turns * std::f64::consts::TAU)
}
