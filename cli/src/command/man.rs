//! `man`: the manual pages, from the same words as the help.

use clap::CommandFactory;
use clap_mangen::Man as Manual;
use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::source::{Code, Fault, nearest};

use super::{Answered, Told};
use crate::Status;
use crate::args::{Args, Man};
use crate::load::Refused;

/// What `man` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ManAnswer {
    /// The file's name under which `man` finds the page.
    pub file: String,
    /// The page in roff.
    pub page: String,
}

pub(super) fn run(args: &Man) -> Result<(Status, Box<dyn Answered>), Refused> {
    let mut whole = Args::command();
    whole.build();
    let command = match &args.command {
        None => whole,
        Some(name) => match whole.find_subcommand(name) {
            Some(own) => own.clone(),
            None => return Err(no_such(name, &whole)),
        },
    };
    // that of a command is found as `man strongback-fit`
    let manual = Manual::new(command);
    let mut page = Vec::new();
    match manual.render(&mut page) {
        Ok(()) => Ok((
            Status::Well,
            Box::new(ManAnswer {
                file: manual.get_filename(),
                page: String::from_utf8_lossy(&page).into_owned(),
            }),
        )),
        Err(error) => Err(refused(Fault::error(
            Code::File,
            format!("the page can't be written: {error}"),
        ))),
    }
}

fn no_such(name: &str, whole: &clap::Command) -> Refused {
    let commands: Vec<&str> = whole
        .get_subcommands()
        .map(clap::Command::get_name)
        .collect();
    let fault = Fault::error(Code::UnknownName, format!("there is no command `{name}`"));
    refused(match nearest(name, commands.iter().copied()) {
        Some(near) => fault.help(format!("did you mean `{near}`?")),
        None => fault.help(format!("the commands are {}", commands.join(", "))),
    })
}

fn refused(fault: Fault) -> Refused {
    Refused {
        path: String::new(),
        text: String::new(),
        faults: vec![fault],
    }
}

impl Told for ManAnswer {
    fn text(&self, _width: usize) -> String {
        self.page.clone()
    }
}
