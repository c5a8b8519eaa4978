//! What is settled: whatever reads no unknown that can still move.

use std::collections::BTreeSet;

use strongback_solver::Var;

use crate::assembly::{AssembledPart, Solved};

impl Solved<'_> {
    /// The unknowns that can still move, by any of the solution's motions.
    pub(crate) fn moving(&self) -> &BTreeSet<Var> {
        self.moving.get_or_init(|| {
            let motions = self.solution.motions();
            motions.into_iter().flatten().map(|(var, _)| var).collect()
        })
    }

    /// Whether none of these can move.
    pub(crate) fn holds_still(&self, vars: impl IntoIterator<Item = Var>) -> bool {
        let moving = self.moving();
        moving.is_empty() || !vars.into_iter().any(|var| moving.contains(&var))
    }

    /// Whether a part stays where it is, and its sizes what they are.
    pub(crate) fn is_settled(&self, part: &AssembledPart) -> bool {
        let system = &self.assembly.system;
        self.holds_still(system.vars_of_body(part.body))
            && self.holds_still(part.sizes.iter().flat_map(|size| size.resolved.form.vars()))
    }
}
