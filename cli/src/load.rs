//! A model file, read within bounds.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use strongback_model::document::Document;
use strongback_model::source::{self, Code, Fault};

/// A model's text with its document.
pub struct Loaded {
    /// The file's name as it was typed.
    pub path: String,
    /// Its text.
    pub text: String,
    /// What it says.
    pub document: Document,
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
    match source::read::<Document>(&text) {
        Ok(document) => Ok(Loaded {
            path: shown,
            text,
            document,
        }),
        Err(fault) => Err(refuse(text, fault)),
    }
}

fn read(path: &Path) -> Result<String, Fault> {
    let trouble = |error: std::io::Error| {
        Fault::error(Code::File, format!("the file can't be read: {error}"))
    };
    let file = File::open(path).map_err(trouble)?;
    if file.metadata().map_err(trouble)?.is_dir() {
        return Err(Fault::error(Code::File, "this is a folder, not a model file"));
    }
    let limit = source::MAX_BYTES as u64;
    let mut bytes = Vec::new();
    file.take(limit + 1).read_to_end(&mut bytes).map_err(trouble)?;
    if bytes.len() as u64 > limit {
        return Err(Fault::error(
            Code::TooLarge,
            format!("the file is larger than {} MiB", limit / (1024 * 1024)),
        )
        .help("a model of a whole airframe takes some hundred KiB: is this the right file?"));
    }
    String::from_utf8(bytes).map_err(|error| {
        Fault::error(
            Code::BadText,
            format!(
                "the file is not UTF-8 text: byte {} makes no character",
                error.utf8_error().valid_up_to()
            ),
        )
    })
}
