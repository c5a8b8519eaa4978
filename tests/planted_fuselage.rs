//! The generated long fuselages as a test: what is planted is found and named, and nothing else is.

use crate::long_fuselage;
use crate::long_fuselage::{Every, Family};
use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::layout::Layout;
use strongback_model::source::read;

/// The layout of a family, in which what is planted was found and nothing else.
fn found(family: Family, bays: usize, every: Every) -> Layout {
    let (text, planted) = long_fuselage::model_with(family, bays, every);
    let document: Document = read(&text).unwrap();
    let assembly = assemble(&document).unwrap();
    let layout = assembly.solve().unwrap().layout();
    let odds: Vec<&str> = layout
        .at_odds
        .iter()
        .map(|odd| odd.statement.as_str())
        .collect();
    assert_eq!(odds, planted.at_odds, "{family}");
    assert_eq!(layout.spare.len(), planted.spare, "{family}");
    assert_eq!(layout.loose.len(), planted.freedoms, "{family}");
    assert_eq!(layout.solution.freedoms, planted.freedoms, "{family}");
    let looped = family.looped(bays);
    let rails = if looped > 0 { 2 } else { 0 };
    assert_eq!(layout.parts.len(), bays * 10 + 1 + rails, "{family}");
    for laid in &planted.laid {
        let part = layout.part(&laid.frame).unwrap();
        // heights are rounded, and a wrong cant of one frame would set all after it off by an inch
        for (is, wanted) in [0, 2].into_iter().zip(laid.at) {
            let apart = part.origin_mm[is] / 25.4 - wanted;
            assert!(
                apart.abs() < 0.02,
                "{family}: {laid:?}, {:?}",
                part.origin_mm
            );
        }
        assert!(
            (part.turn_deg[1] - laid.cant).abs() < 0.02,
            "{family}: {laid:?}"
        );
    }
    assert!(
        layout.solution.largest_block >= 14 * looped,
        "{family}: {:?}",
        layout.solution
    );
    layout
}

#[test]
fn what_is_planted_in_a_chain_is_found_and_nothing_else() {
    let every = Every {
        at_odds: 50,
        loose: usize::MAX,
    };
    let layout = found(Family::Chain, 52, every);
    assert_eq!(layout.at_odds.len(), 1);
}

#[test]
fn what_is_planted_in_a_loop_is_found_and_nothing_else() {
    let every = Every {
        at_odds: 3,
        loose: 4,
    };
    for family in [Family::Loop, Family::Mixed] {
        for bays in [2, 5, 10] {
            found(family, bays, every);
        }
    }
}
