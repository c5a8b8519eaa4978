//! A builder writes a model line by line. In: each demo model with one of its relations left out. Out: it is laid out all
//! the same: nothing is at odds that was not before, what lost its hold is told as loose, and no other part moves.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod model_text;

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::source::read;

const DEMOS: [&str; 3] = [
    include_str!("../demo-models/first-bay.ron"),
    include_str!("../demo-models/centre-fuselage.ron"),
    include_str!("../demo-models/tail-cone.ron"),
];

/// Parts that stay settled stay where they are, to this many millimetres.
const SAME: f64 = 1e-6;

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
