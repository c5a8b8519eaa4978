//! Outlines of flat pieces: corners given in two of the three own axes.

use serde::Deserialize;
use strongback_solver::Affine;

use super::shape::{Place, origin};
use super::{Role, Sizes, Stock};
use crate::source::{Fault, Given};
use crate::words::Axis;

/// One corner: for a piece that lies across (bl, wl), for one along the fuselage (fs, wl).
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Corner(pub Given, pub Given);

/// Visits the corners' coordinates as `NAME 3 bl`, counted from 1.
pub(super) fn visit(
    name: &str,
    axes: [Axis; 2],
    corners: &mut [Corner],
    f: &mut dyn FnMut(String, Role, &mut Given),
) {
    for (at, Corner(u, v)) in corners.iter_mut().enumerate() {
        f(key(name, at, axes[0]), Role::Coordinate, u);
        f(key(name, at, axes[1]), Role::Coordinate, v);
    }
}

fn key(name: &str, at: usize, axis: Axis) -> String {
    format!("{name} {} {}", at + 1, axis.short())
}

/// A corner's affine coordinates with their values.
pub(super) type Uv = ([Affine; 2], [f64; 2]);

/// The corners once their quantities are understood; at least three that enclose an area.
pub(super) fn corners(
    name: &str,
    axes: [Axis; 2],
    written: &[Corner],
    sizes: &Sizes,
) -> Result<Vec<Uv>, Fault> {
    let list: Vec<Uv> = (0..written.len())
        .map(|at| {
            let keys = axes.map(|axis| key(name, at, axis));
            (
                [sizes.form(&keys[0]), sizes.form(&keys[1])],
                [sizes.value(&keys[0]), sizes.value(&keys[1])],
            )
        })
        .collect();
    let area = signed_area(&list);
    if list.len() < 3 || area.abs() < 1e-6 {
        let span = written.first().map_or(0..0, |corner| corner.0.span());
        return Err(super::sizes::fault(
            span,
            format!("`{name}` needs at least three corners that enclose an area"),
            "list the corners in order round the piece",
        ));
    }
    Ok(list)
}

fn signed_area(list: &[Uv]) -> f64 {
    let n = list.len();
    (0..n)
        .map(|i| {
            let (a, b) = (list[i].1, list[(i + 1) % n].1);
            0.5 * (a[0] * b[1] - b[0] * a[1])
        })
        .sum()
}

/// How far an edge may lie off the outline that it is meant to lie on: a sixty-fourth of an inch, in millimetres.
const OFF: f64 = 25.4 / 64.0;

/// Of an edge that lies on a side of a counter-clockwise outline: whether the metal lies to the left of the way along it. None where
/// it lies on no side.
pub(super) fn metal_to_the_left(list: &[Uv], [from, to]: [[f64; 2]; 2]) -> Option<bool> {
    let way = |a: [f64; 2], b: [f64; 2]| [b[0] - a[0], b[1] - a[1]];
    let dot = |a: [f64; 2], b: [f64; 2]| a[0] * b[0] + a[1] * b[1];
    let middle = [0, 1].map(|k| 0.5 * (from[k] + to[k]));
    let sides = list.iter().zip(list.iter().cycle().skip(1));
    sides
        .map(|((_, a), (_, b))| (*a, way(*a, *b)))
        .filter(|(_, side)| dot(*side, *side) > OFF * OFF)
        .find(|(a, side)| {
            let length = dot(*side, *side).sqrt();
            let off = |at: [f64; 2]| dot(way(*a, at), [-side[1], side[0]]).abs() / length;
            let along = dot(way(*a, middle), *side) / length;
            off(from) <= OFF && off(to) <= OFF && along > -OFF && along < length + OFF
        })
        .map(|(_, side)| dot(way(from, to), side) >= 0.0)
}

/// The corners in the counter-clockwise sense of their two axes.
pub(super) fn counter_clockwise(mut list: Vec<Uv>) -> Vec<Uv> {
    if signed_area(&list) < 0.0 {
        list.reverse();
    }
    list
}

/// The least and the greatest coordinate along one of the two axes, as affine forms.
pub(super) fn bounds(list: &[Uv], which: usize) -> [Affine; 2] {
    let by_value = |a: &&Uv, b: &&Uv| a.1[which].total_cmp(&b.1[which]);
    let form = |corner: Option<&Uv>| {
        corner.map_or_else(|| Affine::constant(0.0), |corner| corner.0[which].clone())
    };
    [
        form(list.iter().min_by(by_value)),
        form(list.iter().max_by(by_value)),
    ]
}

/// How far the corners span along the two axes, in millimetres.
pub(super) fn spans(list: &[Uv]) -> [f64; 2] {
    [0, 1].map(|which| {
        let values = list.iter().map(|corner| corner.1[which]);
        let most = values.clone().fold(f64::NEG_INFINITY, f64::max);
        (most - values.fold(f64::INFINITY, f64::min)).max(0.0)
    })
}

/// The sheet of a part with a flange on every edge of its outline, unfolded; nothing where its outline is at fault.
pub(super) fn flanged_sheet(corners: Result<Vec<Uv>, Fault>, sizes: &Sizes) -> Vec<Stock> {
    let flanges = 2.0 * sizes.value("flange");
    let sheet = |corners: Vec<Uv>| {
        let sides = spans(&corners).map(|span| span + flanges);
        Stock::sheet(sizes.value("thickness"), sides)
    };
    corners.map(sheet).into_iter().collect()
}

/// A rectangle as corners.
pub(super) fn rectangle(u: [Affine; 2], v: [Affine; 2], uv: [[f64; 2]; 2]) -> Vec<Uv> {
    let corner = |i: usize, j: usize| ([u[i].clone(), v[j].clone()], [uv[0][i], uv[1][j]]);
    vec![corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)]
}

/// A corner at a depth along the axis through the piece.
pub(super) fn raised(
    corner: &[Affine; 2],
    axes: [Axis; 2],
    through: Axis,
    depth: &Affine,
) -> Place {
    let mut place = origin();
    place[axes[0].index()] = corner[0].clone();
    place[axes[1].index()] = corner[1].clone();
    place[through.index()] = depth.clone();
    place
}

/// Solids of a flange that follows a counter-clockwise outline: a strip for each edge, its thickness
/// inwards and mitred at the corners, from one depth to another. Pictures and clearances need no more
/// than the flat edges.
pub(super) fn flange_strips(
    list: &[Uv],
    axes: [Axis; 2],
    through: Axis,
    thickness: f64,
    from: &Affine,
    to: &Affine,
) -> Vec<super::Solid> {
    let n = list.len();
    let mut sweep = origin();
    sweep[through.index()] = to.clone().minus(from);
    let inner: Vec<[Affine; 2]> = (0..n)
        .map(|i| {
            let by = mitre(
                &list[(i + n - 1) % n],
                &list[i],
                &list[(i + 1) % n],
                thickness,
            );
            [0, 1].map(|k| list[i].0[k].clone().plus(&Affine::constant(by[k])))
        })
        .collect();
    (0..n)
        .map(|i| {
            let next = (i + 1) % n;
            super::Solid {
                outline: vec![
                    raised(&list[i].0, axes, through, from),
                    raised(&list[next].0, axes, through, from),
                    raised(&inner[next], axes, through, from),
                    raised(&inner[i], axes, through, from),
                ],
                openings: Vec::new(),
                sweep: sweep.clone(),
                beyond: Affine::default(),
            }
        })
        .collect()
}

/// The way from a corner to the one inside of it, where two strips of a thickness meet. At a corner so
/// sharp that the mitre would run away, it is cut off.
fn mitre(before: &Uv, corner: &Uv, after: &Uv, thickness: f64) -> [f64; 2] {
    /// The mitre of a corner of about thirty degrees, in thicknesses.
    const LONGEST: f64 = 4.0;
    let inwards = |a: &Uv, b: &Uv| {
        let (du, dv) = (b.1[0] - a.1[0], b.1[1] - a.1[1]);
        let length = du.hypot(dv).max(f64::MIN_POSITIVE);
        [-dv / length, du / length]
    };
    let (p, q) = (inwards(before, corner), inwards(corner, after));
    let cosine = p[0] * q[0] + p[1] * q[1];
    let stretch = (1.0 / (1.0 + cosine).max(1e-9)).min(LONGEST);
    [0, 1].map(|k| thickness * stretch * (p[k] + q[k]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edge_on_the_outline_knows_where_the_metal_is() {
        let corner = |u: f64, v: f64| ([Affine::constant(u), Affine::constant(v)], [u, v]);
        let written = vec![
            corner(0.0, 0.0),
            corner(0.0, 70.0),
            corner(200.0, 60.0),
            corner(200.0, 0.0),
        ];
        let list = counter_clockwise(written);
        let of = |from, to| metal_to_the_left(&list, [from, to]);
        assert_eq!(of([0.0, 70.0], [200.0, 60.0]), Some(false));
        assert_eq!(of([200.0, 60.0], [0.0, 70.0]), Some(true));
        // part of a side, and the one below
        assert_eq!(of([40.0, 68.0], [100.0, 65.0]), Some(false));
        assert_eq!(of([0.0, 0.0], [200.0, 0.0]), Some(true));
        // above all metal, across it, and beside the end of a side
        assert_eq!(of([0.0, 90.0], [200.0, 90.0]), None);
        assert_eq!(of([0.0, 0.0], [200.0, 60.0]), None);
        assert_eq!(of([210.0, 0.0], [250.0, 0.0]), None);
    }
}
