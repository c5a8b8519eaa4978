//! Why a face lies where it does: the signed chain of figures from the datum to it, or from another face.
//!
//! In: one feature or two, and a coordinate. Out: the figures with their derivatives, in millimetres, and the statements that
//! carry them, in the order of a walk along the chain. Source of the sum: Euler's theorem on homogeneous functions.

mod building_order;
mod no_feature;
mod walk;

pub(crate) use building_order::Order;

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;
use strongback_solver::{
    Affine, Direction, Equation, EquationId, Measure, Plane, Point, Sensitivity, System, Var,
};

use crate::assembly::{Label, Solved};
use crate::relation::Located;
use crate::settable::set_by;
use crate::source::Fault;
use crate::words::Axis;

/// The chain behind one coordinate of a feature, or behind the difference of two features' coordinates.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Chain {
    /// The feature that it leads to.
    pub feature: String,
    /// The feature that it begins at; without one, the datum.
    pub from: Option<String>,
    /// The coordinate.
    pub axis: Axis,
    /// What of the feature it is the coordinate of.
    pub leads_to: LeadsTo,
    /// What of the feature that it begins at it is the coordinate of.
    pub begins_at: Option<LeadsTo>,
    /// Its value in millimetres; between two features the coordinate of the last less that of the first.
    pub value_mm: f64,
    /// The figures that carry it, from the datum or the first feature on. What is common to two features cancels and is
    /// not here.
    pub legs: Vec<Leg>,
    /// What the legs don't add up to, in millimetres. A coordinate is homogeneous of the first degree in all lengths, so
    /// by Euler's theorem its derivatives times the lengths add up to it exactly, turned parts or not: there is a rest only
    /// where something loose has a share, which is then as drawn or as the search left it.
    pub rest_mm: f64,
    /// Whether no turned part has a hand in it: then a factor holds for any change of its figure, else it is the rate at
    /// the layout as it stands.
    pub linear: bool,
    /// Statements through which the chain goes, from the datum or the first feature on.
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
    /// The name by which it is set, as `bay` or `rail.length`; none for a figure of a relation.
    pub set_by: Option<String>,
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
        let located = self.located(feature)?;
        let axis = axis.or_else(|| self.looks(&located));
        Ok(self.chain(None, (feature, &located), axis.unwrap_or(Axis::Station)))
    }

    /// The chain from one feature to another: the coordinate of the second less that of the first. Without an axis, the one
    /// along which the first one looks if it is a face, or else the second one.
    ///
    /// # Errors
    /// There is no such feature: the nearest one is named.
    pub fn why_between(&self, from: &str, to: &str, axis: Option<Axis>) -> Result<Chain, Fault> {
        let (first, second) = (self.located(from)?, self.located(to)?);
        let axis = axis
            .or_else(|| self.looks(&first))
            .or_else(|| self.looks(&second));
        let axis = axis.unwrap_or(Axis::Station);
        Ok(self.chain(Some((from, &first)), (to, &second), axis))
    }

    fn located(&self, feature: &str) -> Result<Located, Fault> {
        let located = self.assembly.located(feature);
        located.ok_or_else(|| self.no_feature(feature))
    }

    /// The axis along which a face looks.
    fn looks(&self, located: &Located) -> Option<Axis> {
        match located {
            Located::Face(plane) => Some(Axis::dominant(self.solution.direction(&plane.normal))),
            Located::Line(_) | Located::Point(_) => None,
        }
    }

    fn leads_to(&self, located: &Located, axis: Axis) -> LeadsTo {
        match located {
            Located::Face(plane) if self.looks_along(plane, axis) => LeadsTo::Face,
            Located::Face(_) | Located::Line(_) => LeadsTo::Middle,
            Located::Point(_) => LeadsTo::Point,
        }
    }

    fn chain(
        &self,
        from: Option<(&str, &Located)>,
        (feature, located): (&str, &Located),
        axis: Axis,
    ) -> Chain {
        let begins = from.map_or_else(datum_point, |(_, first)| first.middle());
        let equation = way(located.middle(), begins, axis);
        let told = self.solution.sensitivity(&equation);
        let told = told.into_iter().next().unwrap_or_default();
        let behind = from.map(|(_, first)| {
            let dependence = |end: &Located| self.dependence(end.middle(), datum_point(), axis);
            walk::Behind::of(&dependence(first), &dependence(located))
        });
        let equations: Vec<EquationId> = told.equations.iter().map(|(id, _, _)| *id).collect();
        let mut all = self.legs_as_built(&told.givens, &equations);
        let mut through = self.through(&equations);
        if let Some(behind) = &behind {
            all = walk::in_order(all, |(var, _)| behind.leads_back(*var));
            through = walk::in_order(through, |(id, _)| behind.goes_back(*id));
        }
        let all = all.into_iter().map(|(_, leg)| leg);
        let (carrying, others): (Vec<Leg>, Vec<Leg>) = all.partition(Leg::carries);
        // at the datum itself nothing is added: the figures that say so are the chain
        let legs = if carrying.is_empty() {
            others.into_iter().filter(|leg| leg.factor != 0.0).collect()
        } else {
            carrying
        };
        let sum: f64 = legs.iter().map(|leg| leg.adds_mm).sum();
        /// Rounding of a sum of a chain's legs, in millimetres.
        const ROUNDING: f64 = 1e-9;
        let rest = told.value - sum;
        Chain {
            feature: feature.to_owned(),
            from: from.map(|(name, _)| name.to_owned()),
            axis,
            leads_to: self.leads_to(located, axis),
            begins_at: from.map(|(_, first)| self.leads_to(first, axis)),
            value_mm: told.value,
            legs,
            rest_mm: if rest.abs() < ROUNDING { 0.0 } else { rest },
            linear: self.solution.is_affine_throughout(&equation, &told),
            through: through.into_iter().map(|(_, step)| step).collect(),
            loose: told
                .loose
                .iter()
                .filter_map(|(var, _)| self.assembly.quantities.label(*var))
                .map(Label::told)
                .collect(),
        }
    }

    /// What the way from one point to another along an axis depends on.
    fn dependence(&self, to: Point, from: Point, axis: Axis) -> Sensitivity {
        let mut told = self.solution.sensitivity(&way(to, from, axis));
        told.pop().unwrap_or_default()
    }

    /// The statements of some equations as they were used, each once, with the first of its equations.
    fn through(&self, equations: &[EquationId]) -> Vec<(EquationId, Through)> {
        let mut equations = equations.to_vec();
        self.sort_as_built(&mut equations);
        let mut told_already = BTreeSet::new();
        equations.retain(|id| told_already.insert(self.assembly.owner[id.index()]));
        let step = |id: EquationId| {
            let statement = self.assembly.statement_of(id);
            Through {
                statement: statement.name.clone(),
                kind: statement.word.to_owned(),
                sheet: statement.sheet.clone(),
            }
        };
        equations.into_iter().map(|id| (id, step(id))).collect()
    }

    fn looks_along(&self, plane: &Plane, axis: Axis) -> bool {
        /// Over ten metres of face less than a thousandth of a millimetre.
        const SQUARE: f64 = 1e-7;
        let normal = self.solution.direction(&plane.normal);
        let across = axis.others().map(|axis| normal[axis.index()].abs());
        across.into_iter().all(|across| across < SQUARE)
    }

    /// The figures that carry something through some equations, in building order.
    pub(crate) fn legs_as_built(
        &self,
        givens: &[(Var, f64)],
        through: &[EquationId],
    ) -> Vec<(Var, Leg)> {
        let places = self.building_order(through);
        let mut givens = givens.to_vec();
        givens.sort_by_key(|(var, _)| {
            let at = places.get(var).copied().unwrap_or(usize::MAX);
            (at, !self.is_coordinate(*var))
        });
        givens
            .into_iter()
            .map(|(var, factor)| (var, self.leg(var, factor)))
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
            set_by: label.and_then(|label| Some(set_by(assembly, label)?.name)),
        }
    }
}

/// The way from one point to another along an axis, as what it is off nought by.
fn way(to: Point, from: Point, axis: Axis) -> Equation {
    let across = Plane {
        point: from,
        normal: Direction::Fixed {
            body: System::FIXED,
            vector: axis.vector(),
        },
    };
    Equation::PointOnPlane {
        point: to,
        plane: across,
        offset: Affine::default(),
    }
}

/// The datum itself.
fn datum_point() -> Point {
    Point {
        body: System::FIXED,
        at: [(); 3].map(|()| Affine::default()),
    }
}
