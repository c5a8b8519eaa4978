//! The bend radius of a part. In: what it states, its alloy and thickness, the tables in use. Out: the radius that its blank is made
//! for, checked; or why there is none.

use super::{Radius, RadiusVerdict};
use crate::assembly::{AssembledPart, Solved};
use crate::part::Sizes;

/// A radius of a table stands for a fraction: 0.094 for 3/32. In mm.
const ROUNDED: f64 = 0.000_51 * 25.4;

impl Solved<'_> {
    /// The radius of a part's bends. One that it doesn't state is the least of its alloy and thickness.
    pub(super) fn radius(
        &self,
        part: &AssembledPart,
        sizes: &Sizes,
        gauge: f64,
    ) -> Result<Radius, (String, &'static str)> {
        let stated = sizes.has("radius").then(|| sizes.value("radius"));
        let least = part
            .alloy
            .and_then(|alloy| self.assembly.bending.least(alloy.name, gauge));
        let Some(radius_mm) = stated.or(least.map(|(mm, _)| mm)) else {
            let why = match part.alloy {
                None => "it states no bend radius, and no alloy whose least radius could stand in"
                    .to_owned(),
                Some(alloy) => format!(
                    "it states no bend radius, and the table in use has none for {} of its thickness",
                    alloy.name
                ),
            };
            return Err((
                why,
                "state its `radius`, or the `alloy` of the part or of the file",
            ));
        };
        Ok(Radius {
            radius_mm,
            stated: stated.is_some(),
            least_mm: least.map(|(mm, _)| mm),
            own: least.is_some_and(|(_, own)| own),
            verdict: match (least, part.alloy) {
                (Some((least, _)), _) if radius_mm < least - ROUNDED => RadiusVerdict::TooTight,
                (Some(_), _) => RadiusVerdict::Holds,
                (None, Some(_)) => RadiusVerdict::NotInTable,
                (None, None) => RadiusVerdict::NoAlloy,
            },
        })
    }
}
