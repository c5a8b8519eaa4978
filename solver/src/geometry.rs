//! Points, directions, planes and axes carried by bodies, their coordinates affine in the variables.
//!
//! Lengths are in millimetres, angles in radians, and the three axes are right-handed. A body's own
//! coordinates become fixed ones by its turn, then its origin.

use nalgebra::{Matrix3, Vector3};
use num_dual::DualNum;
use smallvec::{SmallVec, smallvec};

/// A variable of a [`System`](crate::System): a length, an angle or a coordinate, given or unknown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Var(pub(crate) u32);

impl Var {
    /// Position in the system's list of variables.
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

/// `constant + Σ coefficient · variable`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Affine {
    /// The part that depends on no variable.
    pub constant: f64,
    /// Variables with their coefficients; a variable may occur twice. Most forms have one or two: these lie in the equation itself,
    /// so that a walk along all equations is one along memory.
    pub terms: SmallVec<[(Var, f64); 2]>,
}

impl Affine {
    /// A constant.
    pub fn constant(value: f64) -> Self {
        Self {
            constant: value,
            terms: SmallVec::new(),
        }
    }

    /// One variable, as it is.
    pub fn var(var: Var) -> Self {
        Self {
            constant: 0.0,
            terms: smallvec![(var, 1.0)],
        }
    }

    /// The variables in it.
    pub fn vars(&self) -> impl Iterator<Item = Var> + '_ {
        self.terms.iter().map(|(var, _)| *var)
    }

    /// The sum of two forms.
    pub fn plus(mut self, other: &Affine) -> Self {
        self.constant += other.constant;
        for &(var, coefficient) in &other.terms {
            match self.terms.iter_mut().find(|(v, _)| *v == var) {
                Some(term) => term.1 += coefficient,
                None => self.terms.push((var, coefficient)),
            }
        }
        self
    }

    /// The form times a number.
    pub fn times(mut self, factor: f64) -> Self {
        self.constant *= factor;
        for term in &mut self.terms {
            term.1 *= factor;
        }
        self
    }

    /// The difference of two forms.
    pub fn minus(self, other: &Affine) -> Self {
        self.plus(&other.clone().times(-1.0))
    }
}

/// A body of a [`System`](crate::System): something rigid with an origin and a turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct BodyId(pub(crate) u32);

impl BodyId {
    /// Position in the system's list of bodies.
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

/// How a body is turned against the fixed axes.
#[derive(Clone, Debug, PartialEq)]
pub enum Turn {
    /// Its axes are the fixed ones.
    Square,
    /// Three angles in radians, applied as R = Rz(yaw) · Ry(pitch) · Rx(roll); each given or unknown or affine in such.
    /// With at most two of them unknown no position of these is singular, but for a pitch held at a
    /// right angle between an unknown roll and an unknown yaw.
    Angles {
        /// About the first axis.
        roll: Affine,
        /// About the second axis.
        pitch: Affine,
        /// About the third axis.
        yaw: Affine,
    },
    /// Any rotation. The three unknowns are the coordinates ω of an increment `R ← exp([ω]ₓ) R` in the
    /// fixed axes; they are zero except inside of a step.
    Free {
        /// The three coordinates of the increment.
        tangent: [Var; 3],
    },
}

impl Turn {
    /// The variables by which it is turned.
    pub(crate) fn vars(&self) -> Vec<Var> {
        let mut list = Vec::new();
        self.for_each_var(&mut |var| list.push(var));
        list
    }

    pub(crate) fn for_each_var(&self, f: &mut impl FnMut(Var)) {
        match self {
            Turn::Square => {}
            Turn::Angles { roll, pitch, yaw } => {
                [roll, pitch, yaw]
                    .into_iter()
                    .flat_map(Affine::vars)
                    .for_each(f);
            }
            Turn::Free { tangent } => tangent.iter().copied().for_each(f),
        }
    }
}

/// A body: its origin and its turn.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    /// The fixed coordinates of its origin.
    pub origin: [Affine; 3],
    /// Its turn.
    pub turn: Turn,
}

/// A point of a body, in the body's own coordinates.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// The body that carries it.
    pub body: BodyId,
    /// Its own coordinates.
    pub at: [Affine; 3],
}

/// A direction of a body, of unit length when it is evaluated.
#[derive(Clone, Debug, PartialEq)]
pub enum Direction {
    /// A vector that never changes in the body's own coordinates.
    Fixed {
        /// The body that carries it.
        body: BodyId,
        /// Its own components; need not be of unit length.
        vector: [f64; 3],
    },
    /// From one point of a body towards another one.
    Between(Box<Way>),
    /// The vector product of `along` and the way between two points: the normal of an edge within a
    /// flat piece whose own normal is `along`.
    Across {
        /// The edge.
        edge: Box<Way>,
        /// The normal of the flat piece, in the body's own components.
        along: [f64; 3],
    },
}

/// The way from one point to another one of the same body.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Where it starts.
    pub from: Point,
    /// Where it ends, in the body's own coordinates.
    pub to: [Affine; 3],
}

impl Direction {
    /// The opposite direction.
    pub fn reversed(self) -> Direction {
        match self {
            Direction::Fixed { body, vector } => Direction::Fixed {
                body,
                vector: vector.map(|c| -c),
            },
            Direction::Between(way) => Direction::Between(Box::new(Way {
                from: Point {
                    body: way.from.body,
                    at: way.to,
                },
                to: way.from.at,
            })),
            Direction::Across { edge, along } => Direction::Across {
                edge,
                along: along.map(|c| -c),
            },
        }
    }

    /// The body that carries the direction.
    pub fn body(&self) -> BodyId {
        match self {
            Direction::Fixed { body, .. } => *body,
            Direction::Between(way) | Direction::Across { edge: way, .. } => way.from.body,
        }
    }
}

/// A plane: a point on it and its outward normal.
#[derive(Clone, Debug, PartialEq)]
pub struct Plane {
    /// A point on the plane.
    pub point: Point,
    /// Its normal.
    pub normal: Direction,
}

/// A straight line: a point on it and its direction.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// A point on the line.
    pub point: Point,
    /// Its direction.
    pub direction: Direction,
}

/// Where the values of variables and rotations are read from while something is evaluated.
pub(crate) trait Reading<D> {
    fn var(&self, var: Var) -> D;
    /// The body's rotation matrix.
    fn rotation(&self, body: BodyId) -> Matrix3<D>;
    /// One row of it, as a column.
    fn rotation_row(&self, body: BodyId, row: usize) -> Vector3<D>;
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
pub(crate) fn row_of_angles<D: DualNum<f64> + Copy, R: Reading<D>>(
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
