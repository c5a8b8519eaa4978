//! Lengths that are sawn off a section, and where they are bent. In: a layout. Out: for each part the section, the length, and the
//! bends with their places along the straight length. What is bent up from sheet has a blank instead. No saw cut and nothing for the bender to hold is added.

use schemars::JsonSchema;
use serde::Serialize;

use crate::layout::{Layout, PlacedPart};
use crate::part::{Section, Stock, path};

/// A length of a section.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SawnLength {
    /// The part that it is for.
    pub part: String,
    /// Its alloy, if one is stated.
    pub alloy: Option<String>,
    /// The section.
    pub section: Section,
    /// How long it is cut, in millimetres.
    pub length_mm: f64,
    /// Its bends, from its fwd, left or lower end.
    pub bends: Vec<BentAt>,
}

/// A bend of it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BentAt {
    /// To which side, by the sides of the first straight however far the section has turned.
    pub toward: String,
    /// The angle from straight, in degrees.
    pub by_deg: f64,
    /// The radius, in millimetres: of an angle the inside one of the leg that is bent flat, of a tube that of its middle line.
    pub radius_mm: f64,
    /// Where it starts along the straight length, in millimetres from the fwd, left or lower end.
    pub starts_mm: f64,
    /// Where it ends.
    pub ends_mm: f64,
}

/// All lengths of the settled parts, in the order of the file.
pub fn lengths(layout: &Layout) -> Vec<SawnLength> {
    let settled = layout.parts.iter().filter(|part| part.settled);
    settled.flat_map(of_part).collect()
}

fn of_part(part: &PlacedPart) -> Vec<SawnLength> {
    let stock = part.stock.iter().filter_map(|stock| match stock {
        Stock::Length { section, length_mm } => {
            (!section.what.is_bent_of_sheet()).then_some((section, *length_mm))
        }
        Stock::Sheet { .. } => None,
    });
    stock
        .map(|(section, length_mm)| SawnLength {
            part: part.name.clone(),
            alloy: part.alloy.clone(),
            section: section.clone(),
            length_mm,
            bends: bends(part),
        })
        .collect()
}

fn bends(part: &PlacedPart) -> Vec<BentAt> {
    let chosen = part.choices.iter().find(|(what, _)| what == path::BENDS);
    let bends = chosen.map_or("", |(_, bends)| bends);
    let value = |name: &str| part.size(name).map(|size| size.value);
    let bends = path::sides(bends).enumerate().map_while(|(at, toward)| {
        let number = at + 1;
        Some(BentAt {
            toward: toward.to_owned(),
            by_deg: value(&path::bend(number))?,
            radius_mm: value(&path::bend_radius(number))?,
            starts_mm: value(&path::bend_starts(number))?,
            ends_mm: value(&path::bend_ends(number))?,
        })
    });
    bends.collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::assembly::assemble;
    use crate::document::Document;
    use crate::source::read;

    /// A bow of 30 and 20 with a quarter of 4 between, 6.2832 round its middle line; a straight tube; and a plate, which is no length.
    #[test]
    fn a_bow_is_sawn_straight_and_marked() {
        let text = r#"(format: 1, title: "bow", unit: Inch, fit: "1/32 in", parts: {
            "bow": BentTube(runs: UpDown, diameter: "5/8 in", wall: "0.035 in", path: [Straight(30), Bend(toward: Right, by: "90 deg", radius: 4), Straight(20)], at: (fs: 0, bl: 0, wl: 0)),
            "rod": Tube(runs: FwdAft, length: 12, diameter: "5/8 in", wall: "0.035 in", alloy: "6061-T6", at: (fs: 0, bl: 40, wl: 0)),
            "plate": Plate(lies: Across, thickness: "1/32 in", width: 10, height: 10, at: (fs: 60, bl: 0, wl: 0)),
        })"#;
        let document: Document = read(text).unwrap();
        let layout = assemble(&document).unwrap().solve().unwrap().layout();
        let all = lengths(&layout);
        let near = |mm: f64, inches: f64| (mm / 25.4 - inches).abs() < 1e-9;
        assert_eq!(all.len(), 2);
        let round = 2.0 * std::f64::consts::PI;
        assert!(near(all[0].length_mm, 50.0 + round));
        let [bend] = &all[0].bends[..] else {
            unreachable!("{all:?}")
        };
        assert_eq!((bend.toward.as_str(), bend.by_deg.round()), ("Right", 90.0));
        assert!(near(bend.radius_mm, 4.0) && near(bend.starts_mm, 30.0));
        assert!(near(bend.ends_mm, 30.0 + round));
        assert!(near(all[1].length_mm, 12.0) && all[1].bends.is_empty());
        assert_eq!(all[1].alloy.as_deref(), Some("6061-T6"));
    }
}
