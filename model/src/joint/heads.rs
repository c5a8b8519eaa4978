//! Heads and tails of fasteners as round blocks. In: a fastener. Out: how wide and how high its head and its tail are, in millimetres,
//! with the source.

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
