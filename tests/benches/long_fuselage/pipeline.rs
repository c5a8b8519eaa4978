//! The whole pipeline, from text to all that is said of the model. In: a family and a length. Out: the times of its stages.

use strongback_model::assembly::{Solved, assemble};
use strongback_model::document::Document;
use strongback_model::layout::Layout;
use strongback_model::source::{Fault, read};

use super::long_fuselage::{Family, Planted, model};
use super::samples::samples;
use super::table::Column;
use super::timed::{Run, times};

/// The stages at one length.
pub(crate) fn pipeline(family: Family, bays: usize) -> Result<Column, String> {
    let (text, planted) = model(family, bays);
    let mut facts = Vec::new();
    let mut stages = times(|run| {
        let document: Document = read(&text).map_err(told)?;
        run.done("read");
        looked_at(run, &document, |run, solved, layout, contradictions| {
            run.sum("whole");
            check(layout, &planted)?;
            if contradictions != planted.at_odds.len() {
                return Err(format!("{contradictions} contradictions"));
            }
            facts = vec![
                ("parts", layout.parts.len()),
                ("statements", document.relations.iter().count()),
            ];
            run.skip();
            solved.why(&last_frame(bays), None).map_err(told)?;
            run.done("one why, at the tail");
            std::hint::black_box(solved.clashes());
            run.done("clashes");
            Ok(())
        })
    })?;
    stages.push(("100,000 samples", samples(family, bays)?));
    Ok(Column {
        bays,
        facts,
        times: stages,
    })
}

/// Assembles, solves, lays out and tells the ways round contradictions, each a stage, and goes on with what came of it: the solution,
/// the layout, how many contradictions.
pub(crate) fn looked_at(
    run: &mut Run,
    document: &Document,
    then: impl FnOnce(&mut Run, &Solved<'_>, &Layout, usize) -> Result<(), String>,
) -> Result<(), String> {
    let assembly = assemble(document).map_err(all_told)?;
    run.done("assemble");
    let solved = assembly.solve().map_err(told)?;
    run.done("solve");
    let layout = solved.layout();
    run.done("layout and verdicts");
    let contradictions = solved.contradictions();
    run.done("ways round contradictions");
    then(run, &solved, &layout, contradictions.len())
}

/// The face to which everything leads.
pub(crate) fn last_frame(bays: usize) -> String {
    format!("frame {bays}.web_fwd")
}

/// What is planted was found.
pub(crate) fn check(layout: &Layout, planted: &Planted) -> Result<(), String> {
    let odds = layout.at_odds.iter().map(|odd| odd.statement.as_str());
    if odds.eq(planted.at_odds.iter())
        && layout.spare.len() == planted.spare
        && layout.solution.freedoms == planted.freedoms
    {
        return Ok(());
    }
    Err(format!(
        "planted {planted:?}; found {} at odds, {} spare, {:?}",
        layout.at_odds.len(),
        layout.spare.len(),
        layout.solution
    ))
}

pub(crate) fn told(fault: Fault) -> String {
    fault.message
}

pub(crate) fn all_told(faults: Vec<Fault>) -> String {
    let messages: Vec<String> = faults.into_iter().map(told).collect();
    messages.join("; ")
}
