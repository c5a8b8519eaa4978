//! The least inside radius of a cold bend of 90 degrees: four tables in print, which disagree. In: alloy and thickness in mm. Out:
//! the radius in mm, with the table's name.
//!
//! A thickness between two rows takes the row of the thicker one, and one thinner than the first row takes the first: the radius
//! comes out rather too large. Gauges that are sold for one another, within 3 % (0.050 and 0.051, 1/16 and 0.063), are one row.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::super::{Known, Source};

/// Which table is asked.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema, PartialOrd, Ord,
)]
pub enum Table {
    /// In inches, from a design book.
    #[default]
    Inches,
    /// In multiples of the thickness, from a mill's handbook.
    Multiples,
    /// An airframe maker's, of four thin gauges.
    AirframeMaker,
    /// AC 43.13-1B, table 4-6, a range in multiples of the thickness: the greater end is taken.
    RepairCircular,
}

/// What a table's figures are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Figures {
    /// Inches.
    Inches,
    /// Multiples of the thickness of the part.
    Thicknesses,
}

/// A table.
#[derive(Clone, Copy, Debug)]
pub struct Radii {
    /// Its word in the file.
    pub table: Table,
    /// What it is called in a report.
    pub name: &'static str,
    /// Where it stands.
    pub source: Source,
    /// What its figures are.
    pub figures: Figures,
    /// Thicknesses, in inches, growing.
    pub thicknesses: &'static [f64],
    /// For alloys and tempers, the figure at each thickness.
    pub rows: &'static [Row],
}

/// Alloys and tempers with one row of figures.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    /// The alloys.
    pub alloys: &'static [&'static str],
    /// A figure for each thickness.
    pub figures: &'static [f64],
}

const fn row(alloys: &'static [&'static str], figures: &'static [f64]) -> Row {
    Row { alloys, figures }
}

/// The tables.
pub const TABLES: &[Radii] = &[
    Radii {
        table: Table::Inches,
        name: "Inches",
        source: Source {
            name: "bjg-design.com/designbook/shbend.htm, table in inches; no standard is named there",
            known: Known::Read,
        },
        figures: Figures::Inches,
        thicknesses: &[
            0.020, 0.025, 0.032, 0.040, 0.050, 0.063, 0.080, 0.090, 0.100, 0.125, 0.188,
        ],
        rows: &[
            row(
                &["2024-T3"],
                &[
                    0.063, 0.094, 0.125, 0.188, 0.188, 0.250, 0.344, 0.375, 0.438, 0.562, 0.875,
                ],
            ),
            row(
                &["6061-T6"],
                &[
                    0.063, 0.094, 0.094, 0.125, 0.156, 0.188, 0.281, 0.312, 0.375, 0.500, 0.625,
                ],
            ),
            row(
                &["6061-T4", "5052-H34", "2024-O"],
                &[
                    0.063, 0.063, 0.063, 0.094, 0.094, 0.125, 0.156, 0.188, 0.188, 0.250, 0.375,
                ],
            ),
            row(
                &["5052-H32"],
                &[
                    0.063, 0.063, 0.063, 0.063, 0.094, 0.094, 0.125, 0.156, 0.156, 0.188, 0.312,
                ],
            ),
            row(
                &["3003-O", "1100-O", "6061-O", "5052-O"],
                &[
                    0.063, 0.031, 0.031, 0.063, 0.063, 0.063, 0.094, 0.094, 0.125, 0.125, 0.188,
                ],
            ),
        ],
    },
    Radii {
        table: Table::Multiples,
        name: "Multiples",
        source: Source {
            name: "a mill's aluminium handbook, page VII-78, January 2005, table 3-1, 90 degree cold bends; 6061 from bjg-design.com/designbook/shbend.htm",
            known: Known::Read,
        },
        figures: Figures::Thicknesses,
        thicknesses: &[
            1.0 / 64.0,
            1.0 / 32.0,
            1.0 / 16.0,
            1.0 / 8.0,
            3.0 / 16.0,
            1.0 / 4.0,
            3.0 / 8.0,
            1.0 / 2.0,
        ],
        rows: &[
            row(&["2024-O"], &[0.0, 0.0, 0.0, 0.5, 1.0, 1.0, 2.5, 4.0]),
            row(
                &["2024-T3", "2024-T4"],
                &[2.5, 3.0, 4.0, 5.0, 5.0, 6.0, 7.0, 7.5],
            ),
            row(&["5052-H32"], &[0.0, 0.0, 1.0, 1.5, 1.5, 1.5, 1.5, 2.0]),
            row(&["5052-H34"], &[0.0, 1.0, 1.5, 2.0, 2.0, 2.5, 2.5, 3.0]),
            row(&["6061-O"], &[0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.5, 2.0]),
            row(&["6061-T4"], &[0.0, 0.0, 1.0, 1.5, 2.5, 3.0, 3.5, 4.0]),
            row(&["6061-T6"], &[1.0, 1.0, 1.5, 2.5, 3.0, 3.5, 4.5, 5.0]),
        ],
    },
    Radii {
        table: Table::AirframeMaker,
        name: "AirframeMaker",
        source: Source {
            name: "an extrusion supplier's page on forming tolerances, after an airframe maker's process specification",
            known: Known::SecondHand,
        },
        figures: Figures::Inches,
        thicknesses: &[0.016, 0.020, 0.025, 0.032],
        rows: &[
            row(&["6061-T4", "2024-O"], &[0.030, 0.030, 0.060, 0.060]),
            row(&["2024-T3", "6061-T6"], &[0.060, 0.060, 0.090, 0.120]),
            row(&["7075-T6"], &[0.090, 0.090, 0.120, 0.160]),
        ],
    },
    Radii {
        table: Table::RepairCircular,
        name: "RepairCircular",
        source: Source {
            name: "FAA AC 43.13-1B, table 4-6, recommended radii for 90-degree bends, the greater end of each range",
            known: Known::FromMemory,
        },
        figures: Figures::Thicknesses,
        thicknesses: &[0.016, 0.032, 0.064, 0.128, 0.182, 0.258],
        rows: &[
            row(&["2024-T3"], &[3.0, 4.0, 5.0, 6.0, 6.0, 7.0]),
            row(&["6061-T4"], &[1.0, 1.0, 1.5, 2.0, 3.0, 4.0]),
            row(&["6061-T6"], &[1.0, 1.5, 2.0, 3.0, 4.0, 4.0]),
            row(&["7075-T6"], &[4.0, 5.0, 6.0, 7.0, 7.0, 10.0]),
        ],
    },
];

const INCH: f64 = 25.4;

/// Gauges nearer than this share of each other are sold for one another.
pub const SAME_GAUGE: f64 = 0.03;

impl Table {
    /// Its rows.
    pub fn radii(self) -> &'static Radii {
        // the enum and the list have one order; the first stands in for what can't be missing
        TABLES
            .iter()
            .find(|radii| radii.table == self)
            .unwrap_or(&TABLES[0])
    }
}

impl Radii {
    /// The least inside radius of an alloy and thickness, in mm; none where the table has no such alloy or no sheet so thick.
    pub fn least(&self, alloy: &str, thickness: f64) -> Option<f64> {
        let row = self.rows.iter().find(|row| row.alloys.contains(&alloy))?;
        let near = |row: &f64| thickness <= row * INCH * (1.0 + SAME_GAUGE);
        let at = self.thicknesses.iter().position(near)?;
        let figure = row.figures.get(at)?;
        Some(match self.figures {
            Figures::Inches => figure * INCH,
            Figures::Thicknesses => figure * thickness,
        })
    }

    /// The alloys that it has, in its order.
    pub fn alloys(&self) -> impl Iterator<Item = &'static str> {
        self.rows.iter().flat_map(|row| row.alloys).copied()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::trade::alloys::alloy_of;

    #[test]
    fn every_row_is_whole_and_its_alloys_are_known() {
        for radii in TABLES {
            assert_eq!(radii.table.radii().name, radii.name);
            assert!(radii.thicknesses.windows(2).all(|pair| pair[1] > pair[0]));
            for row in radii.rows {
                assert_eq!(row.figures.len(), radii.thicknesses.len(), "{}", radii.name);
                for alloy in row.alloys {
                    assert!(alloy_of(alloy).is_some(), "{alloy}");
                }
            }
        }
    }

    #[test]
    fn between_two_rows_the_thicker_one_counts() {
        let inches = Table::Inches.radii();
        let least = |inch: f64| {
            inches
                .least("2024-T3", inch * INCH)
                .map(|mm| (mm / INCH * 1e3).round() / 1e3)
        };
        assert_eq!(least(0.016), Some(0.063), "thinner than the first");
        assert_eq!(least(0.051), Some(0.188), "sold for 0.050");
        assert_eq!(least(0.056), Some(0.250));
        assert_eq!(least(0.250), None, "thicker than the last");
        assert_eq!(inches.least("7075-T6", 0.032 * INCH), None);
    }
}
