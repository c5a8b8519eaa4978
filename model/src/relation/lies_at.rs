//! A part whose origin lies at stated coordinates.

use serde::Deserialize;
use strongback_solver::{Equation, Measure};

use super::{Recipe, RelationKind};
use crate::source::{Code, Fault, Given, Text};
use crate::words::{Axis, Side};

/// A part's origin lies at stated coordinates.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LiesAt {
    /// The part.
    pub part: Text,
    /// Station of its origin, aft of the datum.
    #[serde(default)]
    pub fs: Option<Given>,
    /// Buttock line of its origin, to the right of the middle.
    #[serde(default)]
    pub bl: Option<Given>,
    /// Waterline of its origin, above the datum.
    #[serde(default)]
    pub wl: Option<Given>,
}

impl RelationKind for LiesAt {
    fn says(&self) -> &'static str {
        "A part's origin lies at the coordinates given: what `at` of the part states, as a statement that has a trust, a sheet \
         and a reason of its own."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let part = recipe.part(&self.part)?;
        let assembled = recipe.assembled(part);
        if assembled.contour.is_some() {
            return Err(Fault::error(
                Code::WrongFeature,
                format!("`{}` lies where its contour lies", self.part.value),
            )
            .at(self.part.span.clone(), "")
            .help("state the place of its contour instead"));
        }
        let origin = assembled.origin.clone();
        let stated = [&self.fs, &self.bl, &self.wl];
        if stated.iter().all(|given| given.is_none()) {
            return Err(Fault::error(Code::MissingField, "no coordinate is stated")
                .at(self.part.span.clone(), "")
                .help("give `fs`, `bl` or `wl`"));
        }
        let mirrored = recipe.side(Side::Right) == Side::Left;
        for ((axis, given), of_origin) in Axis::ALL.into_iter().zip(stated).zip(origin) {
            let Some(given) = given else { continue };
            let at = recipe.length(axis.short(), given)?;
            let image = mirrored && axis == Axis::ButtockLine;
            recipe.add(
                format!("{} of the origin", axis.short()),
                Equation::Held {
                    form: of_origin.minus(&if image { at.times(-1.0) } else { at }),
                    measure: Measure::Length,
                },
            );
        }
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.part]
    }
}
