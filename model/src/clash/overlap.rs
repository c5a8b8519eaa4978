//! How deep one part's metal lies in another's. In: the metal of both as prisms, and which of them may lie in which. Out: the depth,
//! the way out and the box of the overlap, in millimetres.

use parry3d_f64::bounding_volume::{Aabb, BoundingVolume};
use parry3d_f64::math::Vector;

use super::prism::{Prism, faces_and_edges, push};
use super::way_out::way_out;
use super::{CONTACT_MM, Depth};
use crate::fit::clearance::convex_outlines;
use crate::layout::PlacedSolid;

/// A part's metal.
#[derive(Debug)]
pub(super) struct Metal {
    pub(super) pieces: Vec<Piece>,
    /// Normals of the faces of each solid that a piece may be of.
    pub(super) normals: Vec<Vec<Vector>>,
    pub(super) extent: Aabb,
}

/// A convex piece of one of a part's solids.
#[derive(Debug)]
pub(super) struct Piece {
    pub(super) prism: Prism,
    /// Its solid, counted as the part has them.
    pub(super) solid: usize,
    /// How far its flats may lie beyond the round metal that they stand for.
    beyond: f64,
}

impl Piece {
    /// Up to which depth it only touches another one.
    pub(super) fn contact(&self, other: &Piece) -> f64 {
        CONTACT_MM + self.beyond + other.beyond
    }
}

impl Metal {
    /// Of solids, each with how far its flats may lie beyond round metal; none if there is no metal.
    pub(super) fn of(solids: impl Iterator<Item = (PlacedSolid, f64)>) -> Option<Metal> {
        let (mut pieces, mut normals) = (Vec::new(), Vec::new());
        for (at, (solid, beyond)) in solids.enumerate() {
            let sweep = Vector::from(solid.sweep_mm);
            for outline in convex_outlines(&solid) {
                pieces.extend(Prism::new(outline, sweep).map(|prism| Piece {
                    prism,
                    solid: at,
                    beyond,
                }));
            }
            normals.push(outside_normals(&solid, sweep));
        }
        let extent = pieces
            .iter()
            .map(|piece| piece.prism.extent)
            .reduce(|all, one| all.merged(&one))?;
        Some(Metal {
            pieces,
            normals,
            extent,
        })
    }
}

/// The faces of a solid as it is, not of the pieces that it is cut into.
fn outside_normals(solid: &PlacedSolid, sweep: Vector) -> Vec<Vector> {
    let mut all = Vec::new();
    for ring in std::iter::once(&solid.outline_mm).chain(&solid.openings_mm) {
        let ring: Vec<Vector> = ring.iter().copied().map(Vector::from).collect();
        if let Some((normals, _)) = faces_and_edges(&ring, sweep) {
            for normal in normals {
                push(&mut all, normal);
            }
        }
    }
    all
}

/// Two pieces that lie in one another.
struct Hit {
    depth: f64,
    across: Vector,
    solids: [usize; 2],
    common: Aabb,
}

/// How deep they lie in one another, but for pairs of solids that may.
pub(super) fn depth(a: &Metal, b: &Metal, may: &dyn Fn(usize, usize) -> bool) -> Option<Depth> {
    let hits = hits(a, b, may);
    let deepest = hits.iter().max_by(|a, b| a.depth.total_cmp(&b.depth))?;
    let mut ways = Vec::new();
    for hit in &hits {
        for normal in [(a, hit.solids[0]), (b, hit.solids[1])]
            .into_iter()
            .filter_map(|(metal, solid)| metal.normals.get(solid))
            .flatten()
        {
            push(&mut ways, *normal);
        }
    }
    for hit in &hits {
        push(&mut ways, hit.across);
    }
    let (depth_mm, way) = way_out(a, b, may, &ways)?;
    let common = grown(deepest.common, &hits);
    Some(Depth {
        depth_mm,
        way: way.to_array(),
        overlap_mm: [0, 1, 2].map(|axis| [common.mins[axis], common.maxs[axis]]),
    })
}

fn hits(a: &Metal, b: &Metal, may: &dyn Fn(usize, usize) -> bool) -> Vec<Hit> {
    let mut hits = Vec::new();
    for one in &a.pieces {
        if !one.prism.extent.intersects(&b.extent) {
            continue;
        }
        for other in &b.pieces {
            if !one.prism.extent.intersects(&other.prism.extent) || may(one.solid, other.solid) {
                continue;
            }
            let Some((depth, across)) = one.prism.depth(&other.prism, one.contact(other)) else {
                continue;
            };
            if let Some(common) = one.prism.common(&other.prism) {
                hits.push(Hit {
                    depth,
                    across,
                    solids: [one.solid, other.solid],
                    common,
                });
            }
        }
    }
    hits
}

/// The box with all that it hangs together with: what a web is cut into is no border.
fn grown(mut common: Aabb, hits: &[Hit]) -> Aabb {
    let mut rest: Vec<&Aabb> = hits.iter().map(|hit| &hit.common).collect();
    loop {
        let before = rest.len();
        rest.retain(|other| {
            let touches = common.loosened(CONTACT_MM).intersects(other);
            if touches {
                common.merge(other);
            }
            !touches
        });
        if rest.len() == before {
            return common;
        }
    }
}
