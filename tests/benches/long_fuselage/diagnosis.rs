//! Fuselages of which every fifth bay has a contradiction and a part that nothing settles: all that can be said of them. In: a family
//! and a length. Out: the times of the stages.

use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::looseness::motions;
use strongback_model::odds::drops;
use strongback_model::source::read;

use super::long_fuselage::{Every, Family, model_with};
use super::pipeline::{all_told, check, told};
use super::table::Column;
use super::timed::times;

/// Sets to drop that may be verified by solving.
const SOLVES: usize = 100;
/// What would settle is looked for of so many motions.
const MOTIONS: usize = 40;

/// The stages at one length.
pub(crate) fn diagnosis(family: Family, bays: usize) -> Result<Column, String> {
    let every = Every {
        at_odds: 5,
        loose: 5,
    };
    let (text, planted) = model_with(family, bays, every);
    let document: Document = read(&text).map_err(told)?;
    let stages = times(|run| {
        let assembly = assemble(&document).map_err(all_told)?;
        run.done("assemble");
        let solved = assembly.solve().map_err(told)?;
        run.done("solve");
        let layout = solved.layout();
        run.done("layout and verdicts");
        let contradictions = solved.contradictions();
        run.done("ways round contradictions");
        let drops = drops(&document, &solved, SOLVES);
        run.done("sets to drop");
        let motions = motions(&document, &solved, &layout);
        run.done("what would settle");
        check(&solved, &planted)?;
        let complete = |found: bool| {
            if found {
                Ok(())
            } else {
                Err("not all was found")
            }
        };
        complete(contradictions.len() == planted.at_odds.len())?;
        complete(motions.len() == planted.freedoms)?;
        complete(
            motions
                .iter()
                .take(MOTIONS)
                .all(|motion| !motion.settled_by.is_empty()),
        )?;
        complete(drops.iter().all(|one| one.complete && !one.sets.is_empty()))?;
        Ok(())
    })?;
    Ok(Column {
        bays,
        facts: vec![
            ("contradictions", planted.at_odds.len()),
            ("freedoms", planted.freedoms),
        ],
        times: stages,
    })
}
