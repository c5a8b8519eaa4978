//! An upright face or line.

use serde::Deserialize;
use strongback_solver::Equation;

use super::level::fixed;
use super::{Located, Recipe, RelationKind};
use crate::source::{Fault, Text};
use crate::words::Axis;

/// A face or a line stands upright.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Upright(pub Text);

impl RelationKind for Upright {
    fn says(&self) -> &'static str {
        "A face or a line stands upright."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let up = fixed(Axis::Waterline);
        match recipe.feature(&self.0)? {
            Located::Line(line) => recipe.parallel(line.direction, up),
            _ => {
                let a = recipe.face(&self.0)?.normal;
                recipe.add("upright", Equation::Perpendicular { a, b: up });
            }
        }
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.0]
    }
}
