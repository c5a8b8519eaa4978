//! Joints, seams and rows of fasteners as the system sees them: they read where parts lie, and no equation reads them.

use strongback_solver::{Affine, Plane, Point};

use super::Assembly;
use crate::trade::fastener::Fastener;
use crate::words::Side;

/// A joint that a statement makes.
#[derive(Clone, Debug)]
pub struct AssembledJoint {
    /// The statement.
    pub statement: String,
    /// The part that is bolted on.
    pub part: usize,
    /// The part that it is bolted to.
    pub to: usize,
    /// Spacers between them, counted from `to`.
    pub spacers: Vec<usize>,
    /// The side of `to` on which `part` lies.
    pub side: Side,
    /// The place of the bolts.
    pub at: Point,
    /// Whether that place is stated.
    pub at_stated: bool,
    /// The faces that touch, or touch the spacers: of `to`, of `part`.
    pub faces: (Plane, Plane),
    /// The bolts.
    pub bolts: Option<Fastener>,
    /// How many of them.
    pub count: Option<u32>,
    /// Where they go.
    pub rows: Vec<AssembledRow>,
}

impl AssembledJoint {
    /// How many fasteners it has: as it says itself, or as its rows do; none where a row leaves it to its pitch.
    pub fn stated_count(&self) -> Option<u32> {
        let in_rows = || self.rows.iter().map(|row| row.count).sum::<Option<u32>>();
        let stated = self.count.or_else(in_rows);
        stated.filter(|count| *count > 0)
    }
}

/// Layers held together that other statements locate.
#[derive(Clone, Debug)]
pub struct AssembledSeam {
    /// The statement.
    pub statement: String,
    /// The layers, the one under the head first.
    pub layers: Vec<SeamLayer>,
    /// The side on which the heads lie.
    pub heads: Side,
    /// The fasteners.
    pub with: Fastener,
    /// How many of them, if it is stated.
    pub count: Option<u32>,
    /// Where they go.
    pub rows: Vec<AssembledRow>,
}

/// A layer of a seam.
#[derive(Clone, Debug)]
pub struct SeamLayer {
    /// The part.
    pub part: usize,
    /// The face at which it touches a neighbour; none for one that follows a contour.
    pub face: Option<Plane>,
}

/// A row of fasteners beside an edge.
#[derive(Clone, Debug)]
pub struct AssembledRow {
    /// The edge face, as the file names it.
    pub beside: String,
    /// The same in its place.
    pub face: Plane,
    /// How far inside of it.
    pub by: Affine,
    /// From either end of the common metal to the first and last fastener.
    pub ends: Affine,
    /// How many.
    pub count: Option<u32>,
    /// The least distance from one to the next, where the count follows from it.
    pub pitch: Option<Affine>,
}

impl Assembly {
    /// Whether a statement is a seam, which locates and compares nothing.
    pub(crate) fn is_seam(&self, statement: &str) -> bool {
        self.seams.iter().any(|seam| seam.statement == statement)
    }
}
