//! A builder writes a model line by line. In: each demo model with one of its relations left out. Out: it is laid out all
//! the same: nothing is at odds that was not before, what lost its hold is told as loose, and no other part moves.

use crate::model_text;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::looseness;
use strongback_model::source::{Text, read};

const DEMOS: [&str; 3] = [
    include_str!("../demo-models/first-bay.ron"),
    include_str!("../demo-models/centre-fuselage.ron"),
    include_str!("../demo-models/tail-cone.ron"),
];

/// Parts that stay settled stay where they are, to this many millimetres.
const SAME: f64 = 1e-6;

/// What is said to settle a part that lost its station does so, and is one of the relations that anybody would think of.
#[test]
fn what_is_loose_is_told_with_what_settles_it() {
    let whole: Document = read(DEMOS[0]).unwrap();
    let mut document = whole.clone();
    document.relations.remove("panel spacing").unwrap();
    let assembly = assemble(&document).unwrap();
    let solved = assembly.solve().unwrap();
    let layout = solved.layout();
    let motions = looseness::motions(&document, &solved, &layout);
    assert_eq!(motions.len(), layout.loose.len());
    assert_eq!(motions.len(), 1);
    let [motion] = &motions[..] else {
        unreachable!()
    };
    assert!(!motion.settled_by.is_empty(), "{motion:#?}");
    assert!(
        motion
            .settled_by
            .iter()
            .any(|relation| relation.contains("panel frame")),
        "{motion:#?}"
    );
    for relation in &motion.settled_by {
        let text = relation.replace('…', "19 3/8 in");
        let mut with = document.clone();
        let name = Text {
            value: "it".to_owned(),
            span: 0..0,
        };
        with.relations.push(name, read(&text).unwrap()).unwrap();
        let layout = model_text::layout(&with);
        assert!(layout.loose.is_empty(), "{relation}: {:#?}", layout.loose);
    }
    let solved = assemble(&whole).unwrap();
    let solved = solved.solve().unwrap();
    assert!(looseness::motions(&whole, &solved, &solved.layout()).is_empty());
}

/// What settles one motion of a part is not offered for another one: where its side comes to says nothing of a rail's length.
#[test]
fn a_suggestion_meets_the_motion_that_it_stands_beside() {
    let document = model_text::document(
        "Inch",
        r#"parts: {
            "a": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: (fs: 0, bl: 0, wl: 0)),
            "rail": Bar(runs: FwdAft, length: Find, depth: 1, breadth: 1, at: (wl: 3)),
        },
        relations: { "starts": Reaches(end: "rail.fwd_end", face: "a.aft") }"#,
    );
    let assembly = assemble(&document).unwrap();
    let solved = assembly.solve().unwrap();
    let motions = looseness::motions(&document, &solved, &solved.layout());
    assert_eq!(motions.len(), 2);
    for motion in &motions {
        assert!(!motion.settled_by.is_empty());
        for relation in &motion.settled_by {
            let mut with = document.clone();
            let relation = read(&relation.replace('…', "25 in")).unwrap();
            with.relations
                .push(Text::unplaced("it".to_owned()), relation)
                .unwrap();
            let left = model_text::layout(&with).loose;
            let same = |other: &&strongback_model::layout::Loose| other.told == motion.motion.told;
            assert_eq!(
                (left.len(), left.iter().find(same)),
                (1, None),
                "{motion:#?}"
            );
        }
    }
}

fn each_relation_left_out(text: &str) {
    let whole: Document = read(text).unwrap();
    let before = model_text::layout(&whole);
    assert!(before.at_odds.is_empty() && before.loose.is_empty());
    let mut solved = 0;
    for name in whole.relations.names() {
        let mut document = whole.clone();
        document.relations.remove(name);
        // a part that no relation reaches is refused, and so is the reference to one
        let Ok(assembly) = assemble(&document) else {
            continue;
        };
        let layout = match assembly.solve() {
            Ok(solution) => solution.layout(),
            Err(fault) => panic!("without {name}: {fault:#?}"),
        };
        solved += 1;
        assert!(
            layout.at_odds.is_empty(),
            "without {name}: {:#?}",
            layout.at_odds
        );
        for part in layout.parts.iter().filter(|part| part.settled) {
            let same = before.part(&part.name).unwrap();
            for (is, was) in part.features.iter().zip(&same.features) {
                let apart = (0..3).map(|axis| (is.at_mm[axis] - was.at_mm[axis]).abs());
                assert!(
                    apart.fold(0.0, f64::max) < SAME,
                    "without {name}: {} is told as settled elsewhere",
                    part.name
                );
            }
        }
    }
    assert!(solved > whole.relations.len() / 2, "{solved} were solved");
}

#[test]
fn first_bay() {
    each_relation_left_out(DEMOS[0]);
}

#[test]
fn centre_fuselage() {
    each_relation_left_out(DEMOS[1]);
}

#[test]
fn tail_cone() {
    each_relation_left_out(DEMOS[2]);
}

proptest! {
    #![proptest_config(ProptestConfig { rng_seed: RngSeed::Fixed(41), failure_persistence: None, ..ProptestConfig::with_cases(64) })]

    /// Half-written models: any few relations left out.
    #[test]
    fn several_left_out(which in prop::collection::vec(any::<prop::sample::Index>(), 2..60), demo in 0..DEMOS.len()) {
        let mut document: Document = read(DEMOS[demo]).unwrap();
        let mut left_out = Vec::new();
        for index in which {
            let names: Vec<String> = document.relations.names().map(str::to_owned).collect();
            if names.is_empty() {
                break;
            }
            let name = index.get(&names).clone();
            document.relations.remove(&name);
            left_out.push(name);
        }
        if let Ok(assembly) = assemble(&document) {
            let solved = assembly.solve();
            prop_assert!(solved.is_ok(), "without {left_out:?}: {:#?}", solved.err());
            let layout = solved.unwrap().layout();
            prop_assert!(layout.at_odds.is_empty(), "without {left_out:?}: {:#?}", layout.at_odds);
        }
    }
}
