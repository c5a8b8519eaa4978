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
pub(crate) fn between(a: &[PlacedSolid], b: &[PlacedSolid]) -> f64 {
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
            let sweep = Vector::from(solid.sweep_mm);
            convex_outlines(solid)
                .into_iter()
                .filter_map(move |outline| hull(&outline, sweep))
        })
        .collect()
}

fn hull(outline: &[Vector], sweep: Vector) -> Option<ConvexPolyhedron> {
    let length = sweep.length();
    let sweep = if length < THINNEST && length > 0.0 {
        sweep * (THINNEST / length)
    } else {
        sweep
    };
    let points: Vec<Vector> = outline.iter().flat_map(|&p| [p, p + sweep]).collect();
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

/// The outline as convex polygons: itself, or triangles when it is not convex or has openings.
pub(crate) fn convex_outlines(solid: &PlacedSolid) -> Vec<Vec<Vector>> {
    let sweep = Vector::from(solid.sweep_mm);
    let outline: Vec<Vector> = solid.outline_mm.iter().copied().map(Vector::from).collect();
    if outline.len() < 3 {
        return Vec::new();
    }
    if solid.openings_mm.is_empty() && is_convex(&outline, sweep) {
        return vec![outline];
    }
    let mut starts = Vec::new();
    let mut corners = outline;
    for opening in &solid.openings_mm {
        starts.push(corners.len() as u32);
        corners.extend(opening.iter().copied().map(Vector::from));
    }
    let (u, v) = sweep.normalize_or(Vector::Z).any_orthonormal_pair();
    let flat = corners.iter().map(|p| [p.dot(u), p.dot(v)]);
    let mut triangles: Vec<u32> = Vec::new();
    earcut::Earcut::new().earcut(flat, &starts, &mut triangles);
    triangles
        .chunks_exact(3)
        .map(|t| t.iter().map(|i| corners[*i as usize]).collect())
        .collect()
}

fn is_convex(outline: &[Vector], sweep: Vector) -> bool {
    let n = outline.len();
    let mut sign = 0.0_f64;
    for i in 0..n {
        let (a, b, c) = (outline[i], outline[(i + 1) % n], outline[(i + 2) % n]);
        let turn = (b - a).cross(c - b).dot(sweep);
        if turn.abs() < 1e-9 * sweep.length() {
            continue;
        }
        if sign * turn < 0.0 {
            return false;
        }
        sign = turn;
    }
    true
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

    /// A cable 3 mm thick and 30 m long: too thin for a hull that is made from points alone.
    #[test]
    fn a_long_cable_is_measured() {
        for sweep in [[30_000.0, 0.0, 0.0], [-30_000.0, 0.0, 0.0]] {
            let cable = |at: f64| PlacedSolid {
                outline_mm: square(1.5)
                    .into_iter()
                    .map(|p| [-0.5 * sweep[0], p[1], p[2] + at])
                    .collect(),
                openings_mm: Vec::new(),
                sweep_mm: sweep,
            };
            for thickness in [0.0, 1e-9, 1.0] {
                let thin = PlacedSolid {
                    sweep_mm: [thickness, 0.0, 0.0],
                    ..plate(Vec::new())
                };
                assert!(between(std::slice::from_ref(&thin), &[cable(0.0)]) < 0.0);
                assert_abs_diff_eq!(between(&[thin], &[cable(141.5)]), 40.0, epsilon = 1e-6);
            }
        }
    }

    #[test]
    fn parts_without_metal_are_infinitely_far() {
        assert_eq!(between(&[], &[rod()]), f64::INFINITY);
    }
}
