//! Must-fits, measured on a solution: does it come true, by how much does it miss, what is left.

pub(crate) mod clearance;
mod remark;

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;
use strongback_solver::{Equation, EquationId, Measure as Kind};

pub use remark::Remark;

use crate::assembly::{AssembledFit, Solved};
use crate::must_fit::{Body, Measure};

/// What a must-fit came to.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Fit {
    /// Its name.
    pub name: String,
    /// Its kind, as the file calls it.
    pub kind: String,
    /// Whether it comes true.
    pub verdict: FitVerdict,
    /// Statements at odds whose contradiction bears on it: taking their figure for another one would change what is
    /// measured.
    pub disputed: Vec<String>,
    /// Its measures, the worst one first.
    pub measures: Vec<Measured>,
}

/// Whether a must-fit comes true.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FitVerdict {
    /// All of it lies within its limits.
    Fits,
    /// Some of it lies beyond them.
    Misses,
    /// Some of it can't be measured: its measure tells why.
    Unmeasured,
    /// It rests on something that is loose: what was measured only shows where that stands now.
    Open,
}

/// One measure of a must-fit. Lengths in millimetres, angles in degrees.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Measured {
    /// What is measured.
    pub what: String,
    /// Whether it is an angle.
    pub angle: bool,
    /// What was measured.
    pub value: f64,
    /// The least that will do.
    pub least: Option<f64>,
    /// The most that will do.
    pub most: Option<f64>,
    /// How far it is inside of its limits; negative when it misses.
    pub margin: f64,
    /// Of an angle that has to keep a length: from the middle of the metal to its farthest corner, over which it does.
    pub over_mm: Option<f64>,
    /// What needs a word: why it can't be measured, or what is in the way.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remark: Option<Remark>,
}

/// A limit counts as kept when it is missed by less than this, in millimetres or degrees: rounding.
const ROUNDING: f64 = 1e-7;

impl Measured {
    /// Whether it lies within its limits; what could not be measured doesn't.
    pub fn holds(&self) -> bool {
        self.value.is_finite() && self.margin >= -ROUNDING
    }

    /// Whether it could be measured.
    pub fn is_measured(&self) -> bool {
        !self.remark.as_ref().is_some_and(Remark::prevents)
    }

    /// How much of the room that it has is left; lengths and angles are compared by it.
    pub fn share_left(&self) -> f64 {
        let room = match (self.least, self.most) {
            (Some(least), Some(most)) => 0.5 * (most - least),
            (Some(limit), None) | (None, Some(limit)) => limit.abs(),
            (None, None) => 1.0,
        };
        self.margin / room.max(ROUNDING)
    }

    pub(crate) fn new(
        what: String,
        angle: bool,
        value: f64,
        least: Option<f64>,
        most: Option<f64>,
    ) -> Measured {
        let below = least.map_or(f64::INFINITY, |least| value - least);
        let above = most.map_or(f64::INFINITY, |most| most - value);
        Measured {
            what,
            angle,
            value,
            least,
            most,
            margin: below.min(above),
            over_mm: None,
            remark: None,
        }
    }
}

impl Fit {
    /// Whether it comes true.
    pub fn holds(&self) -> bool {
        self.verdict == FitVerdict::Fits
    }

    /// The measure that is nearest to its limit, or furthest beyond it.
    pub fn worst(&self) -> Option<&Measured> {
        self.measures.first()
    }
}

impl Solved<'_> {
    /// Measures all must-fits.
    pub fn fits(&self) -> Vec<Fit> {
        self.assembly.fits.iter().map(|fit| self.fit(fit)).collect()
    }

    fn fit(&self, fit: &AssembledFit) -> Fit {
        let mut measures: Vec<Measured> = fit
            .measures
            .iter()
            .map(|measure| self.measured(fit, measure))
            .collect();
        // of two that are as near to their limits but for rounding, the length comes first
        let near = |measure: &Measured| (measure.share_left() / ROUNDING).round() * ROUNDING;
        measures.sort_by(|a, b| near(a).total_cmp(&near(b)).then(a.angle.cmp(&b.angle)));
        Fit {
            name: fit.name.clone(),
            kind: fit.word.to_owned(),
            verdict: if !fit
                .measures
                .iter()
                .all(|measure| self.rests_on_settled(measure))
            {
                FitVerdict::Open
            } else if measures.iter().all(Measured::holds) {
                FitVerdict::Fits
            } else if measures.iter().all(|it| it.holds() || !it.is_measured()) {
                FitVerdict::Unmeasured
            } else {
                FitVerdict::Misses
            },
            disputed: self.disputes(fit),
            measures,
        }
    }

    /// The statements at odds with whose circuit a must-fit shares an equation.
    pub(crate) fn disputes(&self, fit: &AssembledFit) -> Vec<String> {
        if self.odd_circuits().is_empty() {
            return Vec::new();
        }
        self.disputes_on(&self.fit_rests_on(fit))
    }

    /// The kept equations that a must-fit's measures rest on.
    pub(crate) fn fit_rests_on(&self, fit: &AssembledFit) -> BTreeSet<EquationId> {
        let mut rests_on: BTreeSet<EquationId> = BTreeSet::new();
        for measure in &fit.measures {
            match measure {
                Measure::Zero { equation, .. } | Measure::Within { equation, .. } => {
                    rests_on.extend(self.equations_behind(equation));
                }
                Measure::Clearance { between, .. } => {
                    for part in Body::parts_of(between, self.assembly) {
                        let origin = part.origin.iter().map(|form| (form, Kind::Length));
                        let turns = part.turns.iter().map(|(_, form)| (form, Kind::Angle));
                        for (form, measure) in origin.chain(turns) {
                            let form = form.clone();
                            rests_on
                                .extend(self.equations_behind(&Equation::Held { form, measure }));
                        }
                    }
                }
            }
        }
        rests_on
    }

    /// The statements at odds whose circuit shares an equation with these.
    fn disputes_on(&self, rests_on: &BTreeSet<EquationId>) -> Vec<String> {
        self.odd_circuits()
            .iter()
            .filter(|(_, circuit)| !circuit.is_disjoint(rests_on))
            .map(|(name, _)| name.clone())
            .collect()
    }

    /// The statements at odds with whose circuit an equation's value shares an equation.
    pub(crate) fn disputes_about(&self, equation: &Equation) -> Vec<String> {
        if self.odd_circuits().is_empty() {
            return Vec::new();
        }
        self.disputes_on(&self.equations_behind(equation))
    }

    /// The kept equations that an equation's value rests on.
    pub(crate) fn equations_behind(&self, equation: &Equation) -> BTreeSet<EquationId> {
        let rows = self.solution.sensitivity(equation);
        rows.into_iter()
            .flat_map(|row| row.equations)
            .map(|(id, _, _)| id)
            .collect()
    }

    pub(crate) fn rests_on_settled(&self, measure: &Measure) -> bool {
        if self.moving().is_empty() {
            return true;
        }
        match measure {
            Measure::Zero { equation, .. } | Measure::Within { equation, .. } => {
                !self.solution.rests_on_loose(equation)
            }
            Measure::Clearance { between, .. } => {
                Body::parts_of(between, self.assembly).all(|part| self.is_settled(part))
            }
        }
    }

    pub(crate) fn measured(&self, fit: &AssembledFit, measure: &Measure) -> Measured {
        match measure {
            Measure::Zero { what, equation } => {
                let rows = self.solution.miss(equation);
                let value = match &rows[..] {
                    [only] => *only,
                    several => several.iter().map(|row| row * row).sum::<f64>().sqrt(),
                };
                let what = match equation {
                    // shown without its sign, which says on which side of the skin it lies
                    Equation::PointOnSurface { .. } if value.abs() > fit.within.length => {
                        let side = if value < 0.0 { "inside" } else { "outside" };
                        &format!("{what}: too far {side}")
                    }
                    _ => what,
                };
                match equation.measure() {
                    Kind::Length => Measured::new(
                        what.clone(),
                        false,
                        value,
                        Some(-fit.within.length),
                        Some(fit.within.length),
                    ),
                    Kind::Angle => {
                        let allowed = self.allowed(&fit.within, equation);
                        let within = allowed.within.to_degrees();
                        Measured {
                            over_mm: allowed.over,
                            ..Measured::new(
                                what.clone(),
                                true,
                                value.to_degrees(),
                                Some(-within),
                                Some(within),
                            )
                        }
                    }
                }
            }
            Measure::Within {
                what,
                equation,
                least,
                most,
            } => {
                let value = self.solution.miss(equation).first().copied().unwrap_or(0.0);
                let limit = |form: &Option<strongback_solver::Affine>| {
                    form.as_ref().map(|form| self.solution.form(form))
                };
                Measured::new(what.clone(), false, value, limit(least), limit(most))
            }
            Measure::Clearance { between, least } => {
                let [a, b] = between;
                let what = format!("{} to {}", a.name, b.name);
                let least = Some(self.solution.form(least));
                if let Some(remark) = self.unmeasurable(between) {
                    return Measured {
                        remark: Some(remark),
                        ..Measured::new(what, false, f64::INFINITY, least, None)
                    };
                }
                let [one, other] = [a, b].map(|body| body.solids(self.assembly, self.at()));
                let value = clearance::between(&one, &other);
                let measured = Measured::new(what, false, value, least, None);
                Measured {
                    remark: match measured.holds() {
                        true => None,
                        false => self.lies_against(between),
                    },
                    ..measured
                }
            }
        }
    }
}
