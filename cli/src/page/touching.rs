//! What is touched: a part with the chain behind one of its faces and the figures that can be moved, or a must-fit with what it
//! measures. In: a solution. Out: words, and sliders in the file's unit.

use serde::Serialize;
use strongback_model::assembly::Solved;
use strongback_model::layout::{FeatureShape, Layout, PlacedPart, SizeRole};
use strongback_model::quantity::Unit;
use strongback_model::remedy::marks;
use strongback_model::trade::gauges::IN_USE;
use strongback_model::why::{Chain, Leg};
use strongback_model::words::{Axis, without_hand};

use super::asking::Asking;
use crate::command::{Ground, Located, WhyAnswer, parts_named};
use crate::picture;
use crate::{html, render};

/// A part or a must-fit that is touched.
#[derive(Debug, Serialize)]
pub(super) struct Touched {
    /// What it is, in one line.
    title: String,
    /// The part.
    part: Option<String>,
    /// Its faces, with where each lies.
    faces: Vec<(String, String)>,
    /// The one whose chain is shown.
    face: Option<String>,
    /// The chain in words, or what is measured, as HTML.
    told: String,
    /// The chain drawn to scale, as SVG.
    strip: Option<String>,
    /// Figures of the chain that can be set.
    sliders: Vec<Slider>,
    /// Parts of the chain that can be turned round.
    reversible: Vec<String>,
    /// Statements of the chain that can be understood in several ways, with the readings of each.
    readings: Vec<(String, Vec<String>)>,
    #[serde(skip)]
    picked: Vec<String>,
    #[serde(skip)]
    points: Vec<[f64; 3]>,
}

/// A figure that can be set: bare numbers are in the file's unit, or degrees.
#[derive(Debug, Serialize)]
struct Slider {
    /// The name by which it is set.
    set: String,
    /// Its figure now, in words.
    shown: String,
    /// The sheet on which it stands.
    sheet: Option<String>,
    /// The word of its unit.
    unit: &'static str,
    /// Its figure now.
    value: f64,
    /// Its figure in the plan.
    plan: f64,
    /// What it can be set to.
    stops: Vec<f64>,
}

impl Touched {
    /// The parts to pick out in the picture.
    pub(super) fn picked(&self) -> &[String] {
        &self.picked
    }

    /// The points to join in the picture.
    pub(super) fn points(&self) -> &[[f64; 3]] {
        &self.points
    }
}

/// What is touched, if anything is that there is.
pub(super) fn touched(
    solved: &Solved<'_>,
    located: &Located,
    ground: &Ground,
    asking: &Asking,
) -> Option<Touched> {
    match (&asking.part, &asking.must_fit) {
        (Some(part), _) => part_touched(solved, located, ground, (part, asking.face.as_deref())),
        (None, Some(must_fit)) => must_fit_touched(solved, located, must_fit),
        (None, None) => None,
    }
}

fn part_touched(
    solved: &Solved<'_>,
    located: &Located,
    ground: &Ground,
    (name, face): (&str, Option<&str>),
) -> Option<Touched> {
    let layout = &located.layout;
    let part = layout.part(name)?;
    let face = face
        .filter(|face| part.feature(face).is_some())
        .or_else(|| main_face(part));
    let chain = face.and_then(|face| solved.why(&format!("{name}.{face}"), None).ok());
    let statements: Vec<&str> = chain
        .iter()
        .flat_map(|chain| &chain.through)
        .map(|step| step.statement.as_str())
        .collect();
    let mut picked = parts_named(layout, solved.assembly, &statements);
    if !picked.iter().any(|known| known == name) {
        picked.push(name.to_owned());
    }
    let document = &ground.loaded.document;
    let stems = picked.iter().map(|name| {
        let stem = without_hand(name).filter(|stem| document.parts.get(stem).is_some());
        stem.unwrap_or(name).to_owned()
    });
    let mut reversible: Vec<String> = stems
        .filter(|stem| {
            let part = document.parts.get(stem).cloned();
            part.is_some_and(|mut part| part.kind_mut().reverse())
        })
        .collect();
    reversible.sort_unstable();
    reversible.dedup();
    let unit = layout.unit;
    let strip = chain
        .as_ref()
        .filter(|chain| chain.legs.iter().any(|leg| leg.adds_mm != 0.0))
        .map(|chain| picture::ways(&[picture::Way::of(&chain.legs)], unit));
    let sliders = chain.iter().flat_map(|chain| &chain.legs);
    Some(Touched {
        title: format!("{name}, {}", part.kind),
        part: Some(name.to_owned()),
        faces: faces(part, unit),
        face: face.map(str::to_owned),
        sliders: sliders
            .filter_map(|leg| slider(leg, &ground.plan.layout))
            .collect(),
        readings: readings(ground, &statements),
        told: chain.map(|chain| told(chain, solved)).unwrap_or_default(),
        strip,
        reversible,
        picked,
        points: Vec::new(),
    })
}

fn told(chain: Chain, solved: &Solved<'_>) -> String {
    let answer = WhyAnswer {
        unit: solved.assembly.unit,
        datum: solved.assembly.datum.clone(),
        chain,
    };
    let told = render::why::text(&answer, render::PAGE);
    html::untouched(&told)
}

/// The face by which one speaks of a part: its web, or its aft end, to which more figures lead than to its forward one; or the first
/// face that there is.
fn main_face(part: &PlacedPart) -> Option<&str> {
    let faces = || part.features.iter();
    let of = |name: &str| faces().find(|feature| feature.name == name);
    let web = faces().find(|feature| feature.name.starts_with("web"));
    web.or_else(|| of("aft_end"))
        .or_else(|| of("aft"))
        .or_else(|| faces().find(|feature| feature.shape == FeatureShape::Face))
        .or_else(|| faces().next())
        .map(|feature| feature.name.as_str())
}

/// The features of a part with where each lies.
fn faces(part: &PlacedPart, unit: Unit) -> Vec<(String, String)> {
    let place = |at: [f64; 3], axis: Option<Axis>| {
        let shown = |axis: Axis| {
            let figure = render::figures::column(at[axis.index()], unit);
            format!("{} {figure}", axis.short())
        };
        match axis {
            Some(axis) => shown(axis),
            None => Axis::ALL.map(shown).join(", "),
        }
    };
    part.features
        .iter()
        .map(|feature| (feature.name.clone(), place(feature.at_mm, feature.axis)))
        .collect()
}

/// A leg whose figure can be set, with what it can be set to.
fn slider(leg: &Leg, plan: &Layout) -> Option<Slider> {
    let set = leg.set_by.clone()?;
    let (unit, word) = if leg.angle {
        (1.0, "deg")
    } else {
        (plan.unit.mm(), plan.unit.symbol())
    };
    let (planned, role) = figure_of(plan, &set).unwrap_or((leg.value, None));
    let gauge = role == Some(SizeRole::Gauge);
    let stops = stops(planned, leg.angle, gauge, plan.unit);
    Some(Slider {
        shown: render::figures::value(leg.value, leg.angle, plan.unit),
        sheet: leg.sheet.clone(),
        unit: word,
        value: leg.value / unit,
        plan: planned / unit,
        stops: stops.into_iter().map(|stop| stop / unit).collect(),
        set,
    })
}

/// A figure of the plan by the name with which it is set: a dimension, a size, a coordinate.
fn figure_of(plan: &Layout, set: &str) -> Option<(f64, Option<SizeRole>)> {
    if let Some(known) = plan.dimensions.iter().find(|known| known.name == set) {
        return Some((known.value, None));
    }
    let (stem, detail) = set.rsplit_once('.')?;
    let part = plan
        .part(stem)
        .or_else(|| plan.part(&format!("{stem} R")))?;
    if let Some(size) = part.size(detail) {
        return Some((size.value, Some(size.role)));
    }
    let axis = Axis::ALL.into_iter().find(|axis| axis.short() == detail)?;
    Some((part.origin_mm[axis.index()], None))
}

/// How far to either side of its figure a slider leads: a quarter of it, but at least half an inch and at most four; an angle by ten
/// degrees. What one tries at the bench; common practice, no source.
const SHARE: f64 = 0.25;
const REACH_MM: [f64; 2] = [12.7, 101.6];
const REACH_DEG: f64 = 10.0;

/// What a figure can be set to: marks of a rule, gauges of sheet, quarters of a degree; its own figure among them.
fn stops(planned: f64, angle: bool, gauge: bool, unit: Unit) -> Vec<f64> {
    let mut stops: Vec<f64> = if gauge {
        IN_USE.iter().map(|gauge| gauge * Unit::Inch.mm()).collect()
    } else if angle {
        marks([planned - REACH_DEG, planned + REACH_DEG], 0.25)
    } else {
        let reach = (SHARE * planned.abs()).clamp(REACH_MM[0], REACH_MM[1]);
        let step = match unit {
            Unit::Inch | Unit::Foot => 25.4 / 32.0,
            Unit::Millimetre | Unit::Centimetre | Unit::Metre => 1.0,
        };
        marks([planned - reach, planned + reach], step)
    };
    stops.push(planned);
    stops.sort_by(f64::total_cmp);
    stops.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    stops
}

/// Statements of a chain that have several readings.
fn readings(ground: &Ground, statements: &[&str]) -> Vec<(String, Vec<String>)> {
    let relations = &ground.loaded.document.relations;
    let mut list: Vec<(String, Vec<String>)> = Vec::new();
    for statement in statements {
        let stem = without_hand(statement).unwrap_or(statement);
        let named = [*statement, stem].into_iter().find_map(|name| {
            let readings = relations.get(name)?.is.kind().readings()?;
            Some((
                name.to_owned(),
                readings.names().map(str::to_owned).collect(),
            ))
        });
        if let Some(named) = named.filter(|named| !list.contains(named)) {
            list.push(named);
        }
    }
    list
}

fn must_fit_touched(solved: &Solved<'_>, located: &Located, name: &str) -> Option<Touched> {
    let fit = located.fits.iter().find(|fit| fit.name == name)?;
    let assembled = solved.assembly.fits.iter().find(|fit| fit.name == name)?;
    let layout = &located.layout;
    let mut picked = Vec::new();
    let mut points = Vec::new();
    for named in &assembled.names {
        let Some((part, feature)) = layout.named(named) else {
            continue;
        };
        picked.push(part.name.clone());
        if let Some(feature) = feature.and_then(|feature| part.feature(feature)) {
            points.push(feature.at_mm);
        }
    }
    let told = render::fit::table_of(std::slice::from_ref(fit), layout.unit, render::PAGE);
    Some(Touched {
        title: format!("{name}, {}", fit.kind),
        part: None,
        faces: Vec::new(),
        face: None,
        told: html::untouched(&told),
        strip: None,
        sliders: Vec::new(),
        reversible: Vec::new(),
        readings: Vec::new(),
        picked,
        points,
    })
}
