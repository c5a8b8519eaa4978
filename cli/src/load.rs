//! A model file, read within bounds. In: its path. Out: its document with the text that places point into, or faults with it.

use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};

use strongback_model::document::Document;
use strongback_model::record::{Built, Record};
use strongback_model::source::{self, Code, Fault, nearest};

use crate::record::Basis;

/// A model's text with its document.
#[derive(Clone)]
pub struct Loaded {
    /// The file's name as it was typed.
    pub path: String,
    /// The file itself.
    pub file: PathBuf,
    /// Its text.
    pub text: String,
    /// What it says, with what of the record counts.
    pub document: Document,
    /// What of the record counts.
    pub(crate) basis: Basis,
    /// The build record, where it counts.
    pub record: Option<Record>,
    /// What the record makes of the plan.
    pub built: Option<Built>,
}

/// Faults with the text that they are about.
#[derive(Debug)]
pub struct Refused {
    /// The file's name as it was typed.
    pub path: String,
    /// Its text; empty when it could not be read.
    pub text: String,
    /// What is wrong.
    pub faults: Vec<Fault>,
}

impl Refused {
    /// Says under which changes the faults came up: without them the model has none.
    pub(crate) fn with_changes(mut self, name: &str) -> Self {
        for fault in &mut self.faults {
            fault.message = format!("with `{name}`: {}", fault.message);
        }
        self
    }
}

/// Reads a model file.
///
/// # Errors
/// A file that can't be opened, is too long, is not UTF-8 or is no model.
pub fn load(path: &Path) -> Result<Loaded, Refused> {
    let shown = path.display().to_string();
    let refuse = |text: String, fault: Fault| Refused {
        path: shown.clone(),
        text,
        faults: vec![fault],
    };
    let text = read(path).map_err(|fault| refuse(String::new(), fault))?;
    match Document::read(&text) {
        Ok(document) => Ok(Loaded {
            path: shown,
            file: path.to_owned(),
            text,
            document,
            basis: Basis::Plan,
            record: None,
            built: None,
        }),
        Err(fault) => Err(refuse(text, fault)),
    }
}

pub(crate) fn read(path: &Path) -> Result<String, Fault> {
    let trouble = |error: std::io::Error| {
        Fault::error(Code::File, format!("the file can't be read: {error}"))
    };
    let file = File::open(path).map_err(|error| match error.kind() {
        ErrorKind::NotFound => not_there(path),
        _ => trouble(error),
    })?;
    if file.metadata().map_err(trouble)?.is_dir() {
        return Err(Fault::error(
            Code::File,
            "this is a folder, not a model file",
        ));
    }
    let limit = source::MAX_BYTES as u64;
    let mut bytes = Vec::new();
    file.take(limit + 1)
        .read_to_end(&mut bytes)
        .map_err(trouble)?;
    if bytes.len() as u64 > limit {
        return Err(Fault::error(
            Code::TooLarge,
            format!("the file is larger than {} MiB", limit / (1024 * 1024)),
        )
        .help("a model of a whole airframe takes some hundred KiB: is this the right file?"));
    }
    String::from_utf8(bytes).map_err(|error| {
        let valid = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..valid]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count()
            + 1;
        not_text(format!("line {line} holds a sign that is not UTF-8"))
    })
}

fn not_text(message: String) -> Fault {
    Fault::error(Code::BadText, message).help("save it as text in UTF-8")
}

/// There is no such file; the model with the nearest name in the same folder may be meant.
fn not_there(path: &Path) -> Fault {
    /// A folder with more files than this is not searched through.
    const MOST: usize = 1000;
    let folder = match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    let models: Vec<String> = std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .take(MOST)
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| name.ends_with(".ron"))
        .collect();
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().into_owned());
    let near =
        nearest(&name.unwrap_or_default(), models.iter().map(String::as_str)).map(str::to_owned);
    Fault::error(Code::File, "there is no such file")
        .help_if(near.map(|near| format!("the nearest here is `{near}`")))
}
