//! Lengths to saw as text: a line for each, and below it the marks of its bends.

use strongback_model::lengths::SawnLength;
use strongback_model::quantity::Unit;

use super::figures;
use super::stock::section;
use super::table::{Stands, table, wrapped};

/// What a table can't know.
const ADD: &str = "Sawn lengths are those of the part: what the bender holds and what is dressed off the ends come on top. A bend is \
     marked from the fwd, left or lower end of the straight length. Whether section and bender take a radius isn't checked, and metal \
     springs back: bend a trial piece first (common practice, no source).";

/// The lengths; nothing where there is none.
pub(super) fn text(lengths: &[SawnLength], unit: Unit, width: usize) -> String {
    if lengths.is_empty() {
        return String::new();
    }
    let head = [
        ("part", Stands::Left),
        ("sawn off", Stands::Left),
        ("alloy", Stands::Left),
        ("length", Stands::Right),
        ("bends", Stands::Right),
    ];
    let rows = lengths.iter().map(|length| {
        vec![
            length.part.clone(),
            section(&length.section, unit),
            length.alloy.clone().unwrap_or_default(),
            figures::length(length.length_mm, unit),
            match length.bends.len() {
                0 => String::new(),
                several => several.to_string(),
            },
        ]
    });
    let mut text = format!("\n{}", table(&head, rows, width));
    let bent: Vec<&SawnLength> = lengths
        .iter()
        .filter(|length| !length.bends.is_empty())
        .collect();
    for length in &bent {
        for (at, bend) in length.bends.iter().enumerate() {
            let told = format!(
                "{} bend {}: toward {} by {}, radius {}; from {} to {}.",
                length.part,
                at + 1,
                bend.toward,
                figures::angle(bend.by_deg),
                figures::length(bend.radius_mm, unit),
                figures::length(bend.starts_mm, unit),
                figures::length(bend.ends_mm, unit),
            );
            text.push_str(&wrapped(&told, width, 2));
        }
    }
    if !bent.is_empty() {
        text.push_str(&wrapped(ADD, width, 0));
        text.push('\n');
    }
    text
}
