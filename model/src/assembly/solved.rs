//! An assembly solved, or the fault of the statement that is furthest from holding.

use std::cell::OnceCell;
use std::collections::BTreeSet;

use strongback_solver::{EquationId, Solution, SolveError, Tolerances, Var};

use super::{Assembly, outcome};
use crate::quantity::{Length, format};
use crate::source::{Code, Fault};
use crate::why::Order;

/// An assembly with its solution.
pub struct Solved<'a> {
    /// What was solved.
    pub assembly: &'a Assembly,
    /// The solution.
    pub solution: Solution<'a>,
    /// The order of the solution, once it was asked for.
    pub(crate) order: OnceCell<Order>,
    /// The unknowns that nothing settles, once they were asked for.
    pub(crate) moving: OnceCell<BTreeSet<Var>>,
    /// For each statement at odds the equations of its circuit, once they were asked for.
    pub(crate) odd_circuits: OnceCell<Vec<(String, BTreeSet<EquationId>)>>,
}

impl Assembly {
    /// Solves the system.
    ///
    /// # Errors
    /// A fault at the statement that is furthest from holding, when no solution was found; at a size, when it
    /// comes out as one that metal can't have.
    pub fn solve(&self) -> Result<Solved<'_>, Fault> {
        match strongback_solver::solve(&self.system, &Tolerances::default()) {
            Ok(solution) => {
                let solved = Solved {
                    assembly: self,
                    solution,
                    order: OnceCell::new(),
                    moving: OnceCell::new(),
                    odd_circuits: OnceCell::new(),
                };
                outcome::check(&solved)?;
                Ok(solved)
            }
            Err(error) => Err(self.not_solved(&error)),
        }
    }

    fn not_solved(&self, error: &SolveError) -> Fault {
        let statement = &self.statements[self.owner[error.equation().index()]];
        let told = match error {
            SolveError::NotConverged { equation, miss } => {
                match self.system.get_equation(*equation).measure() {
                    strongback_solver::Measure::Length => {
                        let left = Length::from_mm(miss.abs());
                        let left = format::length(left, self.unit, format::Style::Short);
                        format!("the search ended with {left} still to go")
                    }
                    strongback_solver::Measure::Angle => {
                        "the search ended at a wrong turn".to_owned()
                    }
                }
            }
            other => other.to_string(),
        };
        Fault::error(Code::NotSolved, format!("no layout was found: {told}"))
            .at(
                statement.span.clone(),
                "this statement is furthest from holding",
            )
            .help("is it within reach? if so, state a position or turn near the one meant: `Find(near: …)`")
    }
}
