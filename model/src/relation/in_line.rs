//! Holes, axes and points on one line.

use serde::Deserialize;
use strongback_solver::{Axis, Direction, Equation, Way};

use super::{Located, Recipe, RelationKind};
use crate::source::{Code, Fault, Text};

/// Holes, axes or points lie on one line.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct InLine(pub Vec<Text>);

impl RelationKind for InLine {
    fn says(&self) -> &'static str {
        "Holes, axes or points lie on one line: that of the first hole or axis named, or the one through the \
         first two points."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let list = self
            .0
            .iter()
            .map(|name| recipe.feature(name))
            .collect::<Result<Vec<_>, _>>()?;
        let (axis, given) = line_of(&list, &self.0)?;
        for (at, located) in list.into_iter().enumerate() {
            if given.contains(&at) {
                continue;
            }
            if let Located::Line(line) = &located {
                recipe.parallel(line.direction.clone(), axis.direction.clone());
            }
            recipe.add(
                "in line",
                Equation::PointOnAxis {
                    point: located.middle(),
                    axis: axis.clone(),
                },
            );
        }
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        self.0.iter_mut().collect()
    }
}

/// The line that a list of features is held to, and the positions of those that make it.
pub(crate) fn line_of(list: &[Located], names: &[Text]) -> Result<(Axis, Vec<usize>), Fault> {
    let span = names.first().map_or(0..0, |name| name.span.clone());
    let count = |message: &str| Fault::error(Code::WrongCount, message).at(span.clone(), "");
    if list.len() < 2 {
        return Err(count("a line needs at least two things on it"));
    }
    for (at, located) in list.iter().enumerate() {
        if let Located::Line(axis) = located {
            return Ok((axis.clone(), vec![at]));
        }
    }
    let points: Vec<usize> = (0..list.len())
        .filter(|at| matches!(list[*at], Located::Point(_)))
        .collect();
    let [a, b, ..] = points[..] else {
        return Err(count(
            "a line needs a hole, an axis or two points to go through",
        ));
    };
    let (Located::Point(from), Located::Point(to)) = (&list[a], &list[b]) else {
        return Err(count(
            "a line needs a hole, an axis or two points to go through",
        ));
    };
    if from.body != to.body {
        return Err(count(
            "the first two points belong to different parts: put a hole or an axis first",
        ));
    }
    Ok((
        Axis {
            point: from.clone(),
            direction: Direction::Between(Box::new(Way {
                from: from.clone(),
                to: to.at.clone(),
            })),
        },
        vec![a, b],
    ))
}
