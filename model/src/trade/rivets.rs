//! Solid rivets. In: a diameter in thirty-seconds and the metal that it holds. Out: lengths, dash numbers, heads, edge distance and
//! pitch. Inches; distances in diameters, from the middle of the hole.

use super::{Known, Source};

/// A figure in diameters, with its source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InDiameters {
    /// How many.
    pub times: f64,
    /// Where it stands.
    pub source: Source,
}

const fn rule(times: f64, name: &'static str, known: Known) -> InDiameters {
    InDiameters {
        times,
        source: Source { name, known },
    }
}

/// What a dash number means.
pub const CODE: Source = Source {
    name: "parts lists of TM 10-7360-209-13P, par. 5-3: 32nds, then 16ths of an inch; half sizes as FAA AC 43.13-1B, par. 4-57a(4), p. 4-16, has them",
    known: Known::Read,
};
/// Length: the grip and 1.5 diameters. (Two manuals print 1/2 diameter, a dropped 1.)
pub const LENGTH: InDiameters = rule(
    1.5,
    "NAVEDTRA 14018, ch. 13, fig. 13-43, and FAA-H-8083-31, ch. 4, fig. 4-76",
    Known::Read,
);
/// The nearest size is taken.
pub const NEAREST: Source = Source {
    name: "nearest half size; TM 10-7360-209-13P says the next longer one",
    known: Known::CommonPractice,
};
/// The shop head over all.
pub const SHOP_HEAD_WIDE: InDiameters = rule(1.5, "FAA test bank", Known::SecondHand);
/// The shop head's height.
pub const SHOP_HEAD_HIGH: InDiameters = rule(0.5, "FAA test bank", Known::SecondHand);
/// The universal head over all.
pub const UNIVERSAL_WIDE: InDiameters = rule(2.0, "usual size of MS20470 heads", Known::FromMemory);
/// The universal head's height.
pub const UNIVERSAL_HIGH: InDiameters =
    rule(0.43, "usual size of MS20470 heads", Known::FromMemory);
/// The countersunk head over all.
pub const COUNTERSUNK_WIDE: InDiameters =
    rule(1.8, "usual size of MS20426 heads", Known::FromMemory);

/// Least edge distance.
pub const EDGE_LEAST: InDiameters = rule(
    2.0,
    "FAA AC 43.13-1B, par. 4-57c, as a builder's glossary quotes it; TM 10-5410-229-13P, par. 5-6(3)(b), read",
    Known::SecondHand,
);
/// Edge distance that is better, and the least for countersunk heads.
pub const EDGE_BETTER: InDiameters = rule(
    2.5,
    "lecture notes; FAA-H-8083-31 for countersunk heads, from memory",
    Known::SecondHand,
);
/// Greatest edge distance.
pub const EDGE_MOST: InDiameters = rule(4.0, "aviationpros.com, March 1999", Known::SecondHand);
/// Least pitch in a row.
pub const PITCH_LEAST: InDiameters = rule(
    3.0,
    "NAVEDTRA 14018, ch. 13; FAA AC 43.13-1B, par. 4-57c, as quoted",
    Known::Read,
);
/// Least pitch by a stricter opinion.
pub const PITCH_STRICTER: InDiameters = rule(
    4.0,
    "an engineering firm's page on rivet spacing, 7 Nov 2025",
    Known::Read,
);
/// Usual pitch, the least.
pub const PITCH_USUAL: InDiameters = rule(4.0, "NAVEDTRA 14018, ch. 13", Known::Read);
/// Usual pitch, the most; sources for a greatest pitch disagree: 8, 10 and 12 diameters.
pub const PITCH_USUAL_MOST: InDiameters = rule(8.0, "NAVEDTRA 14018, ch. 13", Known::Read);
/// Greatest pitch by another source.
pub const PITCH_MOST: InDiameters = rule(10.0, "aviationpros.com, March 1999", Known::SecondHand);
/// Least distance between two rows.
pub const ROWS_APART: InDiameters = rule(2.5, "TM 10-5410-229-13P", Known::Read);
/// Distance between two rows as a share of the pitch.
pub const ROWS_SHARE: InDiameters = rule(0.75, "aviationpros.com, March 1999", Known::SecondHand);
/// The diameter as a multiple of the thickest sheet: at least, and at most.
pub const DIAMETER: [InDiameters; 2] = [
    rule(1.0, "NAVEDTRA 14018, ch. 13", Known::Read),
    rule(
        3.0,
        "NAVEDTRA 14018, ch. 13; the size next above it, as in FAA AC 43.13-1B, p. 4-27",
        Known::Read,
    ),
];

/// A length that can be bought: its dash number in sixteenths, halves allowed, and in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Length {
    /// In thirty-seconds of an inch.
    pub thirty_seconds: u32,
}

impl Length {
    /// In inches.
    pub fn inches(self) -> f64 {
        f64::from(self.thirty_seconds) / 32.0
    }

    /// The dash number: `4`, `3.5`.
    pub fn dash(self) -> String {
        if self.thirty_seconds.is_multiple_of(2) {
            (self.thirty_seconds / 2).to_string()
        } else {
            format!("{}.5", self.thirty_seconds / 2)
        }
    }
}

/// Rivets for a stack of metal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    /// The exact length, in inches.
    pub exact: f64,
    /// The next half size that is no longer.
    pub shorter: Length,
    /// The next half size that is no shorter.
    pub longer: Length,
    /// The nearer of the two; of two that are as near, the longer one.
    pub chosen: Length,
}

/// The length for so much metal, in inches; none for a stack that no rivet holds.
pub fn choose(diameter: f64, metal: f64) -> Option<Choice> {
    /// Nobody sets a longer one: 4 in.
    const LONGEST: f64 = 128.0;
    let exact = metal + LENGTH.times * diameter;
    let steps = exact * 32.0;
    if !(steps > 0.0 && steps <= LONGEST) {
        return None;
    }
    // a length that is met but for rounding is met
    let met = (steps - steps.round()).abs() < 1e-6;
    let [down, up] = if met {
        [steps.round(); 2]
    } else {
        [steps.floor(), steps.ceil()]
    };
    let length = |steps: f64| Length {
        thirty_seconds: steps.max(1.0) as u32,
    };
    let nearer = if steps - down < up - steps { down } else { up };
    Some(Choice {
        exact,
        shorter: length(down),
        longer: length(up),
        chosen: length(nearer),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_sizes_both_ways() {
        // 0.157 + 0.1875 = 0.3445: between 5.5 (0.34375) and 6 (0.375)
        let choice = choose(0.125, 0.157);
        let dashes = choice.map(|c| [c.shorter.dash(), c.longer.dash(), c.chosen.dash()]);
        assert_eq!(dashes, Some(["5.5", "6", "5.5"].map(str::to_owned)));
    }

    #[test]
    fn no_rivet_for_what_is_no_stack() {
        assert_eq!(choose(0.125, 12.0), None);
        assert_eq!(choose(0.125, f64::NAN), None);
    }
}
