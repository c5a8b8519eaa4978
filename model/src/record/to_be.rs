//! What made parts would be with a deviation. In: the record, the plan's layout with what was adopted, a deviation's document and its
//! layout. Out: that document with the parts that are made as they are, but for what the deviation itself changes.
//!
//! A made part departs from the plan in this or that already, and a deviation that doesn't touch it asks nothing of it. So what a
//! deviation asks is the difference between what is built and this document; what departs from the plan anyhow is told apart
//! ([`Departure`]).

use schemars::JsonSchema;
use serde::Serialize;

use super::as_built::{Of, with_made};
use super::{Progress, Record, Stage};
use crate::document::Document;
use crate::layout::{Layout, PlacedPart, SizeRole};
use crate::recut::WORKED_MM;
use crate::shift::{MOVED_MM, TURNED_DEG, choice_changes, size_changes};

/// What is made, and the plan to which a deviation is made.
#[derive(Clone, Copy, Debug)]
pub struct ToBe<'a> {
    /// What is made.
    pub record: &'a Record,
    /// The layout of the plan with what was adopted, no part held as it is made.
    pub plan: &'a Layout,
}

impl ToBe<'_> {
    /// The document of a deviation with made parts kept as they are wherever the plan and the deviation agree; `laid` is its layout
    /// with none kept.
    pub fn with(&self, deviation: &Document, laid: &Layout) -> Document {
        let keeps = |name: &str, of: Of<'_>| match (self.plan.part(name), laid.part(name)) {
            (Some(plan), Some(then)) => is_kept(plan, then, of),
            // one that the deviation adds, and that is there already
            _ => true,
        };
        with_made(deviation, self.record, &keeps)
    }
}

/// Whether a deviation leaves something of a part as the plan has it.
fn is_kept(plan: &PlacedPart, then: &PlacedPart, of: Of<'_>) -> bool {
    let near =
        |a: &[f64; 3], b: &[f64; 3], by: f64| a.iter().zip(b).all(|(a, b)| (a - b).abs() <= by);
    plan.kind == then.kind
        && match of {
            Of::Choices => choice_changes(plan, then).is_empty(),
            Of::Size(name) => match (plan.size(name), then.size(name)) {
                (Some(plan), Some(then)) => (plan.value - then.value).abs() <= MOVED_MM,
                (plan, then) => plan.is_none() && then.is_none(),
            },
            Of::Place => {
                near(&plan.origin_mm, &then.origin_mm, MOVED_MM)
                    && near(&plan.turn_deg, &then.turn_deg, TURNED_DEG)
            }
        }
}

/// A size or a side of a made part that is otherwise than the plan with what was adopted has it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Departure {
    /// The part.
    pub part: String,
    /// The size, or what is chosen.
    pub what: String,
    /// What the part has and what the plan has.
    pub is: Departs,
}

/// What a made part has and what the plan has.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "of")]
pub enum Departs {
    /// A size: millimetres, or degrees for an angle.
    Size {
        /// Whether it is an angle.
        angle: bool,
        /// As it is made.
        made: f64,
        /// In the plan.
        plan: f64,
    },
    /// A side or another choice.
    Choice {
        /// As it is made.
        made: String,
        /// In the plan.
        plan: String,
    },
}

impl Departure {
    /// All of them, part by part in the order of what is built.
    pub fn all(plan: &Layout, built: &Layout, progress: &Progress) -> Vec<Departure> {
        let made = built.parts.iter();
        let made = made.filter(|part| progress.of(&part.name).stage >= Stage::Cut);
        let pairs = made.filter_map(|made| Some((plan.part(&made.name)?, made)));
        pairs.flat_map(|(plan, made)| of_part(plan, made)).collect()
    }
}

fn of_part(plan: &PlacedPart, made: &PlacedPart) -> Vec<Departure> {
    let one = |what: String, is: Departs| Departure {
        part: made.name.clone(),
        what,
        is,
    };
    let choices = choice_changes(plan, made).into_iter();
    let choices = choices.map(|(what, plan, made)| one(what, Departs::Choice { made, plan }));
    let derived = |name: &str| made.size(name).is_some_and(|size| size.derived);
    let sizes = size_changes(plan, made).into_iter().filter_map(|change| {
        let angle = change.role == SizeRole::Angle;
        let (plan, made) = change.from.zip(change.to)?;
        let little = if angle { TURNED_DEG } else { WORKED_MM };
        ((made - plan).abs() > little && !derived(&change.name))
            .then(|| one(change.name, Departs::Size { angle, made, plan }))
    });
    choices.chain(sizes).collect()
}
