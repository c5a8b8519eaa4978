//! `odds`: what contradicts what.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::document::Document;
use strongback_model::layout::{Spare, Waiting};
use strongback_model::odds::{Contradiction, Drops, drops};
use strongback_model::quantity::Unit;
use strongback_model::words::without_hand;

use super::locate::with_solution;
use super::{Answered, CAUTION, Told};
use crate::Status;
use crate::args;
use crate::load::{Refused, load};
use crate::render;

/// Sets of statements to drop are verified by solving, at most so many times.
const SOLVES: usize = 300;

/// What `odds` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OddsAnswer {
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// The contradictions, in the order of the file.
    pub contradictions: Vec<Contradiction>,
    /// What could be dropped so that the rest holds, for each group of contradictions that have something in common.
    pub drops: Vec<Drops>,
    /// Statements of the loops that can be understood in other ways: `readings` tries them.
    pub otherwise: Vec<String>,
    /// Statements that can't be judged as long as something is loose.
    pub waiting: Vec<Waiting>,
    /// Statements that say what others say.
    pub spare: Vec<Spare>,
    /// The usual caution.
    pub caution: String,
}

pub(super) fn run(args: &args::Question) -> Result<(Status, Box<dyn Answered>), Refused> {
    let loaded = load(&args.model)?;
    let document = loaded.asked(&args.asked)?;
    with_solution(&loaded, &document, |solved, located| {
        let layout = located.layout;
        let contradictions = solved.contradictions();
        let status = if contradictions.is_empty() && layout.waiting.is_empty() {
            Status::Well
        } else {
            Status::Amiss
        };
        let answer: Box<dyn Answered> = Box::new(OddsAnswer {
            unit: layout.unit,
            otherwise: otherwise(&document, &contradictions),
            contradictions,
            drops: drops(&document, solved, SOLVES),
            waiting: layout.waiting,
            spare: layout.spare,
            caution: CAUTION.to_owned(),
        });
        (status, answer)
    })
}

/// The statements of some loops that have several readings, by their names in the file.
fn otherwise(document: &Document, contradictions: &[Contradiction]) -> Vec<String> {
    let has_readings = |name: &&str| {
        let stated = document.relations.get(name);
        stated.is_some_and(|stated| stated.is.kind().readings().is_some())
    };
    let mut list: Vec<String> = Vec::new();
    for contradiction in contradictions {
        let members = contradiction.with.iter().map(|member| &member.statement);
        for name in members.chain([&contradiction.statement]) {
            let entry = [Some(name.as_str()), without_hand(name)];
            let entry = entry.into_iter().flatten().find(has_readings);
            if let Some(entry) = entry.filter(|entry| list.iter().all(|known| known != entry)) {
                list.push(entry.to_owned());
            }
        }
    }
    list
}

impl Told for OddsAnswer {
    fn text(&self, width: usize) -> String {
        render::odds::text(self, width)
    }
}
