//! A smooth surface through a grid of points. In: the points in mm, row by row, and the parameters of columns and rows. Out: the
//! signed distance of a point from it, positive on the side to which du × dv looks, with its exact gradient.
//!
//! A tensor product of cubic splines (de Boor, A Practical Guide to Splines, rev. ed., Springer 2001, chapter XVII, from memory):
//! it goes through all points and has a continuous curvature. Natural at its ends, and straight beyond them; a column in the
//! mirror, if there is one, closes it smoothly to its mirror image.
//!
//! The gradient of the distance from a surface is the unit normal at the foot (Gilbarg and Trudinger, Elliptic Partial
//! Differential Equations of Second Order, 2nd ed., Springer 1983, section 14.6, from memory), as long as the point lies nearer
//! than the centres of curvature.

mod foot;
mod spline;

use nalgebra::{Vector2, Vector3};
use thiserror::Error;

pub use foot::Foot;
use spline::End;

/// A surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Surface {
    u: Vec<f64>,
    v: Vec<f64>,
    /// Row by row: place, derivatives by u and v, and the mixed one.
    nodes: Vec<[Vector3<f64>; 4]>,
    symmetry: Symmetry,
    /// Places to begin the search of a foot from, with their parameters.
    coarse: Vec<(Vector2<f64>, Vector3<f64>)>,
}

/// Whether a surface stands for its mirror image too.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Symmetry {
    /// It is there only as it is stated.
    None,
    /// It is there twice: as stated, where this coordinate is positive, and with the coordinate reversed.
    Across {
        /// 0, 1 or 2.
        coordinate: usize,
    },
}

/// Why a grid makes no surface.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum SurfaceError {
    /// Fewer than two rows or columns, or rows of different lengths.
    #[error("a surface needs two rows and two columns at least, and rows of one length")]
    BadGrid,
    /// Parameters that don't grow.
    #[error("the parameters of a surface's rows and columns have to grow")]
    BadParameters,
    /// A coordinate or parameter that is no finite number.
    #[error("a surface needs finite numbers")]
    NotFinite,
}

/// Place and derivatives at two parameters.
#[derive(Clone, Copy, Debug)]
struct Derivatives {
    at: Vector3<f64>,
    du: Vector3<f64>,
    dv: Vector3<f64>,
    duu: Vector3<f64>,
    duv: Vector3<f64>,
    dvv: Vector3<f64>,
}

impl Derivatives {
    /// The unit normal; some direction where the surface comes to a point and has none.
    fn normal(&self) -> Vector3<f64> {
        let across = self.du.cross(&self.dv);
        across
            .try_normalize(f64::MIN_POSITIVE)
            .unwrap_or_else(Vector3::z)
    }
}

impl Surface {
    /// The surface through `rows` of points: `rows[j][i]` at the parameters `u[i]` and `v[j]`.
    ///
    /// # Errors
    /// The grid isn't one, parameters don't grow, or something is no finite number.
    pub fn through(
        u: &[f64],
        v: &[f64],
        rows: &[Vec<[f64; 3]>],
        symmetry: Symmetry,
    ) -> Result<Self, SurfaceError> {
        if u.len() < 2 || v.len() < 2 || rows.len() != v.len() {
            return Err(SurfaceError::BadGrid);
        }
        if rows.iter().any(|row| row.len() != u.len()) {
            return Err(SurfaceError::BadGrid);
        }
        let mut numbers = u.iter().chain(v).chain(rows.iter().flatten().flatten());
        if !numbers.all(|number| number.is_finite()) {
            return Err(SurfaceError::NotFinite);
        }
        let grow = |list: &[f64]| list.windows(2).all(|pair| pair[1] > pair[0]);
        if !grow(u) || !grow(v) {
            return Err(SurfaceError::BadParameters);
        }
        let in_mirror = |column: usize| match symmetry {
            Symmetry::None => None,
            Symmetry::Across { coordinate } => rows
                .iter()
                .all(|row| row[column].get(coordinate) == Some(&0.0))
                .then_some(coordinate),
        };
        let closes = [in_mirror(0), in_mirror(u.len() - 1)];
        let mut nodes: Vec<[Vector3<f64>; 4]> = rows
            .iter()
            .flatten()
            .map(|at| {
                [
                    Vector3::from(*at),
                    Vector3::zeros(),
                    Vector3::zeros(),
                    Vector3::zeros(),
                ]
            })
            .collect();
        let width = u.len();
        for axis in 0..3 {
            // across the mirror the image goes on as an odd function of the parameter, along it as an even one
            let ends = closes.map(|closed| match closed {
                Some(coordinate) if coordinate != axis => End::Level,
                _ => End::Natural,
            });
            for row in 0..v.len() {
                let line = row * width..(row + 1) * width;
                fill(&mut nodes, line.collect(), axis, u, ends, [0, 1]);
            }
            for column in 0..width {
                let line = || (0..v.len()).map(|row| row * width + column).collect();
                fill(&mut nodes, line(), axis, v, [End::Natural; 2], [0, 2]);
                fill(&mut nodes, line(), axis, v, [End::Natural; 2], [1, 3]);
            }
        }
        let mut surface = Self {
            u: u.to_vec(),
            v: v.to_vec(),
            nodes,
            symmetry,
            coarse: Vec::new(),
        };
        for v in subdivided(v) {
            for u in subdivided(u) {
                let at = Vector2::new(u, v);
                surface.coarse.push((at, surface.derivatives(at).at));
            }
        }
        Ok(surface)
    }

    /// The parameters of the columns.
    pub fn columns(&self) -> &[f64] {
        &self.u
    }

    /// The parameters of the rows.
    pub fn rows(&self) -> &[f64] {
        &self.v
    }

    /// Place and unit normal at two parameters, on the side of the mirror where it is stated.
    pub fn place(&self, u: f64, v: f64) -> ([f64; 3], [f64; 3]) {
        let here = self.derivatives(Vector2::new(u, v));
        (here.at.into(), here.normal().into())
    }

    /// Where the surface, or its mirror image, is nearest to a point.
    pub fn foot(&self, point: [f64; 3]) -> Foot {
        let mut point = Vector3::from(point);
        let reversed = match self.symmetry {
            Symmetry::Across { coordinate } if point[coordinate] < 0.0 => Some(coordinate),
            _ => None,
        };
        let Some(coordinate) = reversed else {
            return foot::of(self, point);
        };
        point[coordinate] = -point[coordinate];
        let mut foot = foot::of(self, point);
        foot.at[coordinate] = -foot.at[coordinate];
        foot.normal[coordinate] = -foot.normal[coordinate];
        foot
    }

    /// How far a point lies off the surface, in millimetres: positive on the side to which its normal looks.
    pub fn offset(&self, point: [f64; 3]) -> f64 {
        let Foot { at, normal, .. } = self.foot(point);
        (0..3).map(|i| normal[i] * (point[i] - at[i])).sum()
    }

    fn derivatives(&self, at: Vector2<f64>) -> Derivatives {
        let (u, v) = (spline::along(&self.u, at.x), spline::along(&self.v, at.y));
        let node = |column: usize, row: usize| {
            &self.nodes[(v.knot + row) * self.u.len() + u.knot + column]
        };
        let sum = |by_u: usize, by_v: usize| {
            let (wu, wv) = (&u.weights[by_u], &v.weights[by_v]);
            let mut sum = Vector3::zeros();
            for row in 0..2 {
                for column in 0..2 {
                    let [place, du, dv, duv] = node(column, row);
                    sum += (place * wu[column] + du * wu[column + 2]) * wv[row]
                        + (dv * wu[column] + duv * wu[column + 2]) * wv[row + 2];
                }
            }
            sum
        };
        Derivatives {
            at: sum(0, 0),
            du: sum(1, 0),
            dv: sum(0, 1),
            duu: sum(2, 0),
            duv: sum(1, 1),
            dvv: sum(0, 2),
        }
    }

    /// Parameters of the place of the coarse grid that is nearest to a point.
    fn nearest_place(&self, point: Vector3<f64>) -> Vector2<f64> {
        let distance = |place: &(Vector2<f64>, Vector3<f64>)| (place.1 - point).norm_squared();
        let nearest = self
            .coarse
            .iter()
            .min_by(|a, b| distance(a).total_cmp(&distance(b)));
        nearest.map_or_else(Vector2::zeros, |(parameters, _)| *parameters)
    }
}

/// Fills one component of one derivative of a line of nodes by the spline through another one.
fn fill(
    nodes: &mut [[Vector3<f64>; 4]],
    line: Vec<usize>,
    axis: usize,
    knots: &[f64],
    ends: [End; 2],
    [of, into]: [usize; 2],
) {
    let values: Vec<f64> = line.iter().map(|node| nodes[*node][of][axis]).collect();
    for (node, slope) in line.iter().zip(spline::slopes(knots, &values, ends)) {
        nodes[*node][into][axis] = slope;
    }
}

/// Knots with some places between each two.
fn subdivided(knots: &[f64]) -> Vec<f64> {
    const BETWEEN: u32 = 3;
    let mut list: Vec<f64> = Vec::new();
    for pair in knots.windows(2) {
        let step = (pair[1] - pair[0]) / f64::from(BETWEEN);
        list.extend((0..BETWEEN).map(|at| pair[0] + f64::from(at) * step));
    }
    list.extend(knots.last());
    list
}
