//! How sheet is bent. In: what the file states of it. Out: the rules that blanks are made by, in millimetres.

use super::Assembly;
use crate::blank::Rules;
use crate::document::Document;
use crate::source::Fault;

/// Enters the rules.
pub(super) fn enter(assembly: &mut Assembly, document: &Document, faults: &mut Vec<Fault>) {
    match Rules::of(&document.bending, &assembly.quantities) {
        Ok(rules) => assembly.bending = rules,
        Err(fault) => faults.push(fault),
    }
}
