//! What follows from other values of given variables. In: a solution, and given variables with new values. Out: the unknowns that
//! change, and the verdicts of all equations that read something that changed.
//!
//! The blocks are those of the solution. One is solved again when it reads something that changed, from where its unknowns lay
//! (the structure is kept: Pothen and Fan, ACM TOMS 16(4), 1990); where nothing comes of it, nothing after it is touched. So the
//! cost is that of what lies downstream. Which rows are kept is not chosen again: where that could come out otherwise, or a block
//! is not reached from where it lay, the answer is none, and the system is to be solved as a whole.

use std::collections::BTreeSet;

use crate::direct;
use crate::geometry::Var;
use crate::judge::{Role, verdict};
use crate::places::Places;
use crate::rows::{Linear, Rows};
use crate::solution::{Solution, Verdict};
use crate::square::BlockList;
use crate::system::{EquationId, State};
use crate::tolerance::Tolerances;

/// What changed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Changes {
    /// Unknowns with their new values, in millimetres or radians; the increments of free turns are not among them.
    pub unknowns: Vec<(Var, f64)>,
    /// The equations that read something that changed, with their verdicts, in order.
    pub verdicts: Vec<(EquationId, Verdict)>,
    /// Blocks that were solved again.
    pub blocks: usize,
}

/// Where changes are followed: made once for a solution.
pub(crate) struct Downstream {
    /// For each row the block in which it is used.
    block_of: Vec<Option<usize>>,
    open_blocks: Places,
    state: State,
}

impl Downstream {
    pub(crate) fn new(rows: &Rows<'_>, blocks: &BlockList, state: &State) -> Self {
        let mut block_of = vec![None; rows.ids.len()];
        for (at, block) in blocks.iter().enumerate() {
            for row in block.rows {
                block_of[*row] = Some(at);
            }
        }
        Self {
            block_of,
            open_blocks: Places::up_to(blocks.len()),
            state: state.clone(),
        }
    }
}

impl Solution<'_> {
    /// What changes when given variables take other values. None where the system has to be solved as a whole.
    pub fn after(&self, changes: &[(Var, f64)]) -> Option<Changes> {
        let mut kept = self.downstream.borrow_mut();
        let downstream =
            kept.get_or_insert_with(|| Downstream::new(&self.rows, self.order(), &self.state));
        let mut run = Run {
            solution: self,
            downstream,
            moved: Vec::new(),
            touched: BTreeSet::new(),
            blocks: 0,
        };
        let reached = run.follow(changes);
        let outcome = reached.and_then(|()| run.outcome());
        run.undo(changes);
        outcome
    }
}

/// One change on its way downstream.
struct Run<'r, 's> {
    solution: &'r Solution<'s>,
    downstream: &'r mut Downstream,
    /// Columns that were found anew.
    moved: Vec<usize>,
    touched: BTreeSet<EquationId>,
    blocks: usize,
}

impl Run<'_, '_> {
    fn follow(&mut self, changes: &[(Var, f64)]) -> Option<()> {
        let tolerances = Tolerances::default();
        let rows = &self.solution.rows;
        for &(var, value) in changes {
            self.downstream.state.values[var.index()] = value;
            self.touch(var, None);
        }
        let mut room = Linear::default();
        let mut reached = Some(());
        // blocks are emptied to the last, so that the set is as it was
        while let Some(at) = self.downstream.open_blocks.take_first() {
            if reached.is_none() {
                continue;
            }
            let block = self.solution.order().get(at);
            let free_turn = |column: &usize| rows.tangent_of[*column].is_some();
            if block.columns.iter().any(free_turn) {
                reached = None;
                continue;
            }
            self.blocks += 1;
            let before: Vec<f64> = block
                .columns
                .iter()
                .map(|column| self.downstream.state.value(rows.unknowns[*column]))
                .collect();
            self.moved.extend(block.columns);
            let state = &mut self.downstream.state;
            reached = direct::place(rows, block, state, &tolerances, &mut room).map(|_| ());
            for (column, before) in block.columns.iter().zip(before) {
                let var = rows.unknowns[*column];
                if self.downstream.state.value(var) != before {
                    self.touch(var, Some(at));
                }
            }
        }
        reached
    }

    /// Notes the equations that read a variable, and the blocks in which they are used, those after the block that found it.
    fn touch(&mut self, var: Var, found_by: Option<usize>) {
        let solution = self.solution;
        for equation in solution.readers().equations(var) {
            if !self.touched.insert(equation) {
                continue;
            }
            for row in solution.rows.of(equation) {
                let block = self.downstream.block_of[row];
                if let Some(block) = block.filter(|block| Some(*block) > found_by) {
                    self.downstream.open_blocks.insert(block);
                }
            }
        }
    }

    /// What came of it; none where a choice among rows may come out otherwise.
    fn outcome(&self) -> Option<Changes> {
        let solution = self.solution;
        let (rows, state) = (&solution.rows, &self.downstream.state);
        let settled = solution.report.freedoms == 0;
        let tolerances = Tolerances::default();
        let verdicts = self.touched.iter().map(|id| {
            let in_block = |row: usize| self.downstream.block_of[row].is_some();
            let role = Role {
                places: rows.of(*id).any(in_block),
                waits: false,
            };
            let waited = matches!(solution.verdict(*id), Verdict::Waits { .. });
            let stands = settled || role.places || rows.is_affine(*id);
            (stands && !waited).then(|| {
                let values = |row| rows.value(row, state);
                (*id, verdict(rows, *id, role, (state, values), &tolerances))
            })
        });
        let columns: BTreeSet<usize> = self.moved.iter().copied().collect();
        let vars = columns.into_iter().map(|column| rows.unknowns[column]);
        Some(Changes {
            verdicts: verdicts.collect::<Option<_>>()?,
            unknowns: vars
                .filter(|var| state.value(*var) != solution.state.value(*var))
                .map(|var| (var, state.value(var)))
                .collect(),
            blocks: self.blocks,
        })
    }

    /// Puts the working state back to the solution.
    fn undo(&mut self, changes: &[(Var, f64)]) {
        let vars = changes.iter().map(|(var, _)| *var);
        let rows = &self.solution.rows;
        let moved = self.moved.iter().map(|column| rows.unknowns[*column]);
        for var in vars.chain(moved) {
            self.downstream.state.values[var.index()] = self.solution.state.value(var);
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::equation::{Equation, Measure};
    use crate::geometry::Affine;
    use crate::solve::solve;
    use crate::system::System;

    /// x0 = a, x1 = x0 + b, and beside them y = c; x1 = d is said of it as well.
    fn chain() -> (System, [Var; 4], [Var; 3], EquationId) {
        let mut system = System::new(1000.0);
        let given = [100.0, 50.0, 7.0, 150.0].map(|value| system.given(value, Measure::Length));
        let found = [0.0; 3].map(|start| system.unknown(start, Measure::Length));
        let [a, b, c, d] = given.map(Affine::var);
        let [x0, x1, y] = found.map(Affine::var);
        let mut held = |form: Affine| {
            let equation = Equation::Held {
                form,
                measure: Measure::Length,
            };
            system.equation(equation, 0)
        };
        held(x0.clone().minus(&a));
        held(x1.clone().minus(&x0).minus(&b));
        held(y.minus(&c));
        let again = held(x1.minus(&d));
        (system, given, found, again)
    }

    #[test]
    fn only_what_lies_downstream_is_solved_again() {
        let (system, [a, b, c, d], [x0, x1, y], again) = chain();
        let solution = solve(&system, &Tolerances::default()).unwrap();
        let changes = solution.after(&[(b, 60.0)]).unwrap();
        assert_eq!(changes.unknowns, [(x1, 160.0)]);
        assert_eq!(changes.blocks, 1);
        let odd = (again, Verdict::AtOdds { miss: 10.0 });
        assert!(changes.verdicts.contains(&odd), "{:?}", changes.verdicts);
        let both = solution.after(&[(a, 90.0), (b, 60.0)]).unwrap();
        assert_eq!(both.unknowns, [(x0, 90.0)]);
        assert_eq!(both.blocks, 2);
        let agreed = solution.after(&[(b, 60.0), (d, 160.0)]).unwrap();
        assert!(agreed.verdicts.contains(&(again, Verdict::Spare)));
        // nothing of an earlier question is left
        let beside = solution.after(&[(c, 8.0)]).unwrap();
        assert_eq!(beside.unknowns, [(y, 8.0)]);
        assert_eq!(solution.after(&[(c, 7.0)]).unwrap().unknowns, []);
    }
}
