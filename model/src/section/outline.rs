//! A prism cut by a plane of constant station. In: the prism and the plane, in mm. Out: closed boundaries in the plane.
//!
//! An edge of the prism has a point in the plane if its ends lie on either side (a corner in the plane counts as ahead of it), and
//! each such point belongs to the two faces that meet in that edge. So the pieces of line in which the plane meets the faces
//! join into closed boundaries by the edges they end on, without comparing figures: thin sheets and corners that the plane just
//! touches need no case of their own. A side face is a parallelogram and is met in one piece; an end face may be hollow, and is
//! metal between the first and the second of its points along the line, the third and the fourth, and so on.

use crate::layout::PlacedSolid;

/// A closed boundary: buttock line and waterline of its corners, in millimetres; the last one is joined to the first.
pub type Boundary = Vec<[f64; 2]>;

/// An edge of a prism: of which ring, and which of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Edge {
    kind: EdgeKind,
    ring: usize,
    at: usize,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum EdgeKind {
    /// Of the end where the outline is.
    Base,
    /// Of the other end.
    Tip,
    /// From a corner of the one to that of the other.
    Side,
}

/// A point in the plane.
struct Node {
    edge: Edge,
    at: [f64; 2],
    /// The points beside it on the boundary.
    beside: Vec<usize>,
}

/// From which station to which a prism goes; none where it holds no metal.
pub(super) fn stations(solid: &PlacedSolid) -> Option<[f64; 2]> {
    if !is_metal(solid) {
        return None;
    }
    let corners = solid.outline_mm.iter().map(|corner| corner[0]);
    let [mut from, mut to] = [f64::INFINITY, f64::NEG_INFINITY];
    for station in corners {
        from = from.min(station);
        to = to.max(station);
    }
    let by = solid.sweep_mm[0];
    Some([from + by.min(0.0), to + by.max(0.0)])
}

/// What of a prism lies in the plane at a station; none where it doesn't meet it.
pub(super) fn of(solid: &PlacedSolid, station: f64) -> Option<super::Cut> {
    let [from, to] = stations(solid)?;
    if !(from <= station && station < to) {
        return None;
    }
    let mut nodes = nodes(solid, station);
    let rings: Vec<&[[f64; 3]]> = rings(solid).collect();
    for (ring, corners) in rings.iter().enumerate() {
        for at in 0..corners.len() {
            let next = (at + 1) % corners.len();
            let edge = |kind, at| Edge { kind, ring, at };
            let face = [
                edge(EdgeKind::Base, at),
                edge(EdgeKind::Side, next),
                edge(EdgeKind::Tip, at),
                edge(EdgeKind::Side, at),
            ];
            let met: Vec<usize> = face.iter().filter_map(|edge| find(&nodes, *edge)).collect();
            join(&mut nodes, &met);
        }
    }
    for kind in [EdgeKind::Base, EdgeKind::Tip] {
        let met = along_end(solid, &nodes, kind);
        join(&mut nodes, &met);
    }
    let boundaries = nested(loops(&nodes));
    let area_mm2 = boundaries.iter().map(|ring| shoelace(ring)).sum();
    (!boundaries.is_empty()).then_some(super::Cut {
        boundaries,
        area_mm2,
    })
}

/// Whether it has three corners, a sweep, and places that are figures.
fn is_metal(solid: &PlacedSolid) -> bool {
    let finite = |at: &[f64; 3]| at.iter().all(|x| x.is_finite());
    solid.outline_mm.len() >= 3
        && finite(&solid.sweep_mm)
        && solid.sweep_mm.iter().any(|x| *x != 0.0)
        && rings(solid).flatten().all(finite)
}

fn rings(solid: &PlacedSolid) -> impl Iterator<Item = &[[f64; 3]]> {
    let openings = solid.openings_mm.iter().filter(|ring| ring.len() >= 3);
    std::iter::once(&solid.outline_mm)
        .chain(openings)
        .map(Vec::as_slice)
}

/// The points in which edges go through the plane, in the order of their edges.
fn nodes(solid: &PlacedSolid, station: f64) -> Vec<Node> {
    let tip = |corner: [f64; 3]| [0, 1, 2].map(|i| corner[i] + solid.sweep_mm[i]);
    let mut nodes = Vec::new();
    for (ring, corners) in rings(solid).enumerate() {
        let next = corners.iter().cycle().skip(1);
        for (at, (&a, &b)) in corners.iter().zip(next).enumerate() {
            let edges = [
                (EdgeKind::Base, a, b),
                (EdgeKind::Tip, tip(a), tip(b)),
                (EdgeKind::Side, a, tip(a)),
            ];
            for (kind, from, to) in edges {
                if let Some(place) = crossing(from, to, station) {
                    nodes.push(Node {
                        edge: Edge { kind, ring, at },
                        at: place,
                        beside: Vec::with_capacity(2),
                    });
                }
            }
        }
    }
    nodes.sort_by_key(|node| node.edge);
    nodes
}

/// Where an edge goes through the plane.
fn crossing(from: [f64; 3], to: [f64; 3], station: f64) -> Option<[f64; 2]> {
    if (from[0] > station) == (to[0] > station) {
        return None;
    }
    let share = ((station - from[0]) / (to[0] - from[0])).clamp(0.0, 1.0);
    let place = [1, 2].map(|i| from[i] + (to[i] - from[i]) * share);
    place.iter().all(|x| x.is_finite()).then_some(place)
}

fn find(nodes: &[Node], edge: Edge) -> Option<usize> {
    nodes.binary_search_by_key(&edge, |node| node.edge).ok()
}

/// Joins points in pairs, in the order given.
fn join(nodes: &mut [Node], met: &[usize]) {
    for pair in met.chunks_exact(2) {
        if let [a, b] = *pair {
            nodes[a].beside.push(b);
            nodes[b].beside.push(a);
        }
    }
}

/// The points on the edges of an end, in order along the line in which the plane meets it.
fn along_end(solid: &PlacedSolid, nodes: &[Node], kind: EdgeKind) -> Vec<usize> {
    // the line runs across the end's normal and along the plane
    let normal = newell(&solid.outline_mm);
    let way = [-normal[2], normal[1]];
    let mut met: Vec<(f64, usize)> = nodes
        .iter()
        .enumerate()
        .filter(|(_, node)| node.edge.kind == kind)
        .map(|(at, node)| (node.at[0] * way[0] + node.at[1] * way[1], at))
        .collect();
    met.sort_by(|a, b| a.0.total_cmp(&b.0));
    met.into_iter().map(|(_, at)| at).collect()
}

/// Normal of a ring, as long as twice its area.
fn newell(ring: &[[f64; 3]]) -> [f64; 3] {
    let Some(&first) = ring.first() else {
        return [0.0; 3];
    };
    let from = |corner: &[f64; 3]| [0, 1, 2].map(|i| corner[i] - first[i]);
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).fold([0.0; 3], |sum, (a, b)| {
        let (a, b) = (from(a), from(b));
        [
            sum[0] + a[1] * b[2] - a[2] * b[1],
            sum[1] + a[2] * b[0] - a[0] * b[2],
            sum[2] + a[0] * b[1] - a[1] * b[0],
        ]
    })
}

/// Walks from point to point until each is on a boundary.
fn loops(nodes: &[Node]) -> Vec<Boundary> {
    let mut seen = vec![false; nodes.len()];
    let mut found = Vec::new();
    for start in 0..nodes.len() {
        let mut boundary = Vec::new();
        let mut at = Some(start);
        while let Some(here) = at.filter(|here| !seen[*here]) {
            seen[here] = true;
            boundary.push(nodes[here].at);
            at = nodes[here].beside.iter().copied().find(|next| !seen[*next]);
        }
        if boundary.len() >= 3 {
            found.push(boundary);
        }
    }
    found
}

/// Turns the boundaries so that metal lies to the left of each: those within an odd number of others are openings.
fn nested(mut rings: Vec<Boundary>) -> Vec<Boundary> {
    let depths: Vec<usize> = rings
        .iter()
        .map(|ring| {
            let within = |other: &&Boundary| *other != ring && is_within(ring, other);
            rings.iter().filter(within).count()
        })
        .collect();
    for (ring, depth) in rings.iter_mut().zip(depths) {
        if (shoelace(ring) < 0.0) == (depth % 2 == 0) {
            ring.reverse();
        }
    }
    rings
}

/// Whether a ring that doesn't cross another lies in it: judged at the middle of a side, which is no corner of the other.
fn is_within(ring: &Boundary, other: &Boundary) -> bool {
    let (Some(a), Some(b)) = (ring.first(), ring.get(1)) else {
        return false;
    };
    let [x, y] = [0, 1].map(|i| 0.5 * (a[i] + b[i]));
    let next = other.iter().cycle().skip(1);
    let crossed = other.iter().zip(next).filter(|(a, b)| {
        (a[1] > y) != (b[1] > y) && x < a[0] + (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1])
    });
    crossed.count() % 2 == 1
}

/// Area inside a boundary, positive counter-clockwise.
pub(super) fn shoelace(ring: &[[f64; 2]]) -> f64 {
    let Some(&[x, y]) = ring.first() else {
        return 0.0;
    };
    let next = ring.iter().cycle().skip(1);
    let twice: f64 = ring
        .iter()
        .zip(next)
        .map(|(a, b)| (a[0] - x) * (b[1] - y) - (b[0] - x) * (a[1] - y))
        .sum();
    0.5 * twice
}
