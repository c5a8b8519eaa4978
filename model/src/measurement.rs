//! A measurement of the real thing, as it is stated. It locates nothing: [`reconcile`](crate::reconcile) compares it with the
//! plan. In: a distance between two features, or a size, with what was measured and its standard uncertainty (JCGM 100:2008,
//! "Guide to the expression of uncertainty in measurement", 2.3.1). Out: what is measured, as an equation of the solver's.

use serde::{Deserialize, Serialize};
use strongback_solver::{Affine, Equation, Measure};

use crate::quantity::Kind;
use crate::relation::{Located, Recipe, distance, first_name};
use crate::source::{Code, Fault, Given, Text};
use crate::words::Side;

/// A distance or a size that was measured on the real thing.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Measurement {
    /// What was measured from: a face, a line or a point. Between faces along their normal, between points straight. Of a part
    /// on both sides, `PART L` or `PART R`: one reading is of one of them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Text>,
    /// What was measured to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Text>,
    /// The side to which the distance counts; then it has a sign. Without it the distance counts whichever way it leads, as
    /// a tape reads it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub toward: Option<Side>,
    /// In place of `from` and `to`: a size, as `PART.SIZE`, or a dimension; it may be an angle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<Text>,
    /// What was measured: a figure of its own, without names in it.
    pub is: Given,
    /// Its standard uncertainty, one standard deviation, greater than zero: in two cases out of three a measurement is no further
    /// off. Where nothing is known but that it lies within some limits, their half width divided by 1.7 (JCGM 100, 4.3.7).
    pub uncertainty: Given,
    /// The day on which it was measured, as ISO 8601 has it: `2026-10-03`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<Text>,
    /// How it was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Text>,
}

/// How a measured value counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counts {
    /// As it stands, with its sign.
    Signed,
    /// As a tape reads it: whichever way it leads.
    EitherWay,
}

/// A measurement as an equation: the plan's value is its residual.
pub(crate) struct Measured {
    pub(crate) equation: Equation,
    pub(crate) counts: Counts,
    /// Millimetres, or radians for an angle.
    pub(crate) value: f64,
    /// Millimetres, or radians for an angle.
    pub(crate) uncertainty: f64,
}

impl Measurement {
    /// An example for the format reference.
    pub const EXAMPLE: &'static str = r#"(from: "firewall.aft", to: "rear frame.web_fwd", is: "79 1/2 in", uncertainty: "1/32 in", on: "2026-10-03", note: "tape, twice")"#;

    /// The names of parts and faces that it refers to.
    pub fn names(&mut self) -> Vec<&mut Text> {
        [&mut self.from, &mut self.to, &mut self.size]
            .into_iter()
            .flatten()
            .collect()
    }

    /// What is measured.
    pub(crate) fn measured(&self, recipe: &mut Recipe<'_>, name: &Text) -> Result<Measured, Fault> {
        if let Some(on) = self.on.as_ref().filter(|on| !is_day(&on.value)) {
            return Err(
                Fault::error(Code::BadValue, format!("`{}` is no day", on.value))
                    .at(on.span.clone(), "")
                    .help("write year, month and day, as in `2026-10-03`"),
            );
        }
        let (equation, kind, counts) = match (&self.from, &self.to, &self.size) {
            (Some(from), Some(to), None) => {
                let equation = self.apart(recipe, [from, to])?;
                let counts = match self.toward {
                    Some(_) => Counts::Signed,
                    None => Counts::EitherWay,
                };
                (equation, Kind::Length, counts)
            }
            (None, None, Some(size)) => {
                let (equation, kind) = self.of_size(recipe, size)?;
                (equation, kind, Counts::Signed)
            }
            (None, None, None) => {
                return Err(
                    Fault::error(Code::MissingField, "what was measured is not stated")
                        .at(name.span.clone(), "")
                        .help("give `from` and `to`, or `size`"),
                );
            }
            (_, _, Some(size)) => {
                return Err(Fault::error(
                    Code::BadValue,
                    "either a distance is measured or a size",
                )
                .at(size.span.clone(), "")
                .help("give `from` and `to`, or `size`, and not all of them"));
            }
            (Some(end), None, None) | (None, Some(end), None) => {
                return Err(Fault::error(
                    Code::MissingField,
                    "the other end of the distance is missing",
                )
                .at(end.span.clone(), "")
                .help("give both `from` and `to`"));
            }
        };
        let value = own_figure(recipe, &self.is, kind)?;
        if counts == Counts::EitherWay && value < 0.0 {
            return Err(
                Fault::error(Code::BadSize, "a tape reads no less than zero")
                    .at(self.is.span(), "")
                    .help("say `toward` which side the distance counts: then it has a sign"),
            );
        }
        let uncertainty = own_figure(recipe, &self.uncertainty, kind)?;
        if uncertainty <= 0.0 {
            return Err(Fault::error(
                Code::BadSize,
                "an uncertainty has to be greater than zero",
            )
            .at(self.uncertainty.span(), "")
            // common practice, no source
            .help("a tape read to the nearest 1/16 in by one person is seldom better than 1/32 in"));
        }
        Ok(Measured {
            equation,
            counts,
            value,
            uncertainty,
        })
    }

    fn apart(&self, recipe: &mut Recipe<'_>, names: [&Text; 2]) -> Result<Equation, Fault> {
        let [from, to] = names;
        if let (Located::Face(a), Located::Face(b)) = (recipe.feature(from)?, recipe.feature(to)?) {
            recipe.parallel_faces([to, from], [&b, &a])?;
        }
        distance(recipe, names, Affine::default(), self.toward)
    }

    fn of_size(&self, recipe: &Recipe<'_>, size: &Text) -> Result<(Equation, Kind), Fault> {
        if self.toward.is_some() {
            return Err(Fault::error(Code::BadValue, "a size counts to no side")
                .at(size.span.clone(), "")
                .help("leave `toward` out"));
        }
        let form = recipe.size(size)?;
        let (kind, measure) = match recipe.kind_of_size(size) {
            Some(Kind::Angle) => (Kind::Angle, Measure::Angle),
            Some(Kind::Length) | None => (Kind::Length, Measure::Length),
            Some(Kind::Number) => {
                return Err(Fault::error(
                    Code::BadQuantity,
                    format!("`{}` is a plain number, and can't be measured", size.value),
                )
                .at(size.span.clone(), "")
                .help("name a length or an angle"));
            }
        };
        Ok((Equation::Held { form, measure }, kind))
    }
}

/// A figure that rests on nothing in the plan.
fn own_figure(recipe: &Recipe<'_>, given: &Given, kind: Kind) -> Result<f64, Fault> {
    let value = recipe.figure(given, kind)?;
    match first_name(given) {
        None => Ok(value),
        Some(name) => Err(Fault::error(
            Code::BadQuantity,
            format!("a measurement stands by itself, and can't be told by `{name}`"),
        )
        .at(given.span(), "")
        .help("write the figure that was read")),
    }
}

/// Whether a text is a calendar date in the extended format of ISO 8601-1: `YYYY-MM-DD`, of a month and a day
/// that there are.
pub(crate) fn is_day(text: &str) -> bool {
    let digits = |part: &str, count: usize| -> Option<u32> {
        let all = part.len() == count && part.bytes().all(|byte| byte.is_ascii_digit());
        all.then(|| part.parse().ok()).flatten()
    };
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts[..] else {
        return false;
    };
    let (Some(year), Some(month), Some(day)) = (digits(year, 4), digits(month, 2), digits(day, 2))
    else {
        return false;
    };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => return false,
    };
    (1..=days).contains(&day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_one_of_the_calendar() {
        for day in ["2026-10-03", "2024-02-29", "2000-02-29", "2026-12-31"] {
            assert!(is_day(day), "{day}");
        }
        for none in [
            "",
            "2026-10",
            "2026-13-01",
            "2026-00-10",
            "2026-04-31",
            "2026-10-00",
            "2026-02-29",
            "1900-02-29",
            "2026-1-03",
            "26-10-03",
            "2026-10-03 ",
            "2026-10-+3",
            "03.10.2026",
            "3 October",
            "2026-10-03-01",
        ] {
            assert!(!is_day(none), "{none}");
        }
    }
}
