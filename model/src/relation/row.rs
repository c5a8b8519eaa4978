//! A row of fasteners along an edge, as joints state it. In: the words of the file. Out: the row with its figures as forms, which no
//! equation reads.

use std::num::NonZeroU32;

use serde::Deserialize;

use super::{Recipe, SQUARE};
use crate::assembly::AssembledRow;
use crate::quantity::Kind;
use crate::source::{Code, Fault, Given, Text};

/// More fasteners than this in one row have a slip in their pitch or count.
pub(crate) const MOST_IN_A_ROW: u32 = 2000;

/// A row of fasteners parallel to an edge, over the metal that all layers have in common along it. State `count` or `pitch`.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// The edge face of one of the layers that the row runs beside, as `PART.FACE`.
    pub beside: Text,
    /// How far inside of that face.
    pub by: Given,
    /// From either end of the common metal to the first and the last fastener.
    pub ends: Given,
    /// How many.
    #[serde(default)]
    pub count: Option<NonZeroU32>,
    /// The least distance from one to the next: as many as fit, spread evenly.
    #[serde(default)]
    pub pitch: Option<Given>,
}

impl Row {
    /// The row as the assembly knows it; the layers lie on one another along `axis`.
    fn assembled(
        &self,
        recipe: &Recipe<'_>,
        parts: &[usize],
        axis: [f64; 3],
    ) -> Result<AssembledRow, Fault> {
        let (part, _) = recipe.split(&self.beside)?;
        if !parts.contains(&part) {
            return Err(Fault::error(
                Code::WrongFeature,
                format!("`{}` belongs to none of the layers", self.beside.value),
            )
            .at(self.beside.span.clone(), "")
            .help("a row runs beside an edge of one of the parts that it goes through"));
        }
        let face = recipe.face(&self.beside)?;
        let normal = recipe.drawn(&face.normal);
        let along: f64 = normal.iter().zip(axis).map(|(n, a)| n * a).sum();
        if along.abs() > 1.0 - SQUARE {
            return Err(Fault::error(
                Code::WrongFeature,
                format!(
                    "`{}` lies in the joint and is no edge of it",
                    self.beside.value
                ),
            )
            .at(self.beside.span.clone(), "")
            .help("name a face that stands square to the layers"));
        }
        let length = |given: &Given, least: f64| {
            let form = recipe.plain_form(given, Kind::Length)?;
            if recipe.value(&form) < least {
                return Err(Fault::error(
                    Code::BadSize,
                    "a distance in a row can't be less than zero",
                )
                .at(given.span(), "")
                .help("`by` counts from the edge inwards, `ends` from either end inwards"));
            }
            Ok(form)
        };
        let pitch = match (&self.count, &self.pitch) {
            (Some(_), None) => None,
            (None, Some(given)) => {
                let form = length(given, 0.0)?;
                if recipe.value(&form) < LEAST_PITCH_MM {
                    return Err(
                        Fault::error(Code::BadSize, "a pitch has to be more than that")
                            .at(given.span(), "less than a hundredth of an inch")
                            .help("it counts from the middle of one fastener to that of the next"),
                    );
                }
                Some(form)
            }
            (None, None) => {
                return Err(Fault::error(Code::WrongCount, "how many are in this row?")
                    .at(self.beside.span.clone(), "")
                    .help("state `count`, or `pitch` for as many as fit"));
            }
            (Some(_), Some(given)) => {
                return Err(Fault::error(
                    Code::WrongCount,
                    "a row has its count or its pitch stated, not both",
                )
                .at(given.span(), "")
                .help("leave one of them out: it follows from the other"));
            }
        };
        if self.count.is_some_and(|count| count.get() > MOST_IN_A_ROW) {
            return Err(Fault::error(
                Code::WrongCount,
                format!("more than {MOST_IN_A_ROW} fasteners in one row"),
            )
            .at(self.beside.span.clone(), "")
            .help("is the count right?"));
        }
        Ok(AssembledRow {
            beside: self.beside.value.clone(),
            face,
            by: length(&self.by, 0.0)?,
            ends: length(&self.ends, 0.0)?,
            count: self.count.map(NonZeroU32::get),
            pitch,
        })
    }
}

/// A hundredth of an inch.
const LEAST_PITCH_MM: f64 = 0.254;

/// The rows of a joint through some parts, whose layers lie on one another along `axis`.
///
/// # Errors
/// A row that can't be understood, or rows that don't add up to the count of the joint.
pub(super) fn assembled(
    rows: &[Row],
    recipe: &Recipe<'_>,
    parts: &[usize],
    axis: [f64; 3],
    count: Option<NonZeroU32>,
) -> Result<Vec<AssembledRow>, Fault> {
    let list = rows
        .iter()
        .map(|row| row.assembled(recipe, parts, axis))
        .collect::<Result<Vec<_>, _>>()?;
    let stated: Option<u32> = list.iter().map(|row| row.count).sum();
    if let (Some(count), Some(sum), Some(first)) = (count, stated, rows.first())
        && sum != count.get()
    {
        return Err(Fault::error(
            Code::WrongCount,
            format!("the rows have {sum} fasteners, and the joint states {count}"),
        )
        .at(first.beside.span.clone(), "")
        .help("leave `count` of the joint out: it follows from its rows"));
    }
    Ok(list)
}

/// The names in rows.
pub(super) fn names(rows: &mut [Row]) -> impl Iterator<Item = &mut Text> {
    rows.iter_mut().map(|row| &mut row.beside)
}
