//! Fuselages of which every fifth bay has a contradiction and a part that nothing settles: all that can be said of them. In: a family
//! and a length. Out: the times of the stages.

use strongback_model::document::Document;
use strongback_model::looseness::motions;
use strongback_model::odds::drops;
use strongback_model::source::read;

use super::long_fuselage::{Every, Family, model_with};
use super::pipeline::{check, looked_at, told};
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
        looked_at(run, &document, |run, solved, layout, contradictions| {
            let drops = drops(&document, solved, SOLVES);
            run.done("sets to drop");
            let motions = motions(&document, solved, layout);
            run.done("what would settle");
            check(layout, &planted)?;
            let mut told = motions.iter().take(MOTIONS);
            let found = contradictions == planted.at_odds.len()
                && motions.len() == planted.freedoms
                && told.all(|motion| !motion.settled_by.is_empty())
                && drops.iter().all(|one| one.complete && !one.sets.is_empty());
            if found {
                Ok(())
            } else {
                Err("not all was found".to_owned())
            }
        })
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
