//! The face of the program: commands, words, pictures.
//!
//! In the order in which data flows: [`args`] (what was typed), [`load`] (the model's file, read within bounds) and `record` (the build
//! record's, read, locked and written whole), [`command`] (what each command finds out, as data), [`render`] (the same as text) and
//! [`picture`]; `dxf` and `pdf` write what is cut. `html` makes elements of the text, and of these and pictures `page` is made, which is
//! served, and `book`, which is printed.

pub mod args;
mod book;
pub mod command;
mod dxf;
pub(crate) mod html;
pub mod load;
mod page;
mod pdf;
pub mod picture;
mod record;
pub mod render;

use std::ffi::OsString;
use std::io::Write;
use std::process::ExitCode;

use clap::Parser;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// All well.
    Well = 0,
    /// Something is loose, at odds, does not fit or breaks a rule.
    Amiss = 1,
    /// The input can't be used.
    Unusable = 2,
}

impl From<Status> for ExitCode {
    fn from(status: Status) -> ExitCode {
        ExitCode::from(status as u8)
    }
}

/// Runs the program on words as typed, the program's own name first.
pub fn run(
    words: impl IntoIterator<Item = OsString>,
    out: &mut impl Write,
    err: &mut impl Write,
) -> ExitCode {
    let words: Vec<OsString> = words.into_iter().collect();
    let json = words
        .iter()
        .take_while(|word| *word != "--")
        .any(|word| word == "--json");
    let args = match args::Args::try_parse_from(words) {
        Ok(args) => args,
        Err(error) => {
            let error = args::elsewhere::told(error);
            let text = error.render();
            // help and version are answers, everything else is trouble
            let written = if error.use_stderr() && json {
                let told = command::not_understood(&text.to_string());
                told.map_err(Into::into)
                    .and_then(|told| out.write_all(told.as_bytes()))
            } else if error.use_stderr() {
                write!(err, "{}", text.ansi())
            } else {
                write!(out, "{}", text.ansi())
            };
            // a reader that has gone away is no trouble of ours
            let _ = written;
            let status = if error.use_stderr() {
                Status::Unusable
            } else {
                Status::Well
            };
            return status.into();
        }
    };
    args.color.write_global();
    if let args::Command::Page(args) = &args.command {
        // it answers to a browser until it is stopped
        return page::serve(args, out, err).into();
    }
    let answer = command::answer(&args);
    let shown = if args.json {
        answer.json()
    } else {
        answer.text(render::width())
    };
    let written = write!(out, "{}", shown.out).and_then(|()| out.flush());
    let _ = write!(err, "{}", shown.err).and_then(|()| err.flush());
    match written {
        // a reader that has gone away is no trouble of ours
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            let _ = writeln!(err, "error: the answer can't be written: {error}");
            Status::Unusable.into()
        }
        _ => answer.status.into(),
    }
}
