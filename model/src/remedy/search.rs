//! Which settings bring all rows within their limits. In: rows with their rates, candidates with their ranges. Out: for a set of
//! candidates the settings that a workshop can make, as near to the present ones as may be; or how far beyond the limits the
//! best one stays.
//!
//! Whether a set can do it at all is a linear program of as many unknowns as the set has, with one more for the excess
//! (Dantzig's simplex method, by microlp). The settings are then tried in order of distance, within the bounds that two
//! further programs give each of them.

use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};

use super::candidates::Candidate;
use super::linear::Row;
use super::workshop;
use crate::quantity::Unit;

/// Shares of the room that rows that miss may take up: those where they end well within their limits come first.
const SHARES: [f64; 4] = [0.1, 0.25, 0.5, 1.0];
/// Settings tried for one set before the search is cut.
const TRIED: usize = 20_000;
/// A limit counts as kept when it is missed by less than this, in millimetres: rounding.
const ROUNDING_MM: f64 = 1e-7;

/// The share of the room at which a rounder figure is sought: it leaves a tenth, unless what it stands for takes up all of it.
fn rounding(plain: f64, share: f64) -> f64 {
    const MOST: f64 = 0.9;
    share.min(MOST.max(plain))
}

/// The rows and what they depend on.
pub(super) struct Search<'a> {
    pub(super) rows: &'a [Row],
    pub(super) candidates: &'a [Candidate],
    pub(super) unit: Unit,
}

/// What a set of candidates can do.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Reach {
    /// It can't, or it was not found out.
    Nothing,
    /// All rows keep their limits at these settings.
    Cures(Cures),
    /// At best the worst row stays so many shares of its room beyond its limits, at these settings.
    Falls {
        /// Shares of its room.
        short: f64,
        /// The settings, not rounded.
        settings: Vec<f64>,
    },
}

/// Settings at which all rows keep their limits.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cures {
    /// The roundest that ask for no more effort than the plain ones.
    pub(super) round: Vec<f64>,
    /// Those of least effort at which rows that miss end well within their limits.
    pub(super) plain: Vec<f64>,
}

impl Search<'_> {
    /// Whether rows stay beyond their limits that no member of a set bears on.
    pub(super) fn misses_without(&self, set: &[usize]) -> bool {
        self.rows.iter().any(|row| {
            row.beyond(row.value) > ROUNDING_MM && set.iter().all(|at| row.rates[*at] == 0.0)
        })
    }

    /// What a set can do. Of rows that miss it is sought first that they end well within their limits; then whether a rounder figure keeps
    /// the limits too, for no more effort.
    pub(super) fn reach(&self, set: &[usize]) -> Reach {
        let bears = |row: &&Row| set.iter().any(|at| row.rates[*at] != 0.0);
        let rows: Vec<Row> = self.rows.iter().filter(bears).cloned().collect();
        let Some((short, settings)) = self.least_excess(set, &rows) else {
            return Reach::Nothing;
        };
        if short > ROUNDING_MM {
            return Reach::Falls { short, settings };
        }
        let within =
            |share: f64| -> Vec<Row> { rows.iter().map(|row| row.within(share)).collect() };
        for (at, share) in SHARES.into_iter().enumerate() {
            if let Some(plain) = self.settings(set, &within(share), None) {
                let mut round = plain.clone();
                for share in SHARES[at..].iter().map(|other| rounding(share, *other)) {
                    let most = Some(self.effort(set, &plain));
                    let other = self.settings(set, &within(share), most);
                    let rounder =
                        |other: &Vec<f64>| self.fineness(set, other) < self.fineness(set, &round);
                    if let Some(other) = other.filter(rounder) {
                        round = other;
                    }
                }
                return Reach::Cures(Cures { round, plain });
            }
        }
        Reach::Nothing
    }

    fn effort(&self, set: &[usize], settings: &[f64]) -> f64 {
        let both = set.iter().zip(settings);
        both.map(|(at, setting)| self.candidates[*at].effort(*setting))
            .sum()
    }

    fn fineness(&self, set: &[usize], settings: &[f64]) -> u32 {
        let both = set.iter().zip(settings);
        both.map(|(at, setting)| {
            workshop::fineness(self.candidates[*at].scale, self.unit, *setting)
        })
        .sum()
    }

    fn bounds(&self, at: usize) -> (f64, f64) {
        let candidate = &self.candidates[at];
        let [least, most] = candidate.range;
        (least - candidate.now, most - candidate.now)
    }

    /// The program's unknowns: how far each of a set is moved from its setting.
    fn moves(&self, problem: &mut Problem, set: &[usize], costs: &[f64]) -> Vec<Variable> {
        set.iter()
            .zip(costs)
            .map(|(at, cost)| problem.add_var(*cost, self.bounds(*at)))
            .collect()
    }

    /// How far beyond its limits the worst row stays at best, as a share of its room, and where.
    fn least_excess(&self, set: &[usize], rows: &[Row]) -> Option<(f64, Vec<f64>)> {
        if set.iter().any(|at| {
            let (least, most) = self.bounds(*at);
            least > most
        }) {
            return None;
        }
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let none = vec![0.0; set.len()];
        let moves = self.moves(&mut problem, set, &none);
        let excess = problem.add_var(1.0, (0.0, f64::INFINITY));
        for row in rows {
            let room = row.room();
            let limits = [row.least - row.value, row.most - row.value];
            keep(
                &mut problem,
                &terms(row, set, &moves),
                limits,
                Some((excess, room)),
            );
        }
        let solution = problem.solve().ok()?.into_solution().ok()?;
        let settings = moves.iter().zip(set);
        let settings =
            settings.map(|(variable, at)| self.candidates[*at].now + solution.var_value(*variable));
        Some((solution.objective(), settings.collect()))
    }

    /// The extreme settings of one of a set at which all rows keep their limits.
    fn extremes(&self, set: &[usize], rows: &[Row], which: usize) -> Option<[f64; 2]> {
        let mut ends = [0.0; 2];
        for (end, cost) in ends.iter_mut().zip([1.0, -1.0]) {
            let mut problem = Problem::new(OptimizationDirection::Minimize);
            let costs: Vec<f64> = (0..set.len())
                .map(|at| if at == which { cost } else { 0.0 })
                .collect();
            let moves = self.moves(&mut problem, set, &costs);
            for row in rows {
                let least = row.least - row.value - ROUNDING_MM;
                let most = row.most - row.value + ROUNDING_MM;
                keep(&mut problem, &terms(row, set, &moves), [least, most], None);
            }
            let solution = problem.solve().ok()?.into_solution().ok()?;
            *end = self.candidates[set[which]].now + solution.var_value(moves[which]);
        }
        Some(ends)
    }

    /// Settings that a workshop can make, of as little effort as may be; or the roundest of no more effort than is given.
    fn settings(&self, set: &[usize], rows: &[Row], most_effort: Option<f64>) -> Option<Vec<f64>> {
        /// A step finer weighs more than any effort.
        const FINER: f64 = 1e6;
        let mut choices: Vec<Vec<Choice>> = Vec::new();
        for (which, at) in set.iter().enumerate() {
            let [least, most] = self.extremes(set, rows, which)?;
            let slack = [least - ROUNDING_MM, most + ROUNDING_MM];
            let candidate = &self.candidates[*at];
            let settings = candidate.settings(self.unit, slack).into_iter();
            let mut own: Vec<Choice> = settings
                .map(|setting| {
                    let effort = candidate.effort(setting);
                    let fineness = workshop::fineness(candidate.scale, self.unit, setting);
                    let cost = match most_effort {
                        None => effort,
                        Some(_) => FINER * f64::from(fineness) + effort,
                    };
                    Choice {
                        setting,
                        effort,
                        cost,
                    }
                })
                .collect();
            own.sort_by(|a, b| a.cost.total_cmp(&b.cost));
            choices.push(own);
        }
        let mut trial = Trial {
            search: self,
            set,
            rows,
            choices: &choices,
            most_effort: most_effort.map_or(f64::INFINITY, |most| most + ROUNDING_MM),
            later: self.later(set, rows, &choices),
            left: TRIED,
            best: None,
        };
        let values: Vec<f64> = rows.iter().map(|row| row.value).collect();
        trial.go_on(&mut Vec::new(), &values, [0.0, 0.0]);
        trial.best.map(|(_, settings)| settings)
    }
}

impl Search<'_> {
    /// For each of a set how far those after it can move each row, down and up.
    fn later(&self, set: &[usize], rows: &[Row], choices: &[Vec<Choice>]) -> Vec<Vec<[f64; 2]>> {
        let mut later = vec![vec![[0.0; 2]; rows.len()]];
        for (at, choices) in set.iter().zip(choices).skip(1).rev() {
            let now = self.candidates[*at].now;
            let moves = choices.iter().map(|choice| choice.setting - now);
            let (least, most) = moves
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), by| {
                    (least.min(by), most.max(by))
                });
            let after = &later[later.len() - 1];
            let spans = rows.iter().zip(after).map(|(row, [down, up])| {
                let (a, b) = (row.rates[*at] * least, row.rates[*at] * most);
                [down + a.min(b), up + a.max(b)]
            });
            later.push(spans.collect());
        }
        later.reverse();
        later
    }
}

/// How a row changes with the moves of a set.
fn terms(row: &Row, set: &[usize], moves: &[Variable]) -> Vec<(Variable, f64)> {
    let moves = moves.iter().zip(set);
    moves
        .map(|(variable, at)| (*variable, row.rates[*at]))
        .collect()
}

/// Keeps a row's change within limits that are not open; by so much of its room beyond them as an excess says.
fn keep(
    problem: &mut Problem,
    terms: &[(Variable, f64)],
    [least, most]: [f64; 2],
    beyond: Option<(Variable, f64)>,
) {
    let sides = [
        (most, ComparisonOp::Le, -1.0),
        (least, ComparisonOp::Ge, 1.0),
    ];
    for (limit, side, sense) in sides.into_iter().filter(|(limit, ..)| limit.is_finite()) {
        let beyond = beyond.map(|(excess, room)| (excess, sense * room));
        let terms: Vec<(Variable, f64)> = terms.iter().copied().chain(beyond).collect();
        problem.add_constraint(&terms[..], side, limit);
    }
}

/// A setting of a candidate.
struct Choice {
    setting: f64,
    effort: f64,
    /// By which one is preferred: the least.
    cost: f64,
}

/// The settings of a set, one after the other.
struct Trial<'t> {
    search: &'t Search<'t>,
    set: &'t [usize],
    rows: &'t [Row],
    choices: &'t [Vec<Choice>],
    most_effort: f64,
    /// For each of the set how far those after it can move each row, down and up.
    later: Vec<Vec<[f64; 2]>>,
    left: usize,
    best: Option<(f64, Vec<f64>)>,
}

impl Trial<'_> {
    /// `spent` is what the settings chosen so far cost, and their effort.
    fn go_on(&mut self, chosen: &mut Vec<f64>, values: &[f64], spent: [f64; 2]) {
        let which = chosen.len();
        let Some(at) = self.set.get(which).copied() else {
            let kept = |(row, value): (&Row, &f64)| row.beyond(*value) <= ROUNDING_MM;
            if self.rows.iter().zip(values).all(kept) {
                self.best = Some((spent[0], chosen.clone()));
            }
            return;
        };
        let candidate = &self.search.candidates[at];
        for choice in &self.choices[which] {
            let by = choice.setting - candidate.now;
            let sum = [spent[0] + choice.cost, spent[1] + choice.effort];
            // those of least cost come first: what follows costs more still
            if self.left == 0 || self.best.as_ref().is_some_and(|(best, _)| sum[0] >= *best) {
                return;
            }
            if sum[1] > self.most_effort {
                continue;
            }
            let reached = |((row, value), [down, up]): ((&Row, &f64), &[f64; 2])| {
                let value = value + row.rates[at] * by;
                value + up >= row.least - ROUNDING_MM && value + down <= row.most + ROUNDING_MM
            };
            let mut rows = self.rows.iter().zip(values).zip(&self.later[which]);
            if !rows.all(reached) {
                continue;
            }
            self.left -= 1;
            let values: Vec<f64> = self
                .rows
                .iter()
                .zip(values)
                .map(|(row, value)| value + row.rates[at] * by)
                .collect();
            chosen.push(choice.setting);
            self.go_on(chosen, &values, sum);
            chosen.pop();
        }
    }
}

#[cfg(test)]
mod tests;
