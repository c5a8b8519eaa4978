//! Bolts AN3 to AN8 and their washers. In: a bolt's number and the metal that it holds. Out: grips, lengths and dash numbers, with how
//! they are known. Inches, as they are published.
//!
//! The text of the standard was not to be had: the figures are those of a builder's practices manual, which agree with independent
//! grips of a supplier, and the rule that both follow.

use super::rivets::InDiameters;
use super::{Known, Source};

/// Bolts of one number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Series {
    /// The number, which counts sixteenths of an inch.
    pub number: u8,
    /// Its thread.
    pub thread: &'static str,
    /// What its nominal length has more than its grip.
    pub grip_less: f64,
    /// What its length has more than its nominal length.
    pub length_more: f64,
    /// The shortest one, in eighths.
    pub first: u32,
    /// The washer under its head or nut.
    pub washer: Washer,
    /// Its head: over the corners, and high.
    pub head: [f64; 2],
    /// How high a self-locking nut on it is.
    pub nut_high: f64,
}

/// A washer of a bolt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Washer {
    /// Its standard's number; an L behind it is the thin one.
    pub name: &'static str,
    /// Over all.
    pub outside: f64,
}

/// Grip and length of the short ones.
pub const MANUAL: Source = Source {
    name: "a builder's practices manual, table of AN bolts; its grips agree with those that a bolt supplier gives for AN4-15A, AN6-20 and AN5H-27A",
    known: Known::SecondHand,
};
/// Of those that are longer than the manual's rows.
pub const BY_RULE: Source = Source {
    name: "the rule that the rows of the builder's practices manual follow",
    known: Known::Computed,
};
/// AN7 and AN8.
pub const REMEMBERED: Source = Source {
    name: "grip and length of AN7 and AN8",
    known: Known::FromMemory,
};
/// Threads, and how much of a bolt is thread.
pub const THREADS: Source = Source {
    name: "a bolt supplier's sizing reference for AN3 to AN10",
    known: Known::Read,
};
/// Dash numbers.
pub const DASHES: Source = Source {
    name: "a fastener supplier's sheet TECH00095, and a builder's practices manual",
    known: Known::Read,
};
/// Thickness of washers.
pub const WASHERS: Source = Source {
    name: "a fastener supplier's sheet TECH00095: AN960 1/16 in, its L version 1/32 in",
    known: Known::Read,
};
/// Diameters of washers, sizes of heads and nuts.
pub const HEADS: Source = Source {
    name: "usual sizes of AN960 washers, AN bolt heads and AN365 nuts",
    known: Known::FromMemory,
};
/// How grip is chosen.
pub const CHOICE: Source = Source {
    name: "FAA AC 43.13-1B, par. 7-86: washers as shims to get the grip right; a fastener supplier's sheet: grip as much as the metal or a little more",
    known: Known::Read,
};
/// How many washers are too many.
pub const MOST_WASHERS: Source = Source {
    name: "never more than three washers on one bolt",
    known: Known::CommonPractice,
};

/// Least edge distance, in diameters from the middle of the hole.
pub const EDGE_LEAST: InDiameters = InDiameters {
    times: 2.0,
    source: Source {
        name: "an engineering firm's page on rivet spacing: 2 D for any fastener",
        known: Known::Read,
    },
};
/// Least pitch, in diameters.
pub const PITCH_LEAST: InDiameters = InDiameters {
    times: 3.0,
    source: Source {
        name: "bolts no closer than rivets: 3 D",
        known: Known::CommonPractice,
    },
};

/// A plain washer, and the thin one.
pub const WASHER_THICK: [f64; 2] = [1.0 / 16.0, 1.0 / 32.0];

/// The list.
pub const SERIES: &[Series] = &[
    series(
        3,
        "10-32",
        [3.0 / 8.0, 1.0 / 32.0],
        3,
        ("AN960-10", 0.438),
        [0.433, 0.125],
        0.234,
    ),
    series(
        4,
        "1/4-28",
        [7.0 / 16.0, 1.0 / 32.0],
        3,
        ("AN960-416", 0.500),
        [0.505, 0.156],
        0.328,
    ),
    series(
        5,
        "5/16-24",
        [7.0 / 16.0, 3.0 / 32.0],
        4,
        ("AN960-516", 0.562),
        [0.577, 0.188],
        0.359,
    ),
    series(
        6,
        "3/8-24",
        [9.0 / 16.0, 5.0 / 64.0],
        5,
        ("AN960-616", 0.625),
        [0.650, 0.219],
        0.468,
    ),
    series(
        7,
        "7/16-20",
        [9.0 / 16.0, 3.0 / 32.0],
        5,
        ("AN960-716", 0.750),
        [0.722, 0.250],
        0.468,
    ),
    series(
        8,
        "1/2-20",
        [5.0 / 8.0, 3.0 / 32.0],
        6,
        ("AN960-816", 0.875),
        [0.866, 0.281],
        0.609,
    ),
];

const fn series(
    number: u8,
    thread: &'static str,
    [grip_less, length_more]: [f64; 2],
    first: u32,
    (name, outside): (&'static str, f64),
    head: [f64; 2],
    nut_high: f64,
) -> Series {
    Series {
        number,
        thread,
        grip_less,
        length_more,
        first,
        washer: Washer { name, outside },
        head,
        nut_high,
    }
}

/// A bolt that can be bought, in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bolt {
    /// Its number, as 3 of AN3.
    pub number: u8,
    /// Its dash number.
    pub dash: u32,
    /// The part of it without thread.
    pub grip: f64,
    /// From under the head to the end.
    pub length: f64,
    /// Where its figures stand.
    pub source: Source,
}

impl Bolt {
    /// As it is ordered, without the letter for the hole in its shank.
    pub fn code(&self) -> String {
        format!("AN{}-{}", self.number, self.dash)
    }
}

/// Eighths of an inch as a dash number: one digit counts eighths; of two, the first counts inches. 8 and 9 are never last.
pub fn dash_of(eighths: u32) -> u32 {
    if eighths < 8 {
        eighths
    } else {
        10 * (eighths / 8) + eighths % 8
    }
}

/// Longer ones are not listed: six inches.
const LONGEST: u32 = 48;

impl Series {
    /// Bolts of a number.
    pub fn of(number: u8) -> Option<&'static Series> {
        SERIES.iter().find(|series| series.number == number)
    }

    /// One of them by its eighths; none that is shorter than the shortest.
    pub fn bolt(&self, eighths: u32) -> Option<Bolt> {
        if eighths < self.first || eighths > LONGEST {
            return None;
        }
        let nominal = f64::from(eighths) / 8.0;
        let (grip, length) = match (self.number, eighths) {
            // the two that the rule doesn't reach
            (3 | 4, 3) => (1.0 / 16.0, 15.0 / 32.0),
            _ => (nominal - self.grip_less, nominal + self.length_more),
        };
        let dash = dash_of(eighths);
        Some(Bolt {
            number: self.number,
            dash,
            grip,
            length,
            source: match self.number {
                7 | 8 => REMEMBERED,
                _ if dash <= 14 => MANUAL,
                _ => BY_RULE,
            },
        })
    }

    /// All of them, the shortest first.
    pub fn bolts(&self) -> impl Iterator<Item = Bolt> + '_ {
        (self.first..=LONGEST).filter_map(|eighths| self.bolt(eighths))
    }
}

/// Bolts for a stack of metal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    /// The longest whose grip is less than the metal; its thread would bear in the joint.
    pub shorter: Option<Bolt>,
    /// The shortest whose grip is the metal's or more.
    pub fits: Bolt,
    /// Washers that fill what its grip has more, the plain ones and the thin ones; at least one, under the nut.
    pub washers: [u32; 2],
}

/// The bolt for so much metal; none where all are too short.
pub fn choose(number: u8, metal: f64) -> Option<Choice> {
    /// A grip is enough when it is less by no more than this: rounding.
    const ROUNDING: f64 = 1e-6;
    let series = Series::of(number)?;
    let fits = series.bolts().find(|bolt| bolt.grip >= metal - ROUNDING)?;
    let shorter = series
        .bolts()
        .filter(|bolt| bolt.grip < metal - ROUNDING)
        .last();
    let excess = fits.grip - metal;
    let combinations = (0..=3u32).flat_map(|plain| (0..=3 - plain).map(move |thin| [plain, thin]));
    let thick = |[plain, thin]: [u32; 2]| {
        f64::from(plain) * WASHER_THICK[0] + f64::from(thin) * WASHER_THICK[1]
    };
    let washers = combinations
        .filter(|pair| pair[0] + pair[1] > 0 && thick(*pair) >= excess - ROUNDING)
        .min_by(|a, b| {
            let by_thickness = thick(*a).total_cmp(&thick(*b));
            by_thickness.then((a[0] + a[1]).cmp(&(b[0] + b[1])))
        })?;
    Some(Choice {
        shorter,
        fits,
        washers,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 0.300 in with AN3: grips are 0.250 and 0.375; 0.075 is left, more than a plain washer and less than one with a thin one.
    #[test]
    fn between_two_sizes_the_longer_one_with_washers() {
        let choice = choose(3, 0.300);
        let dashes = choice.map(|c| (c.shorter.map(|b| b.dash), c.fits.dash, c.washers));
        assert_eq!(dashes, Some((Some(5), 6, [1, 1])));
    }

    #[test]
    fn a_grip_that_is_met_takes_one_thin_washer() {
        assert_eq!(
            choose(3, 0.250).map(|c| (c.fits.dash, c.washers)),
            Some((5, [0, 1]))
        );
    }

    #[test]
    fn nothing_holds_a_foot() {
        assert_eq!(choose(3, 12.0), None);
    }

    #[test]
    fn three_washers_always_do() {
        for series in SERIES {
            for thousandths in 1..3000 {
                let metal = f64::from(thousandths) / 1000.0;
                let choice = choose(series.number, metal);
                assert!(choice.is_some(), "AN{} on {metal}", series.number);
            }
        }
    }
}
