//! Points, directions, planes and axes carried by bodies, their coordinates affine in the variables.
//!
//! Lengths are in millimetres, angles in radians, and the three axes are right-handed. A body's own
//! coordinates become fixed ones by its turn, then its origin.

mod fixed;

use smallvec::{SmallVec, smallvec};

pub(crate) use fixed::{
    Reading, affine, cross, direction, dot, frame, length, off_plane, own, own_direction,
    own_frame, point, rotation_of_angles, skew,
};

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
