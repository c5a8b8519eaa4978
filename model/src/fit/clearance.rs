//! The smallest distance between the metal of two parts, or how deep one runs into the other.
//!
//! Each prism is cut into convex pieces (its outline by ear cutting), and pairs of pieces are compared
//! by the algorithms of Gilbert, Johnson and Keerthi and its expanding-polytope companion, from parry3d.

use parry3d_f64::math::{Pose, Vector};
use parry3d_f64::query;
use parry3d_f64::shape::ConvexPolyhedron;

use crate::layout::PlacedSolid;

/// A sheet is at least this thick for the comparison, in millimetres: flatter prisms have no hull.
const THINNEST: f64 = 1e-3;

/// The distance in millimetres; negative when the parts run into each other; infinite when one of them
/// has no metal.
pub(super) fn between(a: &[PlacedSolid], b: &[PlacedSolid]) -> f64 {
    let (a, b) = (pieces(a), pieces(b));
    let mut least = f64::INFINITY;
    for one in &a {
        for other in &b {
            least = least.min(apart(one, other));
        }
    }
    least
}

fn apart(a: &ConvexPolyhedron, b: &ConvexPolyhedron) -> f64 {
    let here = Pose::identity();
    let distance =
        query::distance(&here, a, &here, b).map_or(f64::INFINITY, |found| found.distance);
    if distance > 0.0 {
        return distance;
    }
    match query::contact(&here, a, &here, b, 0.0) {
        Ok(Some(contact)) => contact.dist,
        _ => 0.0,
    }
}

/// Convex pieces of prisms.
fn pieces(solids: &[PlacedSolid]) -> Vec<ConvexPolyhedron> {
    solids
        .iter()
        .flat_map(|solid| {
            convex_outlines(solid)
                .into_iter()
                .filter_map(|outline| hull(&outline, solid.sweep_mm))
        })
        .collect()
}

fn hull(outline: &[[f64; 3]], sweep: [f64; 3]) -> Option<ConvexPolyhedron> {
    let length = norm(sweep);
    let sweep = if length < THINNEST && length > 0.0 {
        sweep.map(|c| c * THINNEST / length)
    } else {
        sweep
    };
    let points: Vec<Vector> = outline
        .iter()
        .flat_map(|p| {
            let far = [0, 1, 2].map(|i| p[i] + sweep[i]);
            [vector(*p), vector(far)]
        })
        .collect();
    // the hull of a long thin prism, such as a cable, is given up as a line; its faces are known all the same
    ConvexPolyhedron::from_convex_hull(&points).or_else(|| prism(points))
}

/// A convex prism by its faces. Points in pairs: each corner of the outline and the one opposite to it.
fn prism(points: Vec<Vector>) -> Option<ConvexPolyhedron> {
    let corners = points.len() as u32 / 2;
    let mut triangles = Vec::new();
    for at in 0..corners {
        let next = (at + 1) % corners;
        triangles.push([2 * at, 2 * next, 2 * next + 1]);
        triangles.push([2 * at, 2 * next + 1, 2 * at + 1]);
    }
    for at in 1..corners.saturating_sub(1) {
        triangles.push([0, 2 * at + 2, 2 * at]);
        triangles.push([1, 2 * at + 1, 2 * at + 3]);
    }
    // counter-clockwise as seen from outside, whichever way the outline is walked
    let edge = |a: usize, b: usize| points[b] - points[a];
    let turned: f64 = (1..corners.saturating_sub(1) as usize)
        .map(|at| edge(0, 2 * at).cross(edge(0, 2 * at + 2)).dot(edge(0, 1)))
        .sum();
    if turned < 0.0 {
        for triangle in &mut triangles {
            triangle.swap(1, 2);
        }
    }
    ConvexPolyhedron::from_convex_mesh(points, &triangles)
}

fn vector(p: [f64; 3]) -> Vector {
    Vector::new(p[0], p[1], p[2])
}

/// The outline as convex polygons: itself, or triangles when it is not convex or has openings.
fn convex_outlines(solid: &PlacedSolid) -> Vec<Vec<[f64; 3]>> {
    let outline = &solid.outline_mm;
    if outline.len() < 3 {
        return Vec::new();
    }
    if solid.openings_mm.is_empty() && is_convex(outline, solid.sweep_mm) {
        return vec![outline.clone()];
    }
    let (u, v) = flat_axes(solid.sweep_mm);
    let corners: Vec<[f64; 3]> = outline
        .iter()
        .chain(solid.openings_mm.iter().flatten())
        .copied()
        .collect();
    let mut starts = Vec::new();
    let mut at = outline.len() as u32;
    for opening in &solid.openings_mm {
        starts.push(at);
        at += opening.len() as u32;
    }
    let flat: Vec<[f64; 2]> = corners.iter().map(|p| [dot(*p, u), dot(*p, v)]).collect();
    let mut triangles: Vec<u32> = Vec::new();
    earcut::Earcut::new().earcut(flat.iter().copied(), &starts, &mut triangles);
    triangles
        .chunks_exact(3)
        .map(|t| t.iter().map(|i| corners[*i as usize]).collect())
        .collect()
}

fn is_convex(outline: &[[f64; 3]], sweep: [f64; 3]) -> bool {
    let n = outline.len();
    let mut sign = 0.0_f64;
    for i in 0..n {
        let (a, b, c) = (outline[i], outline[(i + 1) % n], outline[(i + 2) % n]);
        let turn = dot(cross(minus(b, a), minus(c, b)), sweep);
        if turn.abs() < 1e-9 * norm(sweep) {
            continue;
        }
        if sign * turn < 0.0 {
            return false;
        }
        sign = turn;
    }
    true
}

/// Two unit vectors across a direction.
fn flat_axes(along: [f64; 3]) -> ([f64; 3], [f64; 3]) {
    let n = unit(along);
    let helper = if n[0].abs() < 0.9 {
        [1.0, 0.0, 0.0]
    } else {
        [0.0, 1.0, 0.0]
    };
    let u = unit(cross(n, helper));
    (u, cross(n, u))
}

fn unit(a: [f64; 3]) -> [f64; 3] {
    let length = norm(a).max(f64::MIN_POSITIVE);
    a.map(|c| c / length)
}

fn norm(a: [f64; 3]) -> f64 {
    dot(a, a).sqrt()
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|i| a[i] - b[i])
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    fn plate(openings: Vec<Vec<[f64; 3]>>) -> PlacedSolid {
        PlacedSolid {
            outline_mm: square(100.0),
            openings_mm: openings,
            sweep_mm: [1.0, 0.0, 0.0],
        }
    }

    fn square(half: f64) -> Vec<[f64; 3]> {
        vec![
            [0.0, -half, -half],
            [0.0, half, -half],
            [0.0, half, half],
            [0.0, -half, half],
        ]
    }

    fn rod() -> PlacedSolid {
        PlacedSolid {
            outline_mm: square(5.0)
                .into_iter()
                .map(|p| [-50.0, p[1], p[2]])
                .collect(),
            openings_mm: Vec::new(),
            sweep_mm: [100.0, 0.0, 0.0],
        }
    }

    #[test]
    fn a_rod_through_an_opening_clears_its_edge() {
        let open = plate(vec![square(12.0)]);
        assert_abs_diff_eq!(between(&[open], &[rod()]), 7.0, epsilon = 1e-6);
    }

    #[test]
    fn a_rod_through_closed_metal_runs_into_it() {
        assert!(between(&[plate(Vec::new())], &[rod()]) < 0.0);
    }

    #[test]
    fn parts_without_metal_are_infinitely_far() {
        assert_eq!(between(&[], &[rod()]), f64::INFINITY);
    }
}
