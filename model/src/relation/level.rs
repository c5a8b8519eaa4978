//! A level face or line.

use serde::Deserialize;
use strongback_solver::{Direction, Equation, System};

use super::{Located, Recipe, RelationKind};
use crate::source::{Fault, Text};
use crate::words::Axis;

/// A face or a line lies level.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Level(pub Text);

/// The direction of an axis of the airframe.
pub(super) fn fixed(axis: Axis) -> Direction {
    Direction::Fixed {
        body: System::FIXED,
        vector: axis.vector(),
    }
}

impl RelationKind for Level {
    fn says(&self) -> &'static str {
        "A face looks straight up or down, or a line lies level."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let up = fixed(Axis::Waterline);
        match recipe.feature(&self.0)? {
            Located::Line(line) => recipe.add(
                "level",
                Equation::Perpendicular {
                    a: line.direction,
                    b: up,
                },
            ),
            _ => {
                let a = recipe.face(&self.0)?.normal;
                recipe.parallel(a, up);
            }
        }
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.0]
    }
}
