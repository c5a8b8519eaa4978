//! What the statements came to: found figures, what is loose, spare and at odds.

use std::collections::{BTreeMap, BTreeSet};

use strongback_solver::{EquationId, Measure, Var, Verdict};

use super::{Against, AgainstKind, AtOdds, Dimension, Found, Loose, Spare, Waiting};
use crate::assembly::{AssembledStatement, Figure, Solved};
use crate::quantity::Kind;

impl Solved<'_> {
    pub(super) fn dimensions(&self) -> Vec<Dimension> {
        self.assembly
            .dimensions
            .iter()
            .map(|dimension| {
                let value = self.solution.form(&dimension.resolved.form);
                let angle = dimension.kind == Kind::Angle;
                Dimension {
                    name: dimension.name.clone(),
                    value: if angle { value.to_degrees() } else { value },
                    angle,
                    found: dimension.resolved.find,
                }
            })
            .collect()
    }

    pub(super) fn found(&self) -> Vec<Found> {
        let assembly = self.assembly;
        let is_part = |name: &str| assembly.names.contains_key(name);
        self.solution
            .blocks()
            .flat_map(|(_, unknowns)| unknowns)
            .filter_map(|var| {
                let label = assembly.quantities.label(var)?;
                if is_part(&label.text) {
                    return None;
                }
                let angle = assembly.system.get(var).measure == Measure::Angle;
                let value = self.solution.state().value(var);
                Some(Found {
                    name: label.told(),
                    settled: !self.moving().contains(&var),
                    value: if angle { value.to_degrees() } else { value },
                    angle,
                })
            })
            .collect()
    }

    /// The part that a variable belongs to, and what of it the variable is.
    pub(crate) fn part_of(&self, var: Var) -> (Option<String>, String) {
        let assembly = self.assembly;
        if let Some((body, component)) = self.solution.tangent(var) {
            let turn = ["roll", "pitch", "yaw"][component].to_owned();
            let part = assembly.parts.iter().find(|part| part.body == body);
            return (part.map(|part| part.name.clone()), turn);
        }
        match assembly.quantities.label(var) {
            None => (None, String::new()),
            Some(label) if assembly.names.contains_key(label.text.as_str()) => {
                (Some(label.text.clone()), label.detail.clone())
            }
            Some(label) => (None, label.told()),
        }
    }

    pub(super) fn loose(&self) -> Vec<Loose> {
        self.solution
            .motions()
            .into_iter()
            .map(|motion| {
                let mut parts: Vec<String> = Vec::new();
                let mut rates = Vec::new();
                let mut ways: BTreeMap<String, Vec<String>> = BTreeMap::new();
                for (var, rate) in motion {
                    let (part, what) = self.part_of(var);
                    let who = part.clone().unwrap_or_default();
                    if let Some(part) = part {
                        if !parts.contains(&part) {
                            parts.push(part.clone());
                        }
                        rates.push((format!("{part} {what}"), rate));
                    } else {
                        rates.push((what.clone(), rate));
                    }
                    ways.entry(what).or_default().push(who);
                }
                Loose {
                    told: tell_motion(&ways),
                    parts,
                    rates,
                }
            })
            .collect()
    }

    pub(super) fn at_odds(&self) -> Vec<AtOdds> {
        self.disagreeing()
            .map(|(statement, id, miss, angle)| AtOdds {
                statement: statement.name.clone(),
                trust: statement.trust,
                sheet: statement.sheet.clone(),
                miss,
                angle,
                against: self.circuit(id, &statement.name),
            })
            .collect()
    }

    /// The statements at odds, with the equation that misses most, its miss in millimetres or degrees, and whether it is
    /// an angle.
    pub(crate) fn disagreeing(
        &self,
    ) -> impl Iterator<Item = (&AssembledStatement, EquationId, f64, bool)> {
        self.missed(|statement, id| {
            self.contradicts(id)
                .filter(|miss| !self.agrees_within(statement, id, *miss))
        })
    }

    /// By how much an equation contradicts others, in millimetres or radians.
    fn contradicts(&self, id: EquationId) -> Option<f64> {
        match self.solution.verdict(id) {
            Verdict::AtOdds { miss } => Some(miss),
            Verdict::Places | Verdict::Spare | Verdict::Waits { .. } => None,
        }
    }

    /// Whether a miss, in millimetres or radians, lies within the statement's own tolerance.
    fn agrees_within(&self, statement: &AssembledStatement, id: EquationId, miss: f64) -> bool {
        let equation = self.assembly.system.get_equation(id);
        let within = statement.within.as_ref();
        within.is_some_and(|within| miss.abs() <= self.allowed(within, equation).within)
    }

    /// For each statement at odds, the kept equations of its circuit.
    pub(crate) fn odd_circuits(&self) -> &[(String, BTreeSet<EquationId>)] {
        self.odd_circuits.get_or_init(|| {
            self.disagreeing()
                .map(|(statement, id, _, _)| {
                    let equation = self.assembly.system.get_equation(id);
                    let mut circuit = self.equations_behind(equation);
                    // what of the statement still places is in doubt with the rest of it
                    circuit.extend(self.placing_beside(statement, id));
                    (statement.name.clone(), circuit)
                })
                .collect()
        })
    }

    pub(super) fn waiting(&self) -> Vec<Waiting> {
        self.missed(|_, id| match self.solution.verdict(id) {
            Verdict::Waits { miss } => Some(miss),
            Verdict::Places | Verdict::Spare | Verdict::AtOdds { .. } => None,
        })
        .map(|(statement, _, miss, angle)| Waiting {
            statement: statement.name.clone(),
            sheet: statement.sheet.clone(),
            miss,
            angle,
        })
        .collect()
    }

    /// Each statement with an equation of such a verdict: the worst one, its miss in millimetres or degrees, and
    /// whether it is an angle.
    fn missed(
        &self,
        is_such: impl Fn(&AssembledStatement, EquationId) -> Option<f64>,
    ) -> impl Iterator<Item = (&AssembledStatement, EquationId, f64, bool)> {
        self.assembly
            .statements
            .iter()
            .filter_map(move |statement| {
                let (id, miss) = statement
                    .equations
                    .iter()
                    .filter(|(_, id)| !self.assembly.assumed.contains(id))
                    .filter_map(|(_, id)| Some((*id, is_such(statement, *id)?)))
                    .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
                let equation = self.assembly.system.get_equation(id);
                let angle = equation.measure() == Measure::Angle;
                let miss = if angle { miss.to_degrees() } else { miss };
                Some((statement, id, miss, angle))
            })
    }

    /// The statements and figures that an equation's value rests on, itself left out.
    fn circuit(&self, id: EquationId, own: &str) -> Vec<Against> {
        let assembly = self.assembly;
        let mut names: Vec<Against> = Vec::new();
        let mut known: BTreeSet<String> = BTreeSet::new();
        let mut push = |name: String, sheet: Option<String>, is: AgainstKind| {
            if name != own && known.insert(name.clone()) {
                names.push(Against { name, sheet, is });
            }
        };
        for sensitivity in self.solution.sensitivity(assembly.system.get_equation(id)) {
            for (equation, _, _) in &sensitivity.equations {
                let statement = assembly.statement_of(*equation);
                push(
                    statement.name.clone(),
                    statement.sheet.clone(),
                    AgainstKind::Statement,
                );
            }
            for (var, _) in &sensitivity.givens {
                if let Some(label) = assembly.quantities.label(*var)
                    && assembly.statement(&label.text).is_none()
                {
                    let is = if label.origin.figure == Figure::Dimension {
                        AgainstKind::Dimension
                    } else {
                        AgainstKind::OfPart
                    };
                    push(label.told(), label.origin.sheet.clone(), is);
                }
            }
        }
        names
    }

    pub(super) fn spare(&self) -> Vec<Spare> {
        // a seam compares nothing
        let compares = |statement: &&AssembledStatement| !self.assembly.is_seam(&statement.name);
        let all_spare = |statement: &&AssembledStatement| {
            statement
                .equations
                .iter()
                .filter(|(_, id)| !self.assembly.assumed.contains(id))
                .all(|(_, id)| self.solution.verdict(*id) == Verdict::Spare)
        };
        let exact = self
            .assembly
            .statements
            .iter()
            .filter(compares)
            .filter(all_spare)
            .map(|statement| Spare {
                statement: statement.name.clone(),
                off: 0.0,
                angle: false,
            });
        let at_odds: BTreeSet<&str> = self
            .disagreeing()
            .map(|(statement, ..)| statement.name.as_str())
            .collect();
        let nearly = self
            .missed(|statement, id| {
                self.contradicts(id)
                    .filter(|_| !at_odds.contains(statement.name.as_str()))
            })
            .map(|(statement, _, off, angle)| Spare {
                statement: statement.name.clone(),
                off,
                angle,
            });
        exact.chain(nearly).collect()
    }
}

/// A motion in one sentence, from what moves and the parts that do.
fn tell_motion(ways: &BTreeMap<String, Vec<String>>) -> String {
    let phrase = |what: &str, who: &[String]| {
        let who: Vec<String> = {
            let mut seen = Vec::new();
            for name in who {
                if !seen.contains(name) {
                    seen.push(name.clone());
                }
            }
            seen
        };
        let names = match &who[..] {
            [] => String::new(),
            [one] => one.clone(),
            [a, b] => format!("{a} and {b}"),
            [a, b, rest @ ..] => format!("{a}, {b} and {} more", rest.len()),
        };
        let (one, many) = match what {
            "fs" => (
                "slides along the station axis",
                "slide along the station axis",
            ),
            "bl" => (
                "slides along the buttock-line axis",
                "slide along the buttock-line axis",
            ),
            "wl" => (
                "slides along the waterline axis",
                "slide along the waterline axis",
            ),
            "roll" => (
                "turns about the station axis",
                "turn about the station axis",
            ),
            "pitch" => (
                "turns about the buttock-line axis",
                "turn about the buttock-line axis",
            ),
            "yaw" => (
                "turns about the waterline axis",
                "turn about the waterline axis",
            ),
            other if names.is_empty() => return format!("{other} is not settled"),
            other => return format!("{other} of {names} is not settled"),
        };
        format!("{names} {}", if who.len() == 1 { one } else { many })
    };
    let told: Vec<String> = ways.iter().map(|(what, who)| phrase(what, who)).collect();
    match &told[..] {
        [] => String::new(),
        [one] => one.clone(),
        [first, rest @ ..] => format!("{first}; with it {}", rest.join("; ")),
    }
}
