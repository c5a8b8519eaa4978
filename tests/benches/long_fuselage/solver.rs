//! The solver alone, its system ready. In: a family and a length. Out: the times of its stages, and the memory that a solution takes.

use std::collections::HashMap;

use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::source::read;
use strongback_solver::structure::{Pattern, dulmage_mendelsohn, solve_order};
use strongback_solver::{EquationId, Solution, Status, Tolerances, Var, Verdict, solve};

use super::PEAK;
use super::changes::{CHANGE_MM, changes, solved_after_change};
use super::long_fuselage::{Family, model};
use super::pipeline::{all_told, told};
use super::table::Column;
use super::timed::times;

/// The stages at one length.
pub(crate) fn solver(family: Family, bays: usize) -> Result<Column, String> {
    let (text, planted) = model(family, bays);
    let document: Document = read(&text).map_err(told)?;
    let assembly = assemble(&document).map_err(all_told)?;
    let system = &assembly.system;
    let tolerances = Tolerances::default();
    PEAK.reset_peak_usage();
    let before = PEAK.current_usage();
    let solution = solve(system, &tolerances).map_err(|error| error.to_string())?;
    let bytes = PEAK.peak_usage().saturating_sub(before);
    let report = solution.report();
    let facts = vec![
        ("unknowns", report.unknowns),
        ("rows", report.rows),
        ("blocks", report.blocks),
        ("largest block", report.largest_block),
        ("iterations", report.iterations as usize),
        ("bytes per unknown", bytes / report.unknowns.max(1)),
    ];
    let at_odds = at_odds(&solution);
    if at_odds.len() != planted.at_odds.len() {
        return Err(format!("planted {planted:?}; found {}", at_odds.len()));
    }
    let pattern = pattern(&solution)?;
    let changes = changes(family, &assembly, &solution, bays)?;
    let first = changes.first().map(|(_, figure)| *figure);
    let mut stages = times(|run| {
        let parts = dulmage_mendelsohn(&pattern);
        let matching = parts.matching.restricted_to(&parts.well.rows);
        std::hint::black_box(solve_order(&pattern, &matching));
        run.done("structure");
        let solution = solve(system, &tolerances).map_err(|error| error.to_string())?;
        run.done("solve, with rank and verdicts");
        for id in &at_odds {
            std::hint::black_box(solution.sensitivity(system.get_equation(*id)));
        }
        run.done("circuits of contradictions");
        std::hint::black_box(solution.motions());
        run.done("motions of what is loose");
        let moved = first.map(|figure| solution.response(&[], &[(figure, CHANGE_MM)]));
        std::hint::black_box(moved);
        run.done("derivatives by one figure");
        Ok(())
    })?;
    for (stage, figure) in changes {
        stages.extend(times(|run| {
            std::hint::black_box(solved_after_change(&solution, figure)?);
            run.done(stage);
            Ok(())
        })?);
    }
    Ok(Column {
        bays,
        facts,
        times: stages,
    })
}

/// The equations that contradict others.
fn at_odds(solution: &Solution<'_>) -> Vec<EquationId> {
    let ids = solution.system().equations().map(|(id, _)| id);
    ids.filter(|id| matches!(solution.verdict(*id), Verdict::AtOdds { .. }))
        .collect()
}

/// Which unknowns each row reads.
fn pattern(solution: &Solution<'_>) -> Result<Pattern, String> {
    let system = solution.system();
    let unknown = system
        .variables()
        .filter(|(_, variable)| variable.status == Status::Unknown);
    let column_of: HashMap<Var, usize> = unknown.map(|(var, _)| var).zip(0..).collect();
    let rows = system.equations().flat_map(|(id, equation)| {
        let reads = solution.reads(id).into_iter();
        let row: Vec<usize> = reads
            .filter_map(|var| column_of.get(&var).copied())
            .collect();
        std::iter::repeat_n(row, equation.rows())
    });
    Pattern::from_rows(column_of.len(), rows).map_err(|error| error.to_string())
}
