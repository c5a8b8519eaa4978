//! Alloys that airframes are made of. In: the name in a file. Out: its density.

use super::{Known, Source};

/// An alloy and temper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Alloy {
    /// Its name, as in `2024-T3`.
    pub name: &'static str,
    /// Density, in grams a cubic centimetre.
    pub density: f64,
}

/// Nominal densities: 0.1 lb a cubic inch, more or less, for wrought aluminium; they do not depend on the temper.
pub const DENSITIES: Source = Source {
    name: "nominal densities of wrought alloys, as in Aluminum Standards and Data; 4130 steel as in MIL-HDBK-5",
    known: Known::FromMemory,
};

/// The list.
pub const ALLOYS: &[Alloy] = &[
    alloy("2024-O", 2.78),
    alloy("2024-T3", 2.78),
    alloy("2024-T4", 2.78),
    alloy("6061-O", 2.70),
    alloy("6061-T4", 2.70),
    alloy("6061-T6", 2.70),
    alloy("5052-O", 2.68),
    alloy("5052-H32", 2.68),
    alloy("5052-H34", 2.68),
    alloy("3003-O", 2.73),
    alloy("1100-O", 2.71),
    alloy("7075-T6", 2.81),
    alloy("4130-N", 7.83),
];

const fn alloy(name: &'static str, density: f64) -> Alloy {
    Alloy { name, density }
}

/// The alloy of a name; capitals don't count.
pub fn alloy_of(name: &str) -> Option<&'static Alloy> {
    ALLOYS
        .iter()
        .find(|alloy| alloy.name.eq_ignore_ascii_case(name.trim()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 0.098 lb/in³ is what a materials page takes for 6061 when it gives 0.275 lb/ft for an angle 1 x 1 x 1/8 (read); of 2024 the
    /// usual figure is 0.100 (from memory).
    #[test]
    fn densities_are_those_in_pounds_a_cubic_inch() {
        let pounds =
            |name| alloy_of(name).map(|alloy| alloy.density * 2.54_f64.powi(3) / 453.592_37);
        assert!(pounds("6061-T6").is_some_and(|density| (density - 0.098).abs() < 0.0005));
        assert!(pounds("2024-t3").is_some_and(|density| (density - 0.100).abs() < 0.0005));
        assert_eq!(pounds("2024-T33"), None);
    }
}
