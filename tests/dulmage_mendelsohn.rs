//! The structural analysis against published cases and against CXSparse.
//!
//! In: the small cases below, each with its source, and `data/dulmage_mendelsohn.json`, made by
//! `data/make_dulmage_mendelsohn.py` with CXSparse 3.2.0 (`cs_dmperm`). Compared as sets: the matching and the order within
//! a part are free, the coarse and fine sets are not.

use std::collections::BTreeSet;

use serde::Deserialize;
use strongback_solver::structure::{Coarse, Part, Pattern, dulmage_mendelsohn, solve_order};

#[derive(Deserialize)]
struct File {
    reference: String,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    columns: usize,
    pattern: Vec<Vec<usize>>,
    structural_rank: usize,
    under: Sets,
    well: Sets,
    over: Sets,
    fine: BTreeSet<Sets>,
}

/// Rows and columns, ascending.
type Sets = (Vec<usize>, Vec<usize>);

fn sets(part: Part) -> Sets {
    (part.rows, part.cols)
}

/// The blocks of the well-determined part, after a check that their order can be solved.
fn fine_blocks(pattern: &Pattern, coarse: &Coarse) -> BTreeSet<Sets> {
    let blocks = solve_order(pattern, &coarse.matching.restricted_to(&coarse.well.rows));
    let mut known: BTreeSet<usize> = coarse.over.cols.iter().copied().collect();
    let mut fine = BTreeSet::new();
    for block in blocks.iter() {
        known.extend(block.cols);
        for &row in block.rows {
            assert!(pattern.row(row).iter().all(|col| known.contains(col)));
        }
        let mut cols = block.cols.to_vec();
        cols.sort_unstable();
        fine.insert((block.rows.to_vec(), cols));
    }
    assert_eq!(fine.len(), blocks.len());
    fine
}

#[test]
fn random_patterns_agree_with_cxsparse() {
    let file: File = serde_json::from_str(include_str!("data/dulmage_mendelsohn.json")).unwrap();
    assert!(file.reference.starts_with("CXSparse 3.2.0"));
    assert!(file.cases.len() >= 60);
    for case in file.cases {
        let pattern = Pattern::from_rows(case.columns, &case.pattern).unwrap();
        let coarse = dulmage_mendelsohn(&pattern);
        assert_eq!(
            coarse.matching.size(),
            case.structural_rank,
            "{}",
            case.name
        );
        assert_eq!(fine_blocks(&pattern, &coarse), case.fine, "{}", case.name);
        assert_eq!(sets(coarse.under), case.under, "{}", case.name);
        assert_eq!(sets(coarse.well), case.well, "{}", case.name);
        assert_eq!(sets(coarse.over), case.over, "{}", case.name);
    }
}

// The unknowns of the two tutorial cases: three mass fractions, three component flows, the total flow, the density.
const X: [usize; 3] = [0, 1, 2];
const COMPONENT: [usize; 3] = [3, 4, 5];
const FLOW: usize = 6;
const DENSITY: usize = 7;

/// Rows 0 = the sum, 1..=3 = hold-ups, 4 = density, 5..=7 = component flows.
fn tutorial(sum: Vec<usize>) -> Pattern {
    let mut rows = vec![sum];
    rows.extend(X.map(|x| vec![x, DENSITY]));
    rows.push(vec![DENSITY, X[0], X[1], X[2]]);
    rows.extend([0, 1, 2].map(|i| vec![X[i], FLOW, COMPONENT[i]]));
    Pattern::from_rows(8, rows).unwrap()
}

/// Source: incidence-analysis tutorial "Debugging a structural singularity with the Dulmage-Mendelsohn partition" of the
/// Pyomo documentation; Parker, Nicholson and Siirola, Computers & Chemical Engineering 178 (2023) 108383.
#[test]
fn a_square_system_that_is_structurally_singular() {
    let coarse = dulmage_mendelsohn(&tutorial(X.to_vec()));
    assert_eq!(coarse.matching.size(), 7);
    assert_eq!(
        sets(coarse.over),
        (vec![0, 1, 2, 3, 4], vec![0, 1, 2, DENSITY])
    );
    assert_eq!(sets(coarse.under), (vec![5, 6, 7], vec![3, 4, 5, FLOW]));
    assert!(coarse.well.is_empty());
}

/// Source: as above, the tutorial's second part: sound in structure although singular as numbers.
#[test]
fn two_blocks_of_four() {
    let pattern = tutorial(vec![3, 4, 5, FLOW]);
    let coarse = dulmage_mendelsohn(&pattern);
    assert_eq!(coarse.well.rows.len(), 8);
    let expected = BTreeSet::from([
        (vec![1, 2, 3, 4], vec![0, 1, 2, DENSITY]),
        (vec![0, 5, 6, 7], vec![3, 4, 5, FLOW]),
    ]);
    assert_eq!(fine_blocks(&pattern, &coarse), expected);
}

/// Source: the decomposable tridiagonal matrix in Pyomo's own tests of its block triangularisation.
#[test]
fn a_tridiagonal_pattern_with_gaps() {
    let rows = [
        vec![0, 1],
        vec![0, 1],
        vec![1, 2, 3],
        vec![2, 3],
        vec![3, 4],
    ];
    let pattern = Pattern::from_rows(5, rows).unwrap();
    let expected = BTreeSet::from([
        (vec![0, 1], vec![0, 1]),
        (vec![2, 3], vec![2, 3]),
        (vec![4], vec![4]),
    ]);
    assert_eq!(
        fine_blocks(&pattern, &dulmage_mendelsohn(&pattern)),
        expected
    );
}

/// Source: the same tests, an upper bidiagonal matrix with a full last row, which cannot be cut.
#[test]
fn an_irreducible_pattern() {
    let rows = [
        vec![0, 1],
        vec![1, 2],
        vec![2, 3],
        vec![3, 4],
        vec![0, 1, 2, 3, 4],
    ];
    let pattern = Pattern::from_rows(5, rows).unwrap();
    let all: Vec<usize> = (0..5).collect();
    let expected = BTreeSet::from([(all.clone(), all)]);
    assert_eq!(
        fine_blocks(&pattern, &dulmage_mendelsohn(&pattern)),
        expected
    );
}
