//! Spacers whose thickness is found. In: the gap that one fills. Out: what of the stock comes nearest, how far off it is, and how much
//! that cants the part. Millimetres and degrees.

use schemars::JsonSchema;
use serde::Serialize;

use super::measured::Measured;
use crate::assembly::Solved;
use crate::trade::{Source, bolts, gauges};

const INCH: f64 = 25.4;

/// A spacer with what can be put in its place.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SpacerChoice {
    /// The part.
    pub part: String,
    /// The gap that it fills.
    pub found_mm: f64,
    /// What comes near, the nearest of each sort.
    pub fills: Vec<Fill>,
    /// From this contact to the other one of the same two parts, over which a wrong thickness cants them; none where this is the only one.
    pub over_mm: Option<f64>,
}

/// What fills a gap.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Fill {
    /// Sheets on one another, their gauges; none for washers.
    pub sheets_mm: Vec<f64>,
    /// Plain and thin AN960 washers.
    pub washers: [u32; 2],
    /// How thick it is.
    pub thickness_mm: f64,
    /// How much thicker than the gap; less than nothing where it is thinner.
    pub off_mm: f64,
    /// How far that cants the part.
    pub cant_deg: Option<f64>,
    /// Where its thickness stands.
    pub source: Source,
}

/// At most so many sheets on one another.
const SHEETS: usize = 3;
/// At most so many washers on one another.
const WASHERS: u32 = 4;

impl Solved<'_> {
    pub(super) fn spacers(&self, measured: &Measured<'_>) -> Vec<SpacerChoice> {
        let both = measured.stacked.layers.iter().zip(&measured.layers);
        let found =
            both.filter(|(stated, layer)| layer.met && self.stand().gauge_is_found(stated.part));
        let over = self.other_contact(measured);
        found
            .filter_map(|(stated, layer)| {
                Some(SpacerChoice {
                    part: self.assembly.parts.get(stated.part)?.name.clone(),
                    found_mm: layer.thickness,
                    fills: fills(layer.thickness, over),
                    over_mm: over,
                })
            })
            .collect()
    }

    /// The distance to the nearest other contact of the same two parts.
    fn other_contact(&self, measured: &Measured<'_>) -> Option<f64> {
        let joints = &self.assembly.joints;
        let this = joints
            .iter()
            .find(|joint| joint.statement == measured.stacked.statement)?;
        let frame = &measured.stacked.frame;
        let here = frame.flat(measured.stacked.middle).0;
        joints
            .iter()
            .filter(|other| other.statement != this.statement)
            .filter(|other| {
                [other.part, other.to] == [this.part, this.to]
                    || [other.to, other.part] == [this.part, this.to]
            })
            .map(|other| (frame.flat(self.solution.point(&other.at).into()).0 - here).norm())
            .filter(|distance| *distance > 1.0)
            .min_by(f64::total_cmp)
    }
}

/// The single sheet, the pile of sheets and the pack of washers that come nearest.
fn fills(found_mm: f64, over: Option<f64>) -> Vec<Fill> {
    let fill = |sheets: Vec<f64>, washers: [u32; 2], inches: f64, source| {
        let off_mm = inches * INCH - found_mm;
        Fill {
            sheets_mm: sheets.into_iter().map(|gauge| gauge * INCH).collect(),
            washers,
            thickness_mm: inches * INCH,
            off_mm,
            cant_deg: over.map(|over| (off_mm / over).atan().to_degrees()),
            source,
        }
    };
    let nearest = |list: Vec<Fill>| {
        list.into_iter()
            .min_by(|a, b| a.off_mm.abs().total_cmp(&b.off_mm.abs()))
    };
    let sheet = |sheets: Vec<f64>| {
        let sum = sheets.iter().sum();
        fill(sheets, [0, 0], sum, gauges::SHEETS)
    };
    let single = nearest(
        gauges::IN_USE
            .into_iter()
            .map(|gauge| sheet(vec![gauge]))
            .collect(),
    );
    let mut piles: Vec<Vec<f64>> = gauges::IN_USE
        .into_iter()
        .map(|gauge| vec![gauge])
        .collect();
    let mut all = Vec::new();
    for _ in 1..SHEETS {
        piles = piles
            .iter()
            .flat_map(|pile| {
                let thickest = pile.last().copied().unwrap_or_default();
                let thinner = gauges::IN_USE
                    .into_iter()
                    .filter(move |gauge| *gauge <= thickest);
                thinner.map(|gauge| pile.iter().copied().chain([gauge]).collect())
            })
            .collect();
        all.extend(piles.iter().cloned().map(sheet));
    }
    let packs =
        (0..=WASHERS).flat_map(|plain| (0..=WASHERS - plain).map(move |thin| [plain, thin]));
    let packs = packs.filter(|pack| pack[0] + pack[1] > 0).map(|pack| {
        let thick = pack.iter().zip(bolts::WASHER_THICK);
        let inches = thick.map(|(count, t)| f64::from(*count) * t).sum();
        fill(Vec::new(), pack, inches, bolts::WASHERS)
    });
    let pile = nearest(all).filter(|pile| {
        // no pile where one sheet is as near
        single
            .as_ref()
            .is_none_or(|one| pile.off_mm.abs() < one.off_mm.abs() - 1e-9)
    });
    let pack = nearest(packs.collect());
    single.clone().into_iter().chain(pile).chain(pack).collect()
}
