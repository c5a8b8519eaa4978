//! Laws that hold for any net of distances, whatever its figures: sameness, order, planted contradictions and freedoms.
//!
//! Nets are drawn by proptest with a fixed seed; the judge is a walk along the edges (see `random_net.rs`), which knows
//! nothing of matrices. Each law holds for square bodies and for bodies whose pitch is found.

use std::collections::BTreeMap;

use crate::random_net::{
    Built, LENGTH, Net, Turns, Walk, Walked, any_net, extras, trees, with_extras,
};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use strongback_solver::{Report, Solution, SolveError, Tolerances, Verdict, solve};

/// Rounding of sums over a dozen edges of up to 300 mm.
const ROUNDING: f64 = 1e-9;

fn config() -> ProptestConfig {
    ProptestConfig {
        rng_seed: RngSeed::Fixed(17),
        failure_persistence: None,
        ..ProptestConfig::with_cases(200)
    }
}

fn turns() -> impl Strategy<Value = Turns> {
    prop_oneof![Just(Turns::None), Just(Turns::Stated)]
}

fn solution(built: &Built) -> Result<Solution<'_>, SolveError> {
    solve(&built.system, &Tolerances::default())
}

/// A report without its wall time.
fn timeless(report: &Report) -> Report {
    Report {
        seconds: 0.0,
        ..report.clone()
    }
}

/// An order of `count` things from keys.
fn order_by(keys: &[u32], count: usize) -> Vec<usize> {
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by_key(|at| keys[at % keys.len()].wrapping_mul(2 * *at as u32 + 1));
    order
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn the_same_system_has_the_same_solution_to_the_last_bit(net in any_net(), turns in turns()) {
        let builds = [(); 2].map(|()| net.build(turns, &net.as_listed()));
        let [a, b] = [0, 1].map(|at| solution(&builds[at]).unwrap());
        prop_assert_eq!(a.state(), b.state());
        prop_assert_eq!(timeless(a.report()), timeless(b.report()));
        prop_assert_eq!(a.motions(), b.motions());
        for (id, _) in &builds[0].edges {
            prop_assert_eq!(a.verdict(*id), b.verdict(*id));
            let equation = builds[0].system.get_equation(*id);
            prop_assert_eq!(a.sensitivity(equation), b.sensitivity(equation));
        }
        // and a system is not changed by solving it
        let again = solution(&builds[0]).unwrap();
        prop_assert_eq!(a.state(), again.state());
    }

    #[test]
    fn where_nothing_contradicts_the_order_of_statements_does_not_matter(
        tree in trees(), extra in extras(5), keys in proptest::collection::vec(any::<u32>(), 7), turns in turns(),
    ) {
        let agreeing: Vec<_> = extra.into_iter().map(|(axis, from, to, _)| (axis, from, to, 0.0)).collect();
        let net = with_extras(tree, &agreeing, 2);
        let (listed, shuffled) = (
            net.build(turns, &net.as_listed()),
            net.build(turns, &order_by(&keys, net.edges.len())),
        );
        let (a, b) = (solution(&listed).unwrap(), solution(&shuffled).unwrap());
        for node in 0..=net.nodes {
            for axis in 0..3 {
                let apart = listed.at(&a, node, axis) - shuffled.at(&b, node, axis);
                prop_assert!(apart.abs() < ROUNDING);
            }
        }
        prop_assert_eq!(a.report().rank, b.report().rank);
        let spare = |built: &Built, solution: &Solution<'_>| {
            built.edges.iter().filter(|(id, _)| solution.verdict(*id) == Verdict::Spare).count()
        };
        prop_assert_eq!(spare(&listed, &a), agreeing.len());
        prop_assert_eq!(spare(&shuffled, &b), agreeing.len());
    }

    #[test]
    fn planted_contradictions_are_found_and_nothing_else(
        tree in trees(), extra in extras(6), less_trusted in any::<bool>(),
        keys in proptest::collection::vec(any::<u32>(), 7), turns in turns(),
    ) {
        let tree_edges = tree.edges.len();
        let net = with_extras(tree, &extra, if less_trusted { 3 } else { 2 });
        // of equal trust the one stated later gives way; a less trusted one does wherever it stands
        let order = if less_trusted { order_by(&keys, net.edges.len()) } else { net.as_listed() };
        let built = net.build(turns, &order);
        let found = solution(&built).unwrap();
        let walk = Walk::new(&Net { edges: net.edges[..tree_edges].to_vec(), ..net.clone() }).into_paths(&net, tree_edges);
        for (at, (id, _)) in built.edges.iter().enumerate() {
            if at < tree_edges {
                prop_assert_eq!(found.verdict(*id), Verdict::Places);
                continue;
            }
            let off = extra[at - tree_edges].3;
            match found.verdict(*id) {
                Verdict::Spare => prop_assert_eq!(off, 0.0),
                Verdict::AtOdds { miss } => {
                    prop_assert!(off != 0.0 && (miss + off).abs() < ROUNDING, "{miss} for {off}");
                }
                Verdict::Places | Verdict::Waits { .. } => {
                    prop_assert!(false, "an edge of a loop places something, or waits")
                }
            }
            // its circuit: the edges of its loop, forwards or backwards, and their figures
            let told = found.sensitivity(built.system.get_equation(*id)).pop().unwrap();
            let path = &walk[at - tree_edges];
            let expected: BTreeMap<_, _> = path.iter().map(|(edge, sense)| (built.edges[*edge].0, *sense)).collect();
            prop_assert_eq!(told.equations.len(), expected.len(), "{:?}", told.equations);
            for (equation, row, coefficient) in &told.equations {
                prop_assert_eq!(*row, 0);
                prop_assert!(expected.get(equation).is_some_and(|sense| (sense - coefficient).abs() < ROUNDING));
            }
            let mut figures: BTreeMap<_, _> = path.iter().map(|(edge, sense)| (built.edges[*edge].1, *sense)).collect();
            figures.insert(built.edges[at].1, -1.0);
            prop_assert_eq!(told.givens.iter().filter(|(var, _)| figures.contains_key(var)).count(), figures.len());
            for (var, derivative) in &told.givens {
                // a loop through the ground leaves nothing of the ground's own place, nor of turns
                let expected = figures.get(var).copied().unwrap_or(0.0);
                prop_assert!((derivative - expected).abs() < ROUNDING, "{derivative} for {expected}");
            }
            prop_assert!(told.loose.is_empty());
        }
    }

    #[test]
    fn planted_freedoms_are_the_motions(tree in trees(), cut in proptest::collection::vec(any::<prop::sample::Index>(), 0..5), turns in turns()) {
        let mut net = tree;
        let before = net.edges.len();
        for at in &cut {
            if !net.edges.is_empty() {
                net.edges.remove(at.index(net.edges.len()));
            }
        }
        let built = net.build(turns, &net.as_listed());
        let found = solution(&built).unwrap();
        let motions = found.motions();
        prop_assert_eq!(motions.len(), before - net.edges.len());
        prop_assert_eq!(found.report().freedoms, before - net.edges.len());
        prop_assert!(built.edges.iter().all(|(id, _)| found.verdict(*id) == Verdict::Places));
        // each motion slides one set of nodes that hangs together but not on the ground
        let mut told: Vec<(usize, Vec<usize>)> = Vec::new();
        for motion in &motions {
            let mut set = Vec::new();
            for (var, rate) in motion {
                prop_assert!((rate - 1.0).abs() < ROUNDING, "{motion:?}");
                let node = built.origins.iter().position(|origin| origin.contains(var)).unwrap();
                set.push((built.origins[node].iter().position(|v| v == var).unwrap(), node + 1));
            }
            set.sort_unstable();
            prop_assert!(set.iter().all(|(axis, _)| *axis == set[0].0));
            told.push((set[0].0, set.into_iter().map(|(_, node)| node).collect()));
        }
        told.sort();
        let mut adrift = Walk::new(&net).adrift();
        adrift.sort();
        prop_assert_eq!(told, adrift);
    }

    #[test]
    fn moving_the_ground_moves_every_answer_alike(
        tree in trees(), extra in extras(5), by in [-500.0..500.0_f64, -500.0..500.0, -500.0..500.0], turns in turns(),
    ) {
        let net = with_extras(tree, &extra, 3);
        let moved = Net { ground: [0, 1, 2].map(|axis| net.ground[axis] + by[axis]), ..net.clone() };
        let (here, there) = (net.build(turns, &net.as_listed()), moved.build(turns, &net.as_listed()));
        let (a, b) = (solution(&here).unwrap(), solution(&there).unwrap());
        for node in 0..=net.nodes {
            for (axis, by) in by.into_iter().enumerate() {
                let shift = there.at(&b, node, axis) - here.at(&a, node, axis);
                prop_assert!((shift - by).abs() < ROUNDING);
            }
        }
        for ((one, _), (other, _)) in here.edges.iter().zip(&there.edges) {
            match (a.verdict(*one), b.verdict(*other)) {
                (Verdict::AtOdds { miss }, Verdict::AtOdds { miss: other }) => {
                    prop_assert!((miss - other).abs() < ROUNDING);
                }
                (one, other) => prop_assert_eq!(one, other),
            }
        }
    }

    #[test]
    fn a_plain_walk_judges_any_net_alike(net in any_net(), turns in turns()) {
        let built = net.build(turns, &net.as_listed());
        let found = solution(&built).unwrap();
        let walk = Walk::new(&net);
        let mut places = 0;
        for (at, (id, _)) in built.edges.iter().enumerate() {
            match (walk.verdicts[at], found.verdict(*id)) {
                (Walked::Places, Verdict::Places) => places += 1,
                (Walked::Closes(miss), Verdict::Spare) => prop_assert!(miss.abs() < ROUNDING),
                (Walked::Closes(miss), Verdict::AtOdds { miss: told }) => {
                    prop_assert!((miss - told).abs() < ROUNDING && miss.abs() > 1e-9 * LENGTH);
                }
                (walked, told) => prop_assert!(false, "edge {at}: {walked:?} and {told:?}"),
            }
        }
        let held = if turns == Turns::Stated { net.nodes } else { 0 };
        prop_assert_eq!(found.report().rank, places + held);
        prop_assert_eq!(found.motions().len(), 3 * net.nodes - places);
        for axis in 0..3 {
            for from in 0..=net.nodes {
                for to in 0..=net.nodes {
                    if let Some(apart) = walk.distance(axis, from, to) {
                        let told = built.at(&found, to, axis) - built.at(&found, from, axis);
                        prop_assert!((told - apart).abs() < ROUNDING, "{from} to {to}: {told} for {apart}");
                    }
                }
            }
        }
    }
}

impl Walk<'_> {
    /// The way through the tree beside each edge that was added to it.
    fn into_paths(self, net: &Net, tree_edges: usize) -> Vec<Vec<(usize, f64)>> {
        net.edges[tree_edges..]
            .iter()
            .map(|edge| self.path(edge.axis, edge.from, edge.to).unwrap())
            .collect()
    }
}
