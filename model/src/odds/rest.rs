//! What is left when something is let go. In: a solution, and what is exchanged for what. Out: where everything comes to lie,
//! the value of a form there, and whether metal can be so: parts whose sizes can be cut, gaps that are no less than nothing.
//! Millimetres and radians.

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};

use strongback_solver::{Affine, Exchange, State, Var};

use crate::assembly::{AssembledPart, SIZE_ROUNDING_MM, Solved};
use crate::part::Sizes;

/// What changes by no more than this, in millimetres or radians, has been rounded: far below what makes a size one that can't be.
const NO_CHANGE: f64 = 1e-9;

/// Places in a list, by the variables that they depend on.
type ByVar = BTreeMap<Var, BTreeSet<usize>>;

/// A solution, of which something is let go.
pub(super) struct Rest<'a, 's> {
    solved: &'a Solved<'s>,
    /// Parts by the variables of their sizes, once they were asked for.
    sized: OnceCell<ByVar>,
    /// Gaps by the variables that they depend on, and those that are less than nothing as it is; once they were asked for.
    gaps: OnceCell<(ByVar, BTreeSet<usize>)>,
}

impl<'a, 's> Rest<'a, 's> {
    pub(super) fn of(solved: &'a Solved<'s>) -> Self {
        Self {
            solved,
            sized: OnceCell::new(),
            gaps: OnceCell::new(),
        }
    }

    /// Where everything comes to lie; none where that is too far from the solution to be found from it.
    pub(super) fn after(&self, exchange: &Exchange) -> Option<State> {
        self.solved.solution.exchanged(exchange)
    }

    /// The value of a form.
    pub(super) fn value(&self, form: &Affine, state: &State) -> f64 {
        self.solved.assembly.system.form_at(form, state)
    }

    /// Whether no size and no gap comes out as one that can't be.
    pub(super) fn can_be(&self, state: &State) -> bool {
        let assembly = self.solved.assembly;
        let before = self.solved.solution.state();
        let sized = self.sized.get_or_init(|| self.all_sized());
        // written so that a value that is no number counts as moved
        let moved = |var: Var| {
            let still = (before.value(var) - state.value(var)).abs() <= NO_CHANGE;
            !still
        };
        let touched = |of_var: &ByVar| -> BTreeSet<usize> {
            let of_moved = of_var.iter().filter(|(var, _)| moved(**var));
            of_moved.flat_map(|(_, places)| places).copied().collect()
        };
        let (gaps, less) = self.gaps.get_or_init(|| self.all_gaps());
        let changed = touched(gaps);
        touched(sized)
            .iter()
            .all(|at| self.is_whole(&assembly.parts[*at], state))
            && changed
                .iter()
                .all(|at| !self.is_less(&assembly.gaps[*at], state))
            && less.is_subset(&changed)
    }

    /// Whether a gap is less than nothing.
    fn is_less(&self, gap: &Affine, state: &State) -> bool {
        // written so that a value that is no number counts as less
        let holds = self.value(gap, state) >= -SIZE_ROUNDING_MM;
        !holds
    }

    fn all_gaps(&self) -> (ByVar, BTreeSet<usize>) {
        let before = self.solved.solution.state();
        let mut gaps = ByVar::new();
        let mut less = BTreeSet::new();
        for (at, gap) in self.solved.assembly.gaps.iter().enumerate() {
            for var in gap.vars() {
                gaps.entry(var).or_default().insert(at);
            }
            if self.is_less(gap, before) {
                less.insert(at);
            }
        }
        (gaps, less)
    }

    fn is_whole(&self, part: &AssembledPart, state: &State) -> bool {
        let mut sizes = Sizes::default();
        for size in &part.sizes {
            let form = &size.resolved.form;
            let value = self.value(form, state);
            if size.broken_limit(value).is_some() {
                return false;
            }
            sizes.insert(size.name.clone(), form.clone(), value);
        }
        let stated = part.stated.as_ref();
        stated.is_none_or(|stated| stated.kind().shape(&sizes).is_ok())
    }

    fn all_sized(&self) -> ByVar {
        let mut sized = ByVar::new();
        for (at, part) in self.solved.assembly.parts.iter().enumerate() {
            for var in part.sizes.iter().flat_map(|size| size.resolved.form.vars()) {
                sized.entry(var).or_default().insert(at);
            }
        }
        sized
    }
}
