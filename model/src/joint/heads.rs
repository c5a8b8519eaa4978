//! Heads and tails of fasteners as round blocks. In: a fastener. Out: how wide and how high its head and its tail are, in millimetres,
//! with the source.

use nalgebra::Vector3;

use super::around::Metal;
use super::flat::Frame;
use super::measured::Measured;
use super::stacked::Stand;
use crate::layout::PlacedSolid;
use crate::trade::bolts::{self, Series};
use crate::trade::fastener::{Fastener, Make};
use crate::trade::{Source, rivets};

const INCH: f64 = 25.4;

/// A round block at one end of a fastener.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// Half of what it is over all.
    pub radius_mm: f64,
    /// How far it stands out of the metal.
    pub high_mm: f64,
    /// Where that stands.
    pub source: Source,
}

/// The head, and the tail: a shop head, or washers and nut with what of the bolt stands out of it.
pub fn blocks(fastener: Fastener) -> [Block; 2] {
    let d = fastener.diameter_mm();
    let shop = Block {
        radius_mm: 0.5 * rivets::SHOP_HEAD_WIDE.times * d,
        high_mm: rivets::SHOP_HEAD_HIGH.times * d,
        source: rivets::SHOP_HEAD_WIDE.source,
    };
    match fastener.make() {
        Make::Universal(_) => [
            Block {
                radius_mm: 0.5 * rivets::UNIVERSAL_WIDE.times * d,
                high_mm: rivets::UNIVERSAL_HIGH.times * d,
                source: rivets::UNIVERSAL_WIDE.source,
            },
            shop,
        ],
        // it lies in the metal
        Make::Countersunk(_) => [
            Block {
                radius_mm: 0.5 * rivets::COUNTERSUNK_WIDE.times * d,
                high_mm: 0.0,
                source: rivets::COUNTERSUNK_WIDE.source,
            },
            shop,
        ],
        Make::Bolt(number) => {
            let Some(series) = Series::of(number) else {
                return [shop, shop];
            };
            let nut_side = bolts::WASHER_THICK[0] + series.nut_high;
            // the thread is as long as the nut and more: the longest of its bolts with the least washers
            let thread = series.length_more + series.grip_less;
            [
                Block {
                    radius_mm: 0.5 * series.head[0].max(series.washer.outside) * INCH,
                    high_mm: series.head[1] * INCH,
                    source: bolts::HEADS,
                },
                Block {
                    radius_mm: 0.5 * series.washer.outside * INCH,
                    high_mm: nut_side.max(thread) * INCH,
                    source: bolts::HEADS,
                },
            ]
        }
    }
}

/// Corners of a round block as it is drawn.
const CORNERS: u32 = 12;

impl Stand<'_> {
    /// The heads and tails at the fasteners of some joints, as prisms round them.
    pub(crate) fn heads_of(self, statements: &[String]) -> Vec<PlacedSolid> {
        self.named(statements)
            .filter_map(|measured| Some((measured.stacked.fastener?, measured)))
            .flat_map(|(fastener, measured)| {
                let grip: f64 = measured.layers.iter().map(|layer| layer.thickness).sum();
                let [head, tail] = blocks(fastener);
                let frame = &measured.stacked.frame;
                let mut solids = Vec::new();
                if !measured.has_places() {
                    return solids;
                }
                for at in 0..measured.at.len() {
                    let under = measured.under_head(at);
                    solids.extend(prism(frame, under, &head, -head.high_mm));
                    solids.extend(prism(frame, under + frame.way * grip, &tail, tail.high_mm));
                }
                solids
            })
            .collect()
    }
}

impl<'a> Stand<'a> {
    /// The first of some joints whose rows have no places.
    pub(crate) fn without_places(self, statements: &[String]) -> Option<String> {
        let mut named = self.named(statements);
        let without = named.find(|one| !one.has_places())?;
        Some(without.stacked.statement.to_owned())
    }

    /// The first of some parts that lies against the stack of one of some joints, and the joint.
    pub(crate) fn against_stack(
        self,
        statements: &[String],
        parts: &[usize],
    ) -> Option<(usize, String)> {
        if statements.is_empty() {
            return None;
        }
        let metal = Metal::of_parts(self, parts.iter().copied());
        let mut named = self.named(statements);
        named.find_map(|one| {
            let (part, _) = metal.against(&one).into_iter().next()?;
            Some((part, one.stacked.statement.to_owned()))
        })
    }

    /// Some joints, measured.
    fn named(self, statements: &[String]) -> impl Iterator<Item = Measured<'a>> {
        let stacked = match statements.is_empty() {
            true => Vec::new(),
            false => self.stacked(),
        };
        let named = stacked.into_iter();
        let named = named.filter(move |one| statements.iter().any(|name| name == one.statement));
        named.map(move |one| self.measure_joint(one))
    }
}

/// A round block on a plane, swept along the way of the fastener; none for one that doesn't stand out.
fn prism(frame: &Frame, at: Vector3<f64>, block: &Block, high: f64) -> Option<PlacedSolid> {
    let step = std::f64::consts::TAU / f64::from(CORNERS);
    // its flats touch the round block from outside
    let radius = block.radius_mm / (0.5 * step).cos();
    let corner = |index: u32| {
        let (sine, cosine) = (step * f64::from(index)).sin_cos();
        (at + (frame.u * cosine + frame.v * sine) * radius).into()
    };
    (block.high_mm > 0.0).then(|| PlacedSolid {
        outline_mm: (0..CORNERS).map(corner).collect(),
        openings_mm: Vec::new(),
        sweep_mm: (frame.way * high).into(),
    })
}
