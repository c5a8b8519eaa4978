//! The order in which one walks from a face to another: back along the chain behind the first one, as far as both chains
//! have in common, then forward to the second one.
//!
//! In: what the two coordinates depend on, and a list in building order. Out: the list as it is met on the walk, so that each
//! sum on the way is the distance of some face from the first one.

use std::collections::BTreeSet;

use strongback_solver::{EquationId, Sensitivity, Var};

/// What lies behind the first end of a chain and not behind the second.
pub(super) struct Behind {
    givens: BTreeSet<Var>,
    equations: BTreeSet<EquationId>,
}

impl Behind {
    /// From what the two ends depend on.
    pub(super) fn of(first: &Sensitivity, second: &Sensitivity) -> Behind {
        let givens = |told: &Sensitivity| -> BTreeSet<Var> {
            told.givens.iter().map(|(given, _)| *given).collect()
        };
        let equations = |told: &Sensitivity| -> BTreeSet<EquationId> {
            told.equations.iter().map(|(id, ..)| *id).collect()
        };
        Behind {
            givens: &givens(first) - &givens(second),
            equations: &equations(first) - &equations(second),
        }
    }

    /// Whether a figure is met on the way back: it places the first end only.
    pub(super) fn leads_back(&self, var: Var) -> bool {
        self.givens.contains(&var)
    }

    /// Whether an equation is used on the way back: it places the first end only.
    pub(super) fn goes_back(&self, equation: EquationId) -> bool {
        self.equations.contains(&equation)
    }
}

/// From building order to the order of the walk.
pub(super) fn in_order<T>(built: Vec<T>, is_back: impl FnMut(&T) -> bool) -> Vec<T> {
    let (back, forward): (Vec<T>, Vec<T>) = built.into_iter().partition(is_back);
    back.into_iter().rev().chain(forward).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_back_comes_first_and_is_walked_from_its_end() {
        let walked = in_order(vec!["a1", "b1", "a2", "b2"], |step| step.starts_with('a'));
        assert_eq!(walked, ["a2", "a1", "b1", "b2"]);
    }
}
