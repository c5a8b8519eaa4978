//! Models stated in a test as RON text. In: the parts and relations of a file. Out: the assembly, its layout, its answers.

use strongback_model::assembly::{Assembly, Solved, assemble};
use strongback_model::change::Change;
use strongback_model::document::Document;
use strongback_model::layout::{Layout, PlacedPart};
use strongback_model::neighbours::{Neighbours, OtherLayout};
use strongback_model::source;

/// A document of parts, relations and whatever else follows them.
#[allow(dead_code, reason = "not every test needs it")]
pub fn document(unit: &str, body: &str) -> Document {
    let text = format!("(format: 1, title: \"check\", unit: {unit}, fit: \"1/32 in\", {body})");
    source::read::<Document>(&text).unwrap_or_else(|fault| panic!("{fault:?}\n{text}"))
}

/// A document as a system.
pub fn assembled(document: &Document) -> Assembly {
    assemble(document).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// An assembly with its solution.
pub fn solved(assembly: &Assembly) -> Solved<'_> {
    assembly.solve().unwrap_or_else(|fault| panic!("{fault:?}"))
}

/// The layout of a document.
#[allow(dead_code, reason = "not every test needs it")]
pub fn layout(document: &Document) -> Layout {
    solved(&assembled(document)).layout()
}

/// What lies close to the layout of a document.
#[allow(dead_code, reason = "not every test needs it")]
pub fn neighbours(document: &Document) -> Neighbours {
    let assembly = assembled(document);
    let solved = solved(&assembly);
    Neighbours::of(document, &solved, &solved.layout())
}

/// The document with the starts that lead to another layout, as they are told.
#[allow(dead_code, reason = "not every test needs it")]
pub fn started(document: &Document, other: &OtherLayout) -> Document {
    let changes: Vec<Change> = other
        .starts
        .iter()
        .map(|start| {
            let change = format!("Set({:?}, {})", start.name, start.stated);
            source::read::<Change>(&change).unwrap_or_else(|fault| panic!("{fault:?}\n{change}"))
        })
        .collect();
    document.with_changes(&changes).unwrap()
}

/// A part of a layout.
#[allow(dead_code, reason = "not every test needs it")]
pub fn part<'l>(layout: &'l Layout, name: &str) -> &'l PlacedPart {
    layout.part(name).unwrap()
}

/// Station, buttock line and waterline of a feature's middle, in millimetres.
#[allow(dead_code, reason = "not every test needs it")]
pub fn place(layout: &Layout, name: &str, feature: &str) -> [f64; 3] {
    part(layout, name).feature(feature).unwrap().at_mm
}
