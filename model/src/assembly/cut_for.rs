//! The parts for which another one is cut, by their full names. In: the parts as they are written. Out: the names, in each assembled part.

use super::parts::Expanded;
use super::{Assembly, DATUM};
use crate::relation::Hand;
use crate::source::{Fault, Text};
use crate::words::Sides;

/// Enters the names; finds fault with those that no part has.
pub(super) fn enter(assembly: &mut Assembly, parts: &[Expanded<'_>], faults: &mut Vec<Fault>) {
    for expanded in parts {
        let common = expanded.part.kind().common();
        let mut names = Vec::new();
        for written in common.cut_for {
            let pair = common.sides == Sides::Both;
            let found = meant(assembly, written, pair && expanded.hand == Hand::Mirrored);
            if found.is_empty() {
                let stems = parts.iter().map(|part| part.name.as_str());
                faults.push(crate::relation::unknown(
                    "part",
                    written,
                    &written.value,
                    stems,
                ));
            }
            names.extend(found);
        }
        let place = assembly.names.get_index_of(&expanded.name);
        if let Some(part) = place.and_then(|at| assembly.parts.get_mut(at)) {
            part.cut_for = names;
        }
    }
}

/// The parts that a name means: itself, or the two of a pair; seen in the mirror its hands are exchanged.
fn meant(assembly: &Assembly, written: &Text, mirrored: bool) -> Vec<String> {
    let known = |name: &str| name != DATUM && assembly.names.contains_key(name);
    let name = written.value.as_str();
    if !known(name) {
        let pair = [format!("{name} L"), format!("{name} R")];
        return pair.into_iter().filter(|name| known(name)).collect();
    }
    let other = match (name.strip_suffix(" L"), name.strip_suffix(" R")) {
        (Some(stem), _) => format!("{stem} R"),
        (_, Some(stem)) => format!("{stem} L"),
        _ => name.to_owned(),
    };
    let other_exists = mirrored && known(&other);
    vec![if other_exists { other } else { name.to_owned() }]
}
