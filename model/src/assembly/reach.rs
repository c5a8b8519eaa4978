//! Parts that nothing locates at all: an oversight, told before any number is computed.

use strongback_solver::Status;

use super::{Assembly, DATUM};
use crate::document::Document;
use crate::relation::split_name;
use crate::source::{Code, Fault, nearest};

/// Finds fault with each part that has something to be found and that no relation names.
pub(super) fn check(assembly: &Assembly, document: &Document, faults: &mut Vec<Fault>) {
    let mut named = vec![false; assembly.parts.len()];
    for statement in &assembly.statements {
        for name in &statement.names {
            let known = |part: &str| assembly.names.contains_key(part);
            let part = split_name(known, name).map_or(name.as_str(), |(part, _)| part);
            if let Some(at) = assembly.names.get_index_of(part) {
                named[at] = true;
            }
        }
    }
    for (part, named) in assembly.parts.iter().zip(named) {
        let open = part
            .origin
            .iter()
            .flat_map(|form| form.vars())
            .any(|var| assembly.system.get(var).status == Status::Unknown);
        if named || !open || part.name == DATUM {
            continue;
        }
        let near = nearest(&part.name, document.relations.names());
        faults.push(
            Fault::error(
                Code::NoRelation,
                format!("no relation reaches `{}`, and its position is not stated", part.name),
            )
            .at(part.span.clone(), "")
            .help(match near {
                Some(near) => format!("name it in a relation (is `{near}` meant for it?), or state `at: (fs: …, bl: …, wl: …)`"),
                None => "name it in a relation, or state `at: (fs: …, bl: …, wl: …)`".to_owned(),
            }),
        );
    }
}
