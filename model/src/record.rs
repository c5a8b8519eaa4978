//! What has been made so far: how far each part has got, and the hours it took.

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
