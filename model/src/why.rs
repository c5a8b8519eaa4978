//! Why a face lies where it does: the signed chain of figures from the datum to it.

mod building_order;
mod no_feature;

pub(crate) use building_order::Order;

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;
use strongback_solver::{
    Affine, Direction, Equation, EquationId, Measure, Plane, Point, System, Var,
};

use crate::assembly::Solved;
use crate::relation::Located;
use crate::source::Fault;
use crate::words::Axis;

/// The chain behind one coordinate of a feature.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Chain {
    /// The feature.
    pub feature: String,
    /// The coordinate.
    pub axis: Axis,
    /// What of the feature it is the coordinate of.
    pub leads_to: LeadsTo,
    /// Its value in millimetres.
    pub value_mm: f64,
    /// The figures that carry it, from the datum on.
    pub legs: Vec<Leg>,
    /// What the legs don't add up to, in millimetres: rounding, and nothing else. A coordinate is
    /// homogeneous of the first degree in all lengths, so by Euler's theorem its derivatives times the
    /// lengths add up to it exactly, turned parts or not.
    pub rest_mm: f64,
    /// Statements through which the chain goes, from the datum on.
    pub through: Vec<Through>,
    /// What the coordinate depends on that nothing settles.
    pub loose: Vec<String>,
}

/// A figure of a chain.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Leg {
    /// The dimension, the size or the statement.
    pub name: String,
    /// Its figure: millimetres, or degrees for an angle.
    pub value: f64,
    /// Whether it is an angle.
    pub angle: bool,
    /// How much the coordinate changes per unit of it: +1 or -1 along a straight chain; millimetres per
    /// degree for an angle.
    pub factor: f64,
    /// Its share of the coordinate, in millimetres; nothing for an angle, which turns lengths and adds none.
    pub adds_mm: f64,
    /// The sheet it stands on.
    pub sheet: Option<String>,
}

impl Leg {
    /// Whether it moves the coordinate or adds to it.
    pub(crate) fn carries(&self) -> bool {
        /// An angle that moves the face by less than this, in millimetres for each degree, is none.
        const ANGLE_COUNTS: f64 = 1e-6;
        if self.angle {
            self.factor.abs() > ANGLE_COUNTS
        } else {
            self.adds_mm != 0.0
        }
    }
}

/// A statement on the way.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Through {
    /// The statement.
    pub statement: String,
    /// Its kind, as the file calls it.
    pub kind: String,
    /// The sheet it stands on.
    pub sheet: Option<String>,
}

/// What of a feature the chain leads to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LeadsTo {
    /// All of a face: it looks along the coordinate's axis.
    Face,
    /// The middle of a face that looks elsewhere or stands at a slant, or of a line: the rest of it lies elsewhere.
    Middle,
    /// A point.
    Point,
}

impl Solved<'_> {
    /// The chain behind a feature's coordinate; without an axis, the one along which its face looks.
    ///
    /// # Errors
    /// There is no such feature: the nearest one is named.
    pub fn why(&self, feature: &str, axis: Option<Axis>) -> Result<Chain, Fault> {
        let assembly = self.assembly;
        let located = assembly
            .located(feature)
            .ok_or_else(|| self.no_feature(feature))?;
        let axis = axis.unwrap_or_else(|| match &located {
            Located::Face(plane) => Axis::dominant(self.solution.direction(&plane.normal)),
            _ => Axis::Station,
        });
        let leads_to = match &located {
            Located::Face(plane) if self.looks_along(plane, axis) => LeadsTo::Face,
            Located::Face(_) | Located::Line(_) => LeadsTo::Middle,
            Located::Point(_) => LeadsTo::Point,
        };
        let equation = Equation::PointOnPlane {
            point: located.middle(),
            plane: datum_plane(axis),
            offset: Affine::default(),
        };
        let mut told = self.solution.sensitivity(&equation);
        let told = told.pop().unwrap_or_default();
        let order = self.order();
        let equations: Vec<EquationId> = told.equations.iter().map(|(id, _, _)| *id).collect();
        let all = self.legs_as_built(&told.givens, &equations);
        let mut legs: Vec<Leg> = all.iter().filter(|leg| leg.carries()).cloned().collect();
        // at the datum itself nothing is added: the figures that say so are the chain
        if legs.is_empty() {
            legs = all.into_iter().filter(|leg| leg.factor != 0.0).collect();
        }
        let sum: f64 = legs.iter().map(|leg| leg.adds_mm).sum();
        let mut through: Vec<(usize, Through)> = Vec::new();
        let mut told_already = BTreeSet::new();
        for (id, _, _) in &told.equations {
            let statement = assembly.statement_of(*id);
            if told_already.insert(assembly.owner[id.index()]) {
                through.push((
                    order.of(*id),
                    Through {
                        statement: statement.name.clone(),
                        kind: statement.word.to_owned(),
                        sheet: statement.sheet.clone(),
                    },
                ));
            }
        }
        through.sort_by_key(|(at, _)| *at);
        /// Rounding of a sum of a chain's legs, in millimetres.
        const ROUNDING: f64 = 1e-9;
        let rest = told.value - sum;
        Ok(Chain {
            feature: feature.to_owned(),
            axis,
            leads_to,
            value_mm: told.value,
            legs,
            rest_mm: if rest.abs() < ROUNDING { 0.0 } else { rest },
            through: through.into_iter().map(|(_, step)| step).collect(),
            loose: told
                .loose
                .iter()
                .filter_map(|(var, _)| assembly.quantities.label(*var).map(|label| label.told()))
                .collect(),
        })
    }

    fn looks_along(&self, plane: &Plane, axis: Axis) -> bool {
        /// Over ten metres of face less than a thousandth of a millimetre.
        const SQUARE: f64 = 1e-7;
        let normal = self.solution.direction(&plane.normal);
        let across = axis.others().map(|axis| normal[axis.index()].abs());
        across.into_iter().all(|across| across < SQUARE)
    }

    /// The figures that carry something through some equations, in building order.
    pub(crate) fn legs_as_built(&self, givens: &[(Var, f64)], through: &[EquationId]) -> Vec<Leg> {
        let places = self.building_order(through);
        let mut givens = givens.to_vec();
        givens.sort_by_key(|(var, _)| {
            let at = places.get(var).copied().unwrap_or(usize::MAX);
            (at, !self.is_coordinate(*var))
        });
        givens
            .into_iter()
            .map(|(var, factor)| self.leg(var, factor))
            .collect()
    }

    /// Sorts equations as they are used in the solution.
    pub(crate) fn sort_as_built(&self, equations: &mut [EquationId]) {
        let order = self.order();
        equations.sort_by_key(|id| (order.of(*id), *id));
    }

    fn leg(&self, var: Var, factor: f64) -> Leg {
        let assembly = self.assembly;
        let value = self.solution.state().value(var);
        let angle = assembly.system.get(var).measure == Measure::Angle;
        let label = assembly.quantities.label(var);
        Leg {
            name: label.map(|label| label.told()).unwrap_or_default(),
            value: if angle { value.to_degrees() } else { value },
            angle,
            factor: if angle { factor.to_radians() } else { factor },
            adds_mm: if angle { 0.0 } else { value * factor },
            sheet: label.and_then(|label| label.origin.sheet.clone()),
        }
    }
}

/// The plane through the datum across an axis.
fn datum_plane(axis: Axis) -> Plane {
    Plane {
        point: Point {
            body: System::FIXED,
            at: [(); 3].map(|()| Affine::default()),
        },
        normal: Direction::Fixed {
            body: System::FIXED,
            vector: axis.vector(),
        },
    }
}
