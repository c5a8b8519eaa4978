//! What is told of remedies. In: candidates with what they are set to. Out: plain data.

use schemars::JsonSchema;
use serde::Serialize;

use super::candidates::{Candidate, How};
use super::price::Price;
use super::workshop::{self, Scale};
use crate::document::Document;
use crate::fit::Fit;

/// What could be done about must-fits that miss.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Remedies {
    /// The must-fits that miss.
    pub miss: Vec<String>,
    /// Must-fits that rest on something loose: nothing was sought for them.
    pub open: Vec<String>,
    /// Must-fits that can't be measured: nothing was sought for them.
    pub unmeasured: Vec<String>,
    /// The remedies, the cheapest first.
    pub remedies: Vec<Remedy>,
    /// Without a remedy: the set that comes nearest.
    pub nearest: Option<Nearest>,
    /// Where nothing cures all: of each must-fit that misses what cures it alone, the others missing no more than now.
    pub alone: Vec<Alone>,
    /// Figures that stand in relations without a name and bear on what misses: they were not tried.
    pub unnamed: Vec<String>,
    /// Figures, joints and slots that bear on what misses, and readings.
    pub possible: usize,
    /// Sets that were looked at.
    pub looked_at: usize,
    /// Sets that were solved in full.
    pub solved: usize,
    /// Whether all sets of up to three were looked at, and all that promised something solved.
    pub complete: bool,
}

/// What cures one must-fit alone.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Alone {
    /// The must-fit.
    pub must_fit: String,
    /// The remedies, the cheapest first.
    pub remedies: Vec<Remedy>,
    /// Without a remedy: the set that comes nearest.
    pub nearest: Option<Nearest>,
}

/// A set of changes after which all must-fits come true.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Remedy {
    /// Its changes.
    pub steps: Vec<Step>,
    /// What it costs.
    pub price: Price,
    /// The must-fit with the least of its room left.
    pub tightest: Option<Tightest>,
    /// Statements that are at odds before, and stay so.
    pub at_odds: usize,
    /// Pairs of parts that run into each other before, and still do.
    pub clashes: usize,
}

/// One change of a remedy.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Step {
    /// What kind of change it is.
    pub kind: StepKind,
    /// The dimension, size, place or relation, as the file calls it.
    pub name: String,
    /// Whether a relation is set further apart, and no figure set.
    pub apart: bool,
    /// Whether it is an angle.
    pub angle: bool,
    /// What it is now: millimetres, or degrees for an angle; of a reading nothing.
    pub from: Option<f64>,
    /// What it is to be.
    pub to: Option<f64>,
    /// The layers of sheet that packing is made up of, in inches.
    pub layers_in: Vec<f64>,
    /// The reading to take.
    pub reading: Option<String>,
    /// The new figure as a file states it, or the reading.
    pub figure: String,
}

/// What kind of change a step is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum StepKind {
    /// Something is set otherwise within its slot.
    Adjust,
    /// Packing is put into a joint.
    Pack,
    /// A spacer gets another thickness.
    Spacer,
    /// A figure becomes another one.
    Set,
    /// Another reading is taken.
    Take,
}

/// A must-fit near its limit.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Tightest {
    /// Its name.
    pub must_fit: String,
    /// What is left to its limit: millimetres or degrees.
    pub margin: f64,
    /// Whether that is an angle.
    pub angle: bool,
}

/// A set of changes that comes nearest, without curing.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Nearest {
    /// Its changes.
    pub steps: Vec<Step>,
    /// The must-fit that still misses most.
    pub must_fit: String,
    /// By how much: millimetres or degrees.
    pub miss: f64,
    /// Whether that is an angle.
    pub angle: bool,
}

impl Step {
    pub(super) fn of(candidate: &Candidate, document: &Document, setting: f64) -> Step {
        let kind = match candidate.how {
            How::Adjust | How::Slot => StepKind::Adjust,
            How::Pack => StepKind::Pack,
            How::Spacer => StepKind::Spacer,
            How::Figure => StepKind::Set,
        };
        let layers = matches!(kind, StepKind::Pack | StepKind::Spacer);
        let angle = candidate.scale == Scale::Protractor;
        let shown = |value: f64| if angle { value.to_degrees() } else { value };
        Step {
            kind,
            name: candidate.name.clone(),
            apart: candidate.how.is_apart(),
            angle,
            from: Some(shown(candidate.now)),
            to: Some(shown(setting)),
            layers_in: if layers {
                workshop::layers(setting)
            } else {
                Vec::new()
            },
            reading: None,
            figure: workshop::text(candidate.scale, document.unit, setting),
        }
    }

    pub(super) fn take(statement: &str, reading: &str) -> Step {
        Step {
            kind: StepKind::Take,
            name: statement.to_owned(),
            apart: false,
            angle: false,
            from: None,
            to: None,
            layers_in: Vec::new(),
            reading: Some(reading.to_owned()),
            figure: reading.to_owned(),
        }
    }
}

/// The measure with the least of its room left.
pub(super) fn tightest(fits: &[Fit]) -> Option<Tightest> {
    let worst = fits.iter().filter_map(|fit| Some((fit, fit.worst()?)));
    worst
        .min_by(|(_, a), (_, b)| a.share_left().total_cmp(&b.share_left()))
        .map(|(fit, measure)| Tightest {
            must_fit: fit.name.clone(),
            margin: measure.margin,
            angle: measure.angle,
        })
}
