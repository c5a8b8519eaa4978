//! One figure set otherwise, near the front, near the middle and near the tail. In: a solution. Out: what changes.

use strongback_model::assembly::Assembly;
use strongback_solver::{Changes, Solution, Status, Var};

use super::long_fuselage::Family;

/// By how much a figure is changed.
pub(crate) const CHANGE_MM: f64 = 1.0;

/// The stages, each with the figure that is changed.
pub(crate) fn changes(
    family: Family,
    assembly: &Assembly,
    solution: &Solution<'_>,
    bays: usize,
) -> Result<Vec<(&'static str, Var)>, String> {
    let places = [
        ("after a change near the front", 0),
        ("after a change near the middle", bays / 2),
        ("after a change near the tail", bays - 1),
    ];
    let found = places.map(|(stage, bay)| {
        let figure = if bay < bays - family.looped(bays) {
            spacing(assembly, solution, &format!("frame {}", bay + 1))
        } else {
            length(assembly, &format!("fwd rod {bay}"))
        };
        let figure = figure.ok_or_else(|| format!("bay {bay} has no figure to be changed"))?;
        Ok((stage, figure))
    });
    found.into_iter().collect()
}

/// The figure that a statement compares with.
fn spacing(assembly: &Assembly, solution: &Solution<'_>, statement: &str) -> Option<Var> {
    let (_, id) = assembly.statement(statement)?.equations.last()?;
    let figure = solution.system().get_equation(*id).figure()?;
    let given = |var: &Var| assembly.system.get(*var).status == Status::Given;
    figure.vars().find(given)
}

/// The length of a part.
fn length(assembly: &Assembly, part: &str) -> Option<Var> {
    let part = assembly.parts.get(assembly.names.get_index_of(part)?)?;
    let size = part.sizes.iter().find(|size| size.name == "length")?;
    size.resolved.form.vars().next()
}

/// Solves again what lies downstream of a figure that is changed.
pub(crate) fn solved_after_change(solution: &Solution<'_>, figure: Var) -> Result<Changes, String> {
    let was = solution.state().value(figure);
    let after = solution.after(&[(figure, was + CHANGE_MM)]);
    after.ok_or_else(|| "the change asks for a solution of the whole".to_owned())
}
