//! Placing: the kept rows, block after block, from the present state.
//!
//! A block of one affine row is a division, an affine block one step of Newton's, any other one a search.
//! Where a block's rows can't hold together, they are taken in the order of trust, and each one that
//! can't be reached together with those before it is given up where it misses least.

use crate::block::Block;
use crate::error::SolveError;
use crate::least_miss::{LeastMiss, least_miss};
use crate::rows::Rows;
use crate::search::reach;
use crate::square::BlockRows;
use crate::system::State;
use crate::tolerance::Tolerances;

/// What placing did.
#[derive(Debug, Default)]
pub(crate) struct Placed {
    /// Kept rows that turned out to be unreachable together with more trusted ones of their block.
    pub(crate) given_up: Vec<usize>,
    /// The blocks, in the order solved.
    pub(crate) blocks: Vec<BlockRows>,
    pub(crate) iterations: u64,
}

/// Solves the blocks in order and moves `state` to the solution.
pub(crate) fn place(
    rows: &Rows<'_>,
    blocks: Vec<BlockRows>,
    state: &mut State,
    tolerances: &Tolerances,
) -> Result<Placed, SolveError> {
    let within = tolerances.converged * rows.system.reference_length();
    let mut placed = Placed::default();
    for block in &blocks {
        if !divide(rows, block, state, within) {
            solve_block(rows, block, state, within, &mut placed)?;
        }
    }
    placed.blocks = blocks;
    Ok(placed)
}

/// Solves one affine row with one unknown. The answer is false, and the state as it was, for any other
/// block, and where the derivative has vanished with the turns found before.
fn divide(rows: &Rows<'_>, block: &BlockRows, state: &mut State, within: f64) -> bool {
    let ([row], [column]) = (&block.rows[..], &block.columns[..]) else {
        return false;
    };
    if !rows.is_affine_in(*row, &[*column]) {
        return false;
    }
    let var = rows.unknowns[*column];
    let equation = rows.equation(*row);
    let start = state.value(var);
    // the second pass takes out the rounding of the first when the step was long
    for _ in 0..2 {
        let value = rows.value(*row, state);
        if value == 0.0 {
            return true;
        }
        let derivatives = rows.system.derivatives(equation, state, &[var]);
        state.values[var.index()] -= value / derivatives[rows.ids[*row].row][0];
    }
    // written so that a residual that is no number counts as not reached
    let reached = rows.value(*row, state).abs() <= within;
    if !reached {
        state.values[var.index()] = start;
    }
    reached
}

fn solve_block(
    rows: &Rows<'_>,
    block: &BlockRows,
    state: &mut State,
    within: f64,
    placed: &mut Placed,
) -> Result<(), SolveError> {
    let together = Block::new(rows, &block.rows, &block.columns, state);
    let start = together.local();
    let ended = reach(&together, within);
    placed.iterations += ended.iterations;
    if ended.residual <= within {
        return Ok(());
    }
    together.put(&start);
    let mut in_order = block.rows.clone();
    in_order.sort_by_key(|row| rows.trust_position(*row));
    let mut accepted: Vec<usize> = Vec::with_capacity(in_order.len());
    for row in in_order {
        accepted.push(row);
        let with_it = Block::new(rows, &accepted, &block.columns, state);
        let holds = take_up(&with_it, within, placed)
            .map_err(|miss| SolveError::not_converged(rows.ids[row].equation, miss))?;
        if !holds {
            accepted.pop();
            placed.given_up.push(row);
        }
    }
    Ok(())
}

/// Solves rows of which all but the last hold already. The answer is whether the last one holds too; if it
/// can't, it is left where it misses least while the others hold, which shows that it is dependent on them
/// there. Where no such place is found the search has failed, not the row: the error is the miss.
fn take_up(block: &Block<'_, '_>, within: f64, placed: &mut Placed) -> Result<bool, f64> {
    /// So much of a row's gradient may be left where its miss counts as the least.
    const AT_REST: f64 = 1e-6;
    /// How far beside the compromise the second search begins, relative to the reference length.
    const BESIDE: f64 = 0.02;
    let ended = reach(block, within);
    placed.iterations += ended.iterations;
    if ended.residual <= within {
        return Ok(true);
    }
    // the compromise that the search ended at is near the place where the row misses least; where a symmetry
    // holds it at the place where it misses most, a start beside it gets away
    let compromise = block.local();
    block.scatter(BESIDE);
    let least = [compromise, block.local()]
        .into_iter()
        .filter_map(|from| least_miss(block, from, within))
        .filter(|least| least.slope <= AT_REST || least.miss.abs() <= within)
        .reduce(|a, b| nearer(a, b, within))
        .ok_or(ended.residual)?;
    block.put(&least.at);
    Ok(least.miss.abs() <= within)
}

/// The one that misses less, or the first where they can't be told apart.
fn nearer(first: LeastMiss, second: LeastMiss, within: f64) -> LeastMiss {
    if second.miss.abs() < first.miss.abs() - 10.0 * within {
        second
    } else {
        first
    }
}
