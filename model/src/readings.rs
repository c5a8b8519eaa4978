//! Which readings let everything fit. In: a document with statements that can be understood in several ways. Out: the readings
//! in groups that have nothing to do with each other, and for each combination within a group what its must-fits come to.
//!
//! Two statements belong together when one must-fit, or one contradiction, rests on both under any combination tried, or when
//! each can rest on the other. Groups are tried one at a time with all others as they count in the file, so that five
//! independent pairs of two readings cost 5 × 4 solves and not 1024. Statements that one linkage rests on are tried two and
//! two besides; of three that only all together bring it out of reach nothing is told.

mod bearing;
mod groups;
mod trial;

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;

use crate::document::Document;
use crate::fit::Fit;
use crate::source::{Code, Fault};

use groups::Groups;
use trial::{Choice, Item, Outcome, Trials};

/// What all readings come to.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Readings {
    /// The statements with several readings, in the order of the file.
    pub statements: Vec<Ambiguous>,
    /// The statements in independent groups.
    pub groups: Vec<Group>,
    /// Statements whose readings change no must-fit and bring about no contradiction.
    pub idle: Vec<String>,
    /// Must-fits that no reading changes and that don't come true.
    pub missing_anyway: Vec<Fit>,
    /// Statements at odds whatever is read.
    pub at_odds_anyway: Vec<Odd>,
    /// In how many ways the drawing can be read altogether: the product of all counts.
    pub ways: f64,
    /// In how many of these ways every must-fit comes true, nothing is at odds and nothing more is loose.
    pub ways_that_fit: f64,
    /// Combinations of two statements that one linkage or cant rests on and that were not tried, being too many.
    pub pairs_untried: usize,
    /// How many layouts were solved to find that out.
    pub solved: usize,
}

/// A statement with several readings.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Ambiguous {
    /// The statement.
    pub statement: String,
    /// The sheet it stands on.
    pub sheet: Option<String>,
    /// Its readings; the first one counts until another is taken.
    pub readings: Vec<String>,
}

/// Statements whose readings have to be chosen together.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Group {
    /// The statements.
    pub statements: Vec<String>,
    /// The must-fits that rest on them.
    pub must_fits: Vec<String>,
    /// Each combination, those without fault first, then by the number of must-fits that miss.
    pub combinations: Vec<Combination>,
}

/// One reading of each statement of a group.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Combination {
    /// The readings, in the order of the group's statements.
    pub readings: Vec<String>,
    /// Whether it is how the file counts now.
    pub counts_now: bool,
    /// The group's must-fits with it.
    pub fits: Vec<Fit>,
    /// Contradictions that come with it.
    pub at_odds: Vec<Odd>,
    /// Ways to move that it leaves and the best combination doesn't.
    pub loose: usize,
    /// Why there is no layout with it, if there is none.
    pub refused: Option<String>,
    /// Whether all of it comes true.
    pub holds: bool,
}

impl Combination {
    /// The must-fits that don't come true.
    pub fn missed(&self) -> impl Iterator<Item = &Fit> {
        self.fits.iter().filter(|fit| !fit.holds())
    }
}

/// A statement at odds.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Odd {
    /// The statement.
    pub statement: String,
    /// By how much it misses: millimetres, or degrees for an angle.
    pub miss: f64,
    /// Whether the miss is an angle.
    pub angle: bool,
}

/// Tries all readings; in a group at most `most` combinations.
///
/// # Errors
/// The document as it counts can't be laid out, or a group has more combinations: the fault says what to narrow.
pub fn readings(document: &Document, most: usize) -> Result<Readings, Vec<Fault>> {
    let choices = Choice::all(document);
    let mut trials = Trials::new(document, &choices);
    let now = vec![0; choices.len()];
    trials.required(&now)?;
    for (at, choice) in choices.iter().enumerate() {
        for reading in 1..choice.readings.len() {
            let mut one = now.clone();
            one[at] = reading;
            trials.outcome(&one);
        }
    }
    let mut pairs_left = most;
    // a combination may bring to light that two groups hang together: then they are tried as one
    let (groups, untried) = loop {
        let bearing = trials.bearing();
        let circles = bearing.circles(choices.len());
        let groups = Groups::of(&influences(&trials, choices.len()), &circles, choices.len());
        let before = trials.solved();
        for group in groups.iter() {
            let within = group.iter().map(|at| choices[*at].readings.len());
            if within.clone().map(|count| count as f64).product::<f64>() > most as f64 {
                return Err(vec![too_many(&choices, group, most)]);
            }
            for combination in all_combinations(&choices, group, &now) {
                trials.outcome(&combination);
            }
        }
        if trials.solved() > before {
            continue;
        }
        let mut untried = 0;
        for (one, other) in bearing.pairs() {
            for both in in_pairs(&choices, [one, other], &now) {
                if !groups.part(one, other) || trials.is_done(&both) {
                    continue;
                }
                if pairs_left == 0 {
                    untried += 1;
                } else {
                    pairs_left -= 1;
                    trials.outcome(&both);
                }
            }
        }
        if trials.solved() == before {
            break (groups, untried);
        }
    };
    let mut readings = told(&choices, &mut trials, &groups, &now);
    readings.pairs_untried = untried;
    Ok(readings)
}

/// The combinations in which two statements are both read otherwise than they count.
fn in_pairs(choices: &[Choice], [one, other]: [usize; 2], now: &[usize]) -> Vec<Vec<usize>> {
    let mut list = all_combinations(choices, &[one, other], now);
    list.retain(|both| both[one] > 0 && both[other] > 0);
    list
}

/// What each item rests on: statements by their places in the list of choices.
fn influences(trials: &Trials<'_>, count: usize) -> BTreeMap<Item, BTreeSet<usize>> {
    let mut rests_on: BTreeMap<Item, BTreeSet<usize>> = BTreeMap::new();
    for outcome in trials.outcomes() {
        for (item, on) in &outcome.rests_on {
            rests_on.entry(item.clone()).or_default().extend(on);
        }
    }
    // what comes out otherwise when one statement alone is read otherwise, rests on it
    let all: Vec<(&Vec<usize>, &Outcome)> = trials.by_readings().collect();
    for (at, (first, before)) in all.iter().enumerate() {
        for (second, after) in &all[at + 1..] {
            let mut apart = (0..count).filter(|one| first[*one] != second[*one]);
            let (Some(one), None) = (apart.next(), apart.next()) else {
                continue;
            };
            for item in before.differs_from(after) {
                rests_on.entry(item).or_default().insert(one);
            }
        }
    }
    rests_on
}

/// All combinations of a group's readings, everything else as in `now`.
fn all_combinations(choices: &[Choice], group: &[usize], now: &[usize]) -> Vec<Vec<usize>> {
    let mut all = vec![now.to_vec()];
    for at in group {
        all = all
            .into_iter()
            .flat_map(|combination| {
                (0..choices[*at].readings.len()).map(move |reading| {
                    let mut next = combination.clone();
                    next[*at] = reading;
                    next
                })
            })
            .collect();
    }
    all
}

fn too_many(choices: &[Choice], group: &[usize], most: usize) -> Fault {
    let counts: Vec<String> = group
        .iter()
        .map(|at| {
            format!(
                "`{}` ({})",
                choices[*at].statement,
                choices[*at].readings.len()
            )
        })
        .collect();
    let ways: f64 = group
        .iter()
        .map(|at| choices[*at].readings.len() as f64)
        .product();
    let widest = group
        .iter()
        .max_by_key(|at| choices[**at].readings.len())
        .map(|at| &choices[*at]);
    let fault = Fault::error(
        Code::TooLarge,
        format!(
            "the readings of {} bear on each other and combine in {ways} ways; up to {most} are tried",
            counts.join(", ")
        ),
    );
    match widest {
        Some(choice) => fault.at(choice.span.clone(), "").help(format!(
            "take a reading of some of them first, as in --take \"{}={}\", or allow more with --most",
            choice.statement, choice.readings[0]
        )),
        None => fault,
    }
}

fn told(choices: &[Choice], trials: &mut Trials<'_>, groups: &Groups, now: &[usize]) -> Readings {
    let rests_on = influences(trials, choices.len());
    let items_of = |group: &[usize]| -> BTreeSet<&Item> {
        let touches = |on: &BTreeSet<usize>| on.iter().any(|at| group.contains(at));
        rests_on
            .iter()
            .filter(|(_, on)| touches(on))
            .map(|(item, _)| item)
            .collect()
    };
    let mut list = Vec::new();
    let mut idle = Vec::new();
    for group in groups.iter() {
        let items = items_of(group);
        if items.is_empty() {
            idle.extend(group.iter().map(|at| choices[*at].statement.clone()));
            continue;
        }
        list.push(Group {
            statements: group
                .iter()
                .map(|at| choices[*at].statement.clone())
                .collect(),
            must_fits: items.iter().filter_map(|item| item.must_fit()).collect(),
            combinations: combinations(choices, trials, group, &items, now),
        });
    }
    let (mut missing_anyway, mut at_odds_anyway) = (Vec::new(), Vec::new());
    if let Outcome {
        found: Ok(found), ..
    } = trials.outcome(now)
    {
        let untouched = |item: Item| rests_on.get(&item).is_none_or(BTreeSet::is_empty);
        let missed = found.fits.iter().filter(|fit| !fit.holds());
        missing_anyway.extend(
            missed
                .filter(|fit| untouched(Item::MustFit(fit.name.clone())))
                .cloned(),
        );
        at_odds_anyway.extend(
            found
                .at_odds
                .iter()
                .filter(|odd| untouched(Item::AtOdds(odd.statement.clone())))
                .cloned(),
        );
    }
    let ways: f64 = choices
        .iter()
        .map(|choice| choice.readings.len() as f64)
        .product();
    let good = |group: &Group| group.combinations.iter().filter(|one| one.holds).count() as f64;
    let idle_ways: f64 = choices
        .iter()
        .filter(|choice| idle.contains(&choice.statement))
        .map(|choice| choice.readings.len() as f64)
        .product();
    let sound = missing_anyway.is_empty() && at_odds_anyway.is_empty();
    Readings {
        statements: choices.iter().map(Choice::told).collect(),
        ways,
        ways_that_fit: if sound {
            list.iter().map(good).product::<f64>() * idle_ways
        } else {
            0.0
        },
        groups: list,
        idle,
        missing_anyway,
        at_odds_anyway,
        pairs_untried: 0,
        solved: trials.solved(),
    }
}

fn combinations(
    choices: &[Choice],
    trials: &mut Trials<'_>,
    group: &[usize],
    items: &BTreeSet<&Item>,
    now: &[usize],
) -> Vec<Combination> {
    let all = all_combinations(choices, group, now);
    let freedoms = |outcome: &Outcome| outcome.found.as_ref().map(|found| found.freedoms).ok();
    let fewest = all
        .iter()
        .filter_map(|one| freedoms(trials.outcome(one)))
        .min()
        .unwrap_or(0);
    let mut rows: Vec<Combination> = all
        .iter()
        .map(|one| {
            let mut row = Combination {
                readings: group
                    .iter()
                    .map(|at| choices[*at].readings[one[*at]].clone())
                    .collect(),
                counts_now: one == now,
                fits: Vec::new(),
                at_odds: Vec::new(),
                loose: 0,
                refused: None,
                holds: false,
            };
            match &trials.outcome(one).found {
                Ok(found) => {
                    let own_fit = |fit: &&Fit| items.contains(&Item::MustFit(fit.name.clone()));
                    let own_odd = |odd: &&Odd| items.contains(&Item::AtOdds(odd.statement.clone()));
                    row.fits = found.fits.iter().filter(own_fit).cloned().collect();
                    row.at_odds = found.at_odds.iter().filter(own_odd).cloned().collect();
                    row.loose = found.freedoms - fewest;
                    row.holds =
                        row.missed().next().is_none() && row.at_odds.is_empty() && row.loose == 0;
                }
                Err(message) => row.refused = Some(message.clone()),
            }
            row
        })
        .collect();
    rows.sort_by_key(|row| {
        (
            !row.holds,
            row.refused.is_some(),
            row.missed().count() + row.at_odds.len() + row.loose,
        )
    });
    rows
}

#[cfg(test)]
mod tests;
