//! An angle or a turn. In: radians or degrees. Out: the same, and the arithmetic of angles.
//! Held in radians, not wrapped: a full turn and none are different angles; serialised as that plain number.

use schemars::JsonSchema;
use serde::Serialize;

use super::arithmetic::linear_arithmetic;

/// An angle, in radians.
#[derive(Debug, Clone, Copy, Default, PartialEq, PartialOrd, Serialize, JsonSchema)]
pub struct Angle(f64);

linear_arithmetic!(Angle);

impl Angle {
    /// From radians.
    #[must_use]
    pub const fn from_rad(rad: f64) -> Self {
        Self(rad)
    }

    /// From degrees.
    #[must_use]
    pub const fn from_degrees(degrees: f64) -> Self {
        Self(degrees.to_radians())
    }

    /// In radians.
    #[must_use]
    pub const fn rad(self) -> f64 {
        self.0
    }

    /// In degrees.
    #[must_use]
    pub const fn degrees(self) -> f64 {
        self.0.to_degrees()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn degrees_and_radians_agree() {
        let half = Angle::from_degrees(180.0);
        assert_eq!(half.rad(), std::f64::consts::PI);
        assert_eq!((half / 2.0).degrees(), 90.0);
        assert_eq!(half / Angle::from_degrees(90.0), 2.0);
        assert_eq!((half - half * 2.0).abs(), half);
    }
}
