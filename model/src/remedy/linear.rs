//! Must-fits as linear functions of what could be set otherwise, and statements that agree and have to go on doing so. In: a
//! solution and the candidates. Out: a row for each measure: its value, its limits and its rates, millimetres per millimetre
//! (angles as their sines times the reference length).

use std::collections::BTreeSet;

use strongback_solver::{
    Equation, EquationId, Measure as Kind, Sensitivity, Source, Var, Variation,
};

use super::candidates::Candidate;
use super::workshop::Scale;
use crate::assembly::{AssembledFit, Solved};
use crate::must_fit::{Body, Measure};

/// One row of a must-fit's measure.
#[derive(Clone, Debug, Default)]
pub(super) struct Row {
    /// The value as it is.
    pub(super) value: f64,
    /// The least that will do, infinite if anything will.
    pub(super) least: f64,
    /// The most that will do.
    pub(super) most: f64,
    /// Whether it is of a statement that agrees.
    pub(super) spare: bool,
    /// Of which must-fit it is, by its place.
    pub(super) fit: Option<usize>,
    /// How it changes with each candidate.
    pub(super) rates: Vec<f64>,
}

impl Row {
    /// How far it lies beyond its limits.
    pub(super) fn beyond(&self, value: f64) -> f64 {
        (self.least - value).max(value - self.most).max(0.0)
    }

    /// With less room, if it misses.
    pub(super) fn within(&self, share: f64) -> Row {
        let mut row = self.clone();
        if self.beyond(self.value) > 0.0 {
            let less = (1.0 - share) * self.room();
            row.least += less;
            row.most -= less;
        }
        row
    }

    /// With room as far as it goes now, if it misses: it may stay so, and get no worse.
    fn left_alone(mut self) -> Row {
        self.least = self.least.min(self.value);
        self.most = self.most.max(self.value);
        self
    }

    /// What counts as one share of miss: half the room between the limits; a sixteenth of an inch where one is open, and for a statement.
    pub(super) fn room(&self) -> f64 {
        const OPEN_MM: f64 = 25.4 / 16.0;
        let room = 0.5 * (self.most - self.least);
        if room.is_finite() && room > 0.0 && !self.spare {
            room
        } else {
            OPEN_MM
        }
    }
}

/// A rate below this is the rounding of products that cancel.
const NOTHING: f64 = 1e-9;

/// A row with what it depends on, before there are candidates.
pub(super) struct Told {
    row: Row,
    sensitivity: Sensitivity,
    /// The measure, when it is a clearance.
    clearance: Option<(usize, usize)>,
}

impl Solved<'_> {
    /// The rows of all must-fits that rest on nothing loose.
    pub(super) fn told_rows(&self) -> Vec<Told> {
        let mut list = Vec::new();
        for (at, fit) in self.assembly.fits.iter().enumerate() {
            for (which, measure) in fit.measures.iter().enumerate() {
                if self.rests_on_settled(measure) {
                    self.tell(fit, (at, which), measure, &mut list);
                }
            }
        }
        self.tell_spare(&mut list);
        list
    }

    /// Statements that follow from others and agree with them: one figure set alone would put them at odds.
    fn tell_spare(&self, list: &mut Vec<Told>) {
        /// Millimetres: rounding.
        const AGREES_MM: f64 = 1e-6;
        let assembly = self.assembly;
        let at_odds: BTreeSet<EquationId> = self.disagreeing().map(|(_, id, ..)| id).collect();
        let mut spare: Vec<EquationId> = self
            .solution
            .unkept()
            .into_iter()
            .map(|(id, _)| id)
            .collect();
        spare.dedup();
        spare.retain(|id| !assembly.assumed.contains(id) && !at_odds.contains(id));
        for id in spare {
            let equation = assembly.system.get_equation(id);
            let own = assembly.statement_of(id).within.as_ref();
            let own = own.map_or(0.0, |within| self.allowed(within, equation).within);
            let to_rows = match equation.measure() {
                Kind::Length => 1.0,
                Kind::Angle => assembly.system.reference_length(),
            };
            let within = (own * to_rows).max(AGREES_MM);
            for told in self.solution.sensitivity(equation) {
                let row = Row {
                    value: told.value,
                    least: -within,
                    most: within,
                    spare: true,
                    fit: None,
                    rates: Vec::new(),
                };
                if told.loose.is_empty() && row.beyond(row.value) == 0.0 {
                    list.push(Told {
                        row,
                        sensitivity: told,
                        clearance: None,
                    });
                }
            }
        }
    }

    fn tell(
        &self,
        fit: &AssembledFit,
        place: (usize, usize),
        measure: &Measure,
        list: &mut Vec<Told>,
    ) {
        let mut push = |equation: &Equation, least: f64, most: f64| {
            for told in self.solution.sensitivity(equation) {
                let row = Row {
                    value: told.value,
                    least,
                    most,
                    fit: Some(place.0),
                    ..Row::default()
                };
                list.push(Told {
                    row,
                    sensitivity: told,
                    clearance: None,
                });
            }
        };
        match measure {
            Measure::Zero { equation, .. } => {
                let within = match equation.measure() {
                    Kind::Length => fit.within.length,
                    Kind::Angle => {
                        let scale = self.assembly.system.reference_length();
                        self.allowed(&fit.within, equation).within * scale
                    }
                };
                push(equation, -within, within);
            }
            Measure::Within {
                equation,
                least,
                most,
                ..
            } => {
                let limit = |form: &Option<strongback_solver::Affine>, open: f64| {
                    form.as_ref().map_or(open, |form| self.solution.form(form))
                };
                push(
                    equation,
                    limit(least, f64::NEG_INFINITY),
                    limit(most, f64::INFINITY),
                );
            }
            Measure::Clearance { least, .. } => {
                let measured = self.measured(fit, measure);
                if !measured.is_measured() {
                    return;
                }
                list.push(Told {
                    row: Row {
                        value: measured.value,
                        least: self.solution.form(least),
                        most: f64::INFINITY,
                        fit: Some(place.0),
                        ..Row::default()
                    },
                    sensitivity: self.clearance_rests_on(measure),
                    clearance: Some(place),
                });
            }
        }
    }

    /// All that the coordinates, turns and sizes of two parts depend on: what a clearance may.
    fn clearance_rests_on(&self, measure: &Measure) -> Sensitivity {
        let Measure::Clearance { between, .. } = measure else {
            return Sensitivity::default();
        };
        let mut all = Sensitivity::default();
        for form in between.iter().flat_map(|body| body.figures.clone()) {
            let measure = Kind::Length;
            for told in self.solution.sensitivity(&Equation::Held { form, measure }) {
                all.givens.extend(told.givens);
                all.equations.extend(told.equations);
            }
        }
        for part in Body::parts_of(between, self.assembly) {
            let lengths = part.origin.iter().map(|form| (form, Kind::Length));
            let sizes = part
                .sizes
                .iter()
                .map(|size| (&size.resolved.form, Kind::Length));
            let turns = part.turns.iter().map(|(_, form)| (form, Kind::Angle));
            for (form, measure) in lengths.chain(sizes).chain(turns) {
                let form = form.clone();
                for told in self.solution.sensitivity(&Equation::Held { form, measure }) {
                    all.givens.extend(told.givens);
                    all.equations.extend(told.equations);
                }
            }
        }
        all
    }

    /// The rows with their rates. Where one must-fit alone is to be cured, others that miss may go on missing as much.
    pub(super) fn rows(
        &self,
        told: Vec<Told>,
        candidates: &[Candidate],
        only: Option<&str>,
    ) -> Vec<Row> {
        let fits = &self.assembly.fits;
        let other = |row: &Row| {
            let fit = row.fit.and_then(|at| fits.get(at));
            only.is_some_and(|only| fit.is_some_and(|fit| fit.name != only))
        };
        let rates: Vec<Vec<f64>> = told
            .iter()
            .map(|told| match told.clearance {
                None => candidates.iter().map(|one| told.rate(one)).collect(),
                Some(place) => self.clearance_rates(told, place, candidates),
            })
            .collect();
        let rows = told.into_iter().zip(rates);
        rows.map(|(told, rates)| Row { rates, ..told.row })
            .map(|row| match other(&row) {
                true => row.left_alone(),
                false => row,
            })
            .collect()
    }

    /// Of a clearance by differences of the true distance.
    fn clearance_rates(
        &self,
        told: &Told,
        (fit, which): (usize, usize),
        candidates: &[Candidate],
    ) -> Vec<f64> {
        /// Steps to both sides, in millimetres: less than metal is cut to, more than the distance is rounded to.
        const STEP_MM: f64 = 0.1;
        /// And in radians.
        const STEP_RADIANS: f64 = 1e-3;
        let step = |one: &Candidate| match one.scale {
            Scale::Protractor => STEP_RADIANS,
            Scale::Rule | Scale::Layers => STEP_MM,
        };
        let assembly = self.assembly;
        let measure = &assembly.fits[fit].measures[which];
        let mut variations = Vec::new();
        let mut owner = Vec::new();
        for (at, one) in candidates.iter().enumerate() {
            if !told.depends_on(&one.vars, &one.rows) {
                continue;
            }
            let givens = one.vars.iter().map(|var| Source::Given(*var));
            let rows = one.rows.iter().map(|id| Source::Row(*id, 0));
            for source in givens.chain(rows) {
                variations.push(Variation {
                    source,
                    within: step(one),
                });
                owner.push(at);
            }
        }
        let observed = self.observed(&assembly.fits[fit], measure);
        let sampler = self.solution.sampler(&variations, vec![observed]);
        let mut rates = vec![0.0; candidates.len()];
        let touched: BTreeSet<usize> = owner.iter().copied().collect();
        for at in touched {
            let step = step(&candidates[at]);
            let [less, more] = [-step, step].map(|by| {
                let off: Vec<f64> = owner
                    .iter()
                    .map(|owner| if *owner == at { by } else { 0.0 })
                    .collect();
                sampler.at(&off).first().copied().unwrap_or(f64::NAN)
            });
            let rate = (more - less) / (2.0 * step);
            rates[at] = if rate.is_finite() && rate.abs() > NOTHING {
                rate
            } else {
                0.0
            };
        }
        rates
    }
}

impl Told {
    /// Whether it lies beyond its limits.
    pub(super) fn misses(&self) -> bool {
        self.row.beyond(self.row.value) > 0.0
    }

    /// Whether some variables or rows are among those that it depends on.
    pub(super) fn depends_on(&self, vars: &BTreeSet<Var>, rows: &[EquationId]) -> bool {
        let by_var = self.sensitivity.givens.iter();
        let by_row = self.sensitivity.equations.iter();
        by_var
            .clone()
            .any(|(var, rate)| vars.contains(var) && rate.abs() > NOTHING)
            || by_row
                .clone()
                .any(|(id, row, rate)| *row == 0 && rows.contains(id) && rate.abs() > NOTHING)
    }

    fn rate(&self, candidate: &Candidate) -> f64 {
        let givens = self.sensitivity.givens.iter();
        let by_vars: f64 = givens
            .filter(|(var, _)| candidate.vars.contains(var))
            .map(|(_, rate)| rate)
            .sum();
        let equations = self.sensitivity.equations.iter();
        let by_rows: f64 = equations
            .filter(|(id, row, _)| *row == 0 && candidate.rows.contains(id))
            .map(|(_, _, rate)| rate)
            .sum();
        let rate = by_vars + by_rows;
        if rate.abs() > NOTHING { rate } else { 0.0 }
    }
}
