//! The station that a section is asked for. In: what was typed, and a layout. Out: the station in mm, and the face if it names one.

use strongback_model::layout::{FeatureShape, Layout, PlacedFeature, PlacedPart};
use strongback_model::quantity::{BareUnit, ExpressionFault, Kind, Named, evaluate, parse};
use strongback_model::quantity::{mixed_number_meant, nearest};
use strongback_model::source::{Code, Fault};

use crate::picture::Saw;
use crate::render::figures;

/// Where a saw is to go.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cut {
    /// The station in millimetres.
    pub(crate) station_mm: f64,
    /// The face that lies there, or the middle of one at a slant.
    pub(crate) face: Option<String>,
}

impl Cut {
    /// At a feature that lies across; its name is as it is to be told.
    pub(crate) fn at_face(feature: &PlacedFeature, named: &str) -> Option<Cut> {
        has_station(feature).then(|| Cut {
            station_mm: feature.at_mm[0],
            face: Some(match feature.axis {
                None if feature.shape == FeatureShape::Face => format!("the middle of {named}"),
                _ => named.to_owned(),
            }),
        })
    }

    /// As a picture takes it.
    pub(crate) fn saw(&self) -> Saw<'_> {
        Saw {
            station_mm: self.station_mm,
            face: self.face.as_deref(),
        }
    }
}

/// The station of `PART.FACE`, or of a quantity.
///
/// # Errors
/// It is neither, the face lies along the fuselage, or no metal lies as far.
pub(super) fn asked(at: &str, layout: &Layout) -> Result<Cut, Fault> {
    let at = at.trim();
    let asked = match layout.named(at) {
        Some((part, None)) => return Err(whole_part(part)),
        Some((part, Some(face))) => {
            let feature = part.feature(face).ok_or_else(|| no_face(part, face))?;
            Cut::at_face(feature, at).ok_or_else(|| runs_along(at))?
        }
        None => Cut {
            station_mm: quantity(at, layout)?,
            face: None,
        },
    };
    within(asked, layout)
}

/// What to write where no station is given, with a face of this layout.
pub(super) fn none_given(layout: &Layout) -> Fault {
    let face = layout.parts.iter().find_map(|part| {
        let face = part.features.iter().find(|it| has_station(it))?;
        Some(format!("{}.{}", part.name, face.name))
    });
    let face = face.map_or_else(String::new, |face| {
        format!(", or of a face: --at \"{face}\"")
    });
    Fault::error(Code::MissingField, "a section needs a station to cut at").help(format!(
        "write it as --at \"{}\"{face}",
        figures::length(middle(layout), layout.unit)
    ))
}

fn middle(layout: &Layout) -> f64 {
    extent(layout).map_or(0.0, |[from, to]| 0.5 * (from + to))
}

/// Whether a feature lies at one station, or is a face at a slant that looks along the fuselage more than aside.
fn has_station(feature: &PlacedFeature) -> bool {
    match (feature.shape, feature.direction) {
        (FeatureShape::Face, Some(way)) => way[0].abs() > std::f64::consts::FRAC_1_SQRT_2,
        (FeatureShape::Line, Some(way)) => way[0].abs() < 1e-6,
        _ => true,
    }
}

fn runs_along(at: &str) -> Fault {
    Fault::error(
        Code::WrongFeature,
        format!("`{at}` does not lie at one station: it runs along the fuselage"),
    )
    .help("name a face that lies across it, or a station")
}

fn faces_across(part: &PlacedPart) -> Vec<&str> {
    let features = part.features.iter().filter(|it| has_station(it));
    features.map(|feature| feature.name.as_str()).collect()
}

fn whole_part(part: &PlacedPart) -> Fault {
    let name = &part.name;
    let faces = faces_across(part);
    Fault::error(
        Code::UnknownName,
        format!("`{name}` is a whole part; name one of its faces as `{name}.FACE`"),
    )
    .help_if((!faces.is_empty()).then(|| format!("those across: {}", faces.join(", "))))
}

fn no_face(part: &PlacedPart, face: &str) -> Fault {
    let faces = faces_across(part);
    let all = part.features.iter().map(|feature| feature.name.as_str());
    let help = match nearest(face, all) {
        Some(near) => Some(format!("the nearest is `{}.{near}`", part.name)),
        None => (!faces.is_empty()).then(|| format!("those across: {}", faces.join(", "))),
    };
    Fault::error(
        Code::UnknownName,
        format!("`{}` has no face `{face}`", part.name),
    )
    .help_if(help)
}

/// A length, of the dimensions of the file if it names any.
fn quantity(at: &str, layout: &Layout) -> Result<f64, Fault> {
    let dimension = |name: &str| {
        let found = layout.dimensions.iter().find(|it| it.name == name)?;
        Some(Named {
            id: 0,
            kind: if found.angle {
                Kind::Angle
            } else {
                Kind::Length
            },
            value: Some(if found.angle {
                found.value.to_radians()
            } else {
                found.value
            }),
            find: false,
        })
    };
    let bare = BareUnit {
        unit: layout.unit,
        alone: Kind::Length,
    };
    let found = parse(at)
        .and_then(|expression| evaluate(&expression, &dimension, bare))
        .map_err(|fault| not_understood(at, fault, layout))?;
    if found.kind == Kind::Length && found.value.is_finite() {
        return Ok(found.value);
    }
    Err(Fault::error(
        Code::BadQuantity,
        format!("\"{at}\" is no station: a length is wanted"),
    )
    .help(format!(
        "as in --at \"{}\"",
        figures::length(middle(layout), layout.unit)
    )))
}

fn not_understood(at: &str, fault: ExpressionFault, layout: &Layout) -> Fault {
    let faces: Vec<String> = layout
        .parts
        .iter()
        .flat_map(|part| {
            let across = faces_across(part).into_iter();
            across.map(|face| format!("{}.{face}", part.name))
        })
        .collect();
    let names = faces.iter().map(String::as_str);
    let parts = layout.parts.iter().map(|part| part.name.as_str());
    let dimensions = layout.dimensions.iter().map(|it| it.name.as_str());
    let near = nearest(at, names.chain(parts).chain(dimensions)).map(ToOwned::to_owned);
    // with a misspelt part, its face is spelt right more often than not
    let near = near.or_else(|| {
        let (part, face) = at.rsplit_once('.')?;
        let near = nearest(part, layout.parts.iter().map(|part| part.name.as_str()))?;
        layout.part(near)?.feature(face)?;
        Some(format!("{near}.{face}"))
    });
    let help = near
        .map(|near| format!("the nearest is `{near}`"))
        .or_else(|| mixed_number_meant(at).map(|it| format!("for the mixed number write `{it}`")))
        .or_else(|| fault.help())
        .unwrap_or_else(|| "a station, as \"55 3/8 in\", or PART.FACE".to_owned());
    Fault::error(Code::BadQuantity, format!("in \"{at}\": {fault}")).help(help)
}

/// From which station to which there is metal.
fn extent(layout: &Layout) -> Option<[f64; 2]> {
    let parts = layout.parts.iter().filter(|part| !part.solids.is_empty());
    parts
        .map(|part| part.extent_mm[0])
        .filter(|of| of.iter().all(|x| x.is_finite()))
        .reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])])
}

/// A station far ahead or aft of all metal is a slip.
fn within(asked: Cut, layout: &Layout) -> Result<Cut, Fault> {
    let Some([from, to]) = extent(layout) else {
        return Ok(asked);
    };
    if (from..=to).contains(&asked.station_mm) || asked.face.is_some() {
        return Ok(asked);
    }
    let told = |mm: f64| figures::length(mm, layout.unit);
    let side = if asked.station_mm < from {
        "ahead"
    } else {
        "aft"
    };
    Err(Fault::error(
        Code::BadQuantity,
        format!("{} lies {side} of all metal", told(asked.station_mm)),
    )
    .help(format!(
        "there is metal from {} to {}",
        told(from),
        told(to)
    )))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use strongback_model::assembly::assemble;
    use strongback_model::document::Document;
    use strongback_model::source::read;

    use super::*;

    fn layout() -> Layout {
        let text = r#"(format: 1, title: "one", unit: Inch, fit: "1/32 in", dimensions: { "bay": 10, "lean": "4 deg" }, parts: {
            "wall": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: (fs: 0, bl: 0, wl: 0)),
            "wall 2": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: (fs: "2 * bay", bl: 0, wl: 0)) })"#;
        let document: Document = read(text).unwrap();
        let assembly = assemble(&document).unwrap();
        assembly.solve().unwrap().layout()
    }

    fn told(at: &str) -> String {
        match asked(at, &layout()) {
            Ok(found) => format!("{:.3} {:?}", found.station_mm, found.face),
            Err(fault) => format!("{fault}; {}", fault.help.clone().unwrap_or_default()),
        }
    }

    #[test]
    fn a_station_is_a_face_or_a_length() {
        assert_eq!(told("5 3/8 in"), "136.525 None");
        assert_eq!(told("5 3/8"), "136.525 None");
        assert_eq!(told("bay - 10 mm"), "244.000 None");
        assert_eq!(told(" wall 2.fwd "), "508.000 Some(\"wall 2.fwd\")");
    }

    #[test]
    fn what_is_no_station_is_told_with_what_would_be() {
        for (at, says) in [
            ("4 deg", "a length is wanted"),
            ("lean", "a length is wanted"),
            ("wall 2.fwdd", "the nearest is `wall 2.fwd`"),
            ("wal 2.fwd", "the nearest is `wall 2.fwd`"),
            ("wall", "those across: "),
            ("wall.top", "does not lie at one station"),
            ("99 in", "aft of all metal; there is metal from 0 in to 20"),
            ("-1 in", "ahead of all metal"),
            ("1e300 in", ""),
            ("", ""),
            ("wall.", "has no face"),
        ] {
            let told = told(at);
            assert!(told.contains("; ") && told.contains(says), "{at}: {told}");
        }
        let none = none_given(&layout());
        assert!(none.help.unwrap().contains("wall."));
    }
}
