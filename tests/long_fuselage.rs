//! The generated long fuselage as a test: what is planted is found and named, and nothing else is.

#[path = "long_fuselage/mod.rs"]
mod long_fuselage;

use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::source::read;

#[test]
fn what_is_planted_is_found_and_nothing_else() {
    let bays = 52;
    let (text, planted) = long_fuselage::model(bays);
    let document: Document = read(&text).unwrap();
    let assembly = assemble(&document).unwrap();
    let layout = assembly.solve().unwrap().layout();
    let odds: Vec<&str> = layout
        .at_odds
        .iter()
        .map(|odd| odd.statement.as_str())
        .collect();
    assert_eq!(odds, ["second figure 25"]);
    assert_eq!(planted.at_odds, 1);
    assert_eq!(layout.spare.len(), planted.spare);
    assert!(layout.loose.is_empty(), "{:?}", layout.loose);
    assert_eq!(layout.parts.len(), bays * 10 + 1);
}
