//! What parts are made of. In: the names of alloys in the file, its own and each part's. Out: the alloy of each assembled part.

use super::Assembly;
use super::parts::Expanded;
use crate::document::Document;
use crate::source::{Fault, Text};
use crate::trade::alloys::{ALLOYS, Alloy, alloy_of};

/// Enters the alloys; finds fault with those that no table has.
pub(super) fn enter(
    assembly: &mut Assembly,
    document: &Document,
    parts: &[Expanded<'_>],
    faults: &mut Vec<Fault>,
) {
    let mut known = |text: &Text| -> Option<&'static Alloy> {
        let found = alloy_of(&text.value);
        if found.is_none() {
            let names = ALLOYS.iter().map(|alloy| alloy.name);
            let fault = crate::relation::unknown("alloy", text, &text.value, names);
            // a pair is one entry of the file
            if !faults.contains(&fault) {
                faults.push(fault);
            }
        }
        found
    };
    let of_all = document.alloy.as_ref().and_then(&mut known);
    for expanded in parts {
        let own = expanded.part.kind().common().alloy;
        let alloy = match own {
            Some(text) => known(text),
            None => of_all,
        };
        let place = assembly.names.get_index_of(&expanded.name);
        if let Some(part) = place.and_then(|at| assembly.parts.get_mut(at)) {
            part.alloy = alloy;
        }
    }
}
