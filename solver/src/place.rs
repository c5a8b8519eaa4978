//! Placing: the kept rows, block after block, from the present state.
//!
//! The kept rows and their pivot columns make a square system with a perfect matching. Its strongly
//! connected blocks are solved in order (Dulmage and Mendelsohn 1958; Pothen and Fan, ACM TOMS
//! 16(4), 1990), each from the drawn position: a block of one affine row is a division, an affine
//! block one step of Newton's, any other one Levenberg–Marquardt.

use crate::basis::{Basis, SparseRow};
use crate::block::Block;
use crate::error::SolveError;
use crate::rank::{RowScale, independent_rows};
use crate::rows::Rows;
use crate::structure::{Matching, Pattern, maximum_matching, solve_order};
use crate::system::State;
use crate::tolerance::Tolerances;

/// What placing did.
#[derive(Debug, Default)]
pub(crate) struct Placed {
    /// Kept rows that turned out to be unreachable together with more trusted ones of their block.
    pub(crate) given_up: Vec<usize>,
    /// Rows and columns of each block, in the order solved.
    pub(crate) blocks: Vec<(Vec<usize>, Vec<usize>)>,
    pub(crate) iterations: u64,
}

/// The kept rows with the columns they are to find.
pub(crate) struct Square {
    rows: Vec<usize>,
    columns: Vec<usize>,
    pattern: Pattern,
    matching: Matching,
}

impl Square {
    /// The square system of a basis. The patterns of several Jacobians are united: a zero counts as
    /// structural only where it is one at each of the states.
    pub(crate) fn new(basis: &Basis, column_count: usize, jacobians: &[&[SparseRow]]) -> Self {
        let mut columns: Vec<usize> = basis.pivots().collect();
        columns.sort_unstable();
        let mut slot = vec![None; column_count];
        for (at, column) in columns.iter().enumerate() {
            slot[*column] = Some(at);
        }
        let mut pattern = Pattern::new(columns.len());
        for row in &basis.kept {
            let mut entries: Vec<usize> = jacobians
                .iter()
                .flat_map(|jacobian| jacobian[*row].iter())
                .filter_map(|(column, _)| slot[*column])
                .collect();
            entries.sort_unstable();
            entries.dedup();
            // columns come from `slot`, so they are in range
            let _ = pattern.push_row(entries);
        }
        let matching = maximum_matching(&pattern);
        Self {
            rows: basis.kept.clone(),
            columns,
            pattern,
            matching,
        }
    }

    /// Blocks in solve order, as rows and columns of the whole system.
    fn blocks(&self) -> Vec<(Vec<usize>, Vec<usize>)> {
        if self.matching.size() < self.rows.len() {
            // only rounding can bring this about; one block is slow and always right
            return vec![(self.rows.clone(), self.columns.clone())];
        }
        solve_order(&self.pattern, &self.matching)
            .iter()
            .map(|block| {
                let mut rows: Vec<usize> = block.rows.to_vec();
                rows.sort_unstable();
                (
                    rows.into_iter().map(|r| self.rows[r]).collect(),
                    block.cols.iter().map(|c| self.columns[*c]).collect(),
                )
            })
            .collect()
    }
}

/// Solves the square system's blocks in order and moves `state` to the solution.
pub(crate) fn place(
    rows: &Rows<'_>,
    square: &Square,
    state: &mut State,
    tolerances: &Tolerances,
) -> Result<Placed, SolveError> {
    let mut placed = Placed {
        blocks: square.blocks(),
        ..Placed::default()
    };
    let within = tolerances.converged * rows.system.reference_length();
    let blocks = std::mem::take(&mut placed.blocks);
    for (chosen, columns) in &blocks {
        solve_block(rows, chosen, columns, state, within, &mut placed)?;
    }
    placed.blocks = blocks;
    Ok(placed)
}

fn solve_block(
    rows: &Rows<'_>,
    chosen: &[usize],
    columns: &[usize],
    state: &mut State,
    within: f64,
    placed: &mut Placed,
) -> Result<(), SolveError> {
    let affine = chosen.iter().all(|row| rows.is_affine_in(*row, columns));
    if let ([row], [column], true) = (chosen, columns, affine) {
        return divide(rows, *row, *column, state, within);
    }
    let start = state.clone();
    let reached = reach(
        rows,
        chosen,
        columns,
        std::mem::replace(state, State::empty()),
        within,
    );
    placed.iterations += reached.iterations;
    if reached.residual <= within {
        *state = reached.state;
        return Ok(());
    }
    *state = start;
    one_by_one(rows, chosen, columns, state, within, placed)
}

/// Where a search for a block's solution ended.
struct Reached {
    state: State,
    residual: f64,
    iterations: u64,
}

/// Searches a block's solution from the present state: by Newton's method where the block is affine, by
/// Levenberg–Marquardt, and, where that comes to rest elsewhere, from points beside the start. A start
/// on a line of symmetry holds the search there although a solution lies to either side of it.
fn reach(
    rows: &Rows<'_>,
    chosen: &[usize],
    columns: &[usize],
    state: State,
    within: f64,
) -> Reached {
    /// How far beside the start to try, relative to the reference length; the nearest first.
    const BESIDE: [f64; 3] = [1e-3, 0.02, 0.2];
    let affine = chosen.iter().all(|row| rows.is_affine_in(*row, columns));
    let start = state.clone();
    let block = Block::new(rows, chosen.to_vec(), columns.to_vec(), state);
    if affine && chosen.len() == columns.len() {
        let residual = block.newton(2);
        if residual <= within {
            return Reached {
                state: block.into_state(),
                residual,
                iterations: 0,
            };
        }
    }
    let mut best = search(block, within);
    for spread in BESIDE {
        if best.residual <= within || affine {
            break;
        }
        let beside = rows.beside(&start, columns, spread);
        let block = Block::new(rows, chosen.to_vec(), columns.to_vec(), beside);
        let next = search(block, within);
        let iterations = best.iterations + next.iterations;
        if next.residual <= within {
            best = next;
        }
        best.iterations = iterations;
    }
    best
}

fn search(block: Block<'_, '_>, within: f64) -> Reached {
    let (block, ended) = block.minimise(within);
    let residual = if ended.residual > within && block.is_square() {
        block.newton(3)
    } else {
        ended.residual
    };
    Reached {
        state: block.into_state(),
        residual,
        iterations: ended.iterations,
    }
}

/// One affine row with one unknown.
fn divide(
    rows: &Rows<'_>,
    row: usize,
    column: usize,
    state: &mut State,
    within: f64,
) -> Result<(), SolveError> {
    let var = rows.unknowns[column];
    let derivative = |state: &State| {
        let d = rows.system.derivatives(rows.equation(row), state, &[var]);
        d[rows.ids[row].row][0]
    };
    // the second pass takes out the rounding of the first when the step was long
    for _ in 0..2 {
        let value = rows.value(row, state);
        if value == 0.0 {
            return Ok(());
        }
        rows.step(state, column, -value / derivative(state));
    }
    let miss = rows.value(row, state);
    if miss.abs() <= within {
        Ok(())
    } else {
        Err(SolveError::not_converged(rows.ids[row].equation, miss))
    }
}

/// Takes the rows of a block in order of trust and gives up each one that can't be reached with those
/// before it, provided that it is dependent on them: otherwise the search has failed, not the row.
fn one_by_one(
    rows: &Rows<'_>,
    chosen: &[usize],
    columns: &[usize],
    state: &mut State,
    within: f64,
    placed: &mut Placed,
) -> Result<(), SolveError> {
    let mut in_order = chosen.to_vec();
    in_order.sort_by_key(|row| rows.trust_position(*row));
    let mut accepted: Vec<usize> = Vec::new();
    for row in in_order {
        accepted.push(row);
        let reached = reach(rows, &accepted, columns, state.clone(), within);
        placed.iterations += reached.iterations;
        if reached.residual <= within {
            *state = reached.state;
            continue;
        }
        // the compromise is where the rows come nearest to holding together: those accepted before are
        // solved again from there, so that the miss of the one given up is the least there is
        let here = Block::new(
            rows,
            accepted.clone(),
            columns.to_vec(),
            reached.state.clone(),
        );
        let mut dependent = lacks_rank(&here);
        let miss = reached.residual;
        accepted.pop();
        let again = reach(rows, &accepted, columns, reached.state, within);
        if again.residual <= within {
            *state = again.state;
        }
        let mut all = accepted.clone();
        all.push(row);
        dependent |= lacks_rank(&Block::new(rows, all, columns.to_vec(), state.clone()));
        if !dependent {
            return Err(SolveError::not_converged(rows.ids[row].equation, miss));
        }
        placed.given_up.push(row);
    }
    Ok(())
}

fn lacks_rank(block: &Block<'_, '_>) -> bool {
    /// A block that could not be solved ends near, not at, the point where its rows are dependent.
    const NEARLY: f64 = 1e-5;
    let jacobian = block.derivatives();
    independent_rows(&jacobian, RowScale::Stated(&[]), NEARLY).rank < jacobian.nrows()
}
