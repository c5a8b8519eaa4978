//! What became of each equation. In: a state, and which rows are kept or wait. Out: verdicts.

use std::collections::BTreeSet;

use crate::basis::Basis;
use crate::rows::Rows;
use crate::solution::Verdict;
use crate::system::{EquationId, State};
use crate::tolerance::Tolerances;

/// The verdicts on all equations.
pub(crate) fn judge(
    rows: &Rows<'_>,
    basis: &Basis,
    waiting: &BTreeSet<usize>,
    (state, values): (&State, &[f64]),
    tolerances: &Tolerances,
) -> Vec<Verdict> {
    let mut kept = vec![false; rows.ids.len()];
    for row in &basis.kept {
        kept[*row] = true;
    }
    (0..rows.system.equation_count())
        .map(|index| {
            let id = EquationId(index as u32);
            let role = Role {
                places: rows.of(id).any(|row| kept[row]),
                waits: rows.of(id).any(|row| waiting.contains(&row)),
            };
            verdict(rows, id, role, (state, |row| values[row]), tolerances)
        })
        .collect()
}

/// What an equation does.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Role {
    /// One of its rows is kept.
    pub(crate) places: bool,
    /// One of its rows was not reached and reads something unsettled.
    pub(crate) waits: bool,
}

/// The verdict on an equation, of which the rows come to `values` in a state.
pub(crate) fn verdict(
    rows: &Rows<'_>,
    id: EquationId,
    role: Role,
    (state, values): (&State, impl Fn(usize) -> f64),
    tolerances: &Tolerances,
) -> Verdict {
    let system = rows.system;
    let within = tolerances.spare * system.reference_length();
    // written so that a value that is no number doesn't count as holding
    if rows.of(id).all(|row| values(row).abs() <= within) {
        return if role.places {
            Verdict::Places
        } else {
            Verdict::Spare
        };
    }
    let misses = system.miss(system.get_equation(id), state).into_iter();
    let larger = |worst: f64, m: f64| if m.abs() > worst.abs() { m } else { worst };
    let miss = misses.fold(0.0, larger);
    if role.waits {
        Verdict::Waits { miss }
    } else {
        Verdict::AtOdds { miss }
    }
}
