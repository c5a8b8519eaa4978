//! One combination of readings, solved, with what each must-fit and each contradiction of it rests on.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use indexmap::IndexMap;
use strongback_solver::EquationId;

use super::bearing::Bearing;
use super::{Ambiguous, Odd};
use crate::assembly::{Assembly, Solved, assemble};
use crate::document::{Document, Stated};
use crate::fit::Fit;
use crate::relation::Relation;
use crate::source::Fault;
use crate::words::without_hand;

/// A statement with the ways to understand it.
pub(super) struct Choice {
    pub(super) statement: String,
    pub(super) sheet: Option<String>,
    pub(super) span: Range<usize>,
    pub(super) readings: Vec<String>,
    ways: Vec<Stated<Relation>>,
}

impl Choice {
    /// All of a document, in its order.
    pub(super) fn all(document: &Document) -> Vec<Choice> {
        let several = |entry: &crate::source::Entry<Stated<Relation>>| {
            let (readings, ways): (Vec<_>, Vec<_>) = entry.value.all_readings().into_iter().unzip();
            (!readings.is_empty()).then(|| Choice {
                statement: entry.name.value.clone(),
                sheet: entry
                    .value
                    .remarks
                    .sheet
                    .as_ref()
                    .map(|sheet| sheet.value.clone()),
                span: entry.name.span.clone(),
                readings,
                ways,
            })
        };
        document.relations.iter().filter_map(several).collect()
    }

    pub(super) fn told(&self) -> Ambiguous {
        Ambiguous {
            statement: self.statement.clone(),
            sheet: self.sheet.clone(),
            readings: self.readings.clone(),
        }
    }
}

/// What a reading can change.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Item {
    /// A must-fit.
    MustFit(String),
    /// A statement at odds.
    AtOdds(String),
    /// How much can still move.
    Loose,
    /// Whether there is a layout at all.
    Layout,
}

impl Item {
    pub(super) fn must_fit(&self) -> Option<String> {
        match self {
            Item::MustFit(name) => Some(name.clone()),
            Item::AtOdds(_) | Item::Loose | Item::Layout => None,
        }
    }
}

/// What a combination came to.
pub(super) struct Outcome {
    pub(super) found: Result<Found, String>,
    /// For each item the choices whose equations it rests on.
    pub(super) rests_on: BTreeMap<Item, BTreeSet<usize>>,
    /// Which choices bear on each other.
    bearing: Bearing,
}

/// A layout's must-fits and contradictions.
pub(super) struct Found {
    pub(super) fits: Vec<Fit>,
    pub(super) at_odds: Vec<Odd>,
    pub(super) freedoms: usize,
}

impl Outcome {
    /// The items that come out otherwise than in another combination.
    pub(super) fn differs_from(&self, other: &Outcome) -> Vec<Item> {
        let (one, two) = match (&self.found, &other.found) {
            (Ok(one), Ok(two)) => (one, two),
            (Err(_), Err(_)) => return Vec::new(),
            (Ok(_), Err(_)) | (Err(_), Ok(_)) => return vec![Item::Layout],
        };
        let mut items = Vec::new();
        if one.freedoms != two.freedoms {
            items.push(Item::Loose);
        }
        for fit in &one.fits {
            let same = |other: &&Fit| other.name == fit.name;
            if two
                .fits
                .iter()
                .find(same)
                .is_none_or(|other| !alike(fit, other))
            {
                items.push(Item::MustFit(fit.name.clone()));
            }
        }
        let misses = |found: &Found| -> BTreeMap<String, f64> {
            let told = found.at_odds.iter();
            told.map(|odd| (odd.statement.clone(), odd.miss)).collect()
        };
        let (before, after) = (misses(one), misses(two));
        let names: BTreeSet<&String> = before.keys().chain(after.keys()).collect();
        for name in names {
            let same = match (before.get(name), after.get(name)) {
                (Some(a), Some(b)) => close(*a, *b),
                _ => false,
            };
            if !same {
                items.push(Item::AtOdds(name.clone()));
            }
        }
        items
    }
}

/// Two figures that differ by less are one, in millimetres or degrees: rounding.
const ROUNDING: f64 = 1e-7;

fn close(a: f64, b: f64) -> bool {
    // what could not be measured is alike in both
    (a - b).abs() < ROUNDING || (!a.is_finite() && !b.is_finite())
}

fn alike(one: &Fit, two: &Fit) -> bool {
    let values = |fit: &Fit| -> Vec<f64> {
        let mut by_name: Vec<_> = fit.measures.iter().collect();
        by_name.sort_by(|a, b| a.what.cmp(&b.what).then(a.value.total_cmp(&b.value)));
        by_name
            .iter()
            .flat_map(|measure| [measure.value, measure.margin])
            .collect()
    };
    let (one_values, two_values) = (values(one), values(two));
    one.verdict == two.verdict
        && one_values.len() == two_values.len()
        && one_values
            .iter()
            .zip(&two_values)
            .all(|(a, b)| close(*a, *b))
}

/// Combinations tried so far, each solved once.
pub(super) struct Trials<'d> {
    document: &'d Document,
    choices: &'d [Choice],
    done: IndexMap<Vec<usize>, Outcome>,
}

impl<'d> Trials<'d> {
    pub(super) fn new(document: &'d Document, choices: &'d [Choice]) -> Self {
        Self {
            document,
            choices,
            done: IndexMap::new(),
        }
    }

    pub(super) fn solved(&self) -> usize {
        self.done.len()
    }

    pub(super) fn is_done(&self, readings: &[usize]) -> bool {
        self.done.contains_key(readings)
    }

    pub(super) fn outcomes(&self) -> impl Iterator<Item = &Outcome> {
        self.done.values()
    }

    /// Which choices bear on each other in any combination tried.
    pub(super) fn bearing(&self) -> Bearing {
        let mut all = Bearing::default();
        for outcome in self.done.values() {
            all.add(&outcome.bearing);
        }
        all
    }

    pub(super) fn by_readings(&self) -> impl Iterator<Item = (&Vec<usize>, &Outcome)> {
        self.done.iter()
    }

    /// What a combination comes to.
    pub(super) fn outcome(&mut self, readings: &[usize]) -> &Outcome {
        if !self.done.contains_key(readings) {
            let outcome = self.solve(readings).unwrap_or_else(|faults| Outcome {
                found: Err(faults
                    .first()
                    .map_or_else(String::new, |fault| fault.message.clone())),
                rests_on: BTreeMap::new(),
                bearing: Bearing::default(),
            });
            self.done.insert(readings.to_vec(), outcome);
        }
        &self.done[readings]
    }

    /// The same for a combination without which nothing can be said.
    pub(super) fn required(&mut self, readings: &[usize]) -> Result<(), Vec<Fault>> {
        let outcome = self.solve(readings)?;
        self.done.insert(readings.to_vec(), outcome);
        Ok(())
    }

    fn solve(&self, readings: &[usize]) -> Result<Outcome, Vec<Fault>> {
        let mut document = self.document.clone();
        for (choice, reading) in self.choices.iter().zip(readings) {
            // the statement is there: the choice was made of it
            let _ = document
                .relations
                .replace(&choice.statement, choice.ways[*reading].clone());
        }
        let assembly = assemble(&document)?;
        let solved = assembly.solve().map_err(|fault| vec![fault])?;
        Ok(self.look_at(&assembly, &solved))
    }

    fn look_at(&self, assembly: &Assembly, solved: &Solved<'_>) -> Outcome {
        let mut rests_on: BTreeMap<Item, BTreeSet<usize>> = BTreeMap::new();
        for fit in &assembly.fits {
            let on = self.choices_of(assembly, solved.fit_rests_on(fit).iter());
            rests_on.insert(Item::MustFit(fit.name.clone()), on);
        }
        for (statement, circuit) in solved.odd_circuits() {
            let mut on = self.choices_of(assembly, circuit.iter());
            on.extend(self.choice(statement));
            rests_on.insert(Item::AtOdds(statement.clone()), on);
        }
        let at_odds = solved.disagreeing().map(|(statement, _, miss, angle)| Odd {
            statement: statement.name.clone(),
            miss,
            angle,
        });
        Outcome {
            found: Ok(Found {
                fits: solved.fits(),
                at_odds: at_odds.collect(),
                freedoms: solved.solution.report().freedoms,
            }),
            rests_on,
            bearing: Bearing::seen(solved, |id| self.choice(&assembly.statement_of(id).name)),
        }
    }

    fn choices_of<'e>(
        &self,
        assembly: &Assembly,
        equations: impl Iterator<Item = &'e EquationId>,
    ) -> BTreeSet<usize> {
        equations
            .filter_map(|id| self.choice(&assembly.statement_of(*id).name))
            .collect()
    }

    /// The choice that a statement of the assembly comes from.
    fn choice(&self, statement: &str) -> Option<usize> {
        let named = |name: &str| self.choices.iter().position(|one| one.statement == name);
        // another statement may bear the name of one hand
        named(statement).or_else(|| {
            let stem = without_hand(statement)?;
            named(stem).filter(|_| self.document.relations.get(statement).is_none())
        })
    }
}
