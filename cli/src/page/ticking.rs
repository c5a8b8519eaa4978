//! Ticking off a stage: the one thing that is written. In: a part and how far it has got. Out: what the record says of it now.

use serde::{Deserialize, Serialize};

use super::bench::Bench;
use crate::args::{self, StageWord};
use crate::command;
use crate::render;

/// A stage that is ticked.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Tick {
    part: String,
    stage: StageWord,
}

/// What came of it.
#[derive(Debug, Serialize)]
pub(super) struct Ticked {
    /// What was done, in words.
    done: Option<String>,
    /// Why it can't be.
    refused: Option<String>,
}

/// Enters a stage in the build record, as `built set` does.
pub(super) fn tick(bench: &Bench, tick: Tick) -> Ticked {
    let entry = args::BuiltSet {
        model: bench.model.clone(),
        part: tick.part,
        stage: tick.stage,
        size: Vec::new(),
        on: None,
    };
    let ticked = match command::enter_stage(&entry) {
        Ok(done) => Ticked {
            done: Some(done.join(" ")),
            refused: None,
        },
        Err(refused) => Ticked {
            done: None,
            refused: Some(render::fault::plain(&refused, 80)),
        },
    };
    // the page sees it before the folder's watch does
    bench.read();
    ticked
}
