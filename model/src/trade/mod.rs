//! Published figures of the trade as data: each row with its source and how it is known.
//!
//! In: a part of the trade's vocabulary, an alloy, a gauge, a diameter. Out: the figure, and a [`Source`] to be told beside it.
//! Tables disagree; which one is in use is always said.

pub mod alloys;
pub mod bending;
pub mod bolts;
pub mod drills;
pub mod fastener;
pub mod gauges;
pub mod rivets;
pub mod tools;

use schemars::JsonSchema;
use serde::Serialize;

/// How a figure is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Known {
    /// Read in the source named.
    Read,
    /// Read in a page that quotes the source.
    SecondHand,
    /// From memory: the source named is where it is believed to stand.
    FromMemory,
    /// Computed from a formula or from figures that were read.
    Computed,
    /// Common practice, no source.
    CommonPractice,
}

impl Known {
    /// In words, as they stand beside a figure.
    pub fn words(self) -> &'static str {
        match self {
            Known::Read => "read",
            Known::SecondHand => "second-hand",
            Known::FromMemory => "from memory",
            Known::Computed => "computed",
            Known::CommonPractice => "common practice, no source",
        }
    }
}

/// Where a figure stands, and how it is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Source {
    /// Title and place.
    pub name: &'static str,
    /// How it is known.
    pub known: Known,
}
