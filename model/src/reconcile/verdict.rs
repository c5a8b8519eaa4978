//! An adjustment as the builder reads it. In: the comparison and its last adjustment. Out: verdicts, corrected figures,
//! suspects and shifted faces, in millimetres and degrees.

use strongback_solver::Var;
use strongback_solver::adjustment::{CRITICAL, Member, Observed, Use};

use super::iterate::{Run, believable};
use super::linear::{Comparison, Row};
use super::{
    Candidate, CandidateKind, Compared, Corrected, FACES_TOLD, FaceShift, Reconciled, Suspicion,
    Verdict, next,
};
use crate::assembly::AssembledMeasurement;
use crate::measurement::Counts;
use crate::shift::{Shift, shift};

/// Below this redundancy number next to nothing checks an observation: a blunder has to be 13 standard deviations to be found.
/// The bound is common in surveying (from memory).
const UNCHECKED: f64 = 0.1;

/// All of it.
pub(super) fn told(comparison: &Comparison<'_, '_>, run: &Run) -> Reconciled {
    let teller = Teller { comparison, run };
    let suspects: Vec<Suspicion> = run
        .snooped
        .suspects
        .iter()
        .map(|suspect| Suspicion {
            one_of: suspect
                .group
                .iter()
                .filter_map(|one| teller.candidate(one))
                .collect(),
        })
        .collect();
    let list = &comparison.plan.assembly.measurements;
    let compared = |(at, measurement)| teller.compared(at, measurement, &suspects);
    let measurements: Vec<Compared> = list.iter().enumerate().map(compared).collect();
    let moved = run
        .layout
        .as_ref()
        .map(|layout| shift(&comparison.plan.layout(), layout));
    Reconciled {
        next: next::steps(comparison, run, &measurements, &suspects),
        measurements,
        figures: (0..run.figures.len())
            .filter_map(|at| teller.corrected(at))
            .collect(),
        exact: comparison.exact(),
        suspects,
        sigma0: run.snooped.adjustment.sigma0(),
        degrees_of_freedom: run.snooped.adjustment.degrees_of_freedom,
        critical: CRITICAL,
        adjustment: run.ended.clone(),
        parts_shifted: moved.as_ref().map_or(0, |moved| moved.parts.len()),
        shifts: moved.map_or_else(Vec::new, |moved| faces(&moved)),
        untried: 0,
    }
}

struct Teller<'t, 's, 'a> {
    comparison: &'t Comparison<'s, 'a>,
    run: &'t Run,
}

impl Teller<'_, '_, '_> {
    fn compared(
        &self,
        at: usize,
        measurement: &AssembledMeasurement,
        suspects: &[Suspicion],
    ) -> Compared {
        let angle = measurement.is_angle();
        let mut compared = Compared {
            name: measurement.name.clone(),
            of: measurement.names.clone(),
            angle,
            verdict: Verdict::Open {
                loose: self.comparison.open.get(&at).cloned().unwrap_or_default(),
            },
            measured: shown(measurement.value, angle),
            uncertainty: shown(measurement.uncertainty, angle),
            plan: self.plan_of(at, measurement),
            adjusted: None,
            residual: None,
            deviation: None,
            normalised: None,
            redundancy: None,
            detectable: None,
            disputed: self.comparison.plan.disputes_about(&measurement.equation),
            exact: Vec::new(),
            otherwise: Vec::new(),
            on: measurement.on.clone(),
            note: measurement.note.clone(),
        };
        let row = self.comparison.rows.iter().position(|row| row.at == at);
        if let Some(row) = row.and_then(|row| self.comparison.rows.get(row)) {
            let exact = self.comparison.exact_behind(row);
            compared.exact = self.comparison.names(exact.into_iter().map(|(var, _)| var));
        }
        let observed = row.and_then(|row| self.run.snooped.adjustment.observed.get(row));
        if let Some(observed) = observed {
            compared.adjusted = Some(shown(measurement.value + observed.residual, angle));
            compared.residual = Some(shown(observed.residual, angle));
            compared.deviation = Some(shown(observed.deviation, angle));
            compared.normalised = observed.normalised;
            compared.redundancy = Some(observed.redundancy);
            compared.detectable = observed.detectable.map(|least| shown(least, angle));
            compared.verdict = verdict(&measurement.name, observed, suspects);
        }
        compared
    }

    fn plan_of(&self, at: usize, measurement: &AssembledMeasurement) -> f64 {
        let row = self.comparison.rows.iter().find(|row| row.at == at);
        let value = row.map_or_else(
            || {
                // it only shows where that stands now
                let rows = self.comparison.plan.solution.miss(&measurement.equation);
                let value = rows.first().copied().unwrap_or_default();
                match measurement.counts {
                    Counts::EitherWay => value.abs(),
                    Counts::Signed => value,
                }
            },
            |row: &Row<'_>| row.plan.value,
        );
        shown(value, measurement.is_angle())
    }

    fn corrected(&self, at: usize) -> Option<Corrected> {
        let figure = &self.run.figures[at];
        let observed = self.observed_figure(at)?;
        let label = self.comparison.label(figure.var)?;
        let angle = self.comparison.is_angle(figure.var);
        let adjusted = |var| {
            let other = self.run.figures.iter().find(|other| other.var == var)?;
            Some(other.value)
        };
        Some(Corrected {
            name: label.told(),
            sheet: label.origin.sheet.clone(),
            angle,
            before: shown(self.comparison.says(figure.var), angle),
            after: shown(
                figure.value + self.comparison.rest(figure.var, adjusted),
                angle,
            ),
            deviation_before: shown(figure.deviation, angle),
            deviation_after: shown(observed.deviation, angle),
            normalised: observed.normalised,
            redundancy: observed.redundancy,
            set_aside: observed.used == Use::Predicted,
        })
    }

    fn observed_figure(&self, at: usize) -> Option<&Observed> {
        let row = self.comparison.rows.len() + at;
        self.run.snooped.adjustment.observed.get(row)
    }

    fn candidate(&self, member: &Member) -> Option<Candidate> {
        let measurements = self.comparison.rows.len();
        if let Some(row) = self.comparison.rows.get(member.observation) {
            let angle = row.measurement.is_angle();
            return Some(Candidate {
                kind: CandidateKind::Measurement,
                name: row.measurement.name.clone(),
                sheet: None,
                angle,
                says: shown(row.measurement.value, angle),
                would_have_to_say: shown(row.measurement.value - member.error, angle),
                normalised: member.normalised,
                exact: self.exact_instead(row, member),
            });
        }
        let figure = self.run.figures.get(member.observation - measurements)?;
        let label = self.comparison.label(figure.var)?;
        let angle = self.comparison.is_angle(figure.var);
        let says = self.comparison.says(figure.var);
        Some(Candidate {
            kind: CandidateKind::Figure,
            name: label.told(),
            sheet: label.origin.sheet.clone(),
            angle,
            says: shown(says, angle),
            would_have_to_say: shown(says - member.error, angle),
            normalised: member.normalised,
            exact: Vec::new(),
        })
    }

    /// Figures held exact that explain a measurement as well, if one is wrong by no more than can be believed, and with which
    /// every other measurement still agrees.
    fn exact_instead(&self, row: &Row<'_>, member: &Member) -> Vec<String> {
        let explains = |(var, rate): &(Var, f64)| {
            let wrong_by = member.error / rate;
            wrong_by.abs() <= believable(self.comparison, *var)
                && self.nothing_speaks_against(row.at, *var, wrong_by)
        };
        let exact = self.comparison.exact_behind(row).into_iter();
        self.comparison
            .names(exact.filter(explains).map(|(var, _)| var))
    }

    /// Whether all measurements but one, and those set aside, would still agree if a figure were another by so much: by the
    /// share that shows in its own residual.
    fn nothing_speaks_against(&self, but: usize, var: Var, wrong_by: f64) -> bool {
        let observed = &self.run.snooped.adjustment.observed;
        let rows = self.comparison.rows.iter().zip(observed);
        rows.filter(|(row, observed)| row.at != but && observed.used == Use::Adjusted)
            .all(|(row, observed)| {
                let rate = row.plan.by.iter().find(|(its, _)| *its == var);
                let (Some((_, rate)), Some(normalised)) = (rate, observed.normalised) else {
                    return true;
                };
                let shows = observed.redundancy.max(0.0).sqrt() * rate * wrong_by;
                (normalised + shows / row.measurement.uncertainty).abs() <= CRITICAL
            })
    }
}

/// Millimetres as they are, radians as degrees.
fn shown(value: f64, angle: bool) -> f64 {
    if angle { value.to_degrees() } else { value }
}

fn verdict(name: &str, observed: &Observed, suspects: &[Suspicion]) -> Verdict {
    let is_this = |one: &Candidate| one.kind == CandidateKind::Measurement && one.name == name;
    let among = suspects
        .iter()
        .find(|suspect| suspect.one_of.iter().any(is_this));
    match among {
        Some(suspect) if suspect.one_of.len() == 1 => Verdict::Suspect,
        Some(suspect) => Verdict::Undecided {
            from: suspect
                .one_of
                .iter()
                .filter(|one| !is_this(one))
                .map(|one| one.name.clone())
                .collect(),
        },
        None if observed.redundancy < UNCHECKED => Verdict::Unchecked,
        None => Verdict::Agrees,
    }
}

/// The face of each part that shifts most, the furthest first.
fn faces(moved: &Shift) -> Vec<FaceShift> {
    /// Squares of shifts that differ by less are the same but for rounding.
    const ALIKE: f64 = 1.0 + 1e-6;
    let size = |by: &[f64; 3]| by.iter().map(|by| by * by).sum::<f64>();
    let mut faces: Vec<FaceShift> = moved
        .parts
        .iter()
        .filter_map(|part| {
            // of those that shift alike, the first
            let furthest = part.features.iter().reduce(|most, next| {
                let further = size(&next.shift_mm) > size(&most.shift_mm) * ALIKE;
                if further { next } else { most }
            })?;
            Some(FaceShift {
                face: format!("{}.{}", part.part, furthest.name),
                shift_mm: furthest.shift_mm,
            })
        })
        .collect();
    faces.sort_by(|a, b| size(&b.shift_mm).total_cmp(&size(&a.shift_mm)));
    faces.truncate(FACES_TOLD);
    faces
}
