//! Placing: the kept rows, block after block, from the present state.
//!
//! A block of one affine row is a division, an affine block one step of Newton's, any other one a search.
//! Where a block's rows can't hold together, it is tried again with what it depends on and nothing settles;
//! then they are taken in the order of trust, and each one that can't be reached together with those before
//! it is given up where it misses least.

use crate::block::{Block, Ended};
use crate::error::SolveError;
use crate::least_miss::{LeastMiss, least_miss};
use crate::rows::{Linear, Rows};
use crate::search::{reach, search};
use crate::square::{BlockList, BlockOf, Square};
use crate::system::State;
use crate::tolerance::Tolerances;

/// How a block is searched: [`reach`] tries again from beside the start, [`search`] once, for blocks with something
/// unsettled, where no end is the only right one.
type Search = fn(&Block<'_, '_>, f64) -> Ended;

/// What placing did.
#[derive(Debug, Default)]
pub(crate) struct Placed {
    /// Kept rows that turned out to be unreachable together with more trusted ones of their block.
    pub(crate) given_up: Vec<usize>,
    /// Kept rows that were not reached and read something unsettled: whether they can be is not known.
    pub(crate) waiting: Vec<usize>,
    /// The blocks, in the order solved.
    pub(crate) blocks: BlockList,
    pub(crate) iterations: u64,
}

/// Solves the blocks in order and moves `state` to the solution. Columns that nothing finds stay as drawn, unless a
/// block can't be solved with them held.
pub(crate) fn place(
    rows: &Rows<'_>,
    square: &Square,
    state: &mut State,
    tolerances: &Tolerances,
) -> Result<Placed, SolveError> {
    let mut placed = Placed::default();
    let blocks = square.blocks();
    for at in 0..blocks.len() {
        place_block(rows, square, &blocks, at, state, tolerances, &mut placed)?;
    }
    placed.blocks = blocks;
    Ok(placed)
}

/// Solves one block, those before it being placed.
fn place_block(
    rows: &Rows<'_>,
    square: &Square,
    blocks: &BlockList,
    at: usize,
    state: &mut State,
    tolerances: &Tolerances,
    placed: &mut Placed,
) -> Result<(), SolveError> {
    /// A block joined with more columns than this is not searched: its rows wait.
    const WIDEST: usize = 150;
    let within = tolerances.converged * rows.system.reference_length();
    let block = blocks.get(at);
    let start = Block::new(rows, &[], block.columns, state).local();
    let reached = divide(rows, block, state, tolerances, &mut Linear::default())
        || reach_or_return(rows, block, state, within, &mut placed.iterations, reach);
    if reached && !is_far(rows, block, state) {
        return Ok(());
    }
    let most_trusted = block.rows.iter().map(|row| rows.trust_position(*row)).min();
    let movable = square.with_movable(blocks, at, |row| {
        !reached && Some(rows.trust_position(row)) > most_trusted
    });
    let mut wider = movable.block;
    wider
        .rows
        .retain(|row| !placed.given_up.contains(row) && !placed.waiting.contains(row));
    if !movable.unsettled {
        if !reached {
            let alone = wider.columns.len() > WIDEST;
            let chosen = if alone { block } else { wider.as_block() };
            row_by_row(rows, chosen, state, within, placed)
                .map_err(|(row, miss)| SolveError::not_converged(rows.ids[row].equation, miss))?;
        }
        return Ok(());
    }
    Block::new(rows, &[], block.columns, state).put(&start);
    if wider.columns.len() > WIDEST {
        let open = block
            .rows
            .iter()
            .copied()
            .filter(|row| rows.value(*row, state).abs() > within);
        placed.waiting.extend(open);
        return Ok(());
    }
    let wider = wider.as_block();
    let begun = Block::new(rows, &[], wider.columns, state).local();
    if !reach_or_return(rows, wider, state, within, &mut placed.iterations, search)
        || is_far(rows, wider, state)
    {
        Block::new(rows, &[], wider.columns, state).put(&begun);
        row_by_row_or_wait(rows, wider, state, within, placed);
    }
    Ok(())
}

/// Solves what can be solved of the blocks in order; a block that can't stays as drawn.
pub(crate) fn place_roughly(
    rows: &Rows<'_>,
    square: &Square,
    state: &mut State,
    tolerances: &Tolerances,
) {
    let within = tolerances.converged * rows.system.reference_length();
    let mut room = Linear::default();
    for block in square.blocks().iter() {
        let start = Block::new(rows, &[], block.columns, state).local();
        let reached = divide(rows, block, state, tolerances, &mut room)
            || reach_or_return(rows, block, state, within, &mut 0, search);
        if !reached || is_far(rows, block, state) {
            Block::new(rows, &[], block.columns, state).put(&start);
        }
    }
}

/// Solves one affine row with one unknown. The answer is false, and the state as it was, for any other
/// block, and where the derivative has vanished with the turns found before.
pub(crate) fn divide(
    rows: &Rows<'_>,
    block: BlockOf<'_>,
    state: &mut State,
    tolerances: &Tolerances,
    room: &mut Linear,
) -> bool {
    let ([row], [column]) = (block.rows, block.columns) else {
        return false;
    };
    if !rows.is_affine_in(*row, &[*column]) {
        return false;
    }
    let var = rows.unknowns[*column];
    let start = state.value(var);
    let within = tolerances.converged * rows.system.reference_length();
    let mut value = rows.linear(*row, state, room);
    let derivative = room.by(*column);
    let sound = derivative.abs() * rows.unit(*column) > tolerances.dependent;
    // the second pass takes out the rounding of the first when the step was long
    for _ in 0..2 {
        if value == 0.0 {
            return true;
        }
        if !sound {
            break;
        }
        state.values[var.index()] -= value / derivative;
        value = rows.linear(*row, state, room);
    }
    // written so that a residual that is no number counts as not reached
    let reached = value.abs() <= within;
    if !reached {
        state.values[var.index()] = start;
    }
    reached
}

/// Whether a block was solved far from anything drawn, as where a face is met that it all but runs along. What is far
/// because a long way was stated to it is where it belongs: an affine block, unless a derivative all but vanishes.
pub(crate) fn is_far(rows: &Rows<'_>, block: BlockOf<'_>, state: &State) -> bool {
    /// In reference lengths.
    const FAR: f64 = 100.0;
    /// A derivative below this is that of a face that is all but run along.
    const GRAZING: f64 = 1e-3;
    let far = FAR * rows.system.reference_length();
    let is_far = |column: &usize| state.value(rows.unknowns[*column]).abs() > far;
    if !block.columns.iter().any(is_far) {
        return false;
    }
    let affine = |row: &usize| rows.is_affine_in(*row, block.columns);
    if !block.rows.iter().all(affine) {
        return true;
    }
    match (block.rows, block.columns) {
        ([row], [column]) => {
            let mut room = Linear::default();
            rows.linear(*row, state, &mut room);
            room.by(*column).abs() * rows.unit(*column) < GRAZING
        }
        _ => false,
    }
}

/// Searches a block's solution; the state is left there, or else as it was.
fn reach_or_return(
    rows: &Rows<'_>,
    block: BlockOf<'_>,
    state: &mut State,
    within: f64,
    iterations: &mut u64,
    by: Search,
) -> bool {
    let block = Block::new(rows, block.rows, block.columns, state);
    let start = block.local();
    let ended = by(&block, within);
    *iterations += ended.iterations;
    let reached = ended.residual <= within;
    if !reached {
        block.put(&start);
    }
    reached
}

/// Takes the rows of a block in the order of trust and gives up those that can't hold. The error is a row for which
/// the search failed, with its miss.
fn row_by_row(
    rows: &Rows<'_>,
    block: BlockOf<'_>,
    state: &mut State,
    within: f64,
    placed: &mut Placed,
) -> Result<(), (usize, f64)> {
    let mut accepted: Vec<usize> = Vec::with_capacity(block.rows.len());
    for row in in_order_of_trust(rows, block) {
        accepted.push(row);
        let with_it = Block::new(rows, &accepted, block.columns, state);
        if !take_up(&with_it, within, placed).map_err(|miss| (row, miss))? {
            accepted.pop();
            placed.given_up.push(row);
        }
    }
    Ok(())
}

/// Takes the rows of a block with something unsettled in the order of trust. One that is not reached, or runs off, waits
/// until more is stated: what is loose may stand in its way.
fn row_by_row_or_wait(
    rows: &Rows<'_>,
    block: BlockOf<'_>,
    state: &mut State,
    within: f64,
    placed: &mut Placed,
) {
    let mut accepted: Vec<usize> = Vec::with_capacity(block.rows.len());
    for row in in_order_of_trust(rows, block) {
        accepted.push(row);
        if rows.value(row, state).abs() <= within {
            continue;
        }
        let with_it = Block::new(rows, &accepted, block.columns, state);
        let start = with_it.local();
        let ended = search(&with_it, within);
        placed.iterations += ended.iterations;
        if ended.residual > within || is_far(rows, block, state) {
            Block::new(rows, &[], block.columns, state).put(&start);
            accepted.pop();
            placed.waiting.push(row);
        }
    }
}

fn in_order_of_trust(rows: &Rows<'_>, block: BlockOf<'_>) -> Vec<usize> {
    let mut in_order = block.rows.to_vec();
    in_order.sort_by_key(|row| rows.trust_position(*row));
    in_order
}

/// Solves rows of which all but the last hold already. The answer is whether the last one holds too; if it
/// can't, it is left where it misses least while the others hold, which shows that it is dependent on them
/// there. Where no such place is found the search has failed, not the row: the error is the miss.
fn take_up(block: &Block<'_, '_>, within: f64, placed: &mut Placed) -> Result<bool, f64> {
    /// The miss counts as the least where Newton's next step is this short, relative to the reference length.
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
        .filter(|least| least.unrest <= AT_REST || least.miss.abs() <= within)
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
