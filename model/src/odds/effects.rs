//! What letting something go moves. In: a solution, and what rows and figures let go come to. Out: the new value of a form,
//! whether first-order statements about it are exact, and whether all parts still have sizes that metal can have. Millimetres
//! and radians.
//!
//! All that moves follows from one solve by the factorised kept rows. These hold at any distance from the solution when each of
//! them is affine in all that moves; that is asked of every equation, and not only of those in a circuit: a linkage that hangs
//! on a frame may be out of reach once the frame is moved. What rests on something loose has no value yet, and counts as still.

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};

use strongback_solver::{Affine, EquationId, Var};

use super::candidates::Candidate;
use super::consistency::{Changes, Member};
use crate::assembly::{AssembledPart, Solved};
use crate::part::Sizes;

/// What moves with what.
pub(super) struct Effects<'a, 's> {
    solved: &'a Solved<'s>,
    /// Equations that turns or distances make other than affine, with all variables that they read.
    delicate: OnceCell<Vec<(EquationId, Vec<Var>)>>,
    /// Parts with a size that is found, by the variables of the size.
    sized: OnceCell<BTreeMap<Var, BTreeSet<usize>>>,
}

/// How much each figure and unknown that moves does so.
#[derive(Debug, Default)]
pub(super) struct Moved(BTreeMap<Var, f64>);

impl Moved {
    fn by(&self, form: &Affine) -> f64 {
        let terms = form.terms.iter();
        terms
            .filter_map(|(var, factor)| Some(factor * self.0.get(var)?))
            .sum()
    }
}

impl<'a, 's> Effects<'a, 's> {
    pub(super) fn of(solved: &'a Solved<'s>) -> Self {
        Self {
            solved,
            delicate: OnceCell::new(),
            sized: OnceCell::new(),
        }
    }

    /// All that moves with some changes, to first order.
    pub(super) fn moved(&self, changes: &Changes) -> Moved {
        let (mut rows, mut figures) = (Vec::new(), Vec::new());
        for (member, by) in changes {
            match member {
                Member::Row(id, row) => rows.push((*id, *row, *by)),
                Member::Figure(var) => figures.push((*var, *by)),
            }
        }
        let loose = self.solved.moving();
        let unknowns = self.solved.solution.response(&rows, &figures).into_iter();
        let unknowns = unknowns.filter(|(var, _)| !loose.contains(var));
        Moved(figures.into_iter().chain(unknowns).collect())
    }

    /// Whether all that stays is affine in all that moves, so that what the circuits say is exact.
    pub(super) fn is_exact(&self, dropped: &[&Candidate], moved: &Moved) -> bool {
        let solution = &self.solved.solution;
        let moving: BTreeSet<Var> = moved.0.keys().copied().collect();
        self.delicate().iter().all(|(id, reads)| {
            dropped.iter().any(|one| one.equations.contains(id))
                || !reads.iter().any(|var| moving.contains(var))
                || solution.is_affine_along(self.solved.assembly.system.get_equation(*id), &moving)
        })
    }

    /// A form's value once things have moved.
    pub(super) fn value(&self, form: &Affine, moved: &Moved) -> f64 {
        self.solved.solution.form(form) + moved.by(form)
    }

    /// Whether no part comes out with sizes that can't be, to first order. Sizes that are given are judged when the changed
    /// document is assembled.
    pub(super) fn sizes_stay(&self, moved: &Moved) -> bool {
        let parts = &self.solved.assembly.parts;
        let sized = self.sized.get_or_init(|| self.all_sized());
        let touched: BTreeSet<usize> = moved
            .0
            .keys()
            .filter_map(|var| sized.get(var))
            .flatten()
            .copied()
            .collect();
        touched.iter().all(|at| self.is_whole(&parts[*at], moved))
    }

    fn is_whole(&self, part: &AssembledPart, moved: &Moved) -> bool {
        let mut sizes = Sizes::default();
        for size in &part.sizes {
            let form = &size.resolved.form;
            let value = self.value(form, moved);
            if size.resolved.find && size.broken_limit(value).is_some() {
                return false;
            }
            sizes.insert(size.name.clone(), form.clone(), value);
        }
        let stated = part.stated.as_ref();
        stated.is_none_or(|stated| stated.kind().shape(&sizes).is_ok())
    }

    fn delicate(&self) -> &[(EquationId, Vec<Var>)] {
        self.delicate.get_or_init(|| {
            let solution = &self.solved.solution;
            let system = &self.solved.assembly.system;
            let statements = self.solved.assembly.statements.iter();
            statements
                .flat_map(|statement| &statement.equations)
                .map(|(_, id)| (*id, solution.reads(*id)))
                .filter(|(id, reads)| {
                    let equation = system.get_equation(*id);
                    let all: BTreeSet<Var> = reads.iter().copied().collect();
                    !solution.is_affine_along(equation, &all)
                })
                .collect()
        })
    }

    fn all_sized(&self) -> BTreeMap<Var, BTreeSet<usize>> {
        let mut sized: BTreeMap<Var, BTreeSet<usize>> = BTreeMap::new();
        for (at, part) in self.solved.assembly.parts.iter().enumerate() {
            let found = part.sizes.iter().filter(|size| size.resolved.find);
            for var in found.flat_map(|size| size.resolved.form.vars()) {
                sized.entry(var).or_default().insert(at);
            }
        }
        sized
    }
}
