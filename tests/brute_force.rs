//! Circuits and sets to drop against plain enumeration, on random small models. In: frames in a row with random distances
//! between them, several in two heights at once, some figures named and used twice. Out: nothing but agreement: whatever the
//! program finds by linear algebra is what trying all subsets finds by solving, and nothing else.

use std::collections::BTreeSet;
use std::fmt::Write;

use crate::model_text::{assembled, document, solved};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use strongback_model::assembly::assemble;
use strongback_model::change::Change;
use strongback_model::document::Document;
use strongback_model::odds::drops;
use strongback_model::source::read;

/// `to` lies a whole number of inches behind `from`, in one of two axes; the figure may be one of two named ones.
#[derive(Clone, Debug)]
struct Edge {
    from: usize,
    to: usize,
    by: u8,
    up: bool,
    trust: u8,
}

const FRAMES: usize = 4;

fn edges() -> impl Strategy<Value = Vec<Edge>> {
    let edge = (0..FRAMES, 0..FRAMES, 0..6_u8, any::<bool>(), 0..4_u8)
        .prop_filter("a frame isn't spaced from itself", |(from, to, ..)| {
            from != to
        })
        .prop_map(|(from, to, by, up, trust)| Edge {
            from,
            to,
            by,
            up,
            trust,
        });
    prop::collection::vec(edge, 3..9)
}

fn model(edges: &[Edge]) -> Document {
    let (mut parts, mut relations) = (String::new(), String::new());
    for frame in 0..FRAMES {
        let at = if frame == 0 {
            "fs: 0, bl: 0, wl: 0"
        } else {
            "bl: 0"
        };
        let _ = write!(
            parts,
            r#""f{frame}": Plate(lies: Across, thickness: "1 in", width: "9 in", height: "9 in", at: ({at})),"#
        );
        // so that no frame is without a relation
        if frame > 0 {
            let _ = write!(
                relations,
                r#""keep {frame}": Parallel("f{frame}.fwd", "f0.fwd"),"#
            );
        }
    }
    for (at, edge) in edges.iter().enumerate() {
        let face = if edge.up { "bottom" } else { "fwd" };
        let by = match edge.by {
            0 => "bay".to_owned(),
            1 => "half bay".to_owned(),
            other => format!("{} in", 10 + other),
        };
        let trust = ["Measured", "Adopted", "Plain", "Doubtful"][usize::from(edge.trust)];
        let _ = write!(
            relations,
            r#""e{at}": (is: Spaced(from: "f{}.{face}", to: "f{}.{face}", by: "{by}"), trust: {trust}),"#,
            edge.from, edge.to
        );
    }
    document(
        "Inch",
        &format!(
            r#"dimensions: {{ "bay": "12 in", "half bay": "6 in" }}, parts: {{ {parts} }}, relations: {{ {relations} }}"#
        ),
    )
}

/// Whether a document's statements all hold, and how much is loose.
fn state(document: &Document) -> Option<(bool, usize)> {
    let assembly = assemble(document).ok()?;
    let layout = assembly.solve().ok()?.layout();
    Some((layout.at_odds.is_empty(), layout.solution.freedoms))
}

/// A document without some statements, and with some figures to be found.
fn without(document: &Document, names: &[&str]) -> Document {
    let mut rest = document.clone();
    for name in names {
        if rest.relations.remove(name).is_none() {
            let find: Change = read(&format!(r#"Set("{name}", Find)"#)).unwrap();
            rest = rest.with_changes(&[find]).unwrap();
        }
    }
    rest
}

proptest! {
    #![proptest_config(ProptestConfig { rng_seed: RngSeed::Fixed(7), failure_persistence: None, ..ProptestConfig::with_cases(96) })]

    /// A circuit with its statement is the smallest set that can't hold: each of it can be spared, none of it can.
    #[test]
    fn circuits_are_smallest_contradictory_sets(edges in edges()) {
        let document = model(&edges);
        let assembly = assembled(&document);
        let solved = solved(&assembly);
        for odd in solved.contradictions() {
            let circuit: BTreeSet<&str> = odd.with.iter().map(|member| member.statement.as_str())
                .chain([odd.statement.as_str()]).collect();
            let others: Vec<&str> = document.relations.names()
                .filter(|name| !circuit.contains(name) && !name.starts_with("keep")).collect();
            let alone = without(&document, &others);
            prop_assert_eq!(state(&alone).map(|state| state.0), Some(false), "{:?} holds", circuit);
            for name in &circuit {
                let rest = without(&alone, &[name]);
                prop_assert_eq!(state(&rest).map(|state| state.0), Some(true), "{:?} without {} does not hold", circuit, name);
            }
            // and of all of them the one that gave way is the least trusted, the last of the file among equals
            let rank = |name: &str| {
                let stated = document.relations.get(name).unwrap();
                (stated.remarks.trusted(), document.relations.position(name).unwrap())
            };
            let last = circuit.iter().max_by_key(|name| rank(name)).unwrap();
            prop_assert_eq!(*last, odd.statement.as_str());
        }
    }

    /// The sets to drop, of all groups together, are the smallest ones that enumeration finds.
    #[test]
    fn sets_to_drop_are_those_of_enumeration(edges in edges()) {
        let document = model(&edges);
        let assembly = assembled(&document);
        let solved = solved(&assembly);
        let Some((false, freedoms)) = state(&document) else { return Ok(()); };
        let groups = drops(&document, &solved, 0);
        let mut names: Vec<&str> = document.relations.names().filter(|name| name.starts_with('e')).collect();
        names.extend(document.dimensions.names());
        let mut all: Vec<BTreeSet<String>> = Vec::new();
        for chosen in 1_u32..1 << names.len() {
            if chosen.count_ones() > 3 {
                continue;
            }
            let set: Vec<&str> = (0..names.len()).filter(|at| chosen >> at & 1 == 1).map(|at| names[at]).collect();
            if state(&without(&document, &set)).is_some_and(|(holds, loose)| holds && loose <= freedoms) {
                all.push(set.iter().map(|name| (*name).to_owned()).collect());
            }
        }
        let mut smallest: Vec<BTreeSet<String>> = all.iter()
            .filter(|set| !all.iter().any(|other| other.len() < set.len() && other.is_subset(set)))
            .cloned().collect();
        smallest.sort();
        // one set of each group makes a set for all of them
        let mut told: Vec<BTreeSet<String>> = vec![BTreeSet::new()];
        for group in &groups {
            prop_assert!(group.complete);
            told = told.iter().flat_map(|so_far| group.sets.iter().map(move |set| {
                let mut both = so_far.clone();
                both.extend(set.iter().map(|one| one.name.clone()));
                both
            })).collect();
        }
        told.retain(|set| set.len() <= 3);
        told.sort();
        told.dedup();
        prop_assert_eq!(told, smallest);
    }
}

/// Names that are to be found are no longer figures: the helper above takes out what it is told to.
#[test]
fn the_helper_takes_out_what_it_is_told_to() {
    let edge = Edge {
        from: 0,
        to: 1,
        by: 0,
        up: false,
        trust: 2,
    };
    let document = model(&[edge]);
    assert!(without(&document, &["e0"]).relations.get("e0").is_none());
    let found = without(&document, &["bay"]);
    assert_ne!(
        found.dimensions.get("bay").unwrap().is,
        document.dimensions.get("bay").unwrap().is
    );
}
