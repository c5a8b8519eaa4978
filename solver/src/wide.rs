//! Newton's method on a wide block, by sparse elimination.
//!
//! In: a block with many unknowns. Out: the state at its solution, or the word that none was reached. A step that does not
//! shorten the residual is halved until it does (Dennis and Schnabel, Numerical Methods for Unconstrained Optimization and
//! Nonlinear Equations, SIAM 1996, section 6.3).

use nalgebra::DVector;

use crate::basis::{Basis, Elimination};
use crate::block::{Block, Local};

/// Blocks of more columns are solved by sparse elimination.
pub(crate) const DENSE: usize = 40;

/// Searches from the block's present point, and leaves it at the solution. The steps taken; none if a step finds no way on.
pub(crate) fn descend(block: &Block<'_, '_>, within: f64) -> Option<u64> {
    /// More steps than any chain of frames took.
    const STEPS: u64 = 40;
    let slots = block.slots();
    let mut elimination = Elimination::new(block.width());
    let mut off = block.residuals();
    let mut at = block.local();
    let mut reached = false;
    for taken in 0..STEPS {
        if off.amax() == 0.0 {
            return Some(taken);
        }
        let step = newton_step(block, &slots, &off, &mut elimination)?;
        // one step more than is needed: a residual that is just within would still show in a chain
        if reached {
            let last = off.amax();
            block.put(&block.retract(&at, &step));
            let better = block.residuals().amax() <= last;
            if !better {
                block.put(&at);
            }
            return Some(taken + 1);
        }
        at = shortened(block, &at, &step, &mut off)?;
        reached = off.amax() <= within;
    }
    None
}

/// The step to where the rows, taken as straight, are zero; none where they are dependent.
fn newton_step(
    block: &Block<'_, '_>,
    slots: &[usize],
    off: &DVector<f64>,
    elimination: &mut Elimination,
) -> Option<DVector<f64>> {
    let jacobian = block.sparse_derivatives(slots);
    let mut basis = Basis::of_block(block.units().as_slice());
    elimination.count(&jacobian);
    for (at, row) in jacobian.iter().enumerate() {
        if !basis.offer(at, row, elimination) {
            return None;
        }
    }
    let due: Vec<(usize, f64)> = off.iter().map(|by| -by).enumerate().collect();
    let mut step = DVector::zeros(block.width());
    for (slot, by) in basis.respond(&due) {
        step[slot] = by;
    }
    Some(step)
}

/// Goes as much of a step as shortens the residual, and leaves the block there.
fn shortened(
    block: &Block<'_, '_>,
    at: &Local,
    step: &DVector<f64>,
    off: &mut DVector<f64>,
) -> Option<Local> {
    /// The residual is to become shorter by this part of the share of the step that is gone.
    const GAIN: f64 = 0.1;
    /// The shortest share that is tried.
    const SHORTEST: f64 = 1.0 / 128.0;
    let before = off.norm();
    let mut share = 1.0;
    while share >= SHORTEST {
        let next = block.retract(at, &(step * share));
        block.put(&next);
        let now = block.residuals();
        // what is no number compares as false
        if now.norm() <= (1.0 - GAIN * share) * before {
            *off = now;
            return Some(next);
        }
        share /= 2.0;
    }
    block.put(at);
    None
}
