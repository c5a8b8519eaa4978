//! What varies: every figure with a tolerance, and every statement that has one and no figure of its own. In: the assembly. Out:
//! the solver's sources with their names, figures and sheets; and which figures of a chain state no tolerance.

use std::collections::{BTreeMap, BTreeSet};

use strongback_solver::{Equation, Measure as Kind, Source, Variation};

use crate::assembly::{
    AssembledFit, AssembledStatement, Assembly, Figure, Label, Solved, Tolerances,
};
use crate::must_fit::{Body, Measure};
use crate::quantity;

/// Something that varies, as the builder knows it.
pub(super) struct Varied {
    /// What of the system varies.
    pub(super) source: Source,
    /// How far to both sides: millimetres or radians.
    pub(super) within: f64,
    /// The figure, or the statement.
    pub(super) name: String,
    /// Its figure in millimetres or degrees; a contact has none.
    pub(super) figure: Option<f64>,
    /// Whether it is an angle.
    pub(super) angle: bool,
    /// The sheet it stands on.
    pub(super) sheet: Option<String>,
    /// Whether the tolerance is the file's, and not its own.
    pub(super) general: bool,
}

impl Varied {
    /// As the solver wants it.
    pub(super) fn variation(&self) -> Variation {
        Variation {
            source: self.source,
            within: self.within,
        }
    }

    /// Whether it is a statement without a figure.
    pub(super) fn is_row(&self) -> bool {
        matches!(self.source, Source::Row(..))
    }
}

/// All that varies, in the order of the system: figures first, then statements.
pub(super) fn varied(assembly: &Assembly) -> Vec<Varied> {
    let tolerances = Tolerances::of(assembly);
    let mut list = Vec::new();
    let mut with_figure: BTreeMap<&str, BTreeSet<bool>> = BTreeMap::new();
    for (var, label) in assembly.quantities.labels() {
        let variable = assembly.system.get(var);
        let Some(tolerance) = tolerances.of_figure(var) else {
            continue;
        };
        let angle = variable.measure == Kind::Angle;
        if label.origin.figure == Figure::Relation && !tolerance.general {
            with_figure.entry(&label.text).or_default().insert(angle);
        }
        list.push(Varied {
            source: Source::Given(var),
            within: tolerance.within,
            name: told(label),
            figure: Some(if angle {
                variable.value.to_degrees()
            } else {
                variable.value
            }),
            angle,
            sheet: label.origin.sheet.clone(),
            general: tolerance.general,
        });
    }
    for statement in &assembly.statements {
        let Some((within, kind)) = statement.within.map(|within| within.by_itself()) else {
            continue;
        };
        let angle = is_angle(kind);
        let has_figure = |name: &str| {
            with_figure
                .get(name)
                .is_some_and(|all| all.contains(&angle))
        };
        if !has_figure(&statement.name) {
            list.extend(rows(assembly, statement, within, angle));
        }
    }
    list
}

/// The rows by which a statement without a figure may be off.
fn rows(
    assembly: &Assembly,
    statement: &AssembledStatement,
    within: f64,
    angle: bool,
) -> impl Iterator<Item = Varied> {
    let ids = statement.equations.iter().map(|(_, id)| *id);
    let ids = ids.filter(|id| !assembly.assumed.contains(id));
    ids.flat_map(move |id| {
        let equation = assembly.system.get_equation(id);
        let kept = (equation.measure() == Kind::Angle) == angle;
        let rows = if kept { equation.rows() } else { 0 };
        (0..rows).map(move |row| Varied {
            source: Source::Row(id, row),
            within,
            name: statement.name.clone(),
            figure: None,
            angle,
            sheet: statement.sheet.clone(),
            general: false,
        })
    })
}

/// The name of a figure; that of a relation's own figure is the relation's.
fn told(label: &Label) -> String {
    match label.origin.figure {
        Figure::Relation => label.text.clone(),
        _ => label.told(),
    }
}

fn is_angle(kind: quantity::Kind) -> bool {
    kind == quantity::Kind::Angle
}

impl Solved<'_> {
    /// Figures behind a measure that state no tolerance, but for zeros.
    pub(super) fn held(
        &self,
        fit: &AssembledFit,
        measure: &Measure,
        varied: &[Varied],
    ) -> Vec<String> {
        /// A rate below this is the rounding of products that cancel.
        const COUNTS: f64 = 1e-9;
        let varies: BTreeSet<Source> = varied.iter().map(|one| one.source).collect();
        let equations = match (self.equation(fit, measure), measure) {
            (Some(equation), _) => vec![equation],
            (None, Measure::Clearance { between, .. }) => Body::parts_of(between, self.assembly)
                .flat_map(|part| part.origin.clone())
                .map(|form| Equation::Held {
                    form,
                    measure: Kind::Length,
                })
                .collect(),
            (None, _) => Vec::new(),
        };
        let givens = equations
            .iter()
            .flat_map(|equation| self.solution.sensitivity(equation))
            .flat_map(|told| told.givens);
        givens
            .filter(|(var, rate)| {
                rate.abs() > COUNTS
                    && self.solution.state().value(*var) != 0.0
                    && !varies.contains(&Source::Given(*var))
            })
            .filter_map(|(var, _)| self.assembly.quantities.label(var))
            .map(told)
            .collect()
    }
}
