//! `built show`: what is on record, beside the plan.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::document::Document;
use strongback_model::layout::{Layout, SizeRole};
use strongback_model::quantity::Unit;
use strongback_model::record::{Built, Fitted, Note, Record, Stage};
use strongback_model::source::Given;

use super::super::{CAUTION, Told};
use super::{Ended, laid_out};
use crate::Status;
use crate::args;
use crate::load::load;
use crate::record::RecordFile;
use crate::render;
use crate::render::figures::{SHOWN_DEG, SHOWN_MM};

/// What `built show` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RecordAnswer {
    /// The record's file.
    pub record: String,
    /// What the model is of.
    pub title: String,
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// The parts on which work has begun, in the order of the record.
    pub parts: Vec<BuiltPart>,
    /// How many parts of the model as built have got how far.
    pub stages: StageCounts,
    /// All hours, those of no part included.
    pub hours: f64,
    /// What was measured, and put on record.
    pub measurements: Vec<BuiltMeasurement>,
    /// Deviations adopted, the first one first.
    pub adopted: Vec<AdoptedDeviation>,
    /// Remarks and hours.
    pub notes: Vec<Note>,
    /// Why sizes as made are not compared with the plan: it can't be laid out.
    pub not_compared: Option<String>,
    /// What to keep in mind.
    pub caution: Option<String>,
}

/// How many parts have got how far.
#[derive(Debug, Default, Serialize, JsonSchema)]
pub struct StageCounts {
    /// No metal has been cut.
    pub not_started: usize,
    /// Cut and bent to size.
    pub cut: usize,
    /// With its holes drilled.
    pub drilled: usize,
    /// Fitted for good.
    pub fitted: usize,
}

/// A part on which work has begun.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BuiltPart {
    /// Its name.
    pub name: String,
    /// How far it has got.
    pub stage: Stage,
    /// The day on which it got there; none of a part that only hours were put into.
    pub since: Option<String>,
    /// Hours put into it.
    pub hours: f64,
    /// Where it was fitted: millimetres and degrees.
    pub fitted: Option<Fitted>,
    /// Sizes that are not those of the plan.
    pub differs: Vec<SizeMade>,
}

/// A size as made beside the plan's.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SizeMade {
    /// Its name.
    pub name: String,
    /// As made: millimetres, or degrees for an angle.
    pub made: f64,
    /// In the plan with the deviations adopted, in the same unit.
    pub plan: f64,
    /// Whether it is an angle.
    pub angle: bool,
}

/// A deviation that was built in.
#[derive(Debug, Serialize, JsonSchema)]
pub struct AdoptedDeviation {
    /// Its name.
    pub name: String,
    /// The day.
    pub on: String,
    /// Why.
    pub because: Option<String>,
}

/// A measurement on record.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BuiltMeasurement {
    /// Its name.
    pub name: String,
    /// What was measured, in words.
    pub what: String,
    /// What was read, as written.
    pub is: String,
    /// Its standard uncertainty, as written.
    pub uncertainty: String,
    /// The day.
    pub on: Option<String>,
    /// How it was measured.
    pub note: Option<String>,
}

pub(super) fn run(args: &args::BuiltModel) -> Ended {
    let loaded = load(&args.model)?;
    let file = RecordFile::beside(&args.model);
    let kept = file.needed()?;
    let built = Built::of(&loaded.document, &kept.record)
        .map_err(|trouble| file.trouble(&loaded, &kept.text, trouble))?;
    let lay = |document: &Document| {
        laid_out(&loaded, document).map_err(|refused| {
            let first = refused.faults.into_iter().next();
            first.map_or_else(String::new, |fault| fault.message)
        })
    };
    let layouts = lay(&built.adopted).and_then(|plan| Ok((plan, lay(&built.document)?)));
    let record = &kept.record;
    let answer = RecordAnswer {
        record: file.shown(),
        title: loaded.document.title.value.clone(),
        unit: loaded.document.unit,
        parts: parts(record, layouts.as_ref().ok()),
        stages: stages(record, layouts.as_ref().ok()),
        hours: record.hours(),
        measurements: measurements(record),
        adopted: adopted(record),
        notes: record.notes.clone(),
        not_compared: layouts.err(),
        caution: (!record.adopted.is_empty()).then(|| CAUTION.to_owned()),
    };
    Ok((Status::Well, Box::new(answer)))
}

/// The plan and what is built, laid out.
type Layouts = (Layout, Layout);

fn parts(record: &Record, layouts: Option<&Layouts>) -> Vec<BuiltPart> {
    let progress = record.progress();
    let begun = record.parts.names();
    let worked_on = progress.0.keys().map(String::as_str);
    let only_hours = worked_on.filter(|name| record.parts.get(name).is_none());
    begun
        .chain(only_hours)
        .map(|name| {
            let made = record.parts.get(name);
            BuiltPart {
                name: name.to_owned(),
                stage: progress.of(name).stage,
                since: made.map(|made| made.since.value.clone()),
                hours: progress.of(name).hours,
                fitted: made.and_then(|made| made.fitted),
                differs: layouts.map_or_else(Vec::new, |(plan, built)| differs(name, plan, built)),
            }
        })
        .collect()
}

/// The sizes of a part that are not those of the plan.
pub(super) fn differs(name: &str, plan: &Layout, built: &Layout) -> Vec<SizeMade> {
    let (Some(plan), Some(built)) = (plan.part(name), built.part(name)) else {
        return Vec::new();
    };
    // what only follows from sizes is nobody's to enter
    let both = built
        .sizes
        .iter()
        .filter(|made| !made.derived)
        .filter_map(|made| Some((made, plan.size(&made.name)?)));
    both.filter_map(|(made, planned)| {
        let angle = made.role == SizeRole::Angle;
        let shown = if angle { SHOWN_DEG } else { SHOWN_MM };
        ((made.value - planned.value).abs() >= shown).then(|| SizeMade {
            name: made.name.clone(),
            made: made.value,
            plan: planned.value,
            angle,
        })
    })
    .collect()
}

fn stages(record: &Record, layouts: Option<&Layouts>) -> StageCounts {
    let progress = record.progress();
    let names: Vec<&str> = match layouts {
        Some((_, built)) => built.parts.iter().map(|part| part.name.as_str()).collect(),
        None => record.parts.names().collect(),
    };
    let mut counts = StageCounts::default();
    for name in names {
        *match progress.of(name).stage {
            Stage::NotStarted => &mut counts.not_started,
            Stage::Cut => &mut counts.cut,
            Stage::Drilled => &mut counts.drilled,
            Stage::Fitted => &mut counts.fitted,
        } += 1;
    }
    counts
}

fn adopted(record: &Record) -> Vec<AdoptedDeviation> {
    let list = record.adopted.iter().map(|entry| AdoptedDeviation {
        name: entry.name.value.clone(),
        on: entry.value.on.value.clone(),
        because: entry.value.because.as_ref().map(|why| why.value.clone()),
    });
    list.collect()
}

fn measurements(record: &Record) -> Vec<BuiltMeasurement> {
    let written = |given: &Given| match given {
        Given::Text(text) => text.value.clone(),
        Given::Number(number) => format!("{} {}", number.value, record.unit.value.symbol()),
        Given::Find { .. } => "Find".to_owned(),
    };
    let list = record.measurements.iter().map(|entry| {
        let it = &entry.value;
        BuiltMeasurement {
            name: entry.name.value.clone(),
            what: match (&it.from, &it.to, &it.size) {
                (Some(from), Some(to), _) => format!("{from} to {to}"),
                (_, _, Some(size)) => size.value.clone(),
                _ => String::new(),
            },
            is: written(&it.is),
            uncertainty: written(&it.uncertainty),
            on: it.on.as_ref().map(|on| on.value.clone()),
            note: it.note.as_ref().map(|note| note.value.clone()),
        }
    });
    list.collect()
}

impl Told for RecordAnswer {
    fn text(&self, width: usize) -> String {
        render::built::text(self, width)
    }
}
