//! A part that is the mirror image of another one.

use serde::Deserialize;
use strongback_solver::{Direction, Equation, Measure};

use super::{Recipe, RelationKind};
use crate::source::{Fault, Text};
use crate::words::Axis;

/// A part lies as the mirror image of another one, at buttock line 0.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MirrorOf {
    /// The image.
    pub part: Text,
    /// The part that it is the image of.
    pub of: Text,
}

impl RelationKind for MirrorOf {
    fn says(&self) -> &'static str {
        "A part's origin and turns are those of another part in a mirror at buttock line 0."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let (part, of) = (recipe.part(&self.part)?, recipe.part(&self.of)?);
        let (a, b) = (recipe.assembled(part), recipe.assembled(of));
        let (body_a, body_b) = (a.body, b.body);
        let (origin_a, origin_b) = (a.origin.clone(), b.origin.clone());
        for axis in Axis::ALL {
            let at = axis.index();
            let image = match axis {
                Axis::ButtockLine => origin_b[at].clone().times(-1.0),
                Axis::Station | Axis::Waterline => origin_b[at].clone(),
            };
            recipe.add(
                format!("{} of the origin", axis.short()),
                Equation::Held {
                    form: origin_a[at].clone().minus(&image),
                    measure: Measure::Length,
                },
            );
        }
        if body_a != body_b {
            for axis in [Axis::Station, Axis::Waterline] {
                let direction = |body| Direction::Fixed {
                    body,
                    vector: axis.vector(),
                };
                let (a, b) = (direction(body_a), direction(body_b));
                if !recipe.stands_square(body_a) || !recipe.stands_square(body_b) {
                    recipe.add(
                        "turn",
                        Equation::Mirrored {
                            a,
                            b,
                            across: Axis::ButtockLine.vector(),
                        },
                    );
                }
            }
        }
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.part, &mut self.of]
    }
}
