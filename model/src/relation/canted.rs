//! A stated cant.

use serde::Deserialize;
use strongback_solver::Equation;

use super::level::fixed;
use super::{Recipe, RelationKind};
use crate::source::{Code, Fault, Given, Text};
use crate::words::Axis;

/// A face or line is turned by an angle against another one.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Canted {
    /// What is turned.
    pub face: Text,
    /// By how much; about the buttock-line axis, positive leans the top aft.
    pub by: Given,
    /// What it is turned against; the axis of the airframe nearest to it when not stated.
    #[serde(default)]
    pub from: Option<Text>,
    /// The axis about which it is turned; the buttock line when not stated.
    #[serde(default)]
    pub about: Option<Axis>,
}

impl RelationKind for Canted {
    fn says(&self) -> &'static str {
        "A face or line is turned by an angle against another one, or against the airframe's axes, about the \
         buttock-line axis (positive leans the top aft) or the one stated."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let about = self.about.unwrap_or(Axis::ButtockLine);
        let face = recipe.direction(&self.face)?;
        let from = match &self.from {
            Some(name) if !recipe.alike([&self.face, name])? => {
                return Err(Fault::error(
                    Code::WrongFeature,
                    "a cant is told between two faces or between two lines",
                )
                .at(name.span.clone(), "")
                .help(
                    "name one of the same sort, or leave `from` out for the airframe's own axis",
                ));
            }
            Some(name) => recipe.direction(name)?,
            None => fixed(Axis::dominant(recipe.drawn(&face))),
        };
        // two normals that look opposite ways at the start mean the same cant
        let half_turn = if recipe.cosine(&from, &face) < 0.0 {
            std::f64::consts::PI
        } else {
            0.0
        };
        let sense = recipe.turn_sense(about);
        let mut angle = recipe.angle("by", &self.by)?.times(sense);
        angle.constant += half_turn;
        recipe.add(
            "cant",
            Equation::Angle {
                a: from,
                b: face,
                about: fixed(about),
                angle,
            },
        );
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        let mut names = vec![&mut self.face];
        names.extend(self.from.as_mut());
        names
    }
}
