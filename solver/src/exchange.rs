//! Some of what places things exchanged for equations that placed nothing. In: a solution, the kept rows and given variables
//! that are let go, and as many other rows that are to hold instead. Out: the state at which they do, with all other kept rows.
//!
//! The factorised kept rows serve throughout (the simplified Newton method: Deuflhard, Newton Methods for Nonlinear Problems,
//! Springer 2004, section 2.1), bordered by the small matrix of what is let go against what is to hold. Where all rows that
//! take part are affine, the first step is exact and the second evaluation only says so.

use std::collections::{BTreeMap, BTreeSet};

use nalgebra::{DMatrix, DVector, Dyn, LU};

use crate::geometry::Var;
use crate::solution::{Sensitivity, Solution};
use crate::system::{EquationId, State};
use crate::tolerance::Tolerances;

/// A row of an equation.
pub type Row = (EquationId, usize);

/// What is let go, and what holds instead: rows and ties together are as many as the rows of `instead`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Exchange {
    /// Kept rows that need not hold any more.
    pub rows: Vec<Row>,
    /// Given variables that may change; those of one tie change by the same.
    pub ties: Vec<Vec<Var>>,
    /// Rows that were not kept and are to be zero.
    pub instead: Vec<Row>,
}

/// The rows that are to hold instead, with their circuits.
struct Border {
    rows: Vec<(Row, Sensitivity)>,
    /// How much each of them changes with each row and tie let go, in their order.
    by_let_go: LU<f64, Dyn, Dyn>,
}

impl Solution<'_> {
    /// The state after an exchange, near the solution; what nothing settles stays. None when the rows to hold do not depend on
    /// what is let go, or the steps do not lead to a state within reach of this method: each has to be at most half as far off
    /// as the one before it.
    pub fn exchanged(&self, exchange: &Exchange) -> Option<State> {
        /// Enough to halve a foot down to rounding.
        const STEPS: usize = 50;
        /// What the rounding of a step leaves, as for the solution itself.
        const ROUNDING: f64 = 10.0;
        let within =
            ROUNDING * Tolerances::default().converged * self.rows.system.reference_length();
        let border = self.border(exchange)?;
        let mut state = self.state.clone();
        let mut touched: BTreeSet<usize> = BTreeSet::new();
        let mut last = f64::INFINITY;
        for _ in 0..STEPS {
            let (kept, held) = self.residuals(exchange, &border, &touched, &state);
            let all = kept.values().chain(&held);
            let off = all.fold(0.0_f64, |most, by| most.max(by.abs()));
            if off <= within {
                return Some(state);
            }
            if off.is_nan() || off > last / 2.0 {
                return None;
            }
            last = off;
            touched.extend(self.step_toward(exchange, &border, &kept, &held, &mut state)?);
        }
        None
    }

    fn border(&self, exchange: &Exchange) -> Option<Border> {
        let count = exchange.instead.len();
        if count != exchange.rows.len() + exchange.ties.len() {
            return None;
        }
        let mut told: BTreeMap<EquationId, Vec<Sensitivity>> = BTreeMap::new();
        for (equation, _) in &exchange.instead {
            let system = self.rows.system;
            told.entry(*equation)
                .or_insert_with(|| self.sensitivity(system.get_equation(*equation)));
        }
        let rows: Vec<(Row, Sensitivity)> = exchange
            .instead
            .iter()
            .map(|(equation, row)| Some(((*equation, *row), told[equation].get(*row)?.clone())))
            .collect::<Option<_>>()?;
        let by_let_go = DMatrix::from_fn(count, count, |at, by| {
            let told = &rows[at].1;
            match exchange.rows.get(by) {
                Some(row) => told.by_row(*row),
                None => {
                    let tie = &exchange.ties[by - exchange.rows.len()];
                    let givens = told.givens.iter();
                    let tied = givens.filter(|(var, _)| tie.contains(var));
                    tied.map(|(_, rate)| rate).sum()
                }
            }
        });
        Some(Border {
            rows,
            by_let_go: by_let_go.lu(),
        })
    }

    /// How far the touched kept rows are off that still have to hold (by their positions in the basis), and the rows to hold.
    fn residuals(
        &self,
        exchange: &Exchange,
        border: &Border,
        touched: &BTreeSet<usize>,
        state: &State,
    ) -> (BTreeMap<usize, f64>, Vec<f64>) {
        let rows = &self.rows;
        let stays = touched.iter().filter(|at| {
            let id = rows.ids[self.basis.kept[**at]];
            !exchange.rows.contains(&(id.equation, id.row))
        });
        let kept = stays.map(|at| (*at, rows.value(self.basis.kept[*at], state)));
        let held = border.rows.iter();
        let held =
            held.map(|((equation, row), _)| rows.value(rows.of(*equation).start + row, state));
        (kept.collect(), held.collect())
    }

    /// One step; the kept rows that read what it moves.
    fn step_toward(
        &self,
        exchange: &Exchange,
        border: &Border,
        kept: &BTreeMap<usize, f64>,
        held: &[f64],
        state: &mut State,
    ) -> Option<Vec<usize>> {
        // what is left of the rows to hold, once the kept ones are put right
        let left = border.rows.iter().zip(held).map(|((_, told), value)| {
            let by_kept = kept.iter().map(|(at, off)| {
                let id = self.rows.ids[self.basis.kept[*at]];
                told.by_row((id.equation, id.row)) * off
            });
            value - by_kept.sum::<f64>()
        });
        let left = DVector::from_iterator(held.len(), left);
        let let_go = -border.by_let_go.solve(&left)?;
        if let_go.iter().any(|by| !by.is_finite()) {
            return None;
        }
        let readers = self.readers();
        let (rows, ties) = let_go.as_slice().split_at(exchange.rows.len());
        let mut due: Vec<(usize, f64)> = kept.iter().map(|(at, off)| (*at, -off)).collect();
        for ((equation, row), by) in exchange.rows.iter().zip(rows) {
            due.push((self.position_of(*equation, *row)?, *by));
        }
        let mut touched = Vec::new();
        for (tie, by) in exchange.ties.iter().zip(ties) {
            for var in tie {
                self.due_to_given(*var, *by, &mut due);
                state.values[var.index()] += by;
                touched.extend(readers.kept(&self.rows, *var));
            }
        }
        for (column, by) in self.basis.respond(&due) {
            self.rows.step(state, column, by);
            touched.extend(readers.kept(&self.rows, self.rows.unknowns[column]));
        }
        Some(touched)
    }
}

impl Sensitivity {
    /// The coefficient of a kept row.
    fn by_row(&self, row: Row) -> f64 {
        let same = self.equations.iter();
        let same = same.filter(|(equation, at, _)| (*equation, *at) == row);
        same.map(|(_, _, by)| by).sum()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::equation::{Equation, Measure};
    use crate::geometry::{Affine, Point, Turn};
    use crate::solve::solve;
    use crate::system::System;

    /// A point that two rods hold, and a third rod too long by `over`; the first rod's length is a given variable.
    fn three_rods(over: f64) -> (System, [EquationId; 3], Var) {
        let mut system = System::new(1000.0);
        let [x, z] = [300.0, 400.0].map(|start| system.unknown(start, Measure::Length));
        let given = |system: &mut System, value| system.given(value, Measure::Length);
        let zero = Affine::default();
        let point = |at: [Affine; 3], system: &mut System| Point {
            body: system.body(at, Turn::Square),
            at: [zero.clone(), zero.clone(), zero.clone()],
        };
        let at = [Affine::var(x), Affine::default(), Affine::var(z)];
        let tip = point(at, &mut system);
        let feet = [[0.0, 0.0], [600.0, 0.0], [300.0, -100.0]];
        let lengths = [500.0, 500.0, 500.0 + over].map(|length| given(&mut system, length));
        let mut rods = Vec::new();
        for (foot, length) in feet.into_iter().zip(lengths) {
            let [x, z] = foot.map(|at| Affine::var(given(&mut system, at)));
            let foot = point([x, Affine::default(), z], &mut system);
            let rod = Equation::Distance {
                from: tip.clone(),
                to: foot,
                distance: Affine::var(length),
            };
            rods.push(system.equation(rod, 0));
        }
        (system, [rods[0], rods[1], rods[2]], lengths[0])
    }

    #[test]
    fn a_rod_or_its_length_let_go_lets_the_others_hold() {
        let (system, rods, length) = three_rods(20.0);
        let solution = solve(&system, &Tolerances::default()).unwrap();
        let off = |state: &State, rod: EquationId| system.miss(system.get_equation(rod), state)[0];
        assert!((off(solution.state(), rods[2]).abs() - 20.0).abs() < 1e-9);
        let instead = vec![(rods[2], 0)];
        let rod = Exchange {
            rows: vec![(rods[0], 0)],
            instead: instead.clone(),
            ..Exchange::default()
        };
        let figure = Exchange {
            ties: vec![vec![length]],
            instead,
            ..Exchange::default()
        };
        let [by_rod, by_figure] =
            [rod, figure].map(|exchange| solution.exchanged(&exchange).unwrap());
        for state in [&by_rod, &by_figure] {
            assert!(off(state, rods[1]).abs() < 1e-8);
            assert!(off(state, rods[2]).abs() < 1e-8);
        }
        // the rod's miss is what its length would have to change by
        let longer = by_figure.value(length) - solution.state().value(length);
        assert!(off(&by_figure, rods[0]).abs() < 1e-8);
        assert!((off(&by_rod, rods[0]).abs() - longer.abs()).abs() < 1e-7);
        assert!(longer.abs() > 1.0);
    }

    #[test]
    fn what_is_out_of_reach_is_not_found() {
        let (system, rods, _) = three_rods(400.0);
        let solution = solve(&system, &Tolerances::default()).unwrap();
        let exchange = Exchange {
            rows: vec![(rods[0], 0)],
            instead: vec![(rods[2], 0)],
            ..Exchange::default()
        };
        // the second and the third rod span less than the third is long
        assert_eq!(solution.exchanged(&exchange), None);
    }
}
