//! How sheet is bent, as the file states it. In: the `bending` of the file. Out: the rules that blanks are made by, in mm.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::assembly::Quantities;
use crate::quantity::Kind;
use crate::source::{Code, Fault, Given, Text};
use crate::trade::alloys::{ALLOYS, alloy_of};
use crate::trade::bending::radii::{Radii, SAME_GAUGE, Table};
use crate::trade::bending::{Allowance, Form};

/// How sheet is bent, as it is written.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Bends {
    /// The table of least inside radii: `Inches`, which counts when none is named, of a design book; `Multiples` of the thickness, of a
    /// mill's handbook; `AirframeMaker`, four thin gauges; `RepairCircular`, AC 43.13-1B table 4-6, of each range the greater end.
    pub radii: Table,
    /// Least inside radii that go before the table's, each `("2024-T3", "0.032 in", "1/8 in")`: alloy, thickness, radius.
    pub own_radii: Vec<OwnRadius>,
    /// The form of the bend allowance for N degrees: `Handbook`, which counts when none is named, (π/180 R + 0.0078 T) N; `AsPrinted` with
    /// 0.01743 in place of π/180; `Navy` with 0.0173; `Halfway`, its neutral line in the middle of the thickness.
    pub allowance: Form,
    /// How far the neutral line lies from the inside of a bend, as a share of the thickness, from a strip bent of one's own
    /// stock; in place of a form.
    pub neutral: Option<Given>,
    /// Metal left on beyond each edge of a blank, to be trimmed.
    pub trim: Option<Given>,
    /// Diameter of relief holes, in place of the handbook's.
    pub relief: Option<Given>,
}

/// A radius of the builder's own: alloy, thickness, least inside radius.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
pub struct OwnRadius(pub Text, pub Given, pub Given);

impl Bends {
    /// The smallest, as it is written.
    pub const EXAMPLE: &str =
        r#"(radii: Inches, own_radii: [("2024-T3", "0.025 in", "3/32 in")], trim: "1/4 in")"#;
}

/// The rules that blanks are made by.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Rules {
    /// The form of the bend allowance.
    pub allowance: Allowance,
    /// Share of the thickness from the inside of a bend to the neutral line.
    pub neutral: f64,
    /// The table of least radii.
    pub radii: Table,
    /// Where that table stands.
    pub radii_source: crate::trade::Source,
    /// The file's own least radii, which go before it.
    pub own_radii: Vec<Own>,
    /// Metal left on beyond each edge, to be trimmed.
    pub trim_mm: f64,
    /// Diameter of relief holes, where the file gives it.
    pub relief_mm: Option<f64>,
}

/// A least radius of the file's own.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Own {
    /// The alloy.
    pub alloy: String,
    /// Thickness.
    pub gauge_mm: f64,
    /// The least inside radius.
    pub radius_mm: f64,
}

impl Default for Rules {
    fn default() -> Self {
        let radii = Table::default();
        let allowance = Form::default().allowance();
        Rules {
            allowance,
            neutral: allowance.neutral(),
            radii,
            radii_source: radii.radii().source,
            own_radii: Vec::new(),
            trim_mm: 0.0,
            relief_mm: None,
        }
    }
}

impl Rules {
    /// From what the file states.
    pub(crate) fn of(bends: &Bends, quantities: &Quantities) -> Result<Rules, Fault> {
        let length = |given: &Given, least: f64| -> Result<f64, Fault> {
            let value = quantities.value(given, Kind::Length)?;
            at_least(value, least, given)
        };
        let own_radii = bends
            .own_radii
            .iter()
            .map(|OwnRadius(name, gauge, radius)| {
                let Some(alloy) = alloy_of(&name.value) else {
                    let names = ALLOYS.iter().map(|alloy| alloy.name);
                    return Err(crate::relation::unknown("alloy", name, &name.value, names));
                };
                Ok(Own {
                    alloy: alloy.name.to_owned(),
                    gauge_mm: length(gauge, 1e-6)?,
                    radius_mm: length(radius, 0.0)?,
                })
            });
        let allowance = match &bends.neutral {
            None => bends.allowance.allowance(),
            Some(given) => {
                let share = quantities.value(given, Kind::Number)?;
                if !(0.0..=1.0).contains(&share) {
                    let message = "the neutral line lies within the thickness: from 0, at the inside of the bend, to 1";
                    return Err(Fault::error(Code::BadValue, message)
                        .at(given.span(), "")
                        .help("the handbook's formula has 0.4469; a test strip of the same sheet tells"));
                }
                Allowance::of_neutral(share)
            }
        };
        Ok(Rules {
            allowance,
            neutral: allowance.neutral(),
            radii: bends.radii,
            radii_source: bends.radii.radii().source,
            own_radii: own_radii.collect::<Result<_, _>>()?,
            trim_mm: match &bends.trim {
                Some(given) => length(given, 0.0)?,
                None => 0.0,
            },
            relief_mm: match &bends.relief {
                Some(given) => Some(length(given, 1e-6)?),
                None => None,
            },
        })
    }

    /// The least inside radius of an alloy and thickness, in mm, and whether it is the file's own; none where neither has it.
    pub fn least(&self, alloy: &str, gauge_mm: f64) -> Option<(f64, bool)> {
        let own = self.own_radii.iter().find(|own| {
            own.alloy == alloy && (own.gauge_mm - gauge_mm).abs() <= SAME_GAUGE * gauge_mm
        });
        let table: &Radii = self.radii.radii();
        own.map(|own| (own.radius_mm, true))
            .or_else(|| Some((table.least(alloy, gauge_mm)?, false)))
    }
}

fn at_least(value: f64, least: f64, given: &Given) -> Result<f64, Fault> {
    if value >= least {
        return Ok(value);
    }
    let message = if least > 0.0 {
        "this has to be greater than zero"
    } else {
        "this can't be less than zero"
    };
    Err(Fault::error(Code::BadSize, message).at(given.span(), ""))
}
