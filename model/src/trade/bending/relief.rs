//! Relief holes where bends meet. In: thickness and inside radius in mm. Out: the least diameter in mm.

use super::super::{Known, Source};

/// The rule: as wide as the bend's radius, but no less than 1/8 in up to 0.064 in, 3/16 in above; its middle where the inside
/// tangent lines meet, so that it reaches behind them.
pub const RELIEF: Source = Source {
    name: "FAA-H-8083-31, vol. 1, ch. 4, relief holes: at the intersection of the inside bend tangent lines, 1/8 in up to 0.064 in of thickness, 3/16 in above",
    known: Known::FromMemory,
};

const INCH: f64 = 25.4;

/// The diameter of a relief hole.
pub fn diameter(thickness: f64, radius: f64) -> f64 {
    let least = if thickness <= 0.064 * INCH + 1e-9 {
        INCH / 8.0
    } else {
        3.0 * INCH / 16.0
    };
    radius.max(least)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thicker_sheet_gets_a_wider_hole() {
        assert_eq!(diameter(0.064 * INCH, 0.0), INCH / 8.0);
        assert_eq!(diameter(0.072 * INCH, 0.0), 3.0 * INCH / 16.0);
        assert_eq!(diameter(0.032 * INCH, 6.0), 6.0);
    }
}
