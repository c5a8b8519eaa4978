//! The way from a system to its solution, step by step as in the method's description:
//! choose what to keep, place it, choose again at the solution, and judge what was not kept.

use std::collections::BTreeSet;
use std::time::Instant;

use crate::basis::{Basis, SparseRow};
use crate::error::SolveError;
use crate::place::place;
use crate::rough::with_turns_held;
use crate::rows::Rows;
use crate::solution::{Report, Solution, Verdict};
use crate::square::Square;
use crate::system::{EquationId, State, System};
use crate::tolerance::Tolerances;

/// Solves a system: the most trusted equations that can hold together hold exactly, and every other
/// one is judged against them. Nothing is smeared over equations at odds.
///
/// # Errors
/// [`SolveError`] when no such state was found; there is no partial result.
pub fn solve<'a>(system: &'a System, tolerances: &Tolerances) -> Result<Solution<'a>, SolveError> {
    let begun = Instant::now();
    let rows = Rows::new(system);
    let mut state = system.start();
    check_finite(&rows, &state)?;
    let mut report = Report {
        unknowns: rows.unknowns.len(),
        rows: rows.ids.len(),
        ..Report::default()
    };

    if !rows.all_affine() {
        with_turns_held(&rows, &mut state, tolerances);
    }
    let generic = rows.generic_near(&state, tolerances.generic);
    let mut jacobian = rows.jacobian(&generic);
    let mut given_up: BTreeSet<usize> = BTreeSet::new();
    let mut waiting: BTreeSet<usize> = BTreeSet::new();
    let mut basis = choose(&rows, &jacobian, &given_up, tolerances);
    let placed = loop {
        report.rounds += 1;
        let here = rows.jacobian(&state);
        let square = Square::new(&basis, rows.unknowns.len(), &[&jacobian, &here]);
        let placed = place(&rows, &square, &mut state, tolerances)?;
        report.iterations += placed.iterations;
        if rows.all_affine() {
            break placed;
        }
        jacobian = rows.jacobian(&state);
        given_up.extend(placed.given_up.iter().chain(&placed.waiting));
        waiting.extend(&placed.waiting);
        let next = choose(&rows, &jacobian, &given_up, tolerances);
        let changed = first_difference(&basis, &given_up, &next);
        basis = next;
        match changed {
            None => break placed,
            Some(row) if report.rounds == tolerances.rounds => {
                return Err(SolveError::NoBasis {
                    rounds: report.rounds,
                    equation: rows.ids[row].equation,
                });
            }
            Some(_) => {}
        }
    };

    check_kept(&rows, &basis, &state, tolerances, &mut report)?;
    report.rank = basis.rank();
    report.freedoms = report.unknowns - report.rank;
    report.blocks = placed.blocks.len();
    report.largest_block = placed
        .blocks
        .iter()
        .map(|block| block.columns.len())
        .max()
        .unwrap_or(0);
    let verdicts = judge(&rows, &basis, &waiting, &state, tolerances);
    report.seconds = begun.elapsed().as_secs_f64();
    Ok(Solution {
        rows,
        state,
        basis,
        verdicts,
        report,
        blocks: placed.blocks,
    })
}

fn check_finite(rows: &Rows<'_>, state: &State) -> Result<(), SolveError> {
    match (0..rows.ids.len()).find(|row| !rows.value(*row, state).is_finite()) {
        None => Ok(()),
        Some(row) => Err(SolveError::NotFinite {
            equation: rows.ids[row].equation,
        }),
    }
}

/// The greedy basis without the rows that were given up: those can't be reached together with more trusted
/// ones, though to first order they seem independent.
fn choose(
    rows: &Rows<'_>,
    jacobian: &[SparseRow],
    given_up: &BTreeSet<usize>,
    tolerances: &Tolerances,
) -> Basis {
    Basis::of(rows, jacobian, |row| !given_up.contains(&row), tolerances)
}

/// A row that one basis keeps and the other doesn't, those given up counted as not kept.
fn first_difference(before: &Basis, given_up: &BTreeSet<usize>, after: &Basis) -> Option<usize> {
    let mut kept: Vec<usize> = before
        .kept
        .iter()
        .copied()
        .filter(|row| !given_up.contains(row))
        .collect();
    let mut now = after.kept.clone();
    kept.sort_unstable();
    now.sort_unstable();
    let missing = kept.iter().find(|row| now.binary_search(row).is_err());
    let extra = now.iter().find(|row| kept.binary_search(row).is_err());
    missing.or(extra).copied()
}

fn check_kept(
    rows: &Rows<'_>,
    basis: &Basis,
    state: &State,
    tolerances: &Tolerances,
    report: &mut Report,
) -> Result<(), SolveError> {
    let within = 10.0 * tolerances.converged * rows.system.reference_length();
    for row in &basis.kept {
        let miss = rows.value(*row, state);
        report.largest_residual = report.largest_residual.max(miss.abs());
        let holds = miss.abs() <= within;
        if !holds {
            return Err(SolveError::not_converged(rows.ids[*row].equation, miss));
        }
    }
    Ok(())
}

fn judge(
    rows: &Rows<'_>,
    basis: &Basis,
    waiting: &BTreeSet<usize>,
    state: &State,
    tolerances: &Tolerances,
) -> Vec<Verdict> {
    let mut kept = vec![false; rows.ids.len()];
    for row in &basis.kept {
        kept[*row] = true;
    }
    let within = tolerances.spare * rows.system.reference_length();
    let system = rows.system;
    (0..system.equation_count())
        .map(|index| {
            let id = EquationId(index as u32);
            let miss = system
                .miss(system.get_equation(id), state)
                .into_iter()
                .fold(
                    0.0_f64,
                    |worst, m| if m.abs() > worst.abs() { m } else { worst },
                );
            let residual = rows.of(id).map(|row| rows.value(row, state).abs());
            let holds = residual.fold(0.0, f64::max) <= within;
            match (holds, rows.of(id).any(|row| kept[row])) {
                (false, _) if rows.of(id).any(|row| waiting.contains(&row)) => {
                    Verdict::Waits { miss }
                }
                (false, _) => Verdict::AtOdds { miss },
                (true, true) => Verdict::Places,
                (true, false) => Verdict::Spare,
            }
        })
        .collect()
}
