//! The search for a block's solution: by Newton's method where the block is affine, by
//! Levenberg–Marquardt, and, where that comes to rest elsewhere, from points beside the start.

use crate::block::{Block, Ended};

/// Searches from the block's present point and leaves it at the solution, or else where the first search
/// came to rest. A start on a line of symmetry holds the search there although a solution lies to either
/// side of it: hence the starts beside it.
pub(crate) fn reach(block: &Block<'_, '_>, within: f64) -> Ended {
    /// How far beside the start to try, relative to the reference length; the nearest first.
    const BESIDE: [f64; 3] = [1e-3, 0.02, 0.2];
    let affine = block.is_affine();
    if affine && block.is_square() {
        let residual = block.newton(2, 0.0);
        if residual <= within {
            return Ended {
                residual,
                iterations: 0,
            };
        }
    }
    let start = block.local();
    let mut best = search(block, within);
    if best.residual <= within || affine {
        return best;
    }
    let rest = block.local();
    for spread in BESIDE {
        block.put(&start);
        block.scatter(spread);
        let next = search(block, within);
        best.iterations += next.iterations;
        if next.residual <= within {
            best.residual = next.residual;
            return best;
        }
    }
    block.put(&rest);
    best
}

/// One search from the block's present point; the block is left where it came to rest.
pub(crate) fn search(block: &Block<'_, '_>, within: f64) -> Ended {
    let mut ended = block.minimise(within);
    if block.is_square() {
        // a residual that is just within would still show in a chain, times the derivatives along it: one step more takes
        // it down to rounding
        let steps = if ended.residual > within { 3 } else { 1 };
        ended.residual = block.newton(steps, 0.0);
    }
    ended
}
