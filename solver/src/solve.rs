//! The way from a system to its solution, step by step as in the method's description:
//! choose what to keep, place it, choose again at the solution, and judge what was not kept.

use std::cell::{OnceCell, RefCell};
use std::collections::BTreeSet;
use std::time::Instant;

use crate::basis::{Basis, Elimination};
use crate::direct;
use crate::error::SolveError;
use crate::judge::judge;
use crate::place::place;
use crate::rough::with_turns_held;
use crate::rows::Rows;
use crate::solution::{Report, Solution};
use crate::sparse::SparseRows;
use crate::square::Square;
use crate::system::{State, System};
use crate::tolerance::Tolerances;

/// Solves a system: the most trusted equations that can hold together hold exactly, and every other
/// one is judged against them. Nothing is smeared over equations at odds.
///
/// # Errors
/// [`SolveError`] when no such state was found; there is no partial result.
pub fn solve<'a>(system: &'a System, tolerances: &Tolerances) -> Result<Solution<'a>, SolveError> {
    solve_by(system, tolerances, direct::settle)
}

/// The same with a way to try first.
fn solve_by<'a>(
    system: &'a System,
    tolerances: &Tolerances,
    first: impl FnOnce(&Rows<'_>, &mut State, &Tolerances) -> Option<Settled>,
) -> Result<Solution<'a>, SolveError> {
    let begun = Instant::now();
    let rows = Rows::new(system);
    let mut state = system.start();
    // a value that is no number is told by the long way
    let direct = first(&rows, &mut state, tolerances).and_then(|settled| {
        let values = rows.values(&state);
        let finite = values.iter().all(|value| value.is_finite());
        finite.then_some((settled, values))
    });
    let (settled, values) = match direct {
        Some(direct) => direct,
        None => {
            state = system.start();
            check_finite(&rows, &state)?;
            if !rows.all_affine() {
                with_turns_held(&rows, &mut state, tolerances);
            }
            let settled = settle(&rows, &mut state, tolerances)?;
            let values = rows.values(&state);
            (settled, values)
        }
    };
    let Settled { basis, waiting, .. } = settled;
    let mut report = Report {
        unknowns: rows.unknowns.len(),
        rows: rows.ids.len(),
        rank: basis.rank(),
        freedoms: rows.unknowns.len() - basis.rank(),
        blocks: settled.blocks,
        largest_block: settled.largest_block,
        iterations: settled.iterations,
        rounds: settled.rounds,
        largest_residual: check_kept(&rows, &basis, &values, tolerances)?,
        seconds: 0.0,
    };
    let verdicts = judge(&rows, &basis, &waiting, (&state, &values), tolerances);
    report.seconds = begun.elapsed().as_secs_f64();
    let elimination = RefCell::new(Elimination::new(rows.unknowns.len()));
    Ok(Solution {
        rows,
        state,
        basis,
        verdicts,
        report,
        order: OnceCell::new(),
        beside: OnceCell::new(),
        readers: OnceCell::new(),
        elimination,
        downstream: RefCell::new(None),
    })
}

fn check_finite(rows: &Rows<'_>, state: &State) -> Result<(), SolveError> {
    match (rows.values(state).iter()).position(|value| !value.is_finite()) {
        None => Ok(()),
        Some(row) => Err(SolveError::NotFinite {
            equation: rows.ids[row].equation,
        }),
    }
}

/// What either way came to.
pub(crate) struct Settled {
    pub(crate) basis: Basis,
    /// Rows that were not reached and depend on something unsettled.
    pub(crate) waiting: BTreeSet<usize>,
    /// How many blocks were solved, and the columns of the largest.
    pub(crate) blocks: usize,
    pub(crate) largest_block: usize,
    pub(crate) iterations: u64,
    pub(crate) rounds: usize,
}

/// Chooses what to keep, places it, and chooses again at the solution, until the choice stands.
///
/// The choice is made at a generic point near the state as long as a round gave rows up: where a row misses least,
/// the derivatives of others may vanish. A row given up may be reached in a later round, once a more trusted one that
/// stood in its way has moved: when the choice stands each is offered once more, if it is independent of what is kept.
fn settle(
    rows: &Rows<'_>,
    state: &mut State,
    tolerances: &Tolerances,
) -> Result<Settled, SolveError> {
    let generic = rows.jacobian(&rows.generic_near(state, tolerances.generic));
    let (mut rounds, mut iterations, mut changes) = (0, 0, 0);
    let mut offered_again: BTreeSet<usize> = BTreeSet::new();
    let mut given_up: BTreeSet<usize> = BTreeSet::new();
    let mut waiting: BTreeSet<usize> = BTreeSet::new();
    let mut basis = choose(rows, &generic, &given_up, tolerances);
    let mut jacobians = [generic, SparseRows::default()];
    loop {
        rounds += 1;
        jacobians[1] = rows.jacobian(state);
        let square = Square::of(&basis, rows.unknowns.len(), &jacobians);
        let placed = place(rows, &square, state, tolerances)?;
        iterations += placed.iterations;
        let lost = !placed.given_up.is_empty() || !placed.waiting.is_empty();
        given_up.extend(&placed.given_up);
        given_up.extend(&placed.waiting);
        waiting.extend(&placed.waiting);
        if lost {
            let near = rows.jacobian(&rows.generic_near(state, tolerances.generic));
            basis = choose(rows, &near, &given_up, tolerances);
            continue;
        }
        if !rows.all_affine() {
            let next = choose(rows, &rows.jacobian(state), &given_up, tolerances);
            let changed = first_difference(&basis, &next);
            basis = next;
            if let Some(row) = changed {
                changes += 1;
                if changes == tolerances.rounds {
                    return Err(SolveError::NoBasis {
                        rounds,
                        equation: rows.ids[row].equation,
                    });
                }
                continue;
            }
        }
        let open = open_again(rows, state, &given_up, tolerances);
        let again: Vec<usize> = open.rows.difference(&offered_again).copied().collect();
        if again.is_empty() {
            // a row that depends on what is kept is at odds, whatever is loose
            waiting.retain(|row| open.rows.contains(row));
            return Ok(Settled {
                basis,
                waiting,
                blocks: placed.blocks.len(),
                largest_block: placed.blocks.widest(),
                iterations,
                rounds,
            });
        }
        for row in again {
            given_up.remove(&row);
            waiting.remove(&row);
            offered_again.insert(row);
        }
        basis = choose(rows, &open.near, &given_up, tolerances);
    }
}

/// What was given up and may be reached yet.
#[derive(Default)]
struct Open {
    rows: BTreeSet<usize>,
    /// The Jacobian at the generic point at which that was judged.
    near: SparseRows,
}

/// The rows given up that are independent of those kept, at a generic point near the state.
fn open_again(
    rows: &Rows<'_>,
    state: &State,
    given_up: &BTreeSet<usize>,
    tolerances: &Tolerances,
) -> Open {
    if given_up.is_empty() {
        return Open::default();
    }
    let near = rows.jacobian(&rows.generic_near(state, tolerances.generic));
    let known = choose(rows, &near, given_up, tolerances);
    let mut elimination = Elimination::new(rows.unknowns.len());
    let is_open = |row: &usize| {
        let told = known.express(near.row(*row), &mut elimination);
        !told.rest.is_empty()
    };
    Open {
        rows: given_up.iter().copied().filter(is_open).collect(),
        near,
    }
}

/// The greedy basis without the rows that were given up: those can't be reached together with more trusted
/// ones, though to first order they seem independent.
fn choose(
    rows: &Rows<'_>,
    jacobian: &SparseRows,
    given_up: &BTreeSet<usize>,
    tolerances: &Tolerances,
) -> Basis {
    Basis::of(rows, jacobian, |row| !given_up.contains(&row), tolerances)
}

/// A row that one basis keeps and the other doesn't.
fn first_difference(before: &Basis, after: &Basis) -> Option<usize> {
    let mut kept = before.kept.clone();
    let mut now = after.kept.clone();
    kept.sort_unstable();
    now.sort_unstable();
    let missing = kept.iter().find(|row| now.binary_search(row).is_err());
    let extra = now.iter().find(|row| kept.binary_search(row).is_err());
    missing.or(extra).copied()
}

/// The largest residual of the kept rows, in millimetres; an error if one doesn't hold.
fn check_kept(
    rows: &Rows<'_>,
    basis: &Basis,
    values: &[f64],
    tolerances: &Tolerances,
) -> Result<f64, SolveError> {
    let within = 10.0 * tolerances.converged * rows.system.reference_length();
    let mut largest = 0.0_f64;
    for row in &basis.kept {
        let miss = values[*row];
        largest = largest.max(miss.abs());
        let holds = miss.abs() <= within;
        if !holds {
            return Err(SolveError::not_converged(rows.ids[*row].equation, miss));
        }
    }
    Ok(largest)
}

#[cfg(test)]
mod tests;
