//! Layers held together by rivets or bolts. In: the layers, the one under the head first. Out: a joint and no equation: it places nothing.

use std::num::NonZeroU32;

use serde::Deserialize;

use super::{Located, Purpose, Recipe, RelationKind, Row, SQUARE, row};
use crate::assembly::{AssembledSeam, SeamLayer};
use crate::source::{Code, Fault, Text};
use crate::trade::fastener::Fastener;
use crate::words::Side;

/// Layers that fasteners hold together; other statements locate them.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Seam {
    /// The layers in order, the one under the head first: `PART`, or `PART.FACE` with the face that touches the next layer, of the last
    /// one the face that touches the layer before.
    pub layers: Vec<Text>,
    /// The side on which the heads lie.
    pub heads: Side,
    /// The fasteners.
    pub with: Fastener,
    /// How many of them; with rows it has to be what these come to.
    #[serde(default)]
    pub count: Option<NonZeroU32>,
    /// Where they go, in rows as for a bolted joint.
    #[serde(default)]
    pub rows: Vec<Row>,
}

impl RelationKind for Seam {
    fn says(&self) -> &'static str {
        "Rivets or bolts through layers that other statements locate, the layer under the head first. It places nothing, and is no must-fit: `joints` tells \
         what it asks for, and where layers don't touch. A part's outermost metal touches the next layer unless a face is named. A layer that follows a contour counts with its thickness; \
         no row is placed on it alone."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        if recipe.purpose() == Purpose::Measure {
            return Err(Fault::error(Code::BadValue, "a Seam places nothing, so that there is nothing to measure of it")
                .at(self.layers.first().map_or(0..0, |name| name.span.clone()), "")
                .help("state it among the relations, where `joints` tells whether its layers touch; as a must-fit, `Against` measures that two faces touch"));
        }
        if self.layers.len() < 2 {
            return Err(
                Fault::error(Code::WrongCount, "a seam has at least two layers").at(
                    self.layers.first().map_or(0..0, |name| name.span.clone()),
                    "only this one",
                ),
            );
        }
        let heads = recipe.side(self.heads);
        let layers = self
            .layers
            .iter()
            .enumerate()
            .map(|(at, name)| layer(recipe, name, heads, at == 0))
            .collect::<Result<Vec<_>, _>>()?;
        let parts: Vec<usize> = layers.iter().map(|layer| layer.part).collect();
        let axis = match layers.iter().find_map(|layer| layer.face.as_ref()) {
            Some(face) => recipe.drawn(&face.normal),
            None => heads.vector(),
        };
        let rows = row::assembled(&self.rows, recipe, &parts, axis, self.count)?;
        recipe.note_seam(AssembledSeam {
            statement: recipe.statement().to_owned(),
            layers,
            heads,
            with: self.with,
            count: self.count.map(NonZeroU32::get),
            rows,
        });
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        let mut names: Vec<&mut Text> = self.layers.iter_mut().collect();
        names.extend(row::names(&mut self.rows));
        names
    }

    fn compared(&mut self) -> Vec<&mut Text> {
        self.layers.iter_mut().collect()
    }
}

/// A layer with the face at which it touches: the one named, or the outermost metal of the first layer away from the heads, of the
/// others towards them. One that follows a contour has none.
fn layer(recipe: &Recipe<'_>, name: &Text, heads: Side, first: bool) -> Result<SeamLayer, Fault> {
    let (part, face) = match recipe.split(name) {
        Ok((part, _)) => (part, Some(recipe.face(name)?)),
        Err(_) => {
            let part = recipe.part(name)?;
            let side = if first { heads.opposite() } else { heads };
            let face = recipe.feature_of(part, side.face(), name).ok();
            let face = face.and_then(|located| match located {
                Located::Face(plane) => Some(plane),
                Located::Line(_) | Located::Point(_) => None,
            });
            (part, face)
        }
    };
    if let Some(face) = &face {
        let normal = recipe.drawn(&face.normal);
        let along: f64 = normal.iter().zip(heads.vector()).map(|(n, s)| n * s).sum();
        if along.abs() < SQUARE {
            return Err(Fault::error(
                Code::WrongFeature,
                format!(
                    "`{}` looks neither to the heads nor away from them",
                    name.value
                ),
            )
            .at(name.span.clone(), "")
            .help("name the face at which this layer touches its neighbour"));
        }
    }
    if recipe.assembled(part).shape.solids.is_empty() {
        return Err(Fault::error(
            Code::WrongFeature,
            format!("`{}` has no metal that could be a layer", name.value),
        )
        .at(name.span.clone(), "")
        .help("state its metal, for a Custom by `boxes`"));
    }
    Ok(SeamLayer { part, face })
}
