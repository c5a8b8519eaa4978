//! Stock that a part is made of. In: a part's sizes in mm. Out: sheet as the rectangle that holds the flat blank, and lengths of a
//! section.
//!
//! Flanges are unfolded flat: a blank is the sum of web and flanges, each measured over the outside as it is stated. No bend
//! allowance is taken off, so that it is a little large.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Sizes;

/// Metal that a part is cut from.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "form")]
pub enum Stock {
    /// A rectangle of sheet that holds the blank.
    Sheet {
        /// Thickness, in millimetres.
        gauge_mm: f64,
        /// The longer and the shorter side of the rectangle, in millimetres.
        sides_mm: [f64; 2],
    },
    /// A length of a section.
    Length {
        /// The section.
        section: Section,
        /// Its length, in millimetres.
        length_mm: f64,
    },
}

/// What a section is called.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum SectionKind {
    /// An angle.
    Angle,
    /// A solid bar.
    Bar,
    /// A channel.
    Channel,
    /// A hat section.
    Hat,
    /// A round tube.
    Tube,
}

impl SectionKind {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            SectionKind::Angle => "angle",
            SectionKind::Bar => "bar",
            SectionKind::Channel => "channel",
            SectionKind::Hat => "hat",
            SectionKind::Tube => "tube",
        }
    }
}

impl SectionKind {
    /// Whether it is bent up from sheet here: its blank is a pattern.
    pub fn is_bent_of_sheet(self) -> bool {
        match self {
            SectionKind::Channel | SectionKind::Hat => true,
            SectionKind::Angle | SectionKind::Bar | SectionKind::Tube => false,
        }
    }
}

/// A section that is bought by the length.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Section {
    /// What it is.
    pub what: SectionKind,
    /// Its sizes as they are called in the trade, in millimetres: legs and thickness, diameter and wall.
    pub sizes_mm: Vec<f64>,
}

impl Section {
    /// Whether it is a tube whose wall leaves something of its inside.
    pub fn is_hollow(&self) -> bool {
        matches!((self.what, &self.sizes_mm[..]), (SectionKind::Tube, [diameter, wall]) if 2.0 * wall < *diameter)
    }

    /// Area of its metal in square millimetres, its corners taken as sharp; none where its sizes are not all there.
    pub fn area_mm2(&self) -> Option<f64> {
        Some(match (self.what, &self.sizes_mm[..]) {
            (SectionKind::Angle, [one, other, t]) => t * (one + other - t),
            (SectionKind::Bar, [depth, breadth]) => depth * breadth,
            (SectionKind::Channel, [web, flange, t]) => t * (web + 2.0 * (flange - t)),
            (SectionKind::Hat, [width, crown, height, t]) => {
                t * (crown + 2.0 * (height - t) + width - crown)
            }
            (SectionKind::Tube, [diameter, wall]) => {
                std::f64::consts::PI * wall * (diameter - wall)
            }
            _ => return None,
        })
    }
}

impl Stock {
    /// The section that it is a length of; none of sheet.
    pub fn section(&self) -> Option<&Section> {
        match self {
            Stock::Length { section, .. } => Some(section),
            Stock::Sheet { .. } => None,
        }
    }

    /// A rectangle of sheet.
    pub(super) fn sheet(gauge_mm: f64, [a, b]: [f64; 2]) -> Stock {
        Stock::Sheet {
            gauge_mm,
            sides_mm: [a.max(b), a.min(b)],
        }
    }

    /// A length of a section whose sizes have these names.
    pub(super) fn length(
        what: SectionKind,
        names: &[&str],
        length_mm: f64,
        sizes: &Sizes,
    ) -> Stock {
        Stock::Length {
            section: Section {
                what,
                sizes_mm: names.iter().map(|name| sizes.value(name)).collect(),
            },
            length_mm,
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::assembly::assemble;
    use crate::contour::Contour;
    use crate::document::Document;
    use crate::layout::PlacedPart;
    use crate::part::KINDS;
    use crate::source::read;

    fn part(example: &str) -> PlacedPart {
        let text = format!(
            "(format: 1, title: \"x\", unit: Inch, fit: 1, contours: {{ {} }}, parts: {{ \"anchor\": Custom(at: (fs: 0, bl: 0, wl: 0)), \
             \"part\": {example} }}, relations: {{ \"placed\": MirrorOf(part: \"part\", of: \"anchor\") }})",
            Contour::EXAMPLE
        );
        let document: Document = read(&text).unwrap();
        let layout = assemble(&document).unwrap().solve().unwrap().layout();
        layout.part("part").unwrap().clone()
    }

    fn told(stock: &Stock) -> String {
        let inches = |mm: &[f64]| {
            let each: Vec<String> = mm.iter().map(|mm| format!("{:.4}", mm / 25.4)).collect();
            each.join(" x ")
        };
        match stock {
            Stock::Sheet { gauge_mm, sides_mm } => {
                format!("{}: {}", inches(&[*gauge_mm]), inches(sides_mm))
            }
            Stock::Length { section, length_mm } => {
                let (sizes, length) = (inches(&section.sizes_mm), inches(&[*length_mm]));
                format!("{} {sizes}: {length}", section.what.word())
            }
        }
    }

    /// Worked out from the smallest example of each kind, in inches. Flanges of 5/8 add 1 1/4 to a side that has one at each end.
    /// The longeron's bend takes up 6 deg (3 + 0.4469 × 1/8), 0.3200, between straights of 30 and 20; that of the bent tube a quarter
    /// circle of 3, 4.7124, between 8 and 20.
    #[test]
    fn what_each_kind_is_cut_from() {
        let by_hand = [
            ("Plate", "0.0320: 30.0000 x 20.0000"),
            ("Frame", "0.0320: 31.2500 x 21.2500"),
            ("Rib", "0.0250: 13.2500 x 5.2500"),
            ("Intercostal", "0.0250: 10.2500 x 3.0000"),
            (
                "Spar",
                "0.0400: 40.0000 x 6.0000; angle 0.7500 x 0.7500 x 0.1250: 40.0000; angle 0.7500 x 0.7500 x 0.1250: 40.0000",
            ),
            ("Angle", "angle 1.0000 x 1.0000 x 0.1250: 20.0000"),
            ("Longeron", "angle 1.0000 x 1.0000 x 0.1250: 50.3200"),
            ("Channel", "channel 2.0000 x 1.0000 x 0.0630: 20.0000"),
            ("Stringer", "hat 2.0000 x 0.7500 x 0.7500 x 0.0250: 40.0000"),
            ("Tube", "tube 0.7500 x 0.0490: 30.0000"),
            ("BentTube", "tube 0.7500 x 0.0490: 32.7124"),
            ("Bar", "bar 0.5000 x 1.0000: 10.0000"),
            ("Spacer", "0.1875: 1.0000 x 1.0000"),
            ("Custom", ""),
        ];
        for kind in KINDS {
            let stock: Vec<String> = part(kind.example).stock.iter().map(told).collect();
            let expected = by_hand.iter().find(|(word, _)| *word == kind.word);
            match expected {
                Some((word, expected)) => assert_eq!(stock.join("; "), *expected, "{word}"),
                // by its contour: see below
                None => assert_eq!(kind.word, "Skin"),
            }
        }
    }

    /// Lengths of a section are as much metal as is drawn; a tube is drawn solid, and bends in facets.
    #[test]
    fn sections_are_as_large_as_they_are_drawn() {
        let mut kinds = 0;
        for kind in KINDS {
            let part = part(kind.example);
            let [Stock::Length { section, length_mm }] = &part.stock[..] else {
                continue;
            };
            let volume = section.area_mm2().unwrap() * length_mm;
            let drawn = crate::mass::metal(&part.solids)
                .map(|(volume, _)| volume)
                .unwrap();
            let by_drawing = match section.what {
                // a ring of the disc's area: 4 w (d − w) / d²
                SectionKind::Tube => {
                    let [d, w] = section.sizes_mm[..] else {
                        unreachable!()
                    };
                    drawn * 4.0 * w * (d - w) / (d * d)
                }
                // its legs are drawn through each other
                SectionKind::Angle => {
                    let [_, _, t] = section.sizes_mm[..] else {
                        unreachable!()
                    };
                    drawn - t * t * length_mm
                }
                _ => drawn,
            };
            let off = match kind.word {
                // the pieces of its bend lie over each other on the inside
                "BentTube" => 0.03,
                "Tube" | "Longeron" => 0.01,
                _ => 1e-9,
            };
            assert!(
                (volume / by_drawing - 1.0).abs() < off,
                "{}: {volume} {by_drawing}",
                kind.word
            );
            kinds += 1;
        }
        assert_eq!(kinds, 7);
    }

    /// The skin is longer than its stations are apart and wider than the chords of its widest section, 20.396 + 18 at the front; not by
    /// more than a tenth, as it is drawn.
    #[test]
    fn a_skin_is_as_wide_as_its_widest_section() {
        let skin = KINDS.iter().find(|kind| kind.word == "Skin").unwrap();
        let [Stock::Sheet { gauge_mm, sides_mm }] = &part(skin.example).stock[..] else {
            unreachable!("{skin:?}")
        };
        assert!((gauge_mm / 25.4 - 0.025).abs() < 1e-12);
        let [length, girth] = sides_mm.map(|mm| mm / 25.4);
        assert!(length > 60.0 && length < 66.0, "{length}");
        assert!(girth > 38.396 && girth < 42.24, "{girth}");
    }

    /// Where metal may come off, the metal ends there: the size is an extent along that side's axis.
    #[test]
    fn trimmed_sizes_are_extents_of_the_metal() {
        for kind in KINDS {
            let part = part(kind.example);
            for size in &part.sizes {
                let [low, _] = size.trimmed_at[..] else {
                    continue;
                };
                let over_all = part.over_all_mm[low.axis().index()];
                // a skin is drawn in strips whose thickness leans with it
                let near = if kind.word == "Skin" { 1.0 } else { 1e-6 };
                assert!(
                    (size.value - over_all).abs() < near,
                    "{}: {}",
                    kind.word,
                    size.name
                );
            }
        }
    }
}
