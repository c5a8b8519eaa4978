//! A generated fuselage made ready to solve. In: its text, and the names of the statements planted to be at odds. Out: the
//! assembly, and the equations of those statements.

use std::collections::BTreeSet;

use strongback_model::assembly::{Assembly, assemble};
use strongback_model::document::Document;
use strongback_model::source::read;
use strongback_solver::EquationId;

pub struct Fuselage {
    pub assembly: Assembly,
    pub at_odds: BTreeSet<EquationId>,
}

/// Reads and assembles.
///
/// # Errors
/// The fault of the text.
pub fn fuselage(text: &str, at_odds: &[String]) -> Result<Fuselage, String> {
    let document: Document = read(text).map_err(|fault| fault.message)?;
    let assembly = assemble(&document).map_err(|faults| format!("{faults:?}"))?;
    let odd = |name: &String| at_odds.contains(name);
    let statements = assembly.statements.iter();
    let equations = statements.filter(|statement| odd(&statement.name));
    let ids = equations.flat_map(|statement| &statement.equations);
    Ok(Fuselage {
        at_odds: ids.map(|(_, id)| *id).collect(),
        assembly,
    })
}
