//! The build record as it is written. In: its text. Out: what it says, with the places of every word, and its text again.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Made, Progress, Stage};
use crate::measurement::Measurement;
use crate::quantity::Unit;
use crate::source::{self, Entries, Fault, Given, Spanned, Text};

/// What stands at the head of every record.
const HEAD: &str = "\
// A build record. It is written anew with each entry: remarks go in as notes, since comments are not kept.
";

/// A whole build record, beside the model that it is of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// Version of the record's format: 1.
    pub format: Spanned<u32>,
    /// The unit of bare numbers: that of the model.
    pub unit: Spanned<Unit>,
    /// The parts on which work has begun. Of a part on both sides each by itself: `PART L`, `PART R`.
    #[serde(default, skip_serializing_if = "Entries::is_empty")]
    pub parts: Entries<MadePart>,
    /// Deviations of the model that were built into the real thing.
    #[serde(default, skip_serializing_if = "Entries::is_empty")]
    pub adopted: Entries<Adopted>,
    /// What was measured, written as in the model; it is asked for together with the model's own.
    #[serde(default, skip_serializing_if = "Entries::is_empty")]
    pub measurements: Entries<Measurement>,
    /// Remarks and hours, the first one first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<Note>,
}

/// A part as far as it has been made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MadePart {
    /// How far it has got.
    pub stage: Stage,
    /// The day on which it got there: `2026-10-03`.
    pub since: Text,
    /// Its sizes as made, where the builder has taken them: the name of the size, and a figure of its own.
    #[serde(default, skip_serializing_if = "Entries::is_empty")]
    pub sizes: Entries<Given>,
    /// Its sizes as the plan had them when it was cut, and its holes as it had them when they were drilled, in millimetres and
    /// degrees; written by the program. Where the plan changes, the part keeps them.
    #[serde(default, skip_serializing_if = "Entries::is_empty")]
    pub made_to: Entries<Spanned<f64>>,
    /// What was chosen when it was cut, such as the side of a flange; written by the program. What is bent stays so.
    #[serde(default, skip_serializing_if = "Entries::is_empty")]
    pub choices: Entries<Text>,
    /// Where it was fitted; written by the program. It stays there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fitted: Option<Fitted>,
}

/// Where a part was fitted: its origin in millimetres and its turns in degrees.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fitted {
    /// Station, aft of the datum.
    pub fs: f64,
    /// Buttock line, to the right of the middle.
    pub bl: f64,
    /// Waterline, above the datum.
    pub wl: f64,
    /// Turn about the station axis; positive moves the top to the left.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub roll: f64,
    /// Turn about the buttock-line axis; positive leans the top aft.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub pitch: f64,
    /// Turn about the waterline axis; positive moves the aft end to the right.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub yaw: f64,
}

/// A deviation that was built in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Adopted {
    /// The day: `2026-10-03`.
    pub on: Text,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub because: Option<Text>,
}

/// A remark, hours, or both.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Note {
    /// The day: `2026-10-03`.
    pub on: Text,
    /// The part that it is about; of the whole, if none is named.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<Text>,
    /// What is to be remembered.
    pub text: Text,
    /// Hours put in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<Spanned<f64>>,
}

#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde hands out references"
)]
fn is_zero(value: &f64) -> bool {
    *value == 0.0
}

impl Record {
    /// An example for the format reference.
    pub const EXAMPLE: &'static str = r#"(
    format: 1,
    unit: Inch,
    parts: {
        "seat rib L": (stage: Cut, since: "2026-10-03", sizes: {"height": "3 31/32 in"}),
        "seat frame": (stage: Fitted, since: "2026-10-05", fitted: (fs: 1016.0, bl: 0.0, wl: 0.0)),
    },
    adopted: {"shorter bay": (on: "2026-09-30", because: "the engine mount sits further aft")},
    measurements: {"bay": (from: "firewall.aft", to: "seat frame.web_fwd", is: "40 1/32 in", uncertainty: "1/32 in", on: "2026-10-06")},
    notes: [(on: "2026-10-03", part: "seat rib L", text: "filed to the line", hours: 1.5)],
)"#;

    /// A record of nothing yet.
    pub fn new(unit: Unit) -> Self {
        Self {
            format: Spanned::unplaced(1),
            unit: Spanned::unplaced(unit),
            parts: Entries::new(),
            adopted: Entries::new(),
            measurements: Entries::new(),
            notes: Vec::new(),
        }
    }

    /// Reads a record.
    ///
    /// # Errors
    /// The first thing wrong with the text, with its place.
    pub fn read(text: &str) -> Result<Self, Fault> {
        source::read(text).map_err(|fault| match fault.code {
            source::Code::Empty => Fault::error(fault.code, "there is nothing in this build record")
                .help("take the empty file away: the first `strongback built set` or `built note` begins a new one"),
            _ => fault,
        })
    }

    /// The record as text, which was read back and says the same.
    ///
    /// # Errors
    /// It holds what can't be written as text that says the same, such as a number that is not finite.
    pub fn text(&self) -> Result<String, Fault> {
        let unfit = |message: String| {
            Fault::error(
                source::Code::BadValue,
                format!("this can't be put on record: {message}"),
            )
        };
        let body = source::write(self).map_err(|error| unfit(error.to_string()))?;
        let text = format!("{HEAD}{body}");
        match Self::read(&text) {
            Ok(again) if again == *self => Ok(text),
            Ok(_) => Err(unfit("it would read differently".to_owned())),
            Err(fault) => Err(unfit(fault.message)),
        }
    }

    /// How far each part has got, with the hours put into it.
    pub fn progress(&self) -> Progress {
        let mut progress = Progress::default();
        for entry in &self.parts {
            let made = Made {
                stage: entry.value.stage,
                hours: 0.0,
            };
            progress.0.insert(entry.name.value.clone(), made);
        }
        for note in &self.notes {
            if let (Some(part), Some(hours)) = (&note.part, &note.hours) {
                progress.0.entry(part.value.clone()).or_default().hours += hours.value;
            }
        }
        progress
    }

    /// All hours, those of no part included.
    pub fn hours(&self) -> f64 {
        let hours = self.notes.iter().filter_map(|note| note.hours.as_ref());
        // a sum of nothing is a negative zero
        hours.map(|hours| hours.value).sum::<f64>() + 0.0
    }
}
