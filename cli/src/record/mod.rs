//! The build record's file, beside its model: read, locked, written whole, taken back. In: the model's path. Out: the record with
//! its text, or what is wrong with it and where.

mod basis;
mod keeping;
mod lock;

use std::path::{Path, PathBuf};

use strongback_model::record::{Record, Trouble};
use strongback_model::source::{Code, Fault};

pub(crate) use basis::Basis;
pub(crate) use lock::Lock;

use crate::load::{self, Loaded, Refused};

/// Where a model's record lies.
#[derive(Clone, Debug)]
pub(crate) struct RecordFile {
    /// The file itself: where a link leads, if the record is one.
    path: PathBuf,
    /// Its name as it would be typed.
    name: PathBuf,
    /// The model as it was typed, for what is offered.
    model: PathBuf,
}

/// A record that was read.
pub(crate) struct Kept {
    pub(crate) text: String,
    pub(crate) record: Record,
}

/// The path with an ending more.
fn with_ending(path: &Path, ending: &str) -> PathBuf {
    let mut longer = path.as_os_str().to_owned();
    longer.push(ending);
    PathBuf::from(longer)
}

/// Where a name leads, by way of links; a last one may lead to a file that is not there yet.
fn followed(name: &Path) -> PathBuf {
    /// More links in a row than this lead in a circle.
    const MOST: usize = 40;
    let mut path = name.to_owned();
    for _ in 0..MOST {
        let Ok(to) = std::fs::read_link(&path) else {
            break;
        };
        path = match path.parent() {
            Some(folder) => folder.join(to),
            None => to,
        };
    }
    path
}

impl RecordFile {
    /// The record of `NAME.ron` is `NAME.built.ron`.
    pub(crate) fn beside(model: &Path) -> Self {
        let name = match model.extension() {
            Some(ending) if ending == "ron" => model.with_extension("built.ron"),
            _ => with_ending(model, ".built.ron"),
        };
        Self {
            path: followed(&name),
            name,
            model: model.to_owned(),
        }
    }

    /// Its name as it would be typed.
    pub(crate) fn shown(&self) -> String {
        self.name.display().to_string()
    }

    /// The record that was there before the last entry.
    fn before(&self) -> PathBuf {
        with_ending(&self.path, ".before")
    }

    /// The record; none if there is none yet.
    pub(crate) fn read(&self) -> Result<Option<Kept>, Refused> {
        if !self.path.try_exists().unwrap_or(true) {
            return match self.before().try_exists() {
                Ok(false) => Ok(None),
                _ => Err(self.refused(
                    String::new(),
                    vec![Fault::error(
                        Code::File,
                        "the build record is gone, and the one before it is there",
                    )],
                )),
            };
        }
        if self.path.is_dir() {
            let fault = Fault::error(
                Code::File,
                "this is a folder, and the build record is a file of that name",
            );
            let fault = fault.help("give the folder another name");
            return Err(Refused {
                path: self.shown(),
                text: String::new(),
                faults: vec![fault],
            });
        }
        let text =
            load::read(&self.path).map_err(|fault| self.refused(String::new(), vec![fault]))?;
        match Record::read(&text) {
            Ok(record) => Ok(Some(Kept { text, record })),
            Err(fault) => Err(self.refused(text, vec![fault])),
        }
    }

    /// The record, which has to be there.
    pub(crate) fn needed(&self) -> Result<Kept, Refused> {
        self.read()?.ok_or_else(|| {
            let fault = Fault::error(Code::File, "there is no build record yet").help(format!(
                "`strongback built set {} PART STAGE` begins one",
                self.model.display()
            ));
            Refused {
                path: self.shown(),
                text: String::new(),
                faults: vec![fault],
            }
        })
    }

    /// A record that can't be used; the one before it is offered, where that can be.
    fn refused(&self, text: String, mut faults: Vec<Fault>) -> Refused {
        let before = load::read(&self.before()).and_then(|text| Record::read(&text));
        if before.is_ok() {
            let offer = Fault::note(
                Code::File,
                "the record is left as it is; the one before the last entry is there, and can be read",
            );
            faults.push(offer.help(format!(
                "`strongback built restore {}` takes it back, and keeps this one as the one before it",
                self.model.display()
            )));
        }
        Refused {
            path: self.shown(),
            text,
            faults,
        }
    }

    /// Faults of a record beside its model: with their places in it, or of the entry that was typed.
    pub(crate) fn trouble(&self, loaded: &Loaded, text: &str, trouble: Trouble) -> Refused {
        match trouble {
            Trouble::InModel(name, fault) => loaded.refuse(vec![fault]).with_changes(&name),
            Trouble::InRecord(faults) if faults.iter().any(|fault| fault.span().is_some()) => {
                Refused {
                    path: self.shown(),
                    text: text.to_owned(),
                    faults,
                }
            }
            Trouble::InRecord(faults) => loaded.refuse(faults),
        }
    }
}
