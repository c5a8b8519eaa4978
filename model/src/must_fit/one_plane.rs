//! Faces that have to lie in one plane.

use serde::Deserialize;
use strongback_solver::{Affine, Equation};

use super::{Measure, MustFitKind};
use crate::relation::{Built, Recipe};
use crate::source::{Code, Fault, Text};

/// Faces lie in one plane: that of the first one.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct OnePlane(pub Vec<Text>);

impl MustFitKind for OnePlane {
    fn says(&self) -> &'static str {
        "The faces lie in one plane: each is parallel to the first one, and its middle lies on it."
    }

    fn measures(&self, recipe: &mut Recipe<'_>) -> Result<Vec<Measure>, Fault> {
        let [first, rest @ ..] = &self.0[..] else {
            return Err(Fault::error(Code::WrongCount, "no faces are named"));
        };
        if rest.is_empty() {
            return Err(
                Fault::error(Code::WrongCount, "one face is always in one plane")
                    .at(first.span.clone(), "the only one"),
            );
        }
        let plane = recipe.face(first)?;
        let mut measures = Vec::new();
        for name in rest {
            let face = recipe.face(name)?;
            measures.push(Measure::Zero {
                what: format!("{} off the plane of {}", name.value, first.value),
                equation: Equation::PointOnPlane {
                    point: face.point,
                    plane: plane.clone(),
                    offset: Affine::default(),
                },
            });
            recipe.parallel(face.normal, plane.normal.clone());
            measures.extend(recipe.take_equations().into_iter().map(
                |Built { equation, .. }| Measure::Zero {
                    what: format!("{} turned against {}", name.value, first.value),
                    equation,
                },
            ));
        }
        Ok(measures)
    }

    fn names(&mut self) -> Vec<&mut Text> {
        self.0.iter_mut().collect()
    }
}
