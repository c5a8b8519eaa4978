//! The order of fitting as it is stated. In: a document, and its parts and joints assembled. Out: the statements by number; no equation.

use super::Assembly;
use super::definitions::Sheets;
use crate::document::Document;
use crate::source::Fault;

/// Enters what is stated of the order, and the tools.
pub(super) fn enter(
    assembly: &mut Assembly,
    document: &Document,
    sheets: &Sheets<'_>,
    faults: &mut Vec<Fault>,
) {
    for entry in &document.order {
        sheets(entry.value.remarks.sheet.as_ref(), faults);
    }
    crate::order::enter(assembly, document, faults);
}
