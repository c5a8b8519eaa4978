//! What can be dropped to end a contradiction: a relation, or a figure of a dimension, a cut size, a stated coordinate or turn, which
//! is then found. In: a document and its solution. Out: the candidates of all circuits, each with its rows and variables.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use strongback_solver::{EquationId, Var};

use super::consistency::Member;
use crate::assembly::{AssembledStatement, Assembly, Figure, STATED_POSITION, Solved};
use crate::change;
use crate::document::{Document, Trust};
use crate::part::Role;
use crate::settable::{both_hands, settable};
use crate::source::{Given, Text};
use crate::words::without_hand;

/// A statement or a figure that can be dropped.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Candidate {
    /// As it is told: `tail frame spacing`, `bay`, `rail length`.
    pub(super) name: String,
    pub(super) trust: Trust,
    pub(super) dropped: What,
    /// The equations that go with it: of each hand.
    pub(super) equations: BTreeSet<EquationId>,
    /// The figures that are found instead: of each hand.
    pub(super) vars: BTreeSet<Var>,
    /// Where it stands in the file.
    pub(super) at: usize,
}

/// What is dropped.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum What {
    /// A relation, by its name in the file.
    Relation(String),
    /// A figure, by the name under which it can be set.
    Figure(String),
}

/// All candidates met so far, each once.
#[derive(Debug, Default)]
pub(super) struct Candidates {
    all: Vec<Candidate>,
    places: BTreeMap<What, usize>,
}

impl Candidates {
    /// Those that take part in a contradiction, by their places.
    pub(super) fn among(
        &mut self,
        document: &Document,
        solved: &Solved<'_>,
        members: &BTreeSet<Member>,
    ) -> BTreeSet<usize> {
        let found = members.iter().filter_map(|member| match member {
            Member::Row(id, _) => {
                let statement = solved.assembly.statement_of(*id);
                of_statement(document, solved.assembly, statement)
            }
            Member::Figure(var) => of_figure(document, solved, *var),
        });
        let mut places = BTreeSet::new();
        for candidate in found {
            let next = self.all.len();
            let place = *self.places.entry(candidate.dropped.clone()).or_insert(next);
            if place == next {
                self.all.push(candidate);
            }
            places.insert(place);
        }
        places
    }

    pub(super) fn get(&self, at: usize) -> &Candidate {
        &self.all[at]
    }

    /// Some of them, the least trusted first.
    pub(super) fn ranked(&self, places: &BTreeSet<usize>) -> Vec<&Candidate> {
        let mut some: Vec<&Candidate> = places.iter().map(|at| &self.all[*at]).collect();
        some.sort_by_key(|one| one.rank());
        some
    }
}

impl Candidate {
    /// The least trusted first, then the last of the file.
    pub(super) fn rank(&self) -> (Reverse<Trust>, Reverse<usize>) {
        (Reverse(self.trust), Reverse(self.at))
    }

    /// A document with another figure for it, in millimetres or degrees.
    pub(super) fn set_in(&self, document: &mut Document, becomes: f64, angle: bool) {
        if let What::Figure(name) = &self.dropped {
            let unit = if angle { "deg" } else { "mm" };
            let figure = Given::unplaced(&format!("{becomes:.9} {unit}"));
            // the name was looked up when the candidate was made
            let _ = change::set(document, &Text::unplaced(name.clone()), &figure);
        }
    }

    /// The document without it.
    pub(super) fn drop_from(&self, document: &mut Document) {
        match &self.dropped {
            What::Relation(name) => {
                document.drop_relation(name);
            }
            What::Figure(name) => {
                let find = Given::Find {
                    near: given_of(document, name).map(Box::new),
                    span: 0..0,
                };
                // the name was looked up when the candidate was made
                let _ = change::set(document, &Text::unplaced(name.clone()), &find);
            }
        }
    }
}

/// The figure that is stated under a name, to start the search from.
fn given_of(document: &Document, name: &str) -> Option<Given> {
    let given = document
        .dimensions
        .get(name)
        .map(|stated| stated.is.clone())?;
    (!matches!(given, Given::Find { .. })).then_some(given)
}

/// The candidate that a statement of the assembly belongs to; none for one that the file doesn't hold by a name.
fn of_statement(
    document: &Document,
    assembly: &Assembly,
    statement: &AssembledStatement,
) -> Option<Candidate> {
    // a stated position is a figure, whatever relation is called as it is
    if statement.word == STATED_POSITION {
        return None;
    }
    let names = [Some(statement.name.as_str()), without_hand(&statement.name)];
    let name = names
        .into_iter()
        .flatten()
        .find(|name| document.relations.get(name).is_some())?;
    // where a part is riveted is no statement to be dropped
    if document.made.contains(name) {
        return None;
    }
    // another statement may bear the name of one hand
    let hands = match assembly.statement(name) {
        Some(_) => vec![name.to_owned()],
        None => both_hands(name),
    };
    let equations = hands
        .iter()
        .filter_map(|name| assembly.statement(name))
        .flat_map(|statement| statement.equations.iter().map(|(_, id)| *id))
        .collect();
    Some(Candidate {
        name: name.to_owned(),
        trust: statement.trust,
        dropped: What::Relation(name.to_owned()),
        equations,
        vars: BTreeSet::new(),
        at: statement.span.start,
    })
}

/// The candidate that a figure is; none for a gauge, a radius or a figure of a relation, which goes with its relation.
fn of_figure(document: &Document, solved: &Solved<'_>, var: Var) -> Option<Candidate> {
    let figure = settable(document, solved.assembly, var)?;
    let may_drop = match figure.figure {
        Figure::Size(role) => matches!(role, Role::Extent | Role::Coordinate),
        Figure::Dimension | Figure::Place => true,
        Figure::Relation | Figure::Demand | Figure::Made => false,
    };
    // metal that is made is nothing to drop
    (may_drop && !figure.made).then_some(Candidate {
        name: figure.told,
        trust: figure.trust,
        dropped: What::Figure(figure.name),
        equations: BTreeSet::new(),
        vars: figure.vars,
        at: figure.at,
    })
}
