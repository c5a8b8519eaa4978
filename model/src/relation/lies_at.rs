//! A part whose origin lies at stated coordinates.

use serde::Deserialize;
use strongback_solver::{Equation, Measure};

use super::{Recipe, RelationKind};
use crate::source::{Code, Fault, Given, Text};
use crate::words::{Axis, Side};

/// A part's origin lies at stated coordinates.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LiesAt {
    /// The part.
    pub part: Text,
    /// Station of its origin, aft of the datum.
    #[serde(default)]
    pub fs: Option<Given>,
    /// Buttock line of its origin, to the right of the middle.
    #[serde(default)]
    pub bl: Option<Given>,
    /// Waterline of its origin, above the datum.
    #[serde(default)]
    pub wl: Option<Given>,
}

impl RelationKind for LiesAt {
    fn says(&self) -> &'static str {
        "A part's origin lies at the coordinates given: what `at` of the part states, as a statement that has a trust, a sheet \
         and a reason of its own."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        let part = recipe.part(&self.part)?;
        let assembled = recipe.assembled(part);
        if assembled.contour.is_some() {
            return Err(Fault::error(
                Code::WrongFeature,
                format!("`{}` lies where its contour lies", self.part.value),
            )
            .at(self.part.span.clone(), "")
            .help("state the place of its contour instead"));
        }
        let origin = assembled.origin.clone();
        let stated = [&self.fs, &self.bl, &self.wl];
        if stated.iter().all(|given| given.is_none()) {
            return Err(Fault::error(Code::MissingField, "no coordinate is stated")
                .at(self.part.span.clone(), "")
                .help("give `fs`, `bl` or `wl`"));
        }
        let mirrored = recipe.side(Side::Right) == Side::Left;
        for ((axis, given), of_origin) in Axis::ALL.into_iter().zip(stated).zip(origin) {
            let Some(given) = given else { continue };
            let at = recipe.length(axis.short(), given)?;
            let image = mirrored && axis == Axis::ButtockLine;
            recipe.add(
                format!("{} of the origin", axis.short()),
                Equation::Held {
                    form: of_origin.minus(&if image { at.times(-1.0) } else { at }),
                    measure: Measure::Length,
                },
            );
        }
        Ok(())
    }

    fn names(&mut self) -> Vec<&mut Text> {
        vec![&mut self.part]
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use crate::assembly::assemble;
    use crate::contour::Contour;
    use crate::document::Document;
    use crate::source::{Code, read};

    fn model(relation: &str) -> Document {
        read(&format!(
            r#"(format: 1, title: "x", unit: Inch, fit: "1/32 in",
            contours: {{ {} }},
            parts: {{
                "rib": Plate(lies: FwdAft, thickness: "0.025 in", length: "6 in", height: "4 in", sides: Both),
                "skin": Skin(contour: "outside", thickness: "0.025 in", from: 0, length: "60 in"),
            }},
            relations: {{"there": {relation}}},
            must_fit: {{"high enough": LiesAt(part: "rib", bl: "3 in", wl: "8 1/4 in")}})"#,
            Contour::EXAMPLE
        ))
        .unwrap()
    }

    /// 3 in right of the middle is 3 in left of it for the left one of a pair; as a must-fit it tells the miss, here 1/4 in.
    #[test]
    fn each_of_a_pair_lies_on_its_own_side() {
        let document = model(r#"LiesAt(part: "rib", fs: "20 in", bl: "3 in", wl: "8 in")"#);
        let assembly = assemble(&document).unwrap();
        let solved = assembly.solve().unwrap();
        let layout = solved.layout();
        for (name, bl) in [("rib R", 3.0), ("rib L", -3.0)] {
            let origin = layout.part(name).unwrap().origin_mm;
            for (is, wanted) in origin.into_iter().zip([20.0, bl, 8.0]) {
                assert!((is - wanted * 25.4).abs() < 1e-9, "{name}: {origin:?}");
            }
        }
        let fits = solved.fits();
        assert_eq!(fits.len(), 2);
        assert!(fits.iter().all(|fit| !fit.holds()));
    }

    #[test]
    fn nothing_stated_and_a_skin_are_refused() {
        for (relation, code) in [
            (r#"LiesAt(part: "rib")"#, Code::MissingField),
            (r#"LiesAt(part: "skin", fs: 0)"#, Code::WrongFeature),
            (r#"LiesAt(part: "ribs", fs: 0)"#, Code::UnknownName),
        ] {
            let faults = assemble(&model(relation)).unwrap_err();
            assert!(faults.iter().any(|fault| fault.code == code), "{faults:?}");
        }
    }
}
