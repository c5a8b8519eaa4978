//! The logic against every order there is.

#![allow(clippy::unwrap_used, clippy::panic)]

use proptest::prelude::*;

use super::logic::{Closing, Held, Parts, Problem};

fn set(list: &[usize]) -> Parts {
    list.iter().copied().collect()
}

fn joint(layers: &[usize], places: &[&[&[usize]]]) -> Closing {
    Closing {
        waits_for: set(layers),
        places: places
            .iter()
            .map(|ways| ways.iter().map(|way| set(way)).collect())
            .collect(),
    }
}

fn plain(problem: &Problem) -> Result<Vec<usize>, Parts> {
    let steps = problem.order(&|part| part, &|_| None)?;
    Ok(steps.into_iter().flatten().collect())
}

/// Walked forward: each joint is set the moment that its last part is in, beside what is in then.
fn is_valid(problem: &Problem, order: &[usize]) -> bool {
    let mut inside = problem.fitted.clone();
    for part in order {
        let too_late = problem
            .before
            .iter()
            .any(|[first, then]| first == part && order.contains(then) && inside.contains(then));
        inside.insert(*part);
        let all_set = problem.joints.iter().all(|closing| {
            let closes_now =
                closing.waits_for.contains(part) && closing.waits_for.is_subset(&inside);
            let place_is_set = |ways: &Vec<Parts>| {
                ways.iter()
                    .any(|way| way.iter().all(|other| !inside.contains(other)))
            };
            !closes_now || closing.places.iter().all(place_is_set)
        });
        if too_late || !all_set {
            return false;
        }
    }
    true
}

fn permutations(list: &[usize]) -> Vec<Vec<usize>> {
    if list.is_empty() {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for (at, first) in list.iter().enumerate() {
        let mut rest = list.to_vec();
        rest.remove(at);
        for mut tail in permutations(&rest) {
            tail.insert(0, *first);
            all.push(tail);
        }
    }
    all
}

fn has_order(problem: &Problem, parts: &Parts) -> bool {
    let list: Vec<usize> = parts.iter().copied().collect();
    permutations(&list)
        .iter()
        .any(|order| is_valid(problem, order))
}

const PARTS: usize = 6;

fn problems() -> impl Strategy<Value = Problem> {
    let part = 0..PARTS;
    let some = |most| proptest::collection::btree_set(0..PARTS, 1..=most);
    let place = proptest::collection::vec(some(2), 1..3);
    let closing =
        (some(3), proptest::collection::vec(place, 0..3)).prop_map(|(waits_for, mut places)| {
            // a joint that its own parts block for ever is told apart, before this
            for ways in &mut places {
                for way in ways.iter_mut() {
                    way.retain(|part| !waits_for.contains(part));
                }
            }
            Closing { waits_for, places }
        });
    let before = proptest::collection::vec((part.clone(), part), 0..4);
    (
        proptest::collection::btree_set(0..PARTS, 0..2),
        proptest::collection::vec(closing, 0..5),
        before,
    )
        .prop_map(|(fitted, joints, before)| Problem {
            parts: (0..PARTS).filter(|part| !fitted.contains(part)).collect(),
            fitted,
            joints,
            before: before
                .into_iter()
                .filter(|(a, b)| a != b)
                .map(|(a, b)| [a, b])
                .collect(),
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn an_order_is_found_if_there_is_one(problem in problems()) {
        match plain(&problem) {
            Ok(order) => {
                prop_assert_eq!(set(&order), problem.parts.clone());
                prop_assert!(is_valid(&problem, &order), "{:?}", order);
            }
            Err(stuck) => {
                prop_assert!(!has_order(&problem, &problem.parts));
                let circle = problem.circle(&stuck);
                prop_assert!(circle.proved);
                prop_assert!(circle.parts.is_subset(&stuck));
                prop_assert!(!has_order(&problem, &circle.parts));
                for part in &circle.parts {
                    prop_assert!(problem.held(*part, &circle.parts).is_some());
                }
                // every set of fewer parts has an order
                let list: Vec<usize> = problem.parts.iter().copied().collect();
                for bits in 1..1_u32 << list.len() {
                    let few: Parts = list.iter().enumerate().filter(|(at, _)| bits >> at & 1 == 1).map(|(_, part)| *part).collect();
                    if few.len() < circle.parts.len() {
                        prop_assert!(has_order(&problem, &few), "{:?} is smaller than {:?}", few, circle.parts);
                    }
                }
            }
        }
    }

    #[test]
    fn rank_and_twins_change_the_order_and_not_whether_there_is_one(problem in problems(), ranks in proptest::collection::vec(0_usize..9, PARTS)) {
        let steps = problem.order(&|part| ranks[part], &|part| Some(part ^ 1));
        match (plain(&problem), steps) {
            (Ok(_), Ok(steps)) => {
                let order: Vec<usize> = steps.into_iter().flatten().collect();
                prop_assert!(is_valid(&problem, &order));
            }
            (Err(one), Err(other)) => prop_assert_eq!(one, other),
            (one, other) => prop_assert!(false, "{:?} and {:?}", one, other),
        }
    }
}

/// 2 takes the room of the only way to set the joint of 0 and 1: it goes in after both.
#[test]
fn what_would_be_in_the_way_comes_later() {
    let problem = Problem {
        parts: set(&[0, 1, 2]),
        joints: vec![joint(&[0, 1], &[&[&[2]]])],
        ..Problem::default()
    };
    let steps = problem.order(&|part| 9 - part, &|_| None).unwrap();
    assert_eq!(steps, [[1], [0], [2]]);
}

/// The same, and 2 has to be in before 1: no order. The circle: 2 before 1 as stated; 0 and 1 before 2, or there is no room.
#[test]
fn a_circle_of_a_statement_and_a_joint() {
    let problem = Problem {
        parts: set(&[0, 1, 2, 3, 4]),
        joints: vec![joint(&[0, 1], &[&[&[], &[2]], &[&[2], &[2, 3]]])],
        before: vec![[2, 1], [3, 4]],
        ..Problem::default()
    };
    let stuck = plain(&problem).unwrap_err();
    // 0 could go in after 2 if 1 came later: it belongs to the circle, since the joint closes with whichever of the two is last
    assert_eq!(stuck, set(&[0, 1, 2]));
    let circle = problem.circle(&stuck);
    assert_eq!(circle.parts, set(&[0, 1, 2]));
    assert!(circle.proved);
    assert_eq!(problem.held(2, &circle.parts), Some(Held::Stated(0)));
    assert_eq!(
        problem.held(0, &circle.parts),
        Some(Held::Joint { joint: 0, place: 1 })
    );
}

/// What is in already takes room as well, and is in no circle.
#[test]
fn fitted_parts_take_room() {
    let mut problem = Problem {
        parts: set(&[1, 2]),
        fitted: set(&[0]),
        joints: vec![joint(&[0, 1], &[&[&[2]]])],
        ..Problem::default()
    };
    assert_eq!(plain(&problem).unwrap(), [1, 2]);
    problem.joints.push(joint(&[1, 2], &[&[&[0]]]));
    assert_eq!(
        problem.circle(&plain(&problem).unwrap_err()).parts,
        set(&[1, 2])
    );
}

/// Twins go in one step where both can.
#[test]
fn twins_in_one_step() {
    let problem = Problem {
        parts: set(&[0, 1, 2, 3]),
        before: vec![[0, 3]],
        ..Problem::default()
    };
    let twin = |part: usize| (part < 2).then(|| 1 - part);
    let steps = problem.order(&|part| part, &twin).unwrap();
    assert_eq!(steps, [vec![0, 1], vec![2], vec![3]]);
}

/// A ring of a hundred statements: the circle is the ring, however it is found.
#[test]
fn a_long_ring() {
    let problem = Problem {
        parts: (0..100).collect(),
        before: (0..100).map(|at| [at, (at + 1) % 100]).collect(),
        ..Problem::default()
    };
    let circle = problem.circle(&plain(&problem).unwrap_err());
    assert_eq!(circle.parts.len(), 100);
}
