//! What letting something go moves. In: a solution. Out: whether first-order statements about a set are exact, the new value of a
//! form, and whether all parts still have sizes that metal can have. Millimetres and radians.
//!
//! The kept rows hold at any distance from the solution when each of them is affine in all that moves; that is asked of every
//! equation, and not only of those in a circuit: a linkage that hangs on a frame may be out of reach once the frame is moved.

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};

use strongback_solver::{Affine, Equation, EquationId, Measure, Status, Var};

use super::candidates::Candidate;
use super::consistency::{Changes, Member};
use crate::assembly::{AssembledPart, Solved};
use crate::part::Sizes;

/// What moves with what.
pub(super) struct Effects<'a, 's> {
    solved: &'a Solved<'s>,
    /// Equations that turns or distances make other than affine, with all variables that they read.
    delicate: OnceCell<Vec<(EquationId, Vec<Var>)>>,
    /// The variables of those that move with a row or figure.
    moved: OnceCell<BTreeMap<Member, BTreeSet<Var>>>,
    /// Parts with a size that is found, by what the size rests on.
    sized: OnceCell<BTreeMap<Member, BTreeSet<usize>>>,
}

impl<'a, 's> Effects<'a, 's> {
    pub(super) fn of(solved: &'a Solved<'s>) -> Self {
        Self {
            solved,
            delicate: OnceCell::new(),
            moved: OnceCell::new(),
            sized: OnceCell::new(),
        }
    }

    /// Whether all that stays is affine in all that moves, so that what the circuits say is exact.
    pub(super) fn is_exact(&self, dropped: &[&Candidate], changes: &Changes) -> bool {
        let solution = &self.solved.solution;
        let moved = self.moved.get_or_init(|| self.all_moved());
        let moving: BTreeSet<Var> = changes
            .keys()
            .filter_map(|member| moved.get(member))
            .flatten()
            .copied()
            .collect();
        self.delicate().iter().all(|(id, reads)| {
            dropped.iter().any(|one| one.equations.contains(id))
                || !reads.iter().any(|var| moving.contains(var))
                || solution.is_affine_along(self.solved.assembly.system.get_equation(*id), &moving)
        })
    }

    /// A form's value once the changes are made.
    pub(super) fn value(&self, form: &Affine, changes: &Changes) -> f64 {
        let (value, by) = self.rests_on(form);
        let by = by.into_iter();
        value
            + by.filter_map(|(member, by)| Some(by * changes.get(&member)?))
                .sum::<f64>()
    }

    /// Whether no part comes out with sizes that can't be, to first order. Sizes that are given are judged when the changed
    /// document is assembled.
    pub(super) fn sizes_stay(&self, changes: &Changes) -> bool {
        let parts = &self.solved.assembly.parts;
        let sized = self.sized.get_or_init(|| self.all_sized());
        let touched: BTreeSet<usize> = changes
            .keys()
            .filter_map(|member| sized.get(member))
            .flatten()
            .copied()
            .collect();
        touched.iter().all(|at| self.is_whole(&parts[*at], changes))
    }

    fn is_whole(&self, part: &AssembledPart, changes: &Changes) -> bool {
        let mut sizes = Sizes::default();
        for size in &part.sizes {
            let form = &size.resolved.form;
            let value = self.value(form, changes);
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

    fn all_moved(&self) -> BTreeMap<Member, BTreeSet<Var>> {
        let reads = self.delicate().iter().flat_map(|(_, reads)| reads);
        let vars: BTreeSet<Var> = reads.copied().collect();
        let mut moved: BTreeMap<Member, BTreeSet<Var>> = BTreeMap::new();
        for var in vars {
            let on = match self.solved.assembly.system.get(var).status {
                Status::Given => vec![(Member::Figure(var), 1.0)],
                Status::Unknown => self.rests_on(&Affine::var(var)).1,
            };
            for (member, _) in on {
                moved.entry(member).or_default().insert(var);
            }
        }
        moved
    }

    fn all_sized(&self) -> BTreeMap<Member, BTreeSet<usize>> {
        let mut sized: BTreeMap<Member, BTreeSet<usize>> = BTreeMap::new();
        for (at, part) in self.solved.assembly.parts.iter().enumerate() {
            let found = part.sizes.iter().filter(|size| size.resolved.find);
            for (member, _) in found.flat_map(|size| self.rests_on(&size.resolved.form).1) {
                sized.entry(member).or_default().insert(at);
            }
        }
        sized
    }

    /// A form's value, and its derivatives by the residuals of kept rows and by given figures. Nothing where it rests on what is
    /// loose: that has no value yet.
    fn rests_on(&self, form: &Affine) -> (f64, Vec<(Member, f64)>) {
        let measure = Measure::Length;
        let form = form.clone();
        let told = self
            .solved
            .solution
            .sensitivity(&Equation::Held { form, measure });
        let Some(told) = told.into_iter().next() else {
            return (0.0, Vec::new());
        };
        if !told.loose.is_empty() {
            return (told.value, Vec::new());
        }
        let rows = told.equations.into_iter();
        let rows = rows.map(|(id, row, by)| (Member::Row(id, row), by));
        let figures = told.givens.into_iter();
        let figures = figures.map(|(var, by)| (Member::Figure(var), by));
        (told.value, rows.chain(figures).collect())
    }
}
