//! The tolerance of each figure: its own, or the file's where it states none. In: the assembly. Out: millimetres or radians to
//! both sides, or none for what is held exact.

use std::collections::BTreeSet;

use strongback_solver::{Measure, Status, Var};

use super::{Assembly, Figure};
use crate::part::Role;
use crate::quantity::Kind;

/// A tolerance is so many standard deviations: common practice, no source.
pub(crate) const TOLERANCE_IN_DEVIATIONS: f64 = 3.0;

/// The tolerances of all figures.
pub(crate) struct Tolerances<'a> {
    assembly: &'a Assembly,
    /// Variables that give a gauge or a radius: those of stock and tools, which no title block speaks of.
    stock: BTreeSet<Var>,
}

/// How far a figure may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Tolerance {
    /// To both sides: millimetres or radians.
    pub(crate) within: f64,
    /// Whether it is the file's, and not the figure's own.
    pub(crate) general: bool,
}

impl<'a> Tolerances<'a> {
    /// Those of an assembly.
    pub(crate) fn of(assembly: &'a Assembly) -> Self {
        let sizes = assembly.parts.iter().flat_map(|part| &part.sizes);
        Self {
            assembly,
            stock: sizes
                .filter(|size| matches!(size.role, Role::Gauge | Role::Radius))
                .flat_map(|size| size.resolved.form.vars())
                .collect(),
        }
    }

    /// The tolerance of a figure; none where none is stated, or for what is to be found.
    pub(crate) fn of_figure(&self, var: Var) -> Option<Tolerance> {
        let variable = self.assembly.system.get(var);
        let origin = &self.assembly.quantities.label(var)?.origin;
        if variable.status != Status::Given {
            return None;
        }
        let fits = |kind: Kind| (kind == Kind::Angle) == (variable.measure == Measure::Angle);
        if let Some((within, _)) = origin.within.filter(|(_, kind)| fits(*kind)) {
            return Some(Tolerance {
                within,
                general: false,
            });
        }
        let within = self.assembly.within?;
        let takes = takes_general(origin.figure) && variable.value != 0.0;
        (takes && fits(Kind::Length) && !self.stock.contains(&var)).then_some(Tolerance {
            within,
            general: true,
        })
    }
}

/// Whether the file's own tolerance holds for such a figure.
fn takes_general(figure: Figure) -> bool {
    match figure {
        Figure::Dimension | Figure::Relation | Figure::Size(Role::Extent | Role::Coordinate) => {
            true
        }
        Figure::Size(Role::Gauge | Role::Radius | Role::Angle | Role::Bend)
        | Figure::Place
        | Figure::Demand
        | Figure::Made => false,
    }
}
