//! The foot of a point on a surface: where the surface is nearest. In: a point in mm. Out: parameters, place and unit normal.
//!
//! Newton's method on half the squared distance, from the nearest of a coarse grid of places, with the first fundamental form
//! where the Hessian isn't positive definite, and halved steps (Nocedal and Wright, Numerical Optimization, 2nd ed., Springer
//! 2006, chapter 3).

use nalgebra::{Matrix2, Vector2, Vector3};

use super::{Derivatives, Surface};

/// Where a surface is nearest to a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Foot {
    /// Its parameters.
    pub parameters: [f64; 2],
    /// Its place, in millimetres.
    pub at: [f64; 3],
    /// The unit normal there.
    pub normal: [f64; 3],
}

/// Steps of the search; it needs four or five where the point is nearer than the surface's radii of curvature.
const STEPS: usize = 60;
/// Halvings of a step.
const HALVINGS: i32 = 30;
/// Millimetres: a step as small as this is taken as it is.
const NEAR: f64 = 1e-5;
/// Millimetres: a step as small as this changes nothing that can be computed.
const STILL: f64 = 1e-13;

/// The foot of a point that lies on the side of the mirror where the surface is stated.
pub(super) fn of(surface: &Surface, point: Vector3<f64>) -> Foot {
    let mut parameters = surface.nearest_place(point);
    let mut here = surface.derivatives(parameters);
    for _ in 0..STEPS {
        let apart = here.at - point;
        let gradient = Vector2::new(apart.dot(&here.du), apart.dot(&here.dv));
        let step = descent(&here, apart, gradient);
        let size = step.amax();
        // so near the foot nothing is gained that rounding leaves to be seen
        let share = if size <= NEAR {
            Some(1.0)
        } else {
            nearer(surface, point, parameters, step, gradient)
        };
        let Some(share) = share else {
            break;
        };
        parameters += step * share;
        here = surface.derivatives(parameters);
        if size <= STILL * (1.0 + parameters.amax()) {
            break;
        }
    }
    Foot {
        parameters: parameters.into(),
        at: here.at.into(),
        normal: here.normal().into(),
    }
}

/// The greatest of the halved shares of a step that comes nearer to the point as it promises.
fn nearer(
    surface: &Surface,
    point: Vector3<f64>,
    from: Vector2<f64>,
    step: Vector2<f64>,
    gradient: Vector2<f64>,
) -> Option<f64> {
    const DEMANDED: f64 = 1e-4;
    let distance = |at| 0.5 * (surface.derivatives(at).at - point).norm_squared();
    let (here, slope) = (distance(from), gradient.dot(&step));
    (0..HALVINGS)
        .map(|halvings| 0.5_f64.powi(halvings))
        .find(|share| distance(from + step * *share) <= here + DEMANDED * share * slope)
}

/// Newton's step, or one down the first fundamental form.
fn descent(here: &Derivatives, apart: Vector3<f64>, gradient: Vector2<f64>) -> Vector2<f64> {
    let first = Matrix2::new(
        here.du.dot(&here.du),
        here.du.dot(&here.dv),
        here.du.dot(&here.dv),
        here.dv.dot(&here.dv),
    );
    let second = Matrix2::new(
        apart.dot(&here.duu),
        apart.dot(&here.duv),
        apart.dot(&here.duv),
        apart.dot(&here.dvv),
    );
    [first + second, first]
        .into_iter()
        .find_map(|matrix| matrix.cholesky())
        .map_or(-gradient, |factor| -factor.solve(&gradient))
}
