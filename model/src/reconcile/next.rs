//! What to measure next. In: the verdicts. Out: suspects to be measured again or by themselves, and for each measurement that
//! nothing checks the figure whose tolerance leaves it most room. What a measurement has measured already is not measured by
//! itself: that measurement is made again.

use strongback_solver::Var;

use super::iterate::{Figure, Run};
use super::linear::Comparison;
use super::{CandidateKind, Compared, NextStep, Purpose, Suspicion, Verdict};

pub(super) fn steps(
    comparison: &Comparison<'_, '_>,
    run: &Run,
    measurements: &[Compared],
    suspects: &[Suspicion],
) -> Vec<NextStep> {
    let mut steps: Vec<NextStep> = Vec::new();
    let mut add = |step: NextStep| {
        let known = |other: &NextStep| other.measure == step.measure && other.kind == step.kind;
        if !steps.iter().any(known) {
            steps.push(step);
        }
    };
    for (suspicion, suspect) in suspects.iter().zip(&run.snooped.suspects) {
        for (candidate, member) in suspicion.one_of.iter().zip(&suspect.group) {
            let figure = member.observation.checked_sub(comparison.rows.len());
            let figure = figure.and_then(|at| run.figures.get(at));
            if figure.is_some_and(|figure| measured_by(comparison, figure.var).is_some()) {
                continue;
            }
            add(NextStep {
                measure: candidate.name.clone(),
                kind: candidate.kind,
                between: figure.and_then(|figure| between(comparison, figure.var)),
                purpose: if suspicion.one_of.len() == 1 {
                    Purpose::Confirm
                } else {
                    Purpose::TellApart
                },
            });
        }
    }
    for row in &comparison.rows {
        let unchecked = measurements
            .get(row.at)
            .filter(|one| one.verdict == Verdict::Unchecked);
        if let Some(unchecked) = unchecked
            && let Some(figure) = widest(&run.figures, &row.plan.by)
            && let Some(label) = comparison.label(figure.var)
        {
            let (measure, kind, between) = match measured_by(comparison, figure.var) {
                Some(name) => (name, CandidateKind::Measurement, None),
                None => (
                    label.told(),
                    CandidateKind::Figure,
                    between(comparison, figure.var),
                ),
            };
            add(NextStep {
                measure,
                kind,
                between,
                purpose: Purpose::Check {
                    measurement: unchecked.name.clone(),
                },
            });
        }
    }
    steps
}

/// The measurement that measures a figure by itself.
fn measured_by(comparison: &Comparison<'_, '_>, var: Var) -> Option<String> {
    let mut rows = comparison.rows.iter();
    let row = rows.find(|row| comparison.measures_by_itself(row, var))?;
    Some(row.measurement.name.clone())
}

/// The figure by whose tolerance a measurement can vary most.
fn widest<'f>(figures: &'f [Figure], by: &[(Var, f64)]) -> Option<&'f Figure> {
    let share = |figure: &Figure| {
        let by = by.iter().find(|(var, _)| *var == figure.var);
        by.map_or(0.0, |(_, by)| (by * figure.deviation).abs())
    };
    figures
        .iter()
        .max_by(|a, b| share(a).total_cmp(&share(b)))
        .filter(|figure| share(figure) > 0.0)
}

/// The two features between which a statement has a figure and nothing else.
fn between(comparison: &Comparison<'_, '_>, var: Var) -> Option<[String; 2]> {
    let assembly = comparison.plan.assembly;
    let is_its_figure = |id| {
        let form = assembly.system.get_equation(id).figure();
        form.is_some_and(|form| form.constant == 0.0 && form.vars().eq([var]))
    };
    assembly.statements.iter().find_map(|statement| {
        let has = statement.equations.iter().any(|(_, id)| is_its_figure(*id));
        match &statement.names[..] {
            [a, b] if has => Some([a.clone(), b.clone()]),
            _ => None,
        }
    })
}
