//! The plan as it is built. In: the plan and the record. Out: another document: the deviations adopted, the parts that are cut at
//! the sizes that they have, the fitted ones where they are, and the measurements of the record.
//!
//! A made size takes the place of that figure of that part alone: a dimension that other parts share is left as it is. A fitted
//! part keeps its turns and its origin is stated as measured, so that what contradicts it gives way and shows up at odds.

use super::checked::{as_bent, faults, kind_of, roles};
use super::shared;
use super::{Fitted, MadePart, Record, Stage};
use crate::assembly::{expand, visit_holes};
use crate::document::{Document, Remarks, Stated, Trust};
use crate::part::Part;
use crate::quantity::Kind;
use crate::relation::{LiesAt, Relation};
use crate::source::{Entries, Fault, Given, Spanned, Text};
use crate::words::{Axis, Sides, without_hand};

/// Why there is no document as built.
#[derive(Clone, Debug, PartialEq)]
pub enum Trouble {
    /// Faults of the record, with their places in it.
    InRecord(Vec<Fault>),
    /// A deviation that was adopted and can't be made in the model, by its name, with the place in the model.
    InModel(String, Fault),
}

/// A plan as it is built.
#[derive(Clone, Debug)]
pub struct Built {
    /// The plan with the deviations adopted, and nothing else.
    pub adopted: Document,
    /// The same with what was made as it was made.
    pub document: Document,
}

impl Built {
    /// The plan as it is built.
    ///
    /// # Errors
    /// The record names what there is not, or something in it can't be.
    pub fn of(plan: &Document, record: &Record) -> Result<Built, Trouble> {
        let adopted = adopted(plan, record)?;
        let found = faults(record, plan, &adopted);
        if !found.is_empty() {
            return Err(Trouble::InRecord(found));
        }
        let mut document = with_made(&adopted, record, &|_, _| true);
        measured(&mut document, record)?;
        document.title.value.push_str(", as built");
        Ok(Built { adopted, document })
    }
}

/// What is kept of a part that is made.
#[derive(Clone, Copy, Debug)]
pub(super) enum Of<'a> {
    /// On which side its flange, back or caps are.
    Choices,
    /// A size, by its own name.
    Size(&'a str),
    /// Where it is fitted.
    Place,
}

/// A document with the parts that are made as they are, as far as that is kept.
pub(super) fn with_made(
    plan: &Document,
    record: &Record,
    keeps: &dyn Fn(&str, Of<'_>) -> bool,
) -> Document {
    let mut document = plan.clone();
    let made = record.parts.iter();
    let made = || made.clone().filter(|entry| entry.value.stage >= Stage::Cut);
    let mut first = Entries::new();
    for entry in made() {
        let name = &entry.name.value;
        let keeps = |of: Of<'_>| keeps(name, of);
        if let Some((name, place)) = as_made(&mut document, name, &entry.value, &keeps) {
            document.made.insert(name.value.clone());
            // the name is free: it was looked for
            let _ = first.push(name, place);
        }
    }
    // of two that are trusted alike the first one holds, and nothing moves what is riveted
    for entry in std::mem::take(&mut document.relations) {
        let _ = first.push(entry.name, entry.value);
    }
    document.relations = first;
    let made = made().map(|entry| entry.name.value.as_str()).collect();
    shared::settle(&mut document, plan, &made);
    document
}

/// The plan with the deviations made that were adopted and that it has.
pub(super) fn adopted(plan: &Document, record: &Record) -> Result<Document, Trouble> {
    let mut adopted = plan.clone();
    for entry in &record.adopted {
        let name = &entry.name.value;
        if plan.deviations.get(name).is_some() {
            adopted = adopted
                .with_deviation(name)
                .map_err(|fault| Trouble::InModel(name.clone(), fault))?;
        }
    }
    Ok(adopted)
}

/// A statement of where a part was fitted, with its name.
type Place = (Text, Stated<Relation>);

/// Gives a part the sizes that it has, and tells where it is fitted. A part that was dropped with a deviation is none of the
/// plan's any more.
fn as_made(
    document: &mut Document,
    name: &str,
    made: &MadePart,
    keeps: &dyn Fn(Of<'_>) -> bool,
) -> Option<Place> {
    let (stem, mirrored) = entry_of(document, name)?;
    let part = own(document, name, &stem)?;
    let mut part = if keeps(Of::Choices) {
        as_bent(&part, made)
    } else {
        part
    };
    let roles = roles(&part);
    let mut given = Vec::new();
    for size in &made.made_to {
        let kind = roles.get(&size.name.value).map(|role| kind_of(*role));
        given.push((&size.name.value, figure(size.value.value, kind)));
    }
    // what the builder has read comes last: it is what holds
    for size in &made.sizes {
        given.push((&size.name.value, unplaced(&size.value)));
    }
    let mut set = |own: String, _, slot: &mut Given| {
        let made = given.iter().rev().find(|(name, _)| **name == own);
        let made = made.filter(|_| keeps(Of::Size(&own)));
        if let Some((_, figure)) = made {
            *slot = figure.clone();
            document.made.insert(format!("{name}.{own}"));
        }
    };
    part.kind_mut().visit_sizes(&mut set);
    visit_holes(&mut part, &mut set);
    let stays = made.stage == Stage::Fitted && part.kind().contour().is_none();
    let fitted = made.fitted.filter(|_| stays && keeps(Of::Place));
    if let Some(fitted) = &fitted {
        place(&mut part, fitted, mirrored);
    }
    put_back(document, name, &stem, part);
    fitted.map(|fitted| stated(document, name, &fitted, &made.since.value))
}

/// The entry that a part stands under, and whether it is the mirror image of what that says.
fn entry_of(document: &Document, name: &str) -> Option<(String, bool)> {
    let there = expand(document).into_iter().any(|one| one.name == name);
    let both = |stem: &&str| {
        let part = document.parts.get(stem);
        part.is_some_and(|part| part.kind().common().sides == Sides::Both)
    };
    match without_hand(name).filter(both) {
        _ if !there => None,
        Some(stem) => Some((stem.to_owned(), name.ends_with(" L"))),
        None => Some((name.to_owned(), false)),
    }
}

fn own(document: &Document, name: &str, stem: &str) -> Option<Part> {
    let hand = document.hands.get(name);
    hand.or_else(|| document.parts.get(stem)).cloned()
}

/// Turns a part as it was fitted, and looks for its origin where it was. Of a pair the right-hand one is stated.
fn place(part: &mut Part, fitted: &Fitted, mirrored: bool) {
    let sense = if mirrored { -1.0 } else { 1.0 };
    let common = part.kind_mut().common_mut();
    let stated = common.turn.named().iter().any(|(_, given)| given.is_some());
    let turns = [
        ("roll", fitted.roll * sense),
        ("pitch", fitted.pitch),
        ("yaw", fitted.yaw * sense),
    ];
    if stated || turns.iter().any(|(_, by)| *by != 0.0) {
        for (name, by) in turns {
            if let Some(slot) = common.turn.named_mut(name) {
                *slot = Some(figure(by, Some(Kind::Angle)));
            }
        }
    }
    for (axis, at) in Axis::ALL.into_iter().zip(fitted.origin()) {
        let at = match axis {
            // the right-hand one can't be looked for on the left
            Axis::ButtockLine if mirrored => (-at).max(0.0),
            _ => at,
        };
        let slot = common.at.along_mut(axis);
        if matches!(slot, None | Some(Given::Find { .. })) {
            *slot = Some(Given::Find {
                near: Some(Box::new(figure(at, Some(Kind::Length)))),
                span: 0..0,
            });
        }
    }
}

/// The statement of where a part was fitted, trusted as what is measured.
fn stated(document: &Document, part: &str, fitted: &Fitted, since: &str) -> Place {
    let [fs, bl, wl] = fitted
        .origin()
        .map(|at| Some(figure(at, Some(Kind::Length))));
    let is = Relation::LiesAt(LiesAt {
        part: Text::from(part),
        fs,
        bl,
        wl,
    });
    let remarks = Remarks {
        trust: Some(Trust::Measured),
        because: Some(Text::from(format!("it was fitted there on {since}"))),
        ..Remarks::default()
    };
    let mut name = format!("{part} as fitted");
    while document.relations.get(&name).is_some() {
        name.push('*');
    }
    (Text::from(name), Stated { is, remarks })
}

/// Visits the sizes of one part, its holes' included, to give some of them other figures: of a pair, of that hand alone.
pub(super) fn with_figures(
    document: &mut Document,
    name: &str,
    set: &mut dyn FnMut(String, &mut Given),
) {
    let Some((stem, _)) = entry_of(document, name) else {
        return;
    };
    let Some(mut part) = own(document, name, &stem) else {
        return;
    };
    let mut visit = |size: String, _, slot: &mut Given| set(size, slot);
    part.kind_mut().visit_sizes(&mut visit);
    visit_holes(&mut part, &mut visit);
    put_back(document, name, &stem, part);
}

fn put_back(document: &mut Document, name: &str, stem: &str, part: Part) {
    if stem == name {
        // it is there: it was just read
        let _ = document.parts.replace(stem, part);
    } else {
        document.hands.insert(name.to_owned(), part);
    }
}

/// A figure in millimetres or degrees that stands in no file.
pub(super) fn figure(value: f64, kind: Option<Kind>) -> Given {
    let unit = match kind {
        Some(Kind::Angle) => "deg",
        Some(Kind::Length | Kind::Number) | None => "mm",
    };
    Given::unplaced(&format!("{value} {unit}"))
}

/// The same figure without its place, which is one in the record.
fn unplaced(given: &Given) -> Given {
    match given {
        Given::Text(text) => Given::unplaced(&text.value),
        Given::Number(number) => Given::Number(Spanned::unplaced(number.value)),
        Given::Find { near, .. } => Given::Find {
            near: near.clone(),
            span: 0..0,
        },
    }
}

/// Adds the measurements of the record.
fn measured(document: &mut Document, record: &Record) -> Result<(), Trouble> {
    if record.measurements.is_empty() {
        return Ok(());
    }
    // with those of the record alone, whatever is wrong besides what is wrong without any is wrong with one of them
    let mut alone = document.clone();
    alone.measurements = Entries::new();
    if crate::assembly::assemble(&alone).is_ok() {
        alone.measurements = record.measurements.clone();
        crate::assembly::assemble(&alone).map_err(Trouble::InRecord)?;
    }
    for entry in &record.measurements {
        let mut measurement = entry.value.clone();
        for text in measurement.names() {
            text.span = 0..0;
        }
        measurement.is = unplaced(&measurement.is);
        measurement.uncertainty = unplaced(&measurement.uncertainty);
        let name = Text::unplaced(entry.name.value.clone());
        let pushed = document.measurements.push(name, measurement);
        pushed.map_err(|fault| Trouble::InRecord(vec![fault]))?;
    }
    Ok(())
}

impl Fitted {
    /// Its coordinates in order.
    pub fn origin(&self) -> [f64; 3] {
        [self.fs, self.bl, self.wl]
    }

    /// All six figures.
    pub(super) fn numbers(&self) -> [f64; 6] {
        [self.fs, self.bl, self.wl, self.roll, self.pitch, self.yaw]
    }
}
