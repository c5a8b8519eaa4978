//! What the modelled parts weigh, and where. In: a solved assembly, with its blanks. Out: the mass of each part in kilograms, the
//! middle of its metal, and the moment about the datum.
//!
//! Sheet is its flat blank times its gauge; a section its area times its length; anything else the metal that is drawn. It is an
//! estimate of what is modelled: fasteners, paint, sealant and all that no part stands for are not in it, nor notches and holes that are
//! not drawn.

use nalgebra::Vector3;
use schemars::JsonSchema;
use serde::Serialize;

use crate::assembly::Solved;
use crate::blank::Blank;
use crate::layout::{Layout, PlacedPart, PlacedSolid};
use crate::part::Stock;
use crate::trade::alloys::alloy_of;

/// The masses of all parts.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Masses {
    /// Parts whose alloy is known, in the order of the file.
    pub parts: Vec<PartMass>,
    /// Parts that are not counted, and why.
    pub uncounted: Vec<Uncounted>,
    /// All that is counted.
    pub total: Total,
}

/// The mass of a part.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PartMass {
    /// The part.
    pub part: String,
    /// Its alloy.
    pub alloy: String,
    /// What it is worked out from.
    pub from: MassFrom,
    /// Its mass in kilograms.
    pub kg: f64,
    /// The middle of its metal: station, buttock line, waterline.
    pub centre_mm: [f64; 3],
    /// Whether its place and sizes are settled.
    pub settled: bool,
}

/// What a mass is worked out from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum MassFrom {
    /// The area of its flat blank.
    Blank,
    /// The area of its section.
    Section,
    /// The metal that is drawn.
    Drawn,
}

/// A part that is not counted.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Uncounted {
    /// The part.
    pub part: String,
    /// Why.
    pub why: WhyUncounted,
}

/// Why a part is not counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WhyUncounted {
    /// It states no alloy.
    NoAlloy,
    /// It has no metal.
    NoMetal,
}

/// Several masses together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Total {
    /// Kilograms.
    pub kg: f64,
    /// Moment about the datum's station: kilograms times millimetres aft of it.
    pub moment_kg_mm: f64,
    /// The station of the common centre; none of nothing.
    pub station_mm: Option<f64>,
}

impl Total {
    /// All of some parts.
    pub fn of(parts: &[PartMass]) -> Total {
        let kg: f64 = parts.iter().map(|part| part.kg).sum();
        let moment_kg_mm: f64 = parts.iter().map(PartMass::moment_kg_mm).sum();
        Total {
            kg,
            moment_kg_mm,
            station_mm: (kg > 0.0).then(|| moment_kg_mm / kg),
        }
    }
}

impl PartMass {
    /// Its moment about the datum's station.
    pub fn moment_kg_mm(&self) -> f64 {
        self.kg * self.centre_mm[0]
    }
}

impl Masses {
    /// The mass of a part.
    pub fn part(&self, name: &str) -> Option<&PartMass> {
        self.parts.iter().find(|part| part.part == name)
    }
}

impl Solved<'_> {
    /// The masses of the parts of a layout of this solution.
    pub fn masses(&self, layout: &Layout) -> Masses {
        let blanks = self.blanks().blanks;
        let mut masses = Masses {
            parts: Vec::new(),
            uncounted: Vec::new(),
            total: Total::default(),
        };
        for part in &layout.parts {
            let blank = blanks.iter().find(|blank| blank.part == part.name);
            match mass(part, blank) {
                Ok(mass) => masses.parts.push(mass),
                Err(why) => masses.uncounted.push(Uncounted {
                    part: part.name.clone(),
                    why,
                }),
            }
        }
        masses.total = Total::of(&masses.parts);
        masses
    }
}

fn mass(part: &PlacedPart, blank: Option<&Blank>) -> Result<PartMass, WhyUncounted> {
    let (drawn, centre_mm) = metal(&part.solids).ok_or(WhyUncounted::NoMetal)?;
    let alloy = part.alloy.as_deref().and_then(alloy_of);
    let alloy = alloy.ok_or(WhyUncounted::NoAlloy)?;
    let (mm3, from) = volume(part, blank).unwrap_or((drawn, MassFrom::Drawn));
    /// Kilograms in a cubic millimetre of a gram a cubic centimetre.
    const KG: f64 = 1e-6;
    Ok(PartMass {
        part: part.name.clone(),
        alloy: alloy.name.to_owned(),
        from,
        kg: mm3 * alloy.density * KG,
        centre_mm,
        settled: part.settled,
    })
}

/// Cubic millimetres by the blank or the sections; none where the kind has neither.
fn volume(part: &PlacedPart, blank: Option<&Blank>) -> Option<(f64, MassFrom)> {
    let lengths = part.stock.iter().filter_map(|stock| match stock {
        Stock::Length { section, length_mm } => Some(section.area_mm2()? * length_mm),
        Stock::Sheet { .. } => None,
    });
    let lengths: f64 = lengths.sum();
    let of_sheet = part
        .stock
        .iter()
        .any(|stock| matches!(stock, Stock::Sheet { .. }));
    match blank {
        Some(blank) => {
            let sheet = blank.pattern.area_mm2() * blank.gauge_mm;
            // a section that is bent of sheet is that sheet; caps come on top of a web
            let on_top = if of_sheet { lengths } else { 0.0 };
            Some((sheet + on_top, MassFrom::Blank))
        }
        None if of_sheet || lengths == 0.0 => None,
        None => Some((lengths, MassFrom::Section)),
    }
}

/// Where prisms of one part are drawn through each other, as the legs of an angle at its corner, that metal counts twice: the middle
/// is then off by a fraction of a thickness, and a volume that only the drawing gives is too large by it.
///
/// Volume of some prisms in cubic millimetres, and the middle of it; none where there is no metal, or it is no number.
pub(crate) fn metal(solids: &[PlacedSolid]) -> Option<(f64, [f64; 3])> {
    let mut whole = 0.0;
    let mut moment = Vector3::zeros();
    for solid in solids {
        let sweep = Vector3::from(solid.sweep_mm);
        let outside = polygon(&solid.outline_mm).map(|face| (face, 1.0));
        let inside = solid.openings_mm.iter();
        let inside = inside.filter_map(|opening| Some((polygon(opening)?, -1.0)));
        for ((area, middle), sign) in outside.into_iter().chain(inside) {
            let volume = sign * area.dot(&sweep).abs();
            whole += volume;
            moment += volume * (middle + 0.5 * sweep);
        }
    }
    let centre = moment / whole;
    (whole > 0.0 && centre.iter().all(|x| x.is_finite())).then(|| (whole, centre.into()))
}

/// The area of a flat polygon as a vector along its normal, and its centroid, by triangles from its first corner.
fn polygon(corners: &[[f64; 3]]) -> Option<(Vector3<f64>, Vector3<f64>)> {
    let first = Vector3::from(*corners.first()?);
    let triangles = || {
        corners.windows(2).map(move |pair| {
            let [a, b] = [0, 1].map(|at| Vector3::from(pair[at]));
            (0.5 * (a - first).cross(&(b - first)), (first + a + b) / 3.0)
        })
    };
    let area: Vector3<f64> = triangles().map(|(area, _)| area).sum();
    let normal = area.try_normalize(f64::MIN_POSITIVE)?;
    // those that run the other way count against it
    let share = |(part, middle): (Vector3<f64>, Vector3<f64>)| part.dot(&normal) * middle;
    let moment: Vector3<f64> = triangles().map(share).sum();
    Some((area, moment / area.norm()))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::assembly::assemble;
    use crate::document::Document;
    use crate::source::read;
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    fn masses(parts: &str) -> Masses {
        let text = format!(
            r#"(format: 1, title: "x", unit: Inch, fit: 1, alloy: "6061-T6", parts: {{ {parts}, "anchor": Custom(at: (fs: 0, bl: 0, wl: 0)) }}, relations: {{ "here": MirrorOf(part: "it", of: "anchor") }})"#
        );
        let document: Document = read(&text).unwrap();
        let assembly = assemble(&document).unwrap();
        let solved = assembly.solve().unwrap();
        solved.masses(&solved.layout())
    }

    const POUND: f64 = 0.453_592_37;

    /// A materials page gives 0.275 lb/ft for an angle 1 x 1 x 1/8 (read; from an area of 0.234 in², with its root rounded).
    #[test]
    fn an_angle_weighs_what_a_table_gives() {
        let masses = masses(
            r#""it": Angle(runs: FwdAft, length: "12 in", legs: (down: "1 in", left: "1 in"), thickness: "1/8 in")"#,
        );
        let angle = masses.part("it").unwrap();
        assert_abs_diff_eq!(angle.kg / POUND, 0.275, epsilon = 0.002);
        assert_eq!(angle.from, MassFrom::Section);
        assert_abs_diff_eq!(angle.centre_mm[0], 6.0 * 25.4, epsilon = 1e-9);
        // centroid of an L from its outside corner: (b² + (h - t) t) / 2 (b + h - t), textbook statics; its legs are drawn through
        // each other, which brings it nearer to the corner by less than an eighth of their thickness
        let (b, t) = (1.0, 0.125);
        let off = (b * b + (b - t) * t) / (2.0 * (b + b - t)) * 25.4;
        assert_abs_diff_eq!(angle.centre_mm[1], -off, epsilon = t / 8.0 * 25.4);
        assert_abs_diff_eq!(angle.centre_mm[2], -off, epsilon = t / 8.0 * 25.4);
        assert_eq!(masses.uncounted.len(), 1, "the anchor has no metal");
    }

    /// By hand: 2.70 g/cm³, 30 x 20 x 0.032 in = 19.2 in³ = 314.632 cm³ (1 in³ = 16.387064 cm³).
    #[test]
    fn a_plate_weighs_its_volume() {
        let masses = masses(
            r#""it": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in")"#,
        );
        let plate = masses.part("it").unwrap();
        assert_abs_diff_eq!(plate.kg, 19.2 * 16.387_064 * 2.70 / 1000.0, epsilon = 1e-12);
        assert_eq!(plate.from, MassFrom::Blank);
        assert_abs_diff_eq!(plate.centre_mm[2], 254.0, epsilon = 1e-9);
        assert_abs_diff_eq!(
            masses.total.moment_kg_mm,
            plate.kg * 0.016 * 25.4,
            epsilon = 1e-12
        );
    }

    #[test]
    fn a_tube_is_hollow() {
        let masses = masses(
            r#""it": Tube(runs: FwdAft, length: "10 in", diameter: "1 in", wall: "0.058 in")"#,
        );
        let area = std::f64::consts::FRAC_PI_4 * (1.0 - 0.884_f64.powi(2));
        assert_abs_diff_eq!(
            masses.part("it").unwrap().kg,
            area * 10.0 * 16.387_064 * 2.70 / 1000.0,
            epsilon = 1e-9
        );
    }

    proptest! {
        /// A prism with a hole: volume and centre by hand, wherever its first corner and however it is swept.
        #[test]
        fn a_frame_of_metal(from in 0usize..4, back: bool, at in -100.0..100.0f64, thick in 0.1..10.0f64) {
            let square = |half: f64| [[0.0, -half, -half], [0.0, half, -half], [0.0, half, half], [0.0, -half, half]]
                .map(|[x, y, z]| [x + at, y + 3.0, z - 7.0]).to_vec();
            let mut outline = square(10.0);
            outline.rotate_left(from);
            if back { outline.reverse(); }
            let sweep = if back { -thick } else { thick };
            let solid = PlacedSolid { outline_mm: outline, openings_mm: vec![square(4.0)], sweep_mm: [sweep, 0.0, 0.0] };
            let (volume, centre) = metal(&[solid]).unwrap();
            prop_assert!((volume - (400.0 - 64.0) * thick).abs() < 1e-9);
            for (found, expected) in centre.iter().zip([at + 0.5 * sweep, 3.0, -7.0]) {
                prop_assert!((found - expected).abs() < 1e-9);
            }
        }
    }
}
