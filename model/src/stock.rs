//! Stock as it is bought. In: the sheets and lengths that the file lists. Out: how many of them some pieces take.
//!
//! Sheets are filled in rows, the widest pieces first, each piece in the first row with room for it; lengths likewise, the longest
//! piece first. No saw cut is counted, and a cleverer cutter may need fewer. (First fit by decreasing height, and by decreasing size:
//! E. G. Coffman, M. R. Garey, D. S. Johnson, R. E. Tarjan, 1980; from memory.)

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::part::SectionKind;
use crate::source::Given;

/// Stock, as it is written.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
pub enum Bought {
    /// Sheet of one gauge, in one size.
    Sheet {
        /// Its thickness.
        gauge: Given,
        /// Its width.
        width: Given,
        /// Its length.
        length: Given,
    },
    /// A section, in one length; whatever its sizes.
    Lengths {
        /// The section.
        of: SectionKind,
        /// Its length.
        length: Given,
    },
}

impl Bought {
    /// The smallest list, as it is written.
    pub const EXAMPLE: &str = r#""half sheets": Sheet(gauge: "0.032 in", width: "48 in", length: "72 in"), "angle": Lengths(of: Angle, length: "12 ft")"#;
}

/// Stock as it is bought, in millimetres.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StockSize {
    /// Its name in the file.
    pub name: String,
    /// What it is.
    pub is: StockForm,
}

/// What is bought.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "form")]
pub enum StockForm {
    /// Sheet.
    Sheet {
        /// Its thickness.
        gauge_mm: f64,
        /// Its longer and its shorter side.
        sides_mm: [f64; 2],
    },
    /// A length of a section.
    Length {
        /// The section.
        of: SectionKind,
        /// Its length.
        length_mm: f64,
    },
}

/// How many whole sheets or lengths some pieces take.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Whole {
    /// The stock's name in the file.
    pub of: String,
    /// How many of it.
    pub count: usize,
    /// Pieces that are larger than it is.
    pub too_large: usize,
}

/// Rounding, in millimetres.
const SLACK_MM: f64 = 1e-6;

/// How many sheets of a size some rectangles take; longer and shorter side each.
pub fn sheets(name: &str, sheet: [f64; 2], pieces: &[[f64; 2]]) -> Whole {
    // each piece as it lies: along and across the sheet
    let fits =
        |[along, across]: [f64; 2]| along <= sheet[0] + SLACK_MM && across <= sheet[1] + SLACK_MM;
    let lying = |[long, short]: [f64; 2]| {
        let ways = [[long, short], [short, long]];
        ways.into_iter().find(|way| fits(*way))
    };
    let mut lie: Vec<[f64; 2]> = pieces.iter().filter_map(|piece| lying(*piece)).collect();
    lie.sort_by(|a, b| b[1].total_cmp(&a[1]));
    // rows of each sheet: how much of the row is taken, how wide it is
    let mut cut: Vec<Vec<[f64; 2]>> = Vec::new();
    for [along, across] in &lie {
        let row = cut.iter_mut().flatten().find(|[taken, width]| {
            taken + along <= sheet[0] + SLACK_MM && *across <= width + SLACK_MM
        });
        if let Some([taken, _]) = row {
            *taken += along;
            continue;
        }
        let used = |rows: &Vec<[f64; 2]>| rows.iter().map(|row| row[1]).sum::<f64>();
        let room = cut
            .iter_mut()
            .find(|rows| used(rows) + across <= sheet[1] + SLACK_MM);
        match room {
            Some(rows) => rows.push([*along, *across]),
            None => cut.push(vec![[*along, *across]]),
        }
    }
    Whole {
        of: name.to_owned(),
        count: cut.len(),
        too_large: pieces.len() - lie.len(),
    }
}

/// How many lengths some pieces take.
pub fn lengths(name: &str, length: f64, pieces: &[f64]) -> Whole {
    let mut list: Vec<f64> = pieces.to_vec();
    list.retain(|piece| *piece <= length + SLACK_MM);
    list.sort_by(|a, b| b.total_cmp(a));
    let mut taken: Vec<f64> = Vec::new();
    for piece in &list {
        match taken
            .iter_mut()
            .find(|taken| **taken + piece <= length + SLACK_MM)
        {
            Some(taken) => *taken += piece,
            None => taken.push(*piece),
        }
    }
    Whole {
        of: name.to_owned(),
        count: taken.len(),
        too_large: pieces.len() - list.len(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_filled_by_the_longest_first() {
        // 7 + 3, 6 + 4: two of 10
        assert_eq!(lengths("x", 10.0, &[3.0, 4.0, 6.0, 7.0]).count, 2);
        let whole = lengths("x", 10.0, &[11.0, 10.0]);
        assert_eq!((whole.count, whole.too_large), (1, 1));
        assert_eq!(lengths("x", 10.0, &[]).count, 0);
    }

    #[test]
    fn sheets_are_filled_in_rows() {
        // four quarters of a sheet, however they are given
        assert_eq!(sheets("x", [10.0, 6.0], &[[5.0, 3.0]; 4]).count, 1);
        assert_eq!(sheets("x", [10.0, 6.0], &[[5.0, 3.0]; 5]).count, 2);
        // it only fits across
        let whole = sheets("x", [10.0, 6.0], &[[6.0, 6.0], [10.5, 1.0]]);
        assert_eq!((whole.count, whole.too_large), (1, 1));
    }
}
