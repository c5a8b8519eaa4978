//! Points, directions and rotations in fixed components, over a number type that may carry derivatives. In: what is carried by a
//! body, and a reading of variables and rotations. Out: coordinates in millimetres, directions of unit length.

use nalgebra::{Matrix3, Vector3};
use num_dual::DualNum;

use super::{Affine, Body, BodyId, Direction, Plane, Point, Turn, Var, Way};

/// Where the values of variables and rotations are read from while something is evaluated.
pub(crate) trait Reading<D: DualNum<f64> + Copy>: Sized {
    fn var(&self, var: Var) -> D;
    /// The body's rotation matrix.
    fn rotation(&self, body: BodyId) -> Matrix3<D>;
    /// One row of it, as a column.
    fn rotation_row(&self, body: BodyId, row: usize) -> Vector3<D> {
        match &self.body(body).turn {
            Turn::Angles { roll, pitch, yaw } => row_of_angles([roll, pitch, yaw], row, self),
            Turn::Square | Turn::Free { .. } => self.rotation(body).row(row).transpose(),
        }
    }
    fn body(&self, body: BodyId) -> &Body;
}

pub(crate) fn affine<D: DualNum<f64> + Copy, R: Reading<D>>(form: &Affine, reading: &R) -> D {
    form.terms
        .iter()
        .fold(D::from(form.constant), |sum, &(var, coefficient)| {
            sum + reading.var(var) * coefficient
        })
}

pub(crate) fn own<D: DualNum<f64> + Copy, R: Reading<D>>(
    at: &[Affine; 3],
    reading: &R,
) -> Vector3<D> {
    Vector3::new(
        affine(&at[0], reading),
        affine(&at[1], reading),
        affine(&at[2], reading),
    )
}

pub(crate) fn rotate<D: DualNum<f64> + Copy, R: Reading<D>>(
    body: BodyId,
    v: Vector3<D>,
    reading: &R,
) -> Vector3<D> {
    match reading.body(body).turn {
        Turn::Square => v,
        _ => reading.rotation(body) * v,
    }
}

/// A point's fixed coordinates.
pub(crate) fn point<D: DualNum<f64> + Copy, R: Reading<D>>(p: &Point, reading: &R) -> Vector3<D> {
    let origin = own(&reading.body(p.body).origin, reading);
    rotate(p.body, own(&p.at, reading), reading) + origin
}

/// One fixed coordinate of a point.
fn coordinate<D: DualNum<f64> + Copy, R: Reading<D>>(p: &Point, at: usize, reading: &R) -> D {
    let body = reading.body(p.body);
    let from_origin = match body.turn {
        Turn::Square => affine(&p.at[at], reading),
        _ => {
            let turned = reading.rotation_row(p.body, at);
            // an own coordinate that is zero by construction is passed over
            let counts = (0..3).filter(|own| p.at[*own] != Affine::default());
            counts.fold(D::from(0.0), |sum, own| {
                sum + turned[own] * affine(&p.at[own], reading)
            })
        }
    };
    from_origin + affine(&body.origin[at], reading)
}

/// How far a point lies off a plane, along its normal: `n · (p − q)`. Of a plane that is not turned only the coordinates are
/// read that count.
pub(crate) fn off_plane<D: DualNum<f64> + Copy, R: Reading<D>>(
    p: &Point,
    plane: &Plane,
    reading: &R,
) -> D {
    let Direction::Fixed { body, vector } = &plane.normal else {
        return off_turned_plane(p, plane, reading);
    };
    if reading.body(*body).turn != Turn::Square {
        return off_turned_plane(p, plane, reading);
    }
    let normal = unit_vector(vector);
    let counts = (0..3).filter(|at| normal[*at] != 0.0);
    counts.fold(D::from(0.0), |sum, at| {
        let apart = coordinate(p, at, reading) - coordinate(&plane.point, at, reading);
        sum + apart * normal[at]
    })
}

fn off_turned_plane<D: DualNum<f64> + Copy, R: Reading<D>>(
    p: &Point,
    plane: &Plane,
    reading: &R,
) -> D {
    let apart = point(p, reading) - point(&plane.point, reading);
    dot(&direction(&plane.normal, reading), &apart)
}

/// A direction's fixed components, of unit length.
pub(crate) fn direction<D: DualNum<f64> + Copy, R: Reading<D>>(
    d: &Direction,
    reading: &R,
) -> Vector3<D> {
    rotate(d.body(), own_direction(d, reading), reading)
}

/// A direction and two more across it, all of unit length and square to each other. The two turn with the direction's
/// body: what is measured along them stays the same thing however the body turns.
pub(crate) fn frame<D: DualNum<f64> + Copy, R: Reading<D>>(
    d: &Direction,
    reading: &R,
) -> [Vector3<D>; 3] {
    own_frame(d, reading).map(|v| rotate(d.body(), v, reading))
}

/// The same in the body's own components.
pub(crate) fn own_frame<D: DualNum<f64> + Copy, R: Reading<D>>(
    d: &Direction,
    reading: &R,
) -> [Vector3<D>; 3] {
    let own = own_direction(d, reading);
    let [first, second] = across(&own);
    [own, first, second]
}

/// A direction in the body's own components.
pub(crate) fn own_direction<D: DualNum<f64> + Copy, R: Reading<D>>(
    d: &Direction,
    reading: &R,
) -> Vector3<D> {
    match d {
        Direction::Fixed { vector, .. } => unit_vector(vector).map(D::from),
        Direction::Between(way) => unit(along_way(way, reading)),
        Direction::Across { edge, along } => {
            let along = Vector3::from(*along).map(D::from);
            unit(cross(&along, &along_way(edge, reading)))
        }
    }
}

/// A vector at unit length; at no cost where it leads along an axis.
fn unit_vector(vector: &[f64; 3]) -> Vector3<f64> {
    let v = Vector3::from(*vector);
    match vector {
        [x, 0.0, 0.0] if x.abs() == 1.0 => v,
        [0.0, y, 0.0] if y.abs() == 1.0 => v,
        [0.0, 0.0, z] if z.abs() == 1.0 => v,
        _ => v / v.norm(),
    }
}

/// Two unit vectors across `v` and square to each other, built from the axis that `v` leans to least: any other choice
/// would come near a singularity for some `v`.
fn across<D: DualNum<f64> + Copy>(v: &Vector3<D>) -> [Vector3<D>; 2] {
    let size = |c: D| c.re().abs();
    let (x, y, z) = (size(v.x), size(v.y), size(v.z));
    let helper = if x <= y && x <= z {
        Vector3::x()
    } else if y <= z {
        Vector3::y()
    } else {
        Vector3::z()
    };
    let first = unit(cross(v, &helper.map(D::from)));
    [first, cross(v, &first)]
}

fn along_way<D: DualNum<f64> + Copy, R: Reading<D>>(way: &Way, reading: &R) -> Vector3<D> {
    own(&way.to, reading) - own(&way.from.at, reading)
}

pub(crate) fn dot<D: DualNum<f64> + Copy>(a: &Vector3<D>, b: &Vector3<D>) -> D {
    a.x * b.x + a.y * b.y + a.z * b.z
}

pub(crate) fn cross<D: DualNum<f64> + Copy>(a: &Vector3<D>, b: &Vector3<D>) -> Vector3<D> {
    Vector3::new(
        a.y * b.z - a.z * b.y,
        a.z * b.x - a.x * b.z,
        a.x * b.y - a.y * b.x,
    )
}

/// |v|, whose derivative is taken as that along the first axis where v vanishes: there is none, and
/// a start with two points in one place has to find its way out.
pub(crate) fn length<D: DualNum<f64> + Copy>(v: &Vector3<D>) -> D {
    let square = dot(v, v);
    if square.re() > 0.0 {
        square.sqrt()
    } else {
        v.x
    }
}

pub(crate) fn unit<D: DualNum<f64> + Copy>(v: Vector3<D>) -> Vector3<D> {
    let length = dot(&v, &v).sqrt();
    v.map(|c| c / length)
}

/// Sine and cosine of an angle; of one that is none by construction, at no cost.
fn sine_cosine<D: DualNum<f64> + Copy, R: Reading<D>>(angle: &Affine, reading: &R) -> (D, D) {
    if *angle == Affine::default() {
        return (D::from(0.0), D::from(1.0));
    }
    affine(angle, reading).sin_cos()
}

/// Row `row` of R = Rz(yaw) · Ry(pitch) · Rx(roll).
fn row_of_angles<D: DualNum<f64> + Copy, R: Reading<D>>(
    [roll, pitch, yaw]: [&Affine; 3],
    row: usize,
    reading: &R,
) -> Vector3<D> {
    let (sr, cr) = sine_cosine(roll, reading);
    let (sp, cp) = sine_cosine(pitch, reading);
    if row == 2 {
        return Vector3::new(-sp, cp * sr, cp * cr);
    }
    let (sy, cy) = sine_cosine(yaw, reading);
    // the second row is the first one a quarter turn on
    let (sy, cy) = if row == 0 { (sy, cy) } else { (-cy, sy) };
    Vector3::new(cy * cp, cy * sp * sr - sy * cr, cy * sp * cr + sy * sr)
}

/// R = Rz(yaw) · Ry(pitch) · Rx(roll).
pub(crate) fn rotation_of_angles<D: DualNum<f64> + Copy, R: Reading<D>>(
    angles: [&Affine; 3],
    reading: &R,
) -> Matrix3<D> {
    let rows = [0, 1, 2].map(|row| row_of_angles(angles, row, reading).transpose());
    Matrix3::from_rows(&rows)
}

/// The matrix [w]ₓ of the vector product with `w`.
pub(crate) fn skew<D: DualNum<f64> + Copy>(w: &Vector3<D>) -> Matrix3<D> {
    let o = D::from(0.0);
    Matrix3::new(o, -w.z, w.y, w.z, o, -w.x, -w.y, w.x, o)
}
