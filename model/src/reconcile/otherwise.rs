//! What a measurement agrees with that doesn't agree with the plan. In: the document, its solution and what came of the
//! measurements. Out: for each of these the statement that gave way, or the reading not taken, with which the plan agrees with
//! it; found by solving a copy in which that statement is trusted most, or read so. Millimetres and degrees.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;
use strongback_solver::EquationId;
use strongback_solver::adjustment::CRITICAL;

use super::linear::{Comparison, Row};
use super::{Compared, Reconciled, Verdict};
use crate::assembly::{Solved, assemble};
use crate::document::{Document, Stated, Trust};
use crate::relation::Relation;
use crate::source::Entry;
use crate::words::without_hand;

/// At most so many copies are solved: a builder waits for the answer.
const SOLVES: usize = 6;

/// What a measurement agrees with that doesn't agree with the plan.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Otherwise {
    /// What is otherwise.
    pub instead: Instead,
    /// What the plan says of the measurement then: millimetres, or degrees for an angle.
    pub plan: f64,
    /// How many measurements agree with the plan then, each by its uncertainty and the tolerances behind it.
    pub agreeing: usize,
    /// How many do as the file counts now, told in the same way.
    pub agreeing_now: usize,
}

/// What is otherwise.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "is")]
pub enum Instead {
    /// A statement that gave way holds.
    Holds {
        /// The statement.
        statement: String,
    },
    /// A statement is read in another way.
    ReadAs {
        /// The statement.
        statement: String,
        /// The reading.
        reading: String,
    },
}

/// Something to try.
struct Trial {
    instead: Instead,
    /// The statement's name in the file.
    entry: String,
    /// As it is stated in the copy.
    stated: Stated<Relation>,
    /// The measurements that it may explain.
    of: Vec<usize>,
}

impl Reconciled {
    /// Finds out what the measurements agree with that don't agree with the plan.
    #[must_use]
    pub fn tried_otherwise(mut self, document: &Document, solved: &Solved<'_>) -> Self {
        let comparison = Comparison::of(solved);
        let mut trials: Vec<Trial> = Vec::new();
        for row in &comparison.rows {
            let one = self.measurements.get(row.at);
            if let Some(one) = one.filter(|one| disagrees(&comparison, row, one)) {
                enter(&mut trials, document, solved, row, one);
            }
        }
        // what gave way first: of that the file says that something is wrong
        trials.sort_by_key(|trial| matches!(trial.instead, Instead::ReadAs { .. }));
        self.untried = trials.len().saturating_sub(SOLVES);
        let agreeing_now = agreeing(&comparison);
        for trial in trials.iter().take(SOLVES) {
            for (at, otherwise) in trial.agreed(document, agreeing_now) {
                if let Some(one) = self.measurements.get_mut(at) {
                    one.otherwise.push(otherwise);
                }
            }
        }
        self
    }
}

/// Whether a measurement is suspect, or would be by itself if no figure of the plan had been set aside.
fn disagrees(comparison: &Comparison<'_, '_>, row: &Row<'_>, one: &Compared) -> bool {
    let suspect = matches!(one.verdict, Verdict::Suspect | Verdict::Undecided { .. });
    suspect || comparison.off(row) > CRITICAL
}

fn agreeing(comparison: &Comparison<'_, '_>) -> usize {
    let agrees = |row: &&Row<'_>| comparison.off(row) <= CRITICAL;
    comparison.rows.iter().filter(agrees).count()
}

/// Enters what may explain a measurement: what gave way behind it, and other readings of what stands behind it and of what
/// takes part in these contradictions.
fn enter(
    trials: &mut Vec<Trial>,
    document: &Document,
    solved: &Solved<'_>,
    row: &Row<'_>,
    one: &Compared,
) {
    let mut behind: BTreeSet<EquationId> = solved.equations_behind(&row.measurement.equation);
    for (name, circuit) in solved.odd_circuits() {
        if one.disputed.contains(name) {
            behind.extend(circuit);
        }
    }
    let mut list: Vec<(Instead, String, Stated<Relation>)> = Vec::new();
    for name in &one.disputed {
        if let Some(entry) = in_file(document, name) {
            let mut stated = entry.value.as_it_counts();
            stated.remarks.trust = Some(Trust::Measured);
            let statement = name.clone();
            list.push((
                Instead::Holds { statement },
                entry.name.value.clone(),
                stated,
            ));
        }
    }
    let names = behind
        .iter()
        .map(|id| &solved.assembly.statement_of(*id).name);
    for entry in names
        .chain(&one.disputed)
        .filter_map(|name| in_file(document, name))
    {
        // the first one counts already
        for (reading, stated) in entry.value.all_readings().into_iter().skip(1) {
            let statement = entry.name.value.clone();
            list.push((
                Instead::ReadAs { statement, reading },
                entry.name.value.clone(),
                stated,
            ));
        }
    }
    for (instead, entry, stated) in list {
        match trials.iter_mut().find(|trial| trial.instead == instead) {
            Some(known) if known.of.contains(&row.at) => {}
            Some(known) => known.of.push(row.at),
            None => trials.push(Trial {
                instead,
                entry,
                stated,
                of: vec![row.at],
            }),
        }
    }
}

/// The statement of the file that one of the assembly comes from.
fn in_file<'d>(document: &'d Document, name: &str) -> Option<&'d Entry<Stated<Relation>>> {
    let names = [Some(name), without_hand(name)];
    names
        .into_iter()
        .flatten()
        .find_map(|name| document.relations.entry(name))
}

impl Trial {
    /// The measurements that agree with the plan in the copy.
    fn agreed(&self, document: &Document, agreeing_now: usize) -> Vec<(usize, Otherwise)> {
        let mut copy = document.clone();
        // the statement is there: it was just looked up
        let _ = copy.relations.replace(&self.entry, self.stated.clone());
        let Ok(assembly) = assemble(&copy) else {
            return Vec::new();
        };
        let Ok(solved) = assembly.solve() else {
            return Vec::new();
        };
        if let Instead::Holds { statement } = &self.instead
            && solved
                .odd_circuits()
                .iter()
                .any(|(name, _)| name == statement)
        {
            return Vec::new();
        }
        let comparison = Comparison::of(&solved);
        let agreeing = agreeing(&comparison);
        let rows = comparison.rows.iter();
        rows.filter(|row| self.of.contains(&row.at) && comparison.off(row) <= CRITICAL)
            .map(|row| {
                let otherwise = Otherwise {
                    instead: self.instead.clone(),
                    plan: if row.measurement.is_angle() {
                        row.plan.value.to_degrees()
                    } else {
                        row.plan.value
                    },
                    agreeing,
                    agreeing_now,
                };
                (row.at, otherwise)
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic)]
    use super::*;
    use crate::source::read;

    /// Two sheets that give one frame two stations, a third frame whose spacing can be read in two ways, and what was measured.
    fn told(measurements: &str) -> Reconciled {
        let frame = r#"Custom(planes: {"face": (looks: Aft), "edge": (looks: Aft, at: (fs: 1))}, at: (bl: 0, wl: 0))"#;
        let text = format!(
            r#"(format: 1, title: "row", unit: Inch, fit: 1, within: 0.03,
            parts: {{ "a": Custom(planes: {{"face": (looks: Aft)}}, at: (fs: 0, bl: 0, wl: 0)), "b": {frame}, "c": {frame} }},
            relations: {{
                "first": Spaced(from: "a.face", to: "b.face", by: 10),
                "second": Readings({{ "from the web": Spaced(from: "b.face", to: "c.face", by: 20), "from the edge": Spaced(from: "b.edge", to: "c.face", by: 20) }}),
                "other sheet": (is: Spaced(from: "a.face", to: "b.face", by: 12), trust: Doubtful),
            }}, measurements: {{ {measurements} }})"#
        );
        let document: Document = read(&text).unwrap();
        let assembly = assemble(&document).unwrap();
        let solved = assembly.solve().unwrap();
        solved
            .reconcile()
            .unwrap()
            .tried_otherwise(&document, &solved)
    }

    #[test]
    fn the_sheet_that_gave_way_is_tried() {
        let told = told(
            r#""b": (from: "a.face", to: "b.face", is: 12, uncertainty: 0.03),
               "b again": (from: "a.face", to: "b.face", is: 10, uncertainty: 0.03)"#,
        );
        let [b, again] = &told.measurements[..] else {
            panic!("{told:#?}");
        };
        let statement = "other sheet".to_owned();
        let otherwise = Otherwise {
            instead: Instead::Holds { statement },
            plan: b.otherwise[0].plan,
            agreeing: 1,
            agreeing_now: 1,
        };
        assert_eq!(b.otherwise, [otherwise]);
        assert!((b.otherwise[0].plan - 12.0 * 25.4).abs() < 1e-9);
        assert_eq!(again.otherwise, []);
        assert_eq!(told.untried, 0);
    }

    #[test]
    fn other_readings_are_tried() {
        let told = told(r#""c": (from: "b.face", to: "c.face", is: 21, uncertainty: 0.03)"#);
        let instead = Instead::ReadAs {
            statement: "second".to_owned(),
            reading: "from the edge".to_owned(),
        };
        assert_eq!(told.measurements[0].otherwise[0].instead, instead);
        assert_eq!(told.measurements[0].otherwise.len(), 1);
    }

    /// What agrees with neither is misread, and what agrees with the plan is asked nothing.
    #[test]
    fn nothing_else_agrees() {
        let told = told(
            r#""b": (from: "a.face", to: "b.face", is: 11, uncertainty: 0.03),
               "c": (from: "b.face", to: "c.face", is: 20, uncertainty: 0.03)"#,
        );
        assert!(told.measurements.iter().all(|one| one.otherwise.is_empty()));
    }
}
