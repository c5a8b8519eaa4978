//! What has been made so far: the build record. In: the text of a record, a document, what is entered. Out: the record with its
//! places, the same with an entry more, and the document as it is built.
//!
//! A record ([`Record`]) is read and written as text, takes entries (`entries.rs`) and lets go of some (`taken_out.rs`), is held
//! against the plan (`checked.rs`) and makes another document of it ([`Built`], `as_built.rs`): deviations adopted, parts at the
//! sizes that they were made to, and fitted ones where they are, and what they share as it was found (`shared.rs`). `to_be.rs` makes
//! the one in which a deviation asks of made parts only what it changes itself; `beside.rs` lays the two side by side.

mod as_built;
mod beside;
mod checked;
mod entries;
mod shared;
mod taken_out;
#[cfg(test)]
mod tests;
mod to_be;
mod written;

pub use as_built::{Built, Trouble};
pub use beside::Beside;
pub use entries::{Entered, Piece};
pub use to_be::{Departs, Departure, ToBe};
pub use written::{Adopted, Fitted, MadePart, Note, Record};

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How far a part has been made.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum Stage {
    /// No metal has been cut.
    #[default]
    NotStarted,
    /// It is cut and bent to its sizes.
    Cut,
    /// Its holes are drilled.
    Drilled,
    /// It is fitted for good: riveted or bolted where it lies.
    Fitted,
}

impl Stage {
    /// The stage as it is read in a sentence.
    pub fn told(self) -> &'static str {
        match self {
            Stage::NotStarted => "not started",
            Stage::Cut => "cut",
            Stage::Drilled => "drilled",
            Stage::Fitted => "fitted",
        }
    }
}

/// One part as far as it has been made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Made {
    /// How far it has got.
    pub stage: Stage,
    /// Hours put into it.
    pub hours: f64,
}

/// All parts on which work has begun, by their names; of a part on both sides each hand by itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Progress(pub BTreeMap<String, Made>);

impl Progress {
    /// How far a part has got.
    pub fn of(&self, part: &str) -> Made {
        self.0.get(part).copied().unwrap_or_default()
    }
}
