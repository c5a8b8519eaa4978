//! What is entered in a record. In: a record and an entry. Out: another record, and what is told of it.

use super::checked::roles;
use super::{Adopted, Fitted, MadePart, Note, Record, Stage};
use crate::assembly::expand;
use crate::document::Document;
use crate::layout::{Layout, PlacedPart};
use crate::measurement::Measurement;
use crate::source::{Code, Entries, Fault, Given, Spanned, Text};

/// A record with an entry more.
#[derive(Clone, Debug, PartialEq)]
pub struct Entered {
    /// The record.
    pub record: Record,
    /// What was done, a sentence each.
    pub told: Vec<String>,
}

/// How far a part has got, as it is entered.
#[derive(Clone, Copy, Debug)]
pub struct Piece<'a> {
    /// Its name, of a pair with its hand.
    pub part: &'a str,
    /// The stage.
    pub stage: Stage,
    /// The day on which it got there.
    pub on: &'a str,
    /// Sizes as made, by name.
    pub sizes: &'a [(String, Given)],
}

impl Record {
    /// Enters the stage of a part and its sizes as made. A part that is cut keeps the sizes that `now` has for it from then on,
    /// one that is drilled its holes too; `now` is the document as built, and its layout.
    pub fn with_stage(&self, piece: &Piece<'_>, now: Option<(&Document, &Layout)>) -> Entered {
        let Piece {
            part, stage, on, ..
        } = *piece;
        let before = self.parts.get(part).cloned();
        let was = before.as_ref().map_or(Stage::NotStarted, |made| made.stage);
        let mut told = Vec::new();
        let mut made = before.unwrap_or_else(|| MadePart {
            stage: Stage::NotStarted,
            since: Text::from(on),
            sizes: Entries::new(),
            made_to: Entries::new(),
            choices: Entries::new(),
            fitted: None,
        });
        made.stage = stage;
        let other_day = made.since.value != on;
        let day_was = std::mem::replace(&mut made.since, Text::from(on));
        let gone = let_go(&mut made, stage);
        told.push(match stage.cmp(&was) {
            std::cmp::Ordering::Greater => {
                format!("`{part}` is {} now, and was {}.", stage.told(), was.told())
            }
            std::cmp::Ordering::Equal if other_day => format!(
                "`{part}` is {}, as before: since {on} now, and not since {}.",
                stage.told(),
                day_was.value
            ),
            std::cmp::Ordering::Equal => format!("`{part}` is {}, as before.", stage.told()),
            std::cmp::Ordering::Less => format!(
                "`{part}` goes back: it is {} now, and was {}.{}",
                stage.told(),
                was.told(),
                gone.map(|gone| format!(" No longer kept: {gone}."))
                    .unwrap_or_default(),
            ),
        });
        if let Some((document, layout)) = now {
            keep(&mut made, part, was, document, layout);
        }
        for (size, figure) in piece.sizes {
            told.push(format!("Its {size} as made: {}.", figure_told(figure)));
            put(&mut made.sizes, Text::from(size.as_str()), figure.clone());
        }
        let mut record = self.clone();
        put(&mut record.parts, Text::from(part), made);
        Entered { record, told }
    }

    /// Enters where a part is fitted: where it lies in this document and its layout, which are those of the record as it is now.
    /// What is loose lies nowhere, and what follows a contour lies where that does.
    pub fn with_place(&self, part: &str, (document, layout): (&Document, &Layout)) -> Entered {
        let mut record = self.clone();
        let stated = expand(document).into_iter().find(|one| one.name == part);
        let follows = stated.is_some_and(|one| one.part.kind().contour().is_some());
        let told = match (layout.part(part), record.parts.get_mut(part)) {
            (Some(_), Some(_)) if follows => format!("`{part}` lies where its contour lies."),
            (Some(placed), Some(made)) if placed.settled => {
                made.fitted = Some(where_it_lies(placed));
                format!("Where it lies is kept: `{part}` stays there from now on.")
            }
            (Some(_), Some(_)) => format!(
                "Where it lies is not kept, since `{part}` is still loose: see `strongback loose`, and set it to Drilled and to \
                 Fitted again once that is settled."
            ),
            _ => format!("Where it lies is not kept: the model as built has no `{part}`."),
        };
        Entered {
            record,
            told: vec![told],
        }
    }

    /// Enters a remark, hours, or both.
    pub fn with_note(&self, note: Note) -> Entered {
        let about = match &note.part {
            Some(part) => format!(" about `{}`", part.value),
            None => String::new(),
        };
        let hours = match &note.hours {
            Some(hours) => format!(", with {} h", hours.value),
            None => String::new(),
        };
        let told = vec![format!("Noted{about}{hours}.")];
        let mut record = self.clone();
        record.notes.push(note);
        Entered { record, told }
    }

    /// Enters a measurement.
    ///
    /// # Errors
    /// There is one of the name already.
    pub fn with_measurement(&self, name: &str, measurement: Measurement) -> Result<Entered, Fault> {
        let mut record = self.clone();
        if record.measurements.get(name).is_some() {
            return Err(Fault::error(
                Code::Twice,
                format!("the record has a measurement `{name}` already"),
            )
            .help(format!(
                "give this one another name: both count; or take the other one back first, if it was misread: built measure MODEL \
                 \"{name}\" --withdraw"
            )));
        }
        record.measurements.push(Text::from(name), measurement)?;
        Ok(Entered {
            record,
            told: vec![format!("`{name}` is measured.")],
        })
    }

    /// Enters that a deviation was built in.
    ///
    /// # Errors
    /// It was adopted before.
    pub fn with_adopted(&self, name: &str, adopted: Adopted) -> Result<Entered, Fault> {
        if let Some(before) = self.adopted.get(name) {
            return Err(Fault::error(
                Code::Twice,
                format!("`{name}` was adopted on {}", before.on.value),
            ));
        }
        let mut record = self.clone();
        record.adopted.push(Text::from(name), adopted)?;
        Ok(Entered {
            record,
            told: vec![format!("`{name}` is adopted: it is part of what is built.")],
        })
    }
}

fn figure_told(given: &Given) -> String {
    match given {
        Given::Text(text) => text.value.clone(),
        Given::Number(number) => number.value.to_string(),
        Given::Find { .. } => "Find".to_owned(),
    }
}

/// Lets go of what a part of an earlier stage doesn't have, and tells it.
fn let_go(made: &mut MadePart, stage: Stage) -> Option<String> {
    let mut gone = Vec::new();
    if stage < Stage::Fitted && made.fitted.take().is_some() {
        gone.push("where it was fitted");
    }
    if stage < Stage::Cut && !(made.sizes.is_empty() && made.made_to.is_empty()) {
        made.sizes = Entries::new();
        made.made_to = Entries::new();
        made.choices = Entries::new();
        gone.push("its sizes as made");
    }
    (!gone.is_empty()).then(|| gone.join(", "))
}

/// Notes the sizes that a part has from now on: those of its metal once it is cut, those of its holes once they are drilled.
fn keep(made: &mut MadePart, part: &str, was: Stage, document: &Document, layout: &Layout) {
    let stated = expand(document).into_iter().find(|one| one.name == part);
    let (Some(stated), Some(placed)) = (stated, layout.part(part)) else {
        return;
    };
    if was < Stage::Cut && made.stage >= Stage::Cut {
        for (name, choice) in &placed.choices {
            put(
                &mut made.choices,
                Text::from(name.as_str()),
                Text::from(choice.as_str()),
            );
        }
    }
    let holes: Vec<String> = stated
        .part
        .kind()
        .common()
        .holes
        .names()
        .map(|hole| format!("{hole} "))
        .collect();
    let of_hole = |name: &str| holes.iter().any(|hole| name.starts_with(hole));
    if made.stage < Stage::Drilled {
        for name in holes_of(&made.made_to, of_hole) {
            made.made_to.remove(&name);
        }
    }
    for name in roles(stated.part).into_keys() {
        let from = if of_hole(&name) {
            Stage::Drilled
        } else {
            Stage::Cut
        };
        let reached = was < from && from <= made.stage;
        if let Some(size) = placed.size(&name).filter(|size| reached && size.settled) {
            put(
                &mut made.made_to,
                Text::from(name),
                Spanned::unplaced(rounded(size.value)),
            );
        }
    }
}

fn holes_of(sizes: &Entries<Spanned<f64>>, of_hole: impl Fn(&str) -> bool) -> Vec<String> {
    let names = sizes.names().filter(|name| of_hole(name));
    names.map(str::to_owned).collect()
}

fn where_it_lies(placed: &PlacedPart) -> Fitted {
    let [fs, bl, wl] = placed.origin_mm.map(rounded);
    let [roll, pitch, yaw] = placed.turn_deg.map(rounded);
    Fitted {
        fs,
        bl,
        wl,
        roll,
        pitch,
        yaw,
    }
}

/// To a billionth of a millimetre or a degree: far below what the solver takes for nothing, and free of the last bits.
fn rounded(value: f64) -> f64 {
    const PLACES: f64 = 1e9;
    let near = (value * PLACES).round() / PLACES;
    // adding zero turns a negative zero into zero
    if near.is_finite() { near + 0.0 } else { value }
}

/// Puts a value under a name, in the place of the one that is there.
fn put<T>(entries: &mut Entries<T>, name: Text, value: T) {
    if let Err(value) = entries.replace(&name.value.clone(), value) {
        // the name is free: nothing was replaced
        let _ = entries.push(name, value);
    }
}
