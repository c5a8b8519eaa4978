//! Any layout, however odd, makes a well-formed picture, and the same one each time.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use proptest::prelude::*;
use strongback_model::layout::{Layout, PlacedPart};
use strongback_model::quantity::Unit;

use super::sample::{bare, empty, face, prism};
use super::tests::{check, drawn};
use super::{Drawing, Saw, View, section, svg};

/// A coordinate: mostly of an aircraft, now and then nothing of the kind.
fn coordinate() -> impl Strategy<Value = f64> {
    prop_oneof![
        20 => -3000.0..6000.0f64,
        2 => Just(0.0),
        1 => any::<f64>(),
        1 => Just(f64::NAN),
        1 => -1e-9..1e-9f64,
    ]
}

fn point() -> impl Strategy<Value = [f64; 3]> {
    [coordinate(), coordinate(), coordinate()]
}

fn part() -> impl Strategy<Value = PlacedPart> {
    let ring = || proptest::collection::vec(point(), 0..6);
    let solid = (ring(), proptest::collection::vec(ring(), 0..2), point());
    let solids = proptest::collection::vec(solid, 0..3);
    let features = proptest::collection::vec(("(web|fwd|x)", coordinate()), 0..3);
    (any::<String>(), point(), solids, features).prop_map(|(name, origin, solids, features)| {
        let mut part = bare(&name, origin);
        for (outline, openings, sweep) in solids {
            let mut solid = prism(outline, sweep);
            solid.openings_mm = openings;
            part.solids.push(solid);
        }
        part.features = features
            .into_iter()
            .map(|(name, station)| face(&name, station))
            .collect();
        part
    })
}

fn layout() -> impl Strategy<Value = Layout> {
    let unit = prop_oneof![
        Just(Unit::Inch),
        Just(Unit::Foot),
        Just(Unit::Millimetre),
        Just(Unit::Centimetre),
        Just(Unit::Metre)
    ];
    let parts = proptest::collection::vec(part(), 0..12);
    (
        any::<String>(),
        proptest::option::of(any::<String>()),
        unit,
        parts,
    )
        .prop_map(|(title, datum, unit, parts)| Layout {
            title,
            datum,
            unit,
            parts,
            ..empty()
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, ..ProptestConfig::default() })]

    #[test]
    fn any_layout_makes_a_well_formed_picture(layout in layout(), words: String, highlight: Vec<String>) {
        for view in View::ALL {
            let drawing = Drawing { subtitle: &words, id: &words, highlight: &highlight, ..Drawing::new(&layout, view) };
            let svg = svg(&drawing);
            check(&svg);
            prop_assert_eq!(&svg, &super::svg(&drawing), "the same again");
        }
    }

    #[test]
    fn any_layout_is_sawn_anywhere(layout in layout(), station_mm in coordinate(), words: String, face: Option<String>) {
        let drawing = Drawing { subtitle: &words, id: &words, ..Drawing::new(&layout, View::Front) };
        let saw = Saw { station_mm, face: face.as_deref() };
        let svg = section(&drawing, saw);
        check(&svg);
        prop_assert_eq!(&svg, &section(&drawing, saw), "the same again");
    }

    #[test]
    fn any_two_layouts_make_a_well_formed_ribbon(old in layout(), fresh in layout(), kept in 0usize..12, by in coordinate()) {
        let mut new = fresh;
        new.parts.extend(old.parts.iter().take(kept).cloned());
        for feature in new.parts.iter_mut().flat_map(|part| &mut part.features) {
            feature.at_mm[0] += by;
        }
        for view in View::ALL {
            let svg = drawn(&old, &new, view);
            check(&svg);
            prop_assert_eq!(&svg, &drawn(&old, &new, view), "the same again");
        }
    }
}
