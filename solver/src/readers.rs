//! Who reads what in a solution. In: its rows and the kept ones. Out: for each variable the equations that read it, and the kept
//! rows among theirs.

use crate::basis::Basis;
use crate::geometry::Var;
use crate::groups::Groups;
use crate::rows::Rows;
use crate::system::EquationId;

/// Equations by the variables that they read, and kept rows by their positions in the basis.
#[derive(Debug)]
pub(crate) struct Readers {
    /// For each variable the equations that read it, each once.
    equations: Groups,
    /// For each row its position in the basis, if it is kept.
    position: Vec<Option<usize>>,
}

impl Readers {
    pub(crate) fn new(rows: &Rows<'_>, basis: &Basis) -> Self {
        let system = rows.system;
        let mut pairs = Vec::new();
        for (equation, read) in system.equations() {
            let vars = system.variables_of(read, None).into_iter();
            pairs.extend(vars.map(|var| (var.index(), equation.index())));
        }
        let mut position = vec![None; rows.ids.len()];
        for (at, row) in basis.kept.iter().enumerate() {
            position[*row] = Some(at);
        }
        Self {
            equations: Groups::of(system.variables.len(), pairs.iter().copied()),
            position,
        }
    }

    /// The equations that read a variable.
    pub(crate) fn equations(&self, var: Var) -> impl Iterator<Item = EquationId> + '_ {
        let equations = self.equations.get(var.index()).iter();
        equations.map(|at| EquationId(*at as u32))
    }

    /// The kept rows that read a variable, by their positions.
    pub(crate) fn kept<'r>(
        &'r self,
        rows: &'r Rows<'_>,
        var: Var,
    ) -> impl Iterator<Item = usize> + 'r {
        let all = self.equations(var).flat_map(|equation| rows.of(equation));
        all.filter_map(|row| self.position(row))
    }

    /// The position of a row, if it is kept.
    pub(crate) fn position(&self, row: usize) -> Option<usize> {
        self.position[row]
    }
}
