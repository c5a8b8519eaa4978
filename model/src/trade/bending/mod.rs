//! Bends of sheet: setback, bend allowance, bend deduction. In: the angle bent from flat in radians, inside radius and thickness in
//! mm. Out: lengths in mm.
//!
//! Two things go by the letter K: the setback number K = tan(N/2) of the tables, and the neutral line's share k of the thickness.
//! Here the first is [`setback_number`], the second [`Allowance::neutral`].

pub mod radii;
pub mod relief;

use std::f64::consts::PI;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Known, Source};

/// The setback number: K = tan(N/2). FAA AC 43.13-1B, table 4-7, prints it for each degree; it agrees to its last digit but for 86, 159
/// and 176, the last a misprint of 7 %.
pub fn setback_number(angle: f64) -> f64 {
    (0.5 * angle).tan()
}

/// Setback: from the mold line to the bend tangent line, SB = K (R + T). FAA-H-8083-31, vol. 1, ch. 4 (read).
pub fn setback(angle: f64, radius: f64, thickness: f64) -> f64 {
    setback_number(angle) * (radius + thickness)
}

/// A form of the bend allowance: BA = (a R + b T) N for N in degrees. All forms in print are of this kind.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Allowance {
    /// What it is called.
    pub name: &'static str,
    /// a: for each degree and unit of radius.
    pub radius: f64,
    /// b: for each degree and unit of thickness.
    pub thickness: f64,
    /// Where it stands.
    pub source: Source,
}

const DEGREE: f64 = PI / 180.0;

/// The Airframe handbook's Formula 2 with its 0.01743, which is π/180 rounded, in full.
pub const HANDBOOK: Allowance = Allowance {
    name: "handbook",
    radius: DEGREE,
    thickness: 0.0078,
    source: Source {
        name: "FAA-H-8083-31, vol. 1, ch. 4, Formula 2, with π/180 in full for its 0.01743",
        known: Known::FromMemory,
    },
};

/// Which form is asked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Form {
    /// BA = (π/180 R + 0.0078 T) N.
    #[default]
    Handbook,
    /// BA = (0.01743 R + 0.0078 T) N.
    AsPrinted,
    /// BA = (0.0173 R + 0.0078 T) N.
    Navy,
    /// BA = (R + T/2) N, N in radians: 2π (R + T/2) / 4 for a right angle.
    Halfway,
}

impl Form {
    /// The form's figures.
    pub fn allowance(self) -> Allowance {
        let [handbook, as_printed, navy, halfway] = ALLOWANCES;
        match self {
            Form::Handbook => handbook,
            Form::AsPrinted => as_printed,
            Form::Navy => navy,
            Form::Halfway => halfway,
        }
    }
}

/// The forms in print.
pub const ALLOWANCES: [Allowance; 4] = [
    HANDBOOK,
    Allowance {
        name: "handbook, as printed",
        radius: 0.01743,
        thickness: 0.0078,
        source: Source {
            name: "worked numbers of sheetmetalworkbook.com/90bends.htm; FAA-H-8083-31, vol. 1, ch. 4, Formula 2 (from memory)",
            known: Known::Read,
        },
    },
    // 0.0117 R shorter than the others at 90 degrees
    Allowance {
        name: "Navy",
        radius: 0.0173,
        thickness: 0.0078,
        source: Source {
            name: "US Navy training manual, Aviation Structural Mechanic, referring to NA 01-1A-1",
            known: Known::Read,
        },
    },
    Allowance {
        name: "halfway",
        radius: DEGREE,
        thickness: 0.5 * DEGREE,
        source: Source {
            name: "FAA-H-8083-31, vol. 1, ch. 4, Formula 1: 2π (R + T/2) / 4 for 90 degrees",
            known: Known::FromMemory,
        },
    },
];

impl Allowance {
    /// That of a neutral line at a share of the thickness from the inside: BA = N (R + k T), N in radians.
    pub fn of_neutral(share: f64) -> Allowance {
        Allowance {
            name: "the file's own",
            radius: DEGREE,
            thickness: share * DEGREE,
            source: Source {
                name: "the model file: BA = N (R + k T) with its own k",
                known: Known::Computed,
            },
        }
    }

    /// The neutral line's share of the thickness, from the inside: k.
    pub fn neutral(&self) -> f64 {
        self.thickness / self.radius
    }

    /// The bend allowance.
    pub fn allowance(&self, angle: f64, radius: f64, thickness: f64) -> f64 {
        (self.radius * radius + self.thickness * thickness) * angle.to_degrees()
    }

    /// The bend deduction: two setbacks less the allowance.
    pub fn deduction(&self, angle: f64, radius: f64, thickness: f64) -> f64 {
        2.0 * setback(angle, radius, thickness) - self.allowance(angle, radius, thickness)
    }
}

/// The flats of a strip between its bends, from its legs as they are measured to the mold lines: a leg less the setback at each of
/// its bends. One leg more than bends; `setbacks` in order.
pub fn flats(legs: &[f64], setbacks: &[f64]) -> Vec<f64> {
    let at = |bend: Option<usize>| bend.and_then(|bend| setbacks.get(bend)).copied();
    legs.iter()
        .enumerate()
        .map(|(leg, length)| {
            length - at(leg.checked_sub(1)).unwrap_or(0.0) - at(Some(leg)).unwrap_or(0.0)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms_of_the_allowance_at_a_right_angle() {
        for form in ALLOWANCES {
            let at_90 = form.allowance(0.5 * PI, 0.25, 0.051);
            assert!((at_90 - 0.428).abs() < 0.005, "{}: {at_90}", form.name);
        }
        let halfway = Allowance::of_neutral(0.5);
        assert!((halfway.allowance(0.5 * PI, 0.16, 0.04) - 0.5 * PI * 0.18).abs() < 1e-12);
        assert!((HANDBOOK.neutral() - 0.4469).abs() < 1e-4);
    }

    #[test]
    fn a_flat_loses_a_setback_for_each_of_its_bends() {
        assert_eq!(flats(&[1.0, 2.0, 1.0], &[0.25, 0.5]), [0.75, 1.25, 0.5]);
        assert_eq!(flats(&[3.0], &[]), [3.0]);
    }
}
