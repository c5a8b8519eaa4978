//! Parts that nothing locates at all: an oversight, told before any number is computed.

use strongback_solver::Status;

use super::{AssembledPart, Assembly, DATUM};
use crate::document::Document;
use crate::relation::split_name;
use crate::source::{Code, Fault, nearest};
use crate::words::{Axis, Sides, without_hand};

/// Finds fault with each part that has something to be found and that no relation names.
pub(super) fn check(assembly: &Assembly, document: &Document, faults: &mut Vec<Fault>) {
    let mut named = vec![false; assembly.parts.len()];
    // a seam locates nothing
    let locating = assembly.statements.iter();
    for statement in locating.filter(|statement| !assembly.is_seam(&statement.name)) {
        for name in &statement.names {
            let known = |part: &str| assembly.names.contains_key(part);
            let part = split_name(known, name).map_or(name.as_str(), |(part, _)| part);
            if let Some(at) = assembly.names.get_index_of(part) {
                named[at] = true;
            }
        }
    }
    for (part, named) in assembly.parts.iter().zip(named) {
        let is_open = |axis: &Axis| {
            let mut vars = part.origin[axis.index()].vars();
            vars.any(|var| assembly.system.get(var).status == Status::Unknown)
        };
        let open: Vec<Axis> = Axis::ALL.into_iter().filter(is_open).collect();
        if named || open.is_empty() || part.name == DATUM {
            continue;
        }
        let name = as_stated(part);
        let (coordinates, verb) = told(&open);
        let fields: Vec<String> = open
            .iter()
            .map(|axis| format!("{}: …", axis.short()))
            .collect();
        let state = format!("state `{}` in its `at`", fields.join(", "));
        let near = nearest(name, document.relations.names());
        faults.push(
            Fault::error(
                Code::NoRelation,
                format!("no relation reaches `{name}`, and its {coordinates} {verb} not stated"),
            )
            .at(part.span.clone(), "")
            .help(match near {
                Some(near) => {
                    format!("name it in a relation (is `{near}` meant for it?), or {state}")
                }
                None => format!("name it in a relation, or {state}"),
            }),
        );
    }
}

/// The name that stands in the file: one for both of two hands.
fn as_stated(part: &AssembledPart) -> &str {
    let both = part
        .stated
        .as_ref()
        .is_some_and(|stated| stated.kind().common().sides == Sides::Both);
    match without_hand(&part.name) {
        Some(stem) if both => stem,
        _ => &part.name,
    }
}

/// Coordinates in words, with their verb.
fn told(axes: &[Axis]) -> (String, &'static str) {
    let words = axes.iter().map(|axis| match axis {
        Axis::Station => "station",
        Axis::ButtockLine => "buttock line",
        Axis::Waterline => "waterline",
    });
    let words: Vec<&str> = words.collect();
    match &words[..] {
        [one] => ((*one).to_owned(), "is"),
        [first, second] => (format!("{first} and {second}"), "are"),
        [rest @ .., last] => (format!("{} and {last}", rest.join(", ")), "are"),
        [] => (String::new(), "are"),
    }
}
