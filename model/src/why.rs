//! Why a face lies where it does: the signed chain of figures from the datum to it.

use std::collections::HashMap;

use schemars::JsonSchema;
use serde::Serialize;
use strongback_solver::{
    Affine, Direction, Equation, EquationId, Measure, Plane, Point, System, Var,
};

use crate::assembly::Solved;
use crate::relation::unknown;
use crate::source::{Fault, Text};
use crate::words::Axis;

/// The chain behind one coordinate of a feature.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Chain {
    /// The feature.
    pub feature: String,
    /// The coordinate.
    pub axis: Axis,
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

/// In which order the solution meets things.
#[derive(Debug, Default)]
pub(crate) struct Order {
    /// When each variable is first read.
    variables: HashMap<Var, usize>,
    /// The first block that uses each equation.
    equations: HashMap<EquationId, usize>,
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
            crate::relation::Located::Face(plane) => {
                Axis::dominant(self.solution.direction(&plane.normal))
            }
            _ => Axis::Station,
        });
        let equation = Equation::PointOnPlane {
            point: located.middle(),
            plane: datum_plane(axis),
            offset: Affine::default(),
        };
        let mut told = self.solution.sensitivity(&equation);
        let told = told.pop().unwrap_or_default();
        let order = self.order();
        let place = |var: &Var| order.variables.get(var).copied().unwrap_or(usize::MAX);
        let mut givens = told.givens.clone();
        givens.sort_by_key(|(var, _)| place(var));
        /// An angle that moves the face by less than this, in millimetres for each degree, is none.
        const ANGLE_COUNTS: f64 = 1e-6;
        let legs: Vec<Leg> = givens
            .iter()
            .map(|(var, factor)| self.leg(*var, *factor))
            .filter(|leg| leg.adds_mm != 0.0 || leg.angle && leg.factor.abs() > ANGLE_COUNTS)
            .collect();
        let sum: f64 = legs.iter().map(|leg| leg.adds_mm).sum();
        let mut through: Vec<(usize, Through)> = Vec::new();
        for (id, _, _) in &told.equations {
            let statement = assembly.statement_of(*id);
            if !through
                .iter()
                .any(|(_, step)| step.statement == statement.name)
            {
                let at = order.equations.get(id).copied().unwrap_or(usize::MAX);
                through.push((
                    at,
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

    /// The order of the solution, worked out once for all chains that are asked for.
    fn order(&self) -> &Order {
        self.order.get_or_init(|| {
            let mut order = Order::default();
            for (block, (equations, _)) in self.solution.blocks().enumerate() {
                for id in equations {
                    order.equations.entry(id).or_insert(block);
                    for var in self.solution.reads(id) {
                        let next = order.variables.len();
                        order.variables.entry(var).or_insert(next);
                    }
                }
            }
            order
        })
    }

    fn no_feature(&self, name: &str) -> Fault {
        let parts = &self.assembly.parts;
        let names: Vec<String> = parts
            .iter()
            .flat_map(|part| {
                part.shape
                    .features
                    .keys()
                    .map(|face| format!("{}.{face}", part.name))
            })
            .collect();
        let text = Text::unplaced(name.to_owned());
        match parts.iter().find(|part| part.name == name) {
            Some(part) => {
                let faces: Vec<&str> = part.shape.features.keys().map(String::as_str).collect();
                Fault::error(
                    crate::source::Code::UnknownName,
                    format!("`{name}` is a whole part; name one of its faces as `{name}.FACE`"),
                )
                .help(format!("its faces are: {}", faces.join(", ")))
            }
            None => unknown("face", &text, name, names.iter().map(String::as_str)),
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
