//! Laws for every kind at once: what stands on a list reads, says a sentence, builds and is drawn.

use strongback::picture::{Drawing, View, svg};
use strongback_model::assembly::assemble;
use strongback_model::change::{self, Change};
use strongback_model::contour::Contour;
use strongback_model::document::{Deviation, Document};
use strongback_model::measurement::Measurement;
use strongback_model::must_fit::{self, MustFit};
use strongback_model::part::{self, Part};
use strongback_model::relation::{self, Relation};
use strongback_model::source::read;

fn is_a_sentence(says: &str) -> bool {
    says.len() > 20 && says.trim_end().ends_with('.')
}

#[test]
fn every_part_kind_says_what_it_is_and_is_drawn() {
    for about in part::KINDS {
        let part: Part = read(about.example).unwrap();
        assert_eq!(part.word(), about.word);
        assert!(is_a_sentence(part.kind().says()), "{}", about.word);
        let text = format!(
            r#"(format: 1, title: "one", unit: Inch, fit: "1/32 in", contours: {{ {} }}, parts: {{ "the part": {}, "anchor": Custom(points: {{ "o": () }}, at: (fs: 0, bl: 0, wl: 0)) }},
               relations: {{ "placed": MirrorOf(part: "the part", of: "anchor") }})"#,
            Contour::EXAMPLE,
            about.example
        );
        let document: Document = read(&text).unwrap();
        let assembly = assemble(&document).unwrap();
        let solved = assembly.solve().unwrap();
        let layout = solved.layout();
        assert!(
            !layout.parts[0].features.is_empty(),
            "{} has no features",
            about.word
        );
        for view in View::ALL {
            let picture = svg(&Drawing::new(&layout, view));
            assert!(picture.contains("the part"), "{} is not drawn", about.word);
        }
    }
}

/// Kinds whose outermost metal need not be a flat face of its own name, or that may have none.
const NOT_SQUARE: [&str; 4] = ["BentTube", "Custom", "Longeron", "Skin"];

/// Every flat face of a part's metal that has a name lies on the metal: at its extent or within it.
#[test]
fn named_faces_lie_on_the_metal() {
    for about in part::KINDS
        .iter()
        .filter(|about| !NOT_SQUARE.contains(&about.word))
    {
        let text = format!(
            r#"(format: 1, title: "one", unit: Inch, fit: "1/32 in", contours: {{ {} }}, parts: {{ "p": {}, "anchor": Custom(points: {{ "o": () }}, at: (fs: 0, bl: 0, wl: 0)) }},
               relations: {{ "placed": MirrorOf(part: "p", of: "anchor") }})"#,
            Contour::EXAMPLE,
            about.example
        );
        let document: Document = read(&text).unwrap();
        let assembly = assemble(&document).unwrap();
        let layout = assembly.solve().unwrap().layout();
        let part = &layout.parts[0];
        for (name, axis, end) in [
            ("fwd", 0, 0),
            ("aft", 0, 1),
            ("left", 1, 0),
            ("right", 1, 1),
            ("bottom", 2, 0),
            ("top", 2, 1),
        ] {
            let face = part
                .feature(name)
                .unwrap_or_else(|| panic!("{}.{name}", about.word));
            let extent = part.extent_mm[axis][end];
            assert!(
                (face.at_mm[axis] - extent).abs() < 1e-9,
                "{}.{name} lies at {}, the metal ends at {extent}",
                about.word,
                face.at_mm[axis]
            );
        }
    }
}

#[test]
fn every_relation_says_what_comes_true() {
    for about in relation::KINDS {
        let relation: Relation = read(about.example).unwrap();
        assert_eq!(relation.word(), about.word);
        assert!(is_a_sentence(relation.kind().says()), "{}", about.word);
        match relation.kind().readings() {
            None => {
                let as_must_fit: MustFit = read(about.example).unwrap();
                assert_eq!(as_must_fit.word(), about.word);
            }
            Some(_) => assert!(read::<MustFit>(about.example).is_err()),
        }
    }
}

#[test]
fn the_measurement_of_the_reference_reads() {
    let example: Measurement = read(Measurement::EXAMPLE).unwrap();
    assert!(example.on.is_some() && example.note.is_some());
    let reference = strongback_model::reference::format_reference();
    for told in [
        Measurement::EXAMPLE,
        "- `uncertainty`: Its standard uncertainty",
    ] {
        assert!(reference.contains(told), "{told}");
    }
}

#[test]
fn the_deviation_of_the_reference_reads() {
    let text = format!(
        r#"(format: 1, title: "one", unit: Inch, fit: "1/32 in", deviations: {{ {} }})"#,
        Deviation::EXAMPLE
    );
    let document: Document = read(&text).unwrap();
    let deviation = document.deviations.get("longer seats").unwrap();
    assert!(deviation.why.is_some() && deviation.changes.len() == 2);
}

#[test]
fn every_must_fit_and_change_says_what_it_is() {
    for about in must_fit::KINDS {
        let fit: MustFit = read(about.example).unwrap();
        assert!(is_a_sentence(fit.says().unwrap()), "{}", about.word);
    }
    for about in change::KINDS {
        let change: Change = read(about.example).unwrap();
        assert!(is_a_sentence(change.kind().says()), "{}", about.word);
        assert!(!change.kind().told().is_empty());
    }
}

#[test]
fn words_are_unique() {
    let mut words: Vec<&str> = part::KINDS
        .iter()
        .chain(relation::KINDS)
        .chain(must_fit::KINDS)
        .map(|about| about.word)
        .collect();
    words.sort_unstable();
    let before = words.len();
    words.dedup();
    assert_eq!(words.len(), before);
}
