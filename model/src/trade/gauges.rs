//! Gauges of sheet. In: a thickness. Out: the nearest gauges in use, and what older tables call them. Inches.

use super::{Known, Source};

/// Gauges in use.
pub const IN_USE: [f64; 12] = [
    0.016, 0.020, 0.025, 0.032, 0.040, 0.050, 0.063, 0.071, 0.080, 0.090, 0.100, 0.125,
];

/// Where they stand: all but 0.016 and 0.071 appear in a design book's table of bend radii.
pub const SHEETS: Source = Source {
    name: "sheet gauges in use",
    known: Known::CommonPractice,
};

/// Numbers of older tables, and the gauge in use that is nearest.
pub const OLDER: [(f64, f64); 7] = [
    (0.036, 0.032),
    (0.051, 0.050),
    (0.064, 0.063),
    (0.081, 0.080),
    (0.091, 0.090),
    (0.102, 0.100),
    (0.128, 0.125),
];

/// Where the older numbers stand.
pub const OLDER_TABLES: Source = Source {
    name: "FAA AC 43.13-1B, tables 4-10 and 4-11",
    known: Known::Read,
};

/// The gauge in use that is nearest to a thickness.
pub fn nearest(inches: f64) -> f64 {
    let off = |gauge: &f64| (gauge - inches).abs();
    let nearest = IN_USE.into_iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    nearest.unwrap_or(inches)
}

/// The gauges in use next to a thickness: no thicker, and no thinner.
pub fn beside(inches: f64) -> [Option<f64>; 2] {
    /// A gauge is met when it is off by less: rounding.
    const ROUNDING: f64 = 1e-6;
    let below = IN_USE
        .into_iter()
        .rfind(|gauge| *gauge <= inches + ROUNDING);
    let above = IN_USE.into_iter().find(|gauge| *gauge >= inches - ROUNDING);
    [below, above]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gauges_on_either_side() {
        assert_eq!(beside(0.045), [Some(0.040), Some(0.050)]);
        assert_eq!(beside(0.032), [Some(0.032), Some(0.032)]);
        assert_eq!(beside(0.2), [Some(0.125), None]);
        assert_eq!(beside(0.01), [None, Some(0.016)]);
    }

    #[test]
    fn older_numbers_have_their_nearest() {
        for (older, now) in OLDER {
            assert_eq!(nearest(older), now, "{older}");
        }
    }
}
