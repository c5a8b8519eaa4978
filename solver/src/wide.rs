//! Newton's method on a wide block, by sparse elimination.
//!
//! In: a block with many unknowns. Out: the state at its solution, or the word that none was reached. A step that does not
//! shorten the residual is halved until it does (Dennis and Schnabel, Numerical Methods for Unconstrained Optimization and
//! Nonlinear Equations, SIAM 1996, section 6.3).

use nalgebra::DVector;

use crate::basis::{Basis, Elimination};
use crate::block::{Block, Local};
use crate::sparse::SparseRows;

/// Blocks of more columns are solved by sparse elimination.
pub(crate) const DENSE: usize = 40;

/// A point of the block, with its rows there taken as straight.
struct Linearised {
    at: Local,
    off: DVector<f64>,
    jacobian: SparseRows,
}

impl Linearised {
    fn at(block: &Block<'_, '_>, slots: &[usize], at: Local) -> Self {
        let (off, jacobian) = block.linearised(slots);
        Self { at, off, jacobian }
    }
}

/// Searches from the block's present point, and leaves it at the solution. The steps taken; none if a step finds no way on.
pub(crate) fn descend(block: &Block<'_, '_>, within: f64) -> Option<u64> {
    /// More steps than any chain of frames took.
    const STEPS: u64 = 40;
    let slots = block.slots();
    let mut elimination = Elimination::new(block.width());
    let mut here = Linearised::at(block, &slots, block.local());
    for taken in 0..STEPS {
        let off = here.off.amax();
        if off == 0.0 {
            return Some(taken);
        }
        let step = newton_step(block, &here, &mut elimination)?;
        // one step more than is needed: a residual that is just within would still show in a chain
        if off <= within {
            block.put(&block.retract(&here.at, &step));
            let better = block.residuals().amax() <= off;
            if !better {
                block.put(&here.at);
            }
            return Some(taken + 1);
        }
        here = shortened(block, &slots, &here, &step)?;
    }
    None
}

/// The step to where the rows, taken as straight, are zero; none where they are dependent.
fn newton_step(
    block: &Block<'_, '_>,
    here: &Linearised,
    elimination: &mut Elimination,
) -> Option<DVector<f64>> {
    let mut basis = Basis::of_block(block.units().as_slice());
    elimination.count(&here.jacobian);
    for (at, row) in here.jacobian.iter().enumerate() {
        if !basis.offer(at, row, elimination) {
            return None;
        }
    }
    let due: Vec<(usize, f64)> = here.off.iter().map(|by| -by).enumerate().collect();
    let mut step = DVector::zeros(block.width());
    for (slot, by) in basis.respond(&due) {
        step[slot] = by;
    }
    Some(step)
}

/// Goes as much of a step as shortens the residual, and leaves the block there.
fn shortened(
    block: &Block<'_, '_>,
    slots: &[usize],
    here: &Linearised,
    step: &DVector<f64>,
) -> Option<Linearised> {
    /// The residual is to become shorter by this part of the share of the step that is gone.
    const GAIN: f64 = 0.1;
    /// The shortest share that is tried.
    const SHORTEST: f64 = 1.0 / 128.0;
    let before = here.off.norm();
    let mut share = 1.0;
    while share >= SHORTEST {
        let next = block.retract(&here.at, &(step * share));
        block.put(&next);
        let next = Linearised::at(block, slots, next);
        // what is no number compares as false
        if next.off.norm() <= (1.0 - GAIN * share) * before {
            return Some(next);
        }
        share /= 2.0;
    }
    block.put(&here.at);
    None
}
