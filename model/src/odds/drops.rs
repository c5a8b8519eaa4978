//! The smallest sets of statements without which the rest holds. In: a document and its solution. Out: sets of up to three
//! statements, smallest first, the least trusted first among equals; each verified by solving without them.
//!
//! Every contradiction has to lose one of its circuit, so the candidates are the hitting sets of the circuits (Reiter,
//! Artificial Intelligence 32, 1987); a set that leaves something loose which was settled is none.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use crate::assembly::{Solved, assemble};
use crate::document::{Document, Trust};

/// Sets of statements to drop.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Drops {
    /// The sets, by the names of the file's statements.
    pub sets: Vec<Vec<String>>,
    /// Whether all sets of up to three statements were looked at.
    pub complete: bool,
}

/// At most this many statements make a set.
const LARGEST: usize = 3;
/// Of more candidates than this only sets of two are looked at.
const WIDEST: usize = 80;

/// Looks for the sets; at most `solves` of them are verified.
pub fn drops(document: &Document, solved: &Solved<'_>, solves: usize) -> Drops {
    let circuits: Vec<BTreeSet<String>> = solved
        .odd_circuits()
        .iter()
        .map(|(name, equations)| {
            let behind = equations
                .iter()
                .map(|id| &solved.assembly.statement_of(*id).name);
            behind
                .chain([name])
                .filter_map(|name| entry_of(document, name))
                .collect()
        })
        .collect();
    let mut drops = Drops {
        sets: Vec::new(),
        complete: true,
    };
    if circuits.is_empty() {
        return drops;
    }
    let trust = |name: &String| {
        let stated = document.relations.get(name);
        stated.map_or(Trust::Plain, |stated| {
            stated.as_it_counts().remarks.trusted()
        })
    };
    let mut all: Vec<String> = circuits
        .iter()
        .flatten()
        .cloned()
        .collect::<BTreeSet<_>>()
        .into_iter()
        .collect();
    // the least trusted first, then the last of the file
    all.sort_by_key(|name| {
        let at = document.relations.position(name).unwrap_or(0);
        (std::cmp::Reverse(trust(name)), std::cmp::Reverse(at))
    });
    let freedoms = solved.solution.report().freedoms;
    let mut left = solves;
    for size in 1..=LARGEST.min(all.len()) {
        if size == LARGEST && all.len() > WIDEST {
            drops.complete = false;
            break;
        }
        let mut candidates = hitting_sets(&all, &circuits, size);
        candidates.sort_by_key(|set| {
            let trusts: Vec<_> = set
                .iter()
                .map(|at| std::cmp::Reverse(trust(&all[*at])))
                .collect();
            (trusts, set.clone())
        });
        for set in candidates {
            let names: Vec<String> = set.iter().map(|at| all[*at].clone()).collect();
            let known = |known: &Vec<String>| known.iter().all(|name| names.contains(name));
            if drops.sets.iter().any(known) {
                continue;
            }
            if left == 0 {
                drops.complete = false;
                return drops;
            }
            left -= 1;
            if rest_holds(document, &names, freedoms) {
                drops.sets.push(names);
            }
        }
    }
    drops
}

/// The statement of the file that one of the assembly comes from; none for a stated position.
fn entry_of(document: &Document, name: &str) -> Option<String> {
    let stem = || name.strip_suffix(" L").or_else(|| name.strip_suffix(" R"));
    [Some(name), stem()]
        .into_iter()
        .flatten()
        .find(|name| document.relations.get(name).is_some())
        .map(str::to_owned)
}

/// All sets of a size that have something in common with each circuit, as places in `all`, rising.
fn hitting_sets(all: &[String], circuits: &[BTreeSet<String>], size: usize) -> Vec<Vec<usize>> {
    let mut found = Vec::new();
    let mut chosen = Vec::with_capacity(size);
    extend(all, circuits, size, 0, &mut chosen, &mut found);
    found
}

fn extend(
    all: &[String],
    circuits: &[BTreeSet<String>],
    size: usize,
    from: usize,
    chosen: &mut Vec<usize>,
    found: &mut Vec<Vec<usize>>,
) {
    if chosen.len() == size {
        let hits = |circuit: &BTreeSet<String>| chosen.iter().any(|at| circuit.contains(&all[*at]));
        if circuits.iter().all(hits) {
            found.push(chosen.clone());
        }
        return;
    }
    for at in from..all.len() {
        chosen.push(at);
        extend(all, circuits, size, at + 1, chosen, found);
        chosen.pop();
    }
}

/// Whether nothing is at odds without some statements, and nothing more is loose.
fn rest_holds(document: &Document, without: &[String], freedoms: usize) -> bool {
    let mut rest = document.clone();
    for name in without {
        rest.relations.remove(name);
    }
    let Ok(assembly) = assemble(&rest) else {
        return false;
    };
    let Ok(solved) = assembly.solve() else {
        return false;
    };
    solved.odd_circuits().is_empty() && solved.solution.report().freedoms <= freedoms
}
