//! Polygons in the plane. In: corners in mm. Out: whether they overlap, and whether a line crosses itself.

use nalgebra::Vector2;

use crate::layout::lies_in;
use crate::pattern::{Corner, Loop};

/// A point or a way.
pub(super) type Vec2 = Vector2<f64>;

/// The vector product.
pub(super) fn cross(a: Vec2, b: Vec2) -> f64 {
    a.x * b.y - a.y * b.x
}

/// A vector turned counter-clockwise.
pub(super) fn turned(a: Vec2, by: f64) -> Vec2 {
    let (sine, cosine) = by.sin_cos();
    Vec2::new(cosine * a.x - sine * a.y, sine * a.x + cosine * a.y)
}

/// Where two lines meet, each a point and a way; none where they are parallel.
pub(super) fn meet((p, d): (Vec2, Vec2), (q, e): (Vec2, Vec2)) -> Option<Vec2> {
    let across = cross(d, e);
    (across.abs() > 1e-12).then(|| p + d * (cross(q - p, e) / across))
}

/// Whether two polygons have area in common; touching is none.
pub(super) fn overlap(one: &[Vec2], other: &[Vec2]) -> bool {
    let edges = |list: &[Vec2]| -> Vec<(Vec2, Vec2)> {
        let next = list.iter().cycle().skip(1);
        list.iter().copied().zip(next.copied()).collect()
    };
    let (mine, theirs) = (edges(one), edges(other));
    let crosses = mine
        .iter()
        .any(|(a, b)| theirs.iter().any(|(c, d)| cuts((*a, *b), (*c, *d))));
    let within = |points: &[Vec2], polygon: &[Vec2]| {
        let polygon: Vec<[f64; 2]> = polygon.iter().map(|at| [at.x, at.y]).collect();
        points.iter().any(|at| lies_in(&polygon, [at.x, at.y]))
    };
    crosses || within(one, other) || within(other, one)
}

/// Whether two pieces of line cut each other; meeting within rounding is no cut.
fn cuts((a, b): (Vec2, Vec2), (c, d): (Vec2, Vec2)) -> bool {
    /// In mm.
    const ROUNDING: f64 = 1e-9;
    let apart = |p: Vec2, q: Vec2, r: Vec2, s: Vec2| {
        let way = (q - p).norm().max(f64::MIN_POSITIVE);
        let [r, s] = [r, s].map(|at| cross(q - p, at - p) / way);
        r.min(s) < -ROUNDING && r.max(s) > ROUNDING
    };
    apart(a, b, c, d) && apart(c, d, a, b)
}

/// Points along a loop, its arcs in short chords.
pub(super) fn sampled(line: &Loop) -> Vec<Vec2> {
    const STEP: f64 = std::f64::consts::PI / 24.0;
    let mut points = Vec::new();
    for (from, to) in line.corners.iter().zip(line.corners.iter().cycle().skip(1)) {
        let [a, b] = [from, to].map(|corner| Vec2::from(corner.at_mm));
        points.push(a);
        let angle = 4.0 * from.bulge.atan();
        if angle.abs() < 1e-9 {
            continue;
        }
        // the centre lies on the middle line of the chord
        let chord = b - a;
        let normal = Vec2::new(-chord.y, chord.x);
        let centre = (a + b) * 0.5 + normal * (0.5 / (0.5 * angle).tan());
        let steps = (angle.abs() / STEP).ceil().max(1.0);
        let count = steps as u32;
        for step in 1..count {
            let by = angle * f64::from(step) / steps;
            points.push(centre + turned(a - centre, by));
        }
    }
    points
}

/// Whether a loop runs round once without crossing itself.
pub(super) fn is_simple(line: &Loop) -> bool {
    if line.area_mm2() <= 0.0 {
        return false;
    }
    let points = sampled(line);
    let count = points.len();
    // along the axis on which the loop is longest each edge is compared with those that begin before it ends
    let range = |axis: usize| {
        let along = points.iter().map(|at| at[axis]);
        let most = along.clone().fold(f64::NEG_INFINITY, f64::max);
        most - along.fold(f64::INFINITY, f64::min)
    };
    let axis = usize::from(range(1) > range(0));
    let next = points.iter().cycle().skip(1);
    let mut edges: Vec<(f64, f64, usize, (Vec2, Vec2))> = points
        .iter()
        .zip(next)
        .enumerate()
        .map(|(at, (a, b))| (a[axis].min(b[axis]), a[axis].max(b[axis]), at, (*a, *b)))
        .collect();
    edges.sort_by(|a, b| a.0.total_cmp(&b.0));
    let beside = |one: usize, two: usize| (one + 1) % count == two || (two + 1) % count == one;
    edges.iter().enumerate().all(|(at, (_, ends, one, edge))| {
        let later = edges.iter().skip(at + 1);
        later
            .take_while(|other| other.0 <= *ends)
            .all(|(_, _, two, other)| beside(*one, *two) || !cuts(*edge, *other))
    })
}

/// A loop of points in order, with the bulge from each to the next.
pub(super) fn loop_of(points: impl IntoIterator<Item = (Vec2, f64)>) -> Loop {
    let corners = points.into_iter();
    Loop {
        corners: corners
            .map(|(at, bulge)| Corner {
                at_mm: at.into(),
                bulge,
            })
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_of_eight_is_not_simple() {
        let eight = Loop::straight([[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 3.0]]);
        assert!(!is_simple(&eight));
        assert!(is_simple(&Loop::circle([1.0, 1.0], 3.0, true)));
        assert!(!is_simple(&Loop::circle([1.0, 1.0], 3.0, false)));
    }

    #[test]
    fn an_arc_is_sampled_on_its_circle() {
        for at in sampled(&Loop::circle([1.0, 1.0], 3.0, false)) {
            assert!(((at - Vec2::new(1.0, 1.0)).norm() - 3.0).abs() < 1e-12);
        }
    }

    #[test]
    fn touching_is_no_overlap() {
        let square = |x: f64| [[x, 0.0], [x + 1.0, 0.0], [x + 1.0, 1.0], [x, 1.0]].map(Vec2::from);
        assert!(overlap(&square(0.0), &square(0.9)));
        assert!(!overlap(&square(0.0), &square(1.1)));
        assert!(overlap(
            &square(0.0),
            &[[0.4, 0.4], [0.6, 0.4], [0.5, 0.6]].map(Vec2::from)
        ));
    }
}
