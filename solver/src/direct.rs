//! The direct way: for a system of which all kept rows can be reached from where it is drawn, and nothing has to give way.
//!
//! In: rows at the drawn state. Out: what [`solve`](crate::solve()) settles, by the same rules, or the word that the system asks
//! for the long way, which offers, searches and chooses again. First the sums are [substituted](crate::substitution); only
//! what they leave open is placed roughly, chosen from by elimination, cut into blocks and solved. A choice of rows made so
//! could differ from that in the order of trust where a row that is left over is trusted more than one that its unknowns rest
//! on: then, too, the long way is taken.

use std::collections::BTreeSet;

use crate::basis::{Basis, Elimination};
use crate::block::Block;
use crate::contraction::contract;
use crate::equation::Equation;
use crate::place::{divide, is_far};
use crate::rotation::Rotations;
use crate::rows::{Linear, Rows};
use crate::search::reach;
use crate::solve::Settled;
use crate::sparse::SparseRows;
use crate::square::{BlockOf, Square};
use crate::substitution::Substitution;
use crate::sums::{Sum, Sums};
use crate::system::State;
use crate::tolerance::Tolerances;
use crate::wide;

/// Moves the state to the solution, if the direct way leads there; else the state lies anywhere.
pub(crate) fn settle(
    rows: &Rows<'_>,
    state: &mut State,
    tolerances: &Tolerances,
) -> Option<Settled> {
    let nothing = vec![false; rows.unknowns.len()];
    let first = Substitution::of(rows, rows.all_sums(), &nothing, state);
    let rest = Rest::of(rows, &first)?;
    let mut basis = Basis::none(rows, tolerances);
    let mut elimination = Elimination::new(rows.unknowns.len());
    let substituted = first.steps.len();
    for (row, _) in &first.steps {
        basis.offer(*row, rows.all_sums().0.row(*row), &mut elimination);
    }
    if basis.rank() != substituted {
        return None;
    }
    let mut settled = Settled {
        basis,
        waiting: BTreeSet::new(),
        blocks: substituted,
        largest_block: usize::from(substituted > 0),
        iterations: 0,
        rounds: 1,
    };
    if rest.open.is_empty() {
        return Some(settled);
    }
    let basis = &mut settled.basis;
    rest.place_roughly(state);
    let mut jacobians = vec![rest.jacobian(&rest.generic_near(state, tolerances))];
    rest.choose(basis, &jacobians[0], &mut elimination)?;
    if !rest.is_smooth() {
        jacobians.push(rest.jacobian(state));
    }
    let chosen = basis.kept[substituted..].to_vec();
    let pivots = basis.pivots().skip(substituted).collect();
    let open = Square::new(chosen.clone(), pivots, rows.unknowns.len(), &jacobians).blocks();
    settled.blocks += open.len();
    settled.largest_block = settled.largest_block.max(open.widest());
    let mut room = Linear::default();
    for block in open.iter() {
        settled.iterations += place(rows, block, state, tolerances, &mut room)?;
    }
    basis.truncate(substituted);
    rest.choose(basis, &rest.jacobian(state), &mut elimination)?;
    (basis.kept[substituted..] == chosen).then_some(settled)
}

/// What the sums leave open.
struct Rest<'r> {
    rows: &'r Rows<'r>,
    first: &'r Substitution,
    /// Whether each row reads something that is not found.
    is_open: Vec<bool>,
    /// The open rows in the order of trust.
    open: Vec<usize>,
}

impl<'r> Rest<'r> {
    /// None when a row is left over that is trusted more than something that it rests on.
    fn of(rows: &'r Rows<'r>, first: &'r Substitution) -> Option<Self> {
        let mut used = vec![false; rows.ids.len()];
        for (row, _) in &first.steps {
            used[*row] = true;
        }
        let mut is_open = vec![false; rows.ids.len()];
        let mut open = Vec::new();
        for &row in &rows.trusted {
            if used[row] {
                continue;
            }
            let reads = rows.unknowns_of(rows.ids[row].equation);
            let mut columns = reads.iter().filter_map(|var| rows.column_of[var.index()]);
            if columns.clone().any(|column| !first.found[column]) {
                is_open[row] = true;
                open.push(row);
            } else if columns.any(|column| first.rests_on(column) > rows.trust_position(row)) {
                return None;
            }
        }
        Some(Self {
            rows,
            first,
            is_open,
            open,
        })
    }

    fn jacobian(&self, state: &State) -> SparseRows {
        self.rows.jacobian_of(state, |row| self.is_open[row])
    }

    /// A point near the state in all that is not found.
    fn generic_near(&self, state: &State, tolerances: &Tolerances) -> State {
        let found = &self.first.found;
        let free: Vec<usize> = (0..found.len()).filter(|column| !found[*column]).collect();
        let mut near = state.clone();
        self.rows.scatter(&mut near, &free, tolerances.generic);
        near
    }

    /// Moves lengths to where the open rows want them with all turns held: see [`rough`](crate::rough).
    fn place_roughly(&self, state: &mut State) {
        let rows = self.rows;
        let mut sums = SparseRows::with_capacity(rows.ids.len(), 4 * self.open.len());
        let mut constants = vec![0.0; rows.ids.len()];
        let mut sum = Sum::default();
        let mut rotations = Rotations::default();
        let mut held = self.first.found.clone();
        for (row, id) in rows.ids.iter().enumerate() {
            let equation = rows.equation(row);
            if self.is_open[row] && equation.is_sum_with_turns_held() {
                Sums::at(rows, state, &mut rotations).row(equation, id.row, &mut sum);
                constants[row] = sum.constant;
            } else {
                sum.clear();
            }
            sums.push(sum.entries.iter().copied());
        }
        for (column, held) in held.iter_mut().enumerate() {
            *held |= !rows.is_length(column);
        }
        Substitution::of(rows, (&sums, &constants), &held, state);
    }

    /// Adds to a basis of what was substituted the open rows that are independent. None when one is left over that is trusted
    /// more than something that it rests on.
    fn choose(
        &self,
        basis: &mut Basis,
        jacobian: &SparseRows,
        elimination: &mut Elimination,
    ) -> Option<()> {
        elimination.count(jacobian);
        // for each kept row the place of the least trusted row that it rests on
        let steps = self.first.steps.iter();
        let mut rests_on: Vec<usize> = steps.map(|(_, to)| self.first.rests_on(*to)).collect();
        for &row in &self.open {
            let place = self.rows.trust_position(row);
            let kept = basis.offer(row, jacobian.row(row), elimination);
            let least = elimination.taken().map(|at| rests_on[at]).max();
            let least = least.unwrap_or(0).max(place);
            if kept {
                rests_on.push(least);
            } else if least > place {
                return None;
            }
        }
        Some(())
    }

    /// Whether all open rows are smooth everywhere, so that a derivative that vanishes at a generic point vanishes throughout.
    fn is_smooth(&self) -> bool {
        let mut open = self.open.iter();
        open.all(|row| !matches!(self.rows.equation(*row), Equation::PointOnSurface { .. }))
    }
}

/// Solves one block. The steps taken; none when its solution is not reached, or lies too far off.
pub(crate) fn place(
    rows: &Rows<'_>,
    block: BlockOf<'_>,
    state: &mut State,
    tolerances: &Tolerances,
    room: &mut Linear,
) -> Option<u64> {
    let within = tolerances.converged * rows.system.reference_length();
    let taken = if divide(rows, block, state, tolerances, room) {
        0
    } else {
        match contract(rows, block, within, state, room) {
            Some(taken) => taken,
            None => search(&Block::new(rows, block.rows, block.columns, state), within)?,
        }
    };
    (!is_far(rows, block, state)).then_some(taken)
}

fn search(block: &Block<'_, '_>, within: f64) -> Option<u64> {
    if block.width() > wide::DENSE {
        return wide::descend(block, within);
    }
    let ended = reach(block, within);
    (ended.residual <= within).then_some(ended.iterations)
}
