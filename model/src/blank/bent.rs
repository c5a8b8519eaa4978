//! One bend of a part. In: its radius and thickness, the form of the allowance, the angle and the width of its flange. Out: setback,
//! allowance, and the flange's flat, in mm.

use crate::trade::bending::{Allowance, setback};

/// What all bends of one part have.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bending {
    /// Thickness of the sheet.
    pub(super) thickness: f64,
    /// Inside radius.
    pub(super) radius: f64,
    /// The form of the bend allowance.
    pub(super) allowance: Allowance,
    /// Diameter of the relief holes.
    pub(super) relief: f64,
}

/// A bend with the flange beyond it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bent {
    /// Radians bent from flat.
    pub(super) angle: f64,
    /// From the mold line to the tangent line.
    pub(super) setback: f64,
    /// Along the neutral line, from tangent line to tangent line.
    pub(super) allowance: f64,
    /// The flange as it is measured: from the mold line to its edge.
    pub(super) leg: f64,
    /// What of it is flat.
    pub(super) flat: f64,
}

impl Bending {
    /// A bend with a flange of a width at its end.
    pub(super) fn bent(&self, angle: f64, leg: f64) -> Bent {
        let setback = setback(angle, self.radius, self.thickness);
        Bent {
            angle,
            setback,
            allowance: self.allowance.allowance(angle, self.radius, self.thickness),
            leg,
            flat: leg - setback,
        }
    }
}

impl Bent {
    /// Bend and flat: from the web's tangent line to the flange's edge, in the flat.
    pub(super) fn developed(&self) -> f64 {
        self.allowance + self.flat
    }
}
