//! `new`: a first model.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};
use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::source::{Code, Fault};

use super::{Answered, Told};
use crate::Status;
use crate::args;
use crate::load::Refused;

/// The tutorial's model, which is also a demo and a test.
const FIRST_MODEL: &str = include_str!("../../../demo-models/first-bay.ron");

/// What `new` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct NewAnswer {
    /// The file that was written.
    pub written: String,
}

pub(super) fn run(args: &args::New) -> Result<(Status, Box<dyn Answered>), Refused> {
    let path = args.model.display().to_string();
    let refuse = |message: String, help: &str| Refused {
        path: path.clone(),
        text: String::new(),
        faults: vec![Fault::error(Code::File, message).help(help)],
    };
    let created = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(&args.model);
    let written = created.and_then(|mut file| {
        file.write_all(FIRST_MODEL.as_bytes())?;
        file.sync_all()
    });
    match written {
        Ok(()) => Ok((Status::Well, Box::new(NewAnswer { written: path }))),
        Err(error) if error.kind() == ErrorKind::AlreadyExists => Err(refuse(
            "there is a file of this name already; it was left as it is".to_owned(),
            "give another name",
        )),
        Err(error) => Err(refuse(
            format!("the file can't be written: {error}"),
            "is the folder there, and may you write in it?",
        )),
    }
}

/// A file's name as it is typed at a prompt.
fn typed(name: &str) -> String {
    if name.contains(char::is_whitespace) {
        format!("\"{name}\"")
    } else {
        name.to_owned()
    }
}

impl Told for NewAnswer {
    fn text(&self, _width: usize) -> String {
        let picture = Path::new(&self.written).with_extension("svg");
        let (model, picture) = (typed(&self.written), typed(&picture.display().to_string()));
        format!(
            "{} is written: six parts, commented line by line. Next:\n  strongback locate {model}\n  strongback draw {model} -o {picture}\n",
            self.written
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_next_steps_are_about_the_file_that_was_written() {
        let told = |written: &str| {
            let written = written.to_owned();
            NewAnswer { written }.text(100)
        };
        assert!(told("t.ron").contains("strongback draw t.ron -o t.svg\n"));
        assert!(told("my bay.ron").contains("draw \"my bay.ron\" -o \"my bay.svg\"\n"));
    }
}
