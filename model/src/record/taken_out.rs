//! What is taken out of a record. In: a record, the plan, a name. Out: another record, and what is told of it.

use super::as_built::adopted;
use super::{Entered, Record};
use crate::assembly::expand;
use crate::document::Document;
use crate::relation::unknown;
use crate::source::{Code, Fault, Text};

impl Record {
    /// Takes out a part that the model doesn't have any more. Its notes stay as notes on the whole, with its name before them, and
    /// so do its hours. None of a part that the model has, nor of one that the record doesn't know.
    pub fn without_gone(&self, part: &str, plan: &Document) -> Option<Entered> {
        let known = |document: &Document| expand(document).iter().any(|one| one.name == part);
        if known(plan) || adopted(plan, self).is_ok_and(|now| known(&now)) {
            return None;
        }
        let mut record = self.clone();
        let was = record.parts.remove(part);
        let mut notes = 0;
        for note in &mut record.notes {
            if note.part.as_ref().is_some_and(|about| about.value == part) {
                note.part = None;
                note.text = Text::from(format!("{part}: {}", note.text.value));
                notes += 1;
            }
        }
        let mut told = Vec::new();
        if let Some(was) = &was {
            told.push(format!(
                "`{part}` is taken out: the model has no such part, and it was {} since {}.",
                was.value.stage.told(),
                was.value.since.value
            ));
        }
        if notes > 0 {
            told.push(format!(
                "What was noted about `{part}` stays as a note on the whole."
            ));
        }
        (!told.is_empty()).then_some(Entered { record, told })
    }

    /// Takes the adoption of a deviation back.
    ///
    /// # Errors
    /// It was not adopted, with the nearest one that was.
    pub fn without_adopted(&self, name: &str) -> Result<Entered, Fault> {
        let mut record = self.clone();
        let Some(was) = record.adopted.remove(name) else {
            let names = self.adopted.names();
            let text = Text::unplaced(name.to_owned());
            return Err(unknown("adopted deviation", &text, name, names));
        };
        let told = format!(
            "`{name}` is no longer adopted, as it was on {}: the plan counts without it. Parts that are cut keep their sizes.",
            was.value.on.value
        );
        Ok(Entered {
            record,
            told: vec![told],
        })
    }

    /// Takes a measurement back that was misread.
    ///
    /// # Errors
    /// There is none of the name, with the nearest one that there is.
    pub fn without_measurement(&self, name: &str) -> Result<Entered, Fault> {
        let mut record = self.clone();
        if record.measurements.remove(name).is_none() {
            let names = self.measurements.names();
            let text = Text::unplaced(name.to_owned());
            return Err(unknown("measurement of the record", &text, name, names));
        }
        Ok(Entered {
            record,
            told: vec![format!("`{name}` does not count any more.")],
        })
    }

    /// The fault of a deviation that says otherwise what one that was adopted says already: only one of the two can count.
    pub fn said_already(&self, name: &str, plan: &Document) -> Option<Fault> {
        let sets = |name: &str| -> Vec<String> {
            let deviation = plan.deviations.get(name);
            let changes = deviation.map(|deviation| deviation.changes.iter());
            let changes = changes.into_iter().flatten();
            changes
                .filter_map(|change| change.kind().sets(plan))
                .collect()
        };
        let asked = sets(name);
        let mut adopted = self.adopted.names().filter(|before| *before != name);
        adopted.find_map(|before| {
            let both = sets(before).into_iter().find(|one| asked.contains(one))?;
            let message = format!(
                "`{name}` and `{before}`, which was adopted before, both change `{both}`: only one can count"
            );
            Some(Fault::error(Code::Twice, message).help(format!(
                "take the other one back first: built adopt MODEL \"{before}\" --withdraw"
            )))
        })
    }
}
