//! `built`: the build record beside the model. Each entry is read, checked against the model, and written whole, under a lock.

mod entry;
mod show;

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::document::Document;
use strongback_model::layout::Layout;
use strongback_model::record::{Built, Entered, Record, Trouble};

pub use show::{RecordAnswer, SizeMade};

use super::locate;
use super::{Answered, Told};
use crate::Status;
use crate::args::{self, BuiltCommand};
use crate::load::{Loaded, Refused, load};
use crate::record::RecordFile;
use crate::render;

/// What an entry in the build record answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct EnteredAnswer {
    /// The record's file.
    pub record: String,
    /// What was done, a sentence each.
    pub done: Vec<String>,
    /// What to keep in mind.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub caution: Option<String>,
}

/// How a command ends.
type Ended = Result<(Status, Box<dyn Answered>), Refused>;

pub(super) fn run(args: &args::Built) -> Ended {
    match &args.command {
        BuiltCommand::Show(it) => show::run(it),
        BuiltCommand::Set(it) => entry::stage(it).map(entered),
        BuiltCommand::Note(it) => entry::note(it).map(entered),
        BuiltCommand::Measure(it) => entry::measure(it).map(entered),
        BuiltCommand::Adopt(it) => entry::adopt(it).map(entered),
        BuiltCommand::Restore(it) => restore(it),
    }
}

fn restore(args: &args::BuiltModel) -> Ended {
    let file = RecordFile::beside(&args.model);
    let lock = file.lock()?;
    file.restore(&lock)?;
    let record = file.shown();
    let done = "The record before the last entry is back; the one that was present is kept as the one before it.";
    Ok(entered(EnteredAnswer {
        record,
        done: vec![done.to_owned()],
        caution: None,
    }))
}

fn entered(answer: EnteredAnswer) -> (Status, Box<dyn Answered>) {
    (Status::Well, Box::new(answer))
}

/// A record being entered in, with its model.
struct Entering<'a> {
    loaded: &'a Loaded,
    file: &'a RecordFile,
    /// The text of the record as it is, of which places are told.
    text: &'a str,
    /// The record as it is.
    record: &'a Record,
}

/// Enters a stage, and tells what was done.
pub(crate) fn enter_stage(args: &args::BuiltSet) -> Result<Vec<String>, Refused> {
    Ok(entry::stage(args)?.done)
}

/// Enters in the record of a model, from reading it to having written it under one lock.
fn enter(
    model: &std::path::Path,
    caution: Option<String>,
    make: impl FnOnce(&Entering<'_>) -> Result<Entered, Refused>,
) -> Result<EnteredAnswer, Refused> {
    let loaded = load(model)?;
    let file = RecordFile::beside(model);
    let lock = file.lock()?;
    let (text, record) = match file.read()? {
        Some(kept) => (kept.text, kept.record),
        None => (String::new(), Record::new(loaded.document.unit)),
    };
    let entering = Entering {
        loaded: &loaded,
        file: &file,
        text: &text,
        record: &record,
    };
    let made = make(&entering)?;
    if made.record == record {
        let mut done = made.told;
        done.push("That was on record already: nothing is written.".to_owned());
        return Ok(EnteredAnswer {
            record: file.shown(),
            done,
            caution,
        });
    }
    if let Err(refused) = entering.built(&made.record)
        && !entering.mends(&made.record)
    {
        return Err(refused);
    }
    file.write(&lock, &made.record)?;
    Ok(EnteredAnswer {
        record: file.shown(),
        done: made.told,
        caution,
    })
}

impl Entering<'_> {
    /// The model as a record has it built.
    fn built(&self, record: &Record) -> Result<Built, Refused> {
        Built::of(&self.loaded.document, record)
            .map_err(|trouble| self.file.trouble(self.loaded, self.text, trouble))
    }

    /// Whether a record that still has faults has fewer than the present one: it is mended one entry at a time.
    fn mends(&self, record: &Record) -> bool {
        let faults = |record: &Record| match Built::of(&self.loaded.document, record) {
            Ok(_) => 0,
            Err(Trouble::InRecord(faults)) => faults.len(),
            Err(Trouble::InModel(..)) => usize::MAX,
        };
        faults(record) < faults(self.record)
    }

    /// The document as a record has it built, with its layout.
    fn laid_out(&self, record: &Record) -> Result<(Document, Layout), Refused> {
        let document = self.built(record)?.document;
        let layout = laid_out(self.loaded, &document)?;
        Ok((document, layout))
    }
}

fn laid_out(loaded: &Loaded, document: &Document) -> Result<Layout, Refused> {
    locate::laid_out(loaded, document, |_, layout| layout)
        .map_err(|refused| refused.with_changes("what is built"))
}

impl Told for EnteredAnswer {
    fn text(&self, width: usize) -> String {
        render::built::entered(self, width)
    }
}
