//! Which statements with several readings bear on each other though no must-fit tells. In: one combination, solved. Out: for
//! each statement those that what it names rests on; and those that one linkage or cant rests on together.
//!
//! Two statements each of which can rest on the other may go round in a circle when both are read so: then they contradict each
//! other and hold nothing. What a linkage rests on may be out of its reach in one combination only.

use std::collections::{BTreeMap, BTreeSet};

use strongback_solver::{Affine, Equation, EquationId, Measure, Var};

use crate::assembly::Solved;

/// What was seen of statements in one combination or in several, by their places in the list of choices.
#[derive(Default)]
pub(super) struct Bearing {
    /// Pairs: what the first one names rests on the second.
    pub(super) rests_on: BTreeSet<(usize, usize)>,
    /// Statements that one equation rests on that is not affine.
    pub(super) bent: BTreeSet<BTreeSet<usize>>,
}

impl Bearing {
    /// Looks at a solution; `choice` gives the place of a statement in the list of choices.
    pub(super) fn seen(
        solved: &Solved<'_>,
        choice: impl Fn(EquationId) -> Option<usize>,
    ) -> Bearing {
        let mut found: BTreeMap<Var, BTreeSet<usize>> = BTreeMap::new();
        let mut behind = |id: EquationId| -> BTreeSet<usize> {
            let mut all = BTreeSet::new();
            for var in solved.solution.reads(id) {
                let on = found.entry(var).or_insert_with(|| {
                    let (form, measure) = (Affine::var(var), Measure::Length);
                    let told = solved
                        .solution
                        .sensitivity(&Equation::Held { form, measure });
                    let rows = told.iter().flat_map(|row| &row.equations);
                    rows.filter_map(|(id, _, _)| choice(*id)).collect()
                });
                all.extend(on.iter().copied());
            }
            all
        };
        let mut bearing = Bearing::default();
        let statements = solved.assembly.statements.iter();
        for (_, id) in statements.flat_map(|statement| &statement.equations) {
            let own = choice(*id);
            let bent = !solved.solution.is_affine(*id);
            if own.is_none() && !bent {
                continue;
            }
            let mut on = behind(*id);
            if let Some(own) = own {
                let others = on.iter().filter(|other| **other != own);
                bearing.rests_on.extend(others.map(|other| (own, *other)));
                on.insert(own);
            }
            if bent && on.len() > 1 {
                bearing.bent.insert(on);
            }
        }
        bearing
    }

    /// Adds what was seen in another combination.
    pub(super) fn add(&mut self, other: &Bearing) {
        self.rests_on.extend(&other.rests_on);
        self.bent.extend(other.bent.iter().cloned());
    }

    /// Statements of `count` that rest on each other round a circle.
    pub(super) fn circles(&self, count: usize) -> Vec<Vec<usize>> {
        let mut graph = petgraph::graph::DiGraph::<(), ()>::new();
        let nodes: Vec<_> = (0..count).map(|_| graph.add_node(())).collect();
        for (one, on) in &self.rests_on {
            graph.add_edge(nodes[*one], nodes[*on], ());
        }
        let circles = petgraph::algo::tarjan_scc(&graph).into_iter();
        let circles = circles.filter(|circle| circle.len() > 1);
        circles
            .map(|circle| circle.into_iter().map(|node| node.index()).collect())
            .collect()
    }

    /// Pairs that one linkage rests on.
    pub(super) fn pairs(&self) -> BTreeSet<(usize, usize)> {
        let mut pairs = BTreeSet::new();
        for on in &self.bent {
            for one in on {
                pairs.extend(on.range(one + 1..).map(|other| (*one, *other)));
            }
        }
        pairs
    }
}
