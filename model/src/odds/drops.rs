//! The smallest sets of statements and figures without which the rest holds. In: a document and its solution. Out: for each
//! group of contradictions that have something in common the sets of up to three, smallest first, the least trusted first
//! among equals.
//!
//! Every contradiction has to lose one of its circuit, and every one that is left then has to lose another: the sets are the
//! nodes of a tree whose branches are the members of the contradiction that is left (Reiter, Artificial Intelligence 32,
//! 1987), smallest first. A set that leaves something loose which was settled is none. Whether the rest holds is decided on
//! the circuits, and then by its layout: found from the solution, or anew where that is too far off.

use std::collections::{BTreeSet, HashMap};

use petgraph::unionfind::UnionFind;
use schemars::JsonSchema;
use serde::Serialize;
use strongback_solver::{EquationId, Measure, State, Var};

use super::candidates::{Candidate, Candidates};
use super::consistency::{Circuits, Judged};
use super::rest::Rest;
use crate::assembly::{Label, Solved, assemble};
use crate::document::Document;
use crate::together::groups;

/// What can be dropped to end some contradictions.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Drops {
    /// The statements at odds that it is about: their circuits have something in common, and nothing with any other's.
    pub contradictions: Vec<String>,
    /// The sets, the smallest first.
    pub sets: Vec<Vec<Dropped>>,
    /// Whether all sets of up to three were looked at.
    pub complete: bool,
}

/// A statement or a figure to drop.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Dropped {
    /// The relation, the dimension, or the size or coordinate of a part.
    pub name: String,
    /// Of a figure: what it would have to be instead, in millimetres or degrees.
    pub becomes: Option<f64>,
    /// Of a figure: what is stated.
    pub stated: Option<f64>,
    /// Whether that is an angle.
    pub angle: bool,
}

/// At most this many make a set.
const LARGEST: usize = 3;
/// Sets looked at for one group of contradictions before the search is cut.
const LOOKED_AT: usize = 20_000;
/// Two hands of a figure are one when they differ by less: millimetres or radians.
const ALIKE: f64 = 1e-6;
/// Sets found before the search is cut.
const FOUND: usize = 200;

/// Looks for the sets; at most `solves` of them are verified by solving.
pub fn drops(document: &Document, solved: &Solved<'_>, solves: usize) -> Vec<Drops> {
    let odd = solved.odd_circuits();
    if odd.is_empty() {
        return Vec::new();
    }
    let mut search = Search {
        document,
        solved,
        circuits: Circuits::of(solved),
        rest: Rest::of(solved),
        candidates: Candidates::default(),
        together: UnionFind::new(odd.len()),
        owners: HashMap::new(),
        solves,
    };
    for at in 0..odd.len() {
        search.claim(at);
    }
    // a search may come upon the circuits of another group: then the two are one
    loop {
        let groups = search.groups();
        let before = groups.len();
        let drops: Vec<Drops> = groups.iter().map(|group| search.of_group(group)).collect();
        if search.groups().len() == before {
            return drops;
        }
    }
}

struct Search<'a, 's> {
    document: &'a Document,
    solved: &'a Solved<'s>,
    circuits: Circuits,
    rest: Rest<'a, 's>,
    candidates: Candidates,
    /// Contradictions that hang together.
    together: UnionFind<usize>,
    /// For each candidate a contradiction on whose circuit it lies.
    owners: HashMap<usize, usize>,
    solves: usize,
}

impl Search<'_, '_> {
    /// Notes the candidates of a contradiction's own circuit.
    fn claim(&mut self, at: usize) {
        let own = self.statements_at_odds([at]);
        if let Judged::Conflict(members) = self.circuits.without(&[], &own) {
            for candidate in self.candidates.among(self.document, self.solved, &members) {
                let owner = *self.owners.entry(candidate).or_insert(at);
                self.together.union(owner, at);
            }
        }
    }

    /// The equations of some contradictions, by their places in the list of those at odds.
    fn statements_at_odds(&self, places: impl IntoIterator<Item = usize>) -> BTreeSet<EquationId> {
        let odd = self.solved.odd_circuits();
        places
            .into_iter()
            .filter_map(|at| self.solved.assembly.statement(&odd[at].0))
            .flat_map(|statement| statement.equations.iter().map(|(_, id)| *id))
            .collect()
    }

    /// The contradictions in groups, in the order of the file.
    fn groups(&self) -> Vec<Vec<usize>> {
        groups(&self.together, self.solved.odd_circuits().len())
    }

    fn of_group(&mut self, group: &[usize]) -> Drops {
        let odd = self.solved.odd_circuits();
        let mut drops = Drops {
            contradictions: group.iter().map(|at| odd[*at].0.clone()).collect(),
            sets: Vec::new(),
            complete: true,
        };
        let asked = self.statements_at_odds(group.iter().copied());
        let mut found: Vec<(Vec<usize>, Vec<Dropped>)> = Vec::new();
        let mut due: Vec<BTreeSet<usize>> = vec![BTreeSet::new()];
        let mut looked_at = 0;
        for size in 0..=LARGEST {
            let mut next: BTreeSet<BTreeSet<usize>> = BTreeSet::new();
            for set in due {
                let holds_smaller =
                    |(known, _): &(Vec<usize>, _)| known.iter().all(|at| set.contains(at));
                if found.iter().any(holds_smaller) {
                    continue;
                }
                looked_at += 1;
                if looked_at > LOOKED_AT || found.len() == FOUND {
                    drops.complete = false;
                    break;
                }
                let dropped = self.candidates.ranked(&set);
                match self.circuits.without(&dropped, &asked) {
                    Judged::Loose => {}
                    Judged::Conflict(members) => {
                        let candidates =
                            self.candidates.among(self.document, self.solved, &members);
                        for candidate in candidates {
                            if let Some(owner) = self.owners.get(&candidate) {
                                self.together.union(*owner, group[0]);
                            }
                            if size < LARGEST && !set.contains(&candidate) {
                                let mut larger = set.clone();
                                larger.insert(candidate);
                                next.insert(larger);
                            }
                        }
                    }
                    Judged::Holds(exchange) => {
                        let told = match self.rest.after(&exchange) {
                            Some(state) => self.told(&dropped, &state, &asked),
                            None if self.solves == 0 => {
                                drops.complete = false;
                                None
                            }
                            None => {
                                self.solves -= 1;
                                self.solved_without(&dropped, &drops.contradictions)
                            }
                        };
                        found.extend(told.map(|told| (set.into_iter().collect(), told)));
                    }
                }
            }
            due = next.into_iter().collect();
        }
        let all = &self.candidates;
        found.sort_by_cached_key(|(set, _)| {
            let mut ranks: Vec<_> = set.iter().map(|at| all.get(*at).rank()).collect();
            ranks.sort();
            (set.len(), ranks)
        });
        drops.sets = found.into_iter().map(|(_, told)| told).collect();
        drops
    }

    /// The set with what its figures would have to be; none when something that stays does not agree with it, or metal can't be so.
    fn told(
        &self,
        dropped: &[&Candidate],
        state: &State,
        asked: &BTreeSet<EquationId>,
    ) -> Option<Vec<Dropped>> {
        let agree = self.circuits.agree_at(self.solved, state, dropped, asked);
        if !agree || !self.rest.can_be(state) {
            return None;
        }
        let quantities = &self.solved.assembly.quantities;
        let told = dropped.iter().map(|one| {
            let first = one.vars.first();
            let becomes = first.map(|var| self.rest.value(&quantities.whole(*var), state));
            self.figure(one, becomes)
        });
        let told: Vec<Dropped> = told.collect();
        // a recipe may read a turn, so that with another one the text says something else, or nothing
        let turned = told.iter().any(|one| one.angle);
        (!turned || self.reads(dropped, &told)).then_some(told)
    }

    /// Whether the model can be read with the figures that are told.
    fn reads(&self, dropped: &[&Candidate], told: &[Dropped]) -> bool {
        let mut document = self.document.clone();
        for (one, told) in dropped.iter().zip(told) {
            match told.becomes {
                Some(becomes) => one.set_in(&mut document, becomes, told.angle),
                None => one.drop_from(&mut document),
            }
        }
        assemble(&document).is_ok()
    }

    fn figure(&self, one: &Candidate, becomes: Option<f64>) -> Dropped {
        let system = &self.solved.assembly.system;
        let angle = one
            .vars
            .first()
            .is_some_and(|var| system.get(*var).measure == Measure::Angle);
        let shown = |value: f64| if angle { value.to_degrees() } else { value };
        let quantities = &self.solved.assembly.quantities;
        let stated = one.vars.first().map(|var| quantities.whole(*var));
        Dropped {
            name: one.name.clone(),
            stated: stated.map(|form| shown(self.solved.solution.form(&form))),
            becomes: becomes.map(shown),
            angle,
        }
    }

    /// The same by solving: none when something of these is still at odds, something new is, or more is loose.
    fn solved_without(
        &self,
        dropped: &[&Candidate],
        contradictions: &[String],
    ) -> Option<Vec<Dropped>> {
        let mut rest = self.document.clone();
        for one in dropped {
            one.drop_from(&mut rest);
        }
        let assembly = assemble(&rest).ok()?;
        let solved = assembly.solve().ok()?;
        let before: BTreeSet<&String> = self
            .solved
            .odd_circuits()
            .iter()
            .map(|(name, _)| name)
            .filter(|name| !contradictions.contains(name))
            .collect();
        let still = solved
            .odd_circuits()
            .iter()
            .all(|(name, _)| before.contains(name));
        let freedoms = |solved: &Solved<'_>| solved.solution.report().freedoms;
        if !still || freedoms(&solved) > freedoms(self.solved) {
            return None;
        }
        // what is found instead of the figure: of each hand, and all alike
        let found = |var: &Var| {
            let label = self.solved.assembly.quantities.label(*var)?;
            let same = |other: &Label| other.text == label.text && other.detail == label.detail;
            let mut all = assembly.quantities.labels();
            let (var, _) = all.find(|(_, other)| same(other))?;
            Some(solved.solution.state().value(var))
        };
        let told = dropped.iter().map(|one| {
            let values: Vec<f64> = one.vars.iter().filter_map(found).collect();
            let first = values.first().copied();
            let alike = |value: &f64| first.is_some_and(|first| (value - first).abs() < ALIKE);
            values.iter().all(alike).then(|| self.figure(one, first))
        });
        told.collect()
    }
}
