//! What to buy for a joint. In: its fastener and its grip. Out: dash number, washers, length, neighbours, and the hole, with their
//! sources. Lengths in millimetres.

use schemars::JsonSchema;
use serde::Serialize;

use crate::trade::fastener::{Fastener, Make};
use crate::trade::{Source, bolts, drills, rivets};

const INCH: f64 = 25.4;

/// What to buy for a joint, by geometry only.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Purchase {
    /// A bolt.
    Bolt(BoltChoice),
    /// A solid rivet.
    Rivet(RivetChoice),
}

/// A bolt with its washers.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BoltChoice {
    /// Its dash number, as `AN3-6`.
    pub code: String,
    /// Its grip.
    pub grip_mm: f64,
    /// From under its head to its end.
    pub length_mm: f64,
    /// Its thread.
    pub thread: String,
    /// How high the nut is.
    pub nut_mm: f64,
    /// The next shorter one, whose thread would bear in the joint, and its grip.
    pub shorter: Option<(String, f64)>,
    /// Washers under the nut that fill what the grip has more, the thicker ones first: how many, and which.
    pub washers: Vec<(u32, String)>,
    /// How thick these are together.
    pub washers_mm: f64,
    /// Where grip and length stand.
    pub source: Source,
}

/// The length of a solid rivet.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RivetChoice {
    /// Number and dash numbers of the length taken, as `MS20470AD4-5.5`.
    pub code: String,
    /// Its length.
    pub length_mm: f64,
    /// Grip plus 1.5 diameters.
    pub exact_mm: f64,
    /// The half sizes on both sides of that: dash number and length.
    pub beside: [(String, f64); 2],
    /// Where the length's rule stands.
    pub source: Source,
    /// Why this one of the two.
    pub nearest: Source,
}

/// The hole of a fastener.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct HoleSize {
    /// The drill's name.
    pub drill: String,
    /// Its diameter.
    pub diameter_mm: f64,
    /// Where it stands.
    pub source: Source,
    /// The largest drill that may be taken, its diameter, and where that stands.
    pub at_most: Option<(String, f64, Source)>,
}

/// What to buy; none for a grip that nothing holds.
pub(super) fn purchase(fastener: Fastener, grip_mm: f64) -> Option<Purchase> {
    let grip = grip_mm / INCH;
    match fastener.make() {
        Make::Bolt(number) => {
            let series = bolts::Series::of(number)?;
            let choice = bolts::choose(number, grip)?;
            let names = [
                series.washer.name.to_owned(),
                format!("{}L", series.washer.name),
            ];
            let washers = choice.washers.into_iter().zip(names);
            let thick = choice.washers.iter().zip(bolts::WASHER_THICK);
            Some(Purchase::Bolt(BoltChoice {
                code: choice.fits.code(),
                grip_mm: choice.fits.grip * INCH,
                length_mm: choice.fits.length * INCH,
                thread: series.thread.to_owned(),
                nut_mm: series.nut_high * INCH,
                shorter: choice.shorter.map(|bolt| (bolt.code(), bolt.grip * INCH)),
                washers: washers.filter(|(count, _)| *count > 0).collect(),
                washers_mm: thick.map(|(count, t)| f64::from(*count) * t).sum::<f64>() * INCH,
                source: choice.fits.source,
            }))
        }
        Make::Universal(_) | Make::Countersunk(_) => {
            let choice = rivets::choose(fastener.diameter_mm() / INCH, grip)?;
            let beside = [choice.shorter, choice.longer];
            Some(Purchase::Rivet(RivetChoice {
                code: format!("{}-{}", fastener.name(), choice.chosen.dash()),
                length_mm: choice.chosen.inches() * INCH,
                exact_mm: choice.exact * INCH,
                beside: beside.map(|length| (length.dash(), length.inches() * INCH)),
                source: rivets::LENGTH.source,
                nearest: rivets::NEAREST,
            }))
        }
    }
}

/// The hole.
pub(super) fn hole(fastener: Fastener) -> Option<HoleSize> {
    let hole = drills::hole_of(fastener)?;
    Some(HoleSize {
        drill: hole.drill.name.to_owned(),
        diameter_mm: hole.drill.inches * INCH,
        source: hole.source,
        at_most: hole
            .at_most
            .map(|drill| (drill.name.to_owned(), drill.inches * INCH, drills::LETTERED)),
    })
}
