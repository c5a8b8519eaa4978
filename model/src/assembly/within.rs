//! A tolerance as it is stated: as a length, which an angle keeps when the far corners of the metal do; or as an angle. In: what
//! the file says. Out: millimetres or radians.

use strongback_solver::{Equation, Measure};

use super::{Assembly, Solved};
use crate::quantity::Kind;
use crate::source::{Code, Fault, Given};

/// A tolerance, for what is compared as a length and for what is compared as an angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Within {
    /// Millimetres. If an angle is stated: the file's `fit` in a must-fit, and nought elsewhere.
    pub length: f64,
    /// Radians, if an angle is stated.
    pub angle: Option<f64>,
}

impl Within {
    /// One that is stated as a length, in millimetres.
    pub(super) fn of_length(length: f64) -> Self {
        Within {
            length,
            angle: None,
        }
    }

    /// What was stated, of a tolerance that no other one stands in for.
    pub(crate) fn by_itself(&self) -> (f64, Kind) {
        match self.angle {
            Some(angle) => (angle, Kind::Angle),
            None => (self.length, Kind::Length),
        }
    }
}

impl Assembly {
    /// A tolerance: a length in millimetres or an angle in radians, greater than zero.
    pub(super) fn tolerance(&self, given: &Given) -> Result<f64, Fault> {
        self.tolerance_of(given).map(|(value, _)| value)
    }

    /// A tolerance that no other one stands in for: what is stated as an angle says nothing of lengths.
    pub(super) fn tolerance_by_itself(&self, given: &Given) -> Result<Within, Fault> {
        self.within(given, 0.0)
    }

    /// The tolerance of a must-fit; what is stated as an angle leaves lengths to the file's `fit`.
    pub(super) fn within(&self, given: &Given, standard: f64) -> Result<Within, Fault> {
        Ok(match self.tolerance_of(given)? {
            (angle, Kind::Angle) => Within {
                length: standard,
                angle: Some(angle),
            },
            (length, _) => Within::of_length(length),
        })
    }

    /// A tolerance with what it is: a length in millimetres or an angle in radians, greater than zero.
    pub(super) fn tolerance_of(&self, given: &Given) -> Result<(f64, Kind), Fault> {
        let kind = self.quantities.kind_of(given);
        let value = self.quantities.value(given, kind)?;
        if value <= 0.0 {
            return Err(
                Fault::error(Code::BadSize, "a tolerance has to be greater than zero")
                    .at(given.span(), ""),
            );
        }
        Ok((value, kind))
    }
}

/// How far something may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Allowed {
    /// Millimetres, or radians for an angle.
    pub(crate) within: f64,
    /// The reach over which an angle keeps a length, in millimetres, if it does.
    pub(crate) over: Option<f64>,
}

impl Solved<'_> {
    /// How far an equation may be off: an angle that is to keep a length, as far as the corners of the metal stay within it.
    pub(crate) fn allowed(&self, within: &Within, equation: &Equation) -> Allowed {
        let plain = |within: f64| Allowed { within, over: None };
        match (equation.measure(), within.angle) {
            (Measure::Length, _) => plain(within.length),
            (Measure::Angle, Some(angle)) => plain(angle),
            (Measure::Angle, None) => {
                let reach = self.reach(equation);
                Allowed {
                    within: within.length / reach,
                    over: Some(reach),
                }
            }
        }
    }

    /// From the middle of the metal to its farthest corner, of the smaller of the parts that an equation compares, in
    /// millimetres: where the one ends, nothing strays from it any more.
    fn reach(&self, equation: &Equation) -> f64 {
        /// A foot, where nothing of it has metal.
        const NO_METAL: f64 = 304.8;
        let system = &self.assembly.system;
        let bodies = system.bodies_of(equation);
        let parts = self.assembly.parts.iter();
        let reaches = parts
            .filter(|part| bodies.contains(&part.body))
            .filter_map(|part| half_diagonal(&self.at().metal(part)))
            .filter(|reach| *reach > 0.0 && reach.is_finite());
        reaches.reduce(f64::min).unwrap_or(NO_METAL)
    }
}

/// Half the diagonal of the box around some metal; none where there is no metal.
fn half_diagonal(solids: &[crate::layout::PlacedSolid]) -> Option<f64> {
    let corners: Vec<[f64; 3]> = solids
        .iter()
        .flat_map(|solid| {
            solid.outline_mm.iter().flat_map(|corner| {
                let end = [0, 1, 2].map(|axis| corner[axis] + solid.sweep_mm[axis]);
                [*corner, end]
            })
        })
        .collect();
    corners.first()?;
    let extent = [0, 1, 2].map(|axis| {
        let along = || corners.iter().map(|corner| corner[axis]);
        along().fold(f64::NEG_INFINITY, f64::max) - along().fold(f64::INFINITY, f64::min)
    });
    Some(0.5 * extent.iter().map(|by| by * by).sum::<f64>().sqrt())
}
