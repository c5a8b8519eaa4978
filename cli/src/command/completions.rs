//! `completions`: what a shell reads to complete what is typed.

use clap::CommandFactory;
use clap_complete::generate;
use schemars::JsonSchema;
use serde::Serialize;

use super::{Answered, Told};
use crate::Status;
use crate::args::{Args, Completions};
use crate::load::Refused;

/// What `completions` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CompletionsAnswer {
    /// The shell's name.
    pub shell: String,
    /// What it is to read.
    pub script: String,
}

pub(super) fn run(args: &Completions) -> Result<(Status, Box<dyn Answered>), Refused> {
    let mut script = Vec::new();
    generate(args.shell, &mut Args::command(), "strongback", &mut script);
    let answer = CompletionsAnswer {
        shell: args.shell.to_string(),
        script: String::from_utf8_lossy(&script).into_owned(),
    };
    Ok((Status::Well, Box::new(answer)))
}

impl Told for CompletionsAnswer {
    fn text(&self, _width: usize) -> String {
        self.script.clone()
    }
}
