//! A layout looked over by what anybody can see of it: finite figures, and statements between faces worked out again
//! from where the faces lie. In: the document, the assembly and its layout. Out: the first thing that is not so.

use proptest::prelude::*;
use strongback_model::assembly::{AssembledStatement, Assembly};
use strongback_model::document::Document;
use strongback_model::fit::Fit;
use strongback_model::layout::{FeatureShape, Layout};
use strongback_model::quantity::{self, Kind, Named};
use strongback_model::relation::Relation;
use strongback_model::source::Given;

/// The most steps that a search over a model of this size may take.
const MOST_ITERATIONS: u64 = 20_000;
/// Millimetres, and radians, that a statement may miss by.
pub const TOLERANCE: f64 = 1e-6;

/// Looks a layout over: finite, found within bounds, and true to its statements.
pub fn look_over(
    document: &Document,
    assembly: &Assembly,
    layout: &Layout,
    fits: &[Fit],
) -> Result<(), TestCaseError> {
    prop_assert!(
        layout.solution.iterations <= MOST_ITERATIONS,
        "{} steps",
        layout.solution.iterations
    );
    for part in &layout.parts {
        let figures = part
            .features
            .iter()
            .flat_map(|f| f.at_mm.into_iter().chain(f.direction.unwrap_or_default()))
            .chain(part.extent_mm.into_iter().flatten())
            .chain(part.origin_mm)
            .chain(part.turn_deg)
            .chain(part.sizes.iter().map(|size| size.value));
        for figure in figures {
            prop_assert!(figure.is_finite(), "{} has a figure {figure}", part.name);
        }
    }
    for odd in &layout.at_odds {
        prop_assert!(
            odd.miss.is_finite(),
            "{} misses by {}",
            odd.statement,
            odd.miss
        );
    }
    for joint in &layout.joints {
        prop_assert!(
            joint.gap_mm.is_finite(),
            "{} has a gap of {}",
            joint.statement,
            joint.gap_mm
        );
    }
    for measured in fits.iter().flat_map(|fit| &fit.measures) {
        prop_assert!(
            measured.value.is_finite() && measured.margin.is_finite(),
            "{measured:?}"
        );
    }
    for statement in &assembly.statements {
        let at_odds = layout
            .at_odds
            .iter()
            .any(|odd| odd.statement == statement.name);
        if !at_odds {
            holds(document, layout, statement)?;
        }
    }
    Ok(())
}

/// Works a statement between two faces out again, from the faces as they lie.
fn holds(
    document: &Document,
    layout: &Layout,
    statement: &AssembledStatement,
) -> Result<(), TestCaseError> {
    let [a, b] = &statement.names[..] else {
        return Ok(());
    };
    let (Some((p, m)), Some((q, n))) = (face(layout, a), face(layout, b)) else {
        return Ok(());
    };
    let apart = match statement.word {
        "Flush" | "Against" => 0.0,
        "Spaced" => match spacing(document, &statement.name) {
            Some(apart) => apart,
            None => return Ok(()),
        },
        _ => return Ok(()),
    };
    let across = [
        m[1] * n[2] - m[2] * n[1],
        m[2] * n[0] - m[0] * n[2],
        m[0] * n[1] - m[1] * n[0],
    ];
    let sine = across.iter().map(|x| x * x).sum::<f64>().sqrt();
    prop_assert!(
        sine < TOLERANCE,
        "{}: {a} and {b} are {sine} off parallel",
        statement.name
    );
    let distance: f64 = (0..3).map(|i| n[i] * (p[i] - q[i])).sum();
    prop_assert!(
        (distance.abs() - f64::abs(apart)).abs() < TOLERANCE,
        "{}: {a} and {b} are {distance} mm apart, not {apart}",
        statement.name
    );
    Ok(())
}

fn face(layout: &Layout, name: &str) -> Option<([f64; 3], [f64; 3])> {
    match name.strip_prefix("datum.") {
        Some("station") => return Some(([0.0; 3], [1.0, 0.0, 0.0])),
        Some("buttock_line") => return Some(([0.0; 3], [0.0, 1.0, 0.0])),
        Some("waterline") => return Some(([0.0; 3], [0.0, 0.0, 1.0])),
        _ => {}
    }
    layout.parts.iter().find_map(|part| {
        let own = name.strip_prefix(part.name.as_str())?.strip_prefix('.')?;
        let feature = part.feature(own)?;
        let is_face = feature.shape == FeatureShape::Face;
        is_face.then_some((feature.at_mm, feature.direction?))
    })
}

/// The distance that a statement gives, where it rests on nothing but figures and dimensions.
fn spacing(document: &Document, statement: &str) -> Option<f64> {
    let stem = statement
        .strip_suffix(" L")
        .or_else(|| statement.strip_suffix(" R"));
    let stated = [Some(statement), stem]
        .into_iter()
        .flatten()
        .find_map(|name| document.relations.get(name))?;
    match &stated.is {
        Relation::Spaced(spaced) => figure(document, &spaced.by, 8),
        _ => None,
    }
}

fn figure(document: &Document, given: &Given, depth: usize) -> Option<f64> {
    match given {
        Given::Number(number) => Some(number.value * document.unit.mm()),
        Given::Find { .. } => None,
        Given::Text(text) => {
            let tree = quantity::parse(&text.value).ok()?;
            let lookup = |name: &str| {
                let depth = depth.checked_sub(1)?;
                let value = figure(document, &document.dimensions.get(name)?.is, depth)?;
                Some(Named {
                    id: 0,
                    kind: Kind::Length,
                    value: Some(value),
                    find: false,
                })
            };
            quantity::evaluate_as(Kind::Length, &tree, &lookup, document.unit)
                .ok()
                .map(|affine| affine.value)
        }
    }
}
