//! Drills for rivets and bolts. In: a fastener. Out: the drill, with its source. Inches.

use super::fastener::{Fastener, Make};
use super::{Known, Source};

const INCH: f64 = 25.4;

/// A drill.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drill {
    /// Its name: `#30`, `F`, `1/4`.
    pub name: &'static str,
    /// Its diameter.
    pub inches: f64,
}

const fn drill(name: &'static str, inches: f64) -> Drill {
    Drill { name, inches }
}

/// A column of rivet drills, for diameters of 3, 4, 5, 6 and 8 thirty-seconds; none where the source has none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// The drills.
    pub drills: [Option<Drill>; 5],
    /// Where they stand.
    pub source: Source,
}

/// The diameters of the columns, in thirty-seconds.
pub const DIAMETERS: [u8; 5] = [3, 4, 5, 6, 8];

/// The columns; sources disagree but for the 1/8 rivet. The first one is in use.
pub const RIVET_DRILLS: [Column; 3] = [
    Column {
        drills: [
            Some(drill("#40", 0.098)),
            Some(drill("#30", 0.1285)),
            Some(drill("#21", 0.159)),
            Some(drill("#11", 0.191)),
            Some(drill("F", 0.257)),
        ],
        source: Source {
            name: "drills usual in handbooks, FAA-H-8083-31",
            known: Known::FromMemory,
        },
    },
    Column {
        drills: [
            Some(drill("#41", 0.096)),
            Some(drill("#30", 0.1285)),
            Some(drill("#22", 0.157)),
            Some(drill("#12", 0.189)),
            Some(drill("1/4", 0.250)),
        ],
        source: Source {
            name: "a fighter repair manual of the 1940s, sec. VI, par. 16",
            known: Known::Read,
        },
    },
    Column {
        drills: [
            Some(drill("#41", 0.096)),
            Some(drill("#30", 0.1285)),
            Some(drill("#20", 0.161)),
            None,
            Some(drill("F", 0.257)),
        ],
        source: Source {
            name: "TM 10-5410-221-14/1, table 4-3, blind rivets",
            known: Known::Read,
        },
    },
];

/// Holes of bolts AN3 to AN8: the drill nearest to the shank and not below it, and the next lettered one above the nominal diameter,
/// where there is one.
const BOLT_DRILLS: [(Drill, Option<Drill>); 6] = [
    (drill("#11", 0.191), None),
    (drill("1/4", 0.250), Some(drill("F", 0.257))),
    (drill("5/16", 0.3125), Some(drill("O", 0.316))),
    (drill("3/8", 0.375), Some(drill("V", 0.377))),
    (drill("7/16", 0.4375), None),
    (drill("1/2", 0.500), None),
];

/// Sizes of drills.
pub const SIZES: Source = Source {
    name: "standard sizes of number, letter and fractional drills",
    known: Known::FromMemory,
};
/// Larger holes of bolts.
pub const LETTERED: Source = Source {
    name: "FAA AC 43.13-1B, par. 7-39: the next lettered drill above nominal is generally permissible but for light-drive fits",
    known: Known::Read,
};

/// The hole of a fastener.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// The drill in use.
    pub drill: Drill,
    /// Where it stands.
    pub source: Source,
    /// The largest that may be taken, where a source has one.
    pub at_most: Option<Drill>,
}

/// The hole of a fastener; none where no column has it.
pub fn hole_of(fastener: Fastener) -> Option<Hole> {
    match fastener.make() {
        Make::Bolt(number) => {
            let at = usize::from(number).checked_sub(3)?;
            let (drill, at_most) = *BOLT_DRILLS.get(at)?;
            Some(Hole {
                drill,
                source: SIZES,
                at_most,
            })
        }
        Make::Universal(number) | Make::Countersunk(number) => {
            let at = DIAMETERS.iter().position(|diameter| *diameter == number)?;
            let [first, ..] = &RIVET_DRILLS;
            Some(Hole {
                drill: first.drills.get(at).copied().flatten()?,
                source: first.source,
                at_most: None,
            })
        }
    }
}

/// The shank of an AN3: a number 10 thread's, more than its nominal 3/16 (second-hand).
const AN3_SHANK: f64 = 0.190;

/// The shank of a fastener, in inches.
fn shank(fastener: Fastener) -> f64 {
    match fastener.make() {
        Make::Bolt(3) => AN3_SHANK,
        _ => fastener.diameter_mm() / INCH,
    }
}

/// How far the holes of two parts may be off one another for a fastener to go into both, in millimetres: what the largest hole that a
/// table has for it is wider than its shank. It is the textbook's rule for floating fasteners, T = H − F (ASME Y14.5, from memory).
pub fn slack_mm(fastener: Fastener) -> Option<f64> {
    let hole = hole_of(fastener)?;
    let widest = hole.at_most.unwrap_or(hole.drill);
    Some((widest.inches - shank(fastener)).max(0.0) * INCH)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A rivet swells into its hole; a bolt's shank has to go through.
    #[test]
    fn every_fastener_has_a_hole_that_it_goes_through() {
        for fastener in Fastener::ALL {
            let hole = hole_of(*fastener);
            let shank = shank(*fastener);
            assert!(
                hole.is_some_and(
                    |hole| hole.drill.inches >= shank && hole.drill.inches < shank + 0.01
                ),
                "{fastener:?}"
            );
        }
    }

    /// By hand: AN3 0.191 - 0.190; AN4, which may have an F, 0.257 - 0.250; AN7 has its own size and no more; a rivet of 1/8 in #30
    /// 0.1285 - 0.125.
    #[test]
    fn what_a_hole_is_wider_than_its_fastener() {
        for (fastener, inches) in [
            (Fastener::AN3, 0.001),
            (Fastener::AN4, 0.007),
            (Fastener::AN7, 0.0),
            (Fastener::MS20470AD4, 0.0035),
        ] {
            let slack = slack_mm(fastener);
            assert!(
                slack.is_some_and(|slack| (slack / 25.4 - inches).abs() < 1e-9),
                "{fastener:?}: {slack:?}"
            );
        }
    }
}
