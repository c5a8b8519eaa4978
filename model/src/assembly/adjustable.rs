//! How far something may be set otherwise at fitting. In: what a statement says of itself. Out: a length, or what is wrong
//! with it.

use super::{AssembledStatement, Assembly};
use crate::document::Remarks;
use crate::quantity::Kind;
use crate::source::{Code, Fault};
use strongback_solver::EquationId;

impl Assembly {
    /// How far a relation or a dimension may be set otherwise, either way: millimetres.
    ///
    /// # Errors
    /// It is no length, or none greater than zero.
    pub(crate) fn adjustable(&self, remarks: &Remarks) -> Result<Option<f64>, Fault> {
        let Some(given) = &remarks.adjustable else {
            return Ok(None);
        };
        let by = self.quantities.fixed(given, Kind::Length)?;
        if by <= 0.0 {
            return Err(Fault::error(
                Code::BadSize,
                "what can be set at fitting has a range greater than zero",
            )
            .at(given.span(), "")
            .help("give how far it goes either way, as in `adjustable: \"1/8 in\"`"));
        }
        Ok(Some(by))
    }

    /// The equation of a statement by which its things can be set further apart: its first length.
    pub(crate) fn brings_together(&self, statement: &AssembledStatement) -> Option<EquationId> {
        let mut stated = statement.equations.iter().map(|(_, id)| *id);
        stated.find(|id| {
            !self.assumed.contains(id) && self.system.get_equation(*id).distance().is_some()
        })
    }
}
