//! How deep one part's metal lies in another's. In: the metal of both as prisms, and which of them may lie in which. Out: the depth,
//! the way out and the box of the overlap, in millimetres.

use parry3d_f64::bounding_volume::{Aabb, BoundingVolume};
use parry3d_f64::math::Vector;

use super::prism::{Gaps, Prism, faces_and_edges, push};
use super::way_out::way_out;
use super::{CONTACT_MM, Place};
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
    fn contact(&self, other: &Piece) -> f64 {
        CONTACT_MM + self.beyond + other.beyond
    }

    pub(super) fn gaps(&self, other: &Piece) -> Gaps {
        self.prism.gaps(&other.prism, self.beyond + other.beyond)
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

impl Metal {
    fn pieces_of(&self, solids: &[usize]) -> Vec<&Piece> {
        let pieces = self.pieces.iter();
        pieces
            .filter(|piece| solids.contains(&piece.solid))
            .collect()
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
    across: Vector,
    solids: [usize; 2],
    common: Aabb,
}

/// Where they lie in one another, but for pairs of solids that may; the deepest place first.
pub(super) fn places(a: &Metal, b: &Metal, may: &dyn Fn(usize, usize) -> bool) -> Vec<Place> {
    let mut rest = hits(a, b, may);
    let mut places = Vec::new();
    while let Some(hit) = rest.pop() {
        places.extend(place(a, b, &together(hit, &mut rest)));
    }
    places.sort_by(|a, b| b.depth_mm.total_cmp(&a.depth_mm));
    places
}

/// A hit and all that hang together with it: what a web is cut into for the comparison is no border.
fn together(hit: Hit, rest: &mut Vec<Hit>) -> Vec<Hit> {
    let mut common = hit.common.loosened(CONTACT_MM);
    let mut group = vec![hit];
    while let Some(at) = rest
        .iter()
        .position(|other| common.intersects(&other.common))
    {
        let next = rest.swap_remove(at);
        common.merge(&next.common.loosened(CONTACT_MM));
        group.push(next);
    }
    group
}

fn place(a: &Metal, b: &Metal, hits: &[Hit]) -> Option<Place> {
    let solids = [0, 1].map(|which| {
        let mut list: Vec<usize> = hits.iter().map(|hit| hit.solids[which]).collect();
        list.sort_unstable();
        list.dedup();
        list
    });
    let mut ways = Vec::new();
    for (metal, solids) in [a, b].into_iter().zip(&solids) {
        for normal in solids
            .iter()
            .filter_map(|at| metal.normals.get(*at))
            .flatten()
        {
            push(&mut ways, *normal);
        }
    }
    for hit in hits {
        push(&mut ways, hit.across);
    }
    let (depth_mm, way) = way_out(&a.pieces_of(&solids[0]), &b.pieces_of(&solids[1]), &ways)?;
    let common = hits
        .iter()
        .map(|hit| hit.common)
        .reduce(|all, one| all.merged(&one))?;
    let overlap_mm = [0, 1, 2].map(|axis| [common.mins[axis], common.maxs[axis]]);
    Some(Place {
        depth_mm,
        way: way.to_array(),
        at_mm: overlap_mm.map(|[least, most]| 0.5 * (least + most)),
        overlap_mm,
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
            let Some((_, across)) = one.prism.depth(&other.prism, one.contact(other)) else {
                continue;
            };
            if let Some(common) = one.prism.common(&other.prism) {
                hits.push(Hit {
                    across,
                    solids: [one.solid, other.solid],
                    common,
                });
            }
        }
    }
    hits
}
