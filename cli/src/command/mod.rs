//! The commands: each finds out its answer as data, and tells it as text. To add one: its file in this
//! folder, its `mod` line, its line in [`answer`] and in [`schemas`], its words in [`args`](crate::args), and its text in a file in
//! [`render`].

mod blank_files;
mod blanks;
mod book;
mod built;
mod changed;
mod completions;
mod draw;
mod fit;
mod ground;
mod joints;
mod locate;
mod loose;
mod man;
mod mass;
mod measured;
mod new;
mod odds;
mod order;
mod readings;
mod recut;
mod remedy;
mod saw;
mod stack;
mod trial;
mod why;

use schemars::Schema;
use serde::Serialize;
use strongback_model::record::{Progress, Record};
use strongback_model::source::{Code, Fault, Severity};

pub use blanks::BlanksAnswer;
pub use book::BookAnswer;
pub(crate) use built::enter_stage;
pub use built::{EnteredAnswer, RecordAnswer, SizeMade};
pub use completions::CompletionsAnswer;
pub use draw::DrawAnswer;
pub(crate) use draw::{at_odds, parts_named};
pub use fit::FitAnswer;
pub(crate) use ground::Ground;
pub use joints::JointsAnswer;
pub use locate::LocateAnswer;
pub(crate) use locate::{Located, with_solution};
pub use loose::LooseAnswer;
pub use man::ManAnswer;
pub(crate) use mass::ESTIMATE;
pub use mass::MassAnswer;
pub use measured::MeasuredAnswer;
pub use new::NewAnswer;
pub use odds::OddsAnswer;
pub use order::OrderAnswer;
pub use readings::ReadingsAnswer;
pub use recut::RecutAnswer;
pub use remedy::RemedyAnswer;
pub(crate) use saw::Cut;
pub use stack::StackAnswer;
pub use trial::{Trial, TryAnswer};
pub(crate) use trial::{Tried, as_deviation, one_and_ask};
pub use why::WhyAnswer;

use crate::Status;
use crate::args::{Args, Command};
use crate::load::{Loaded, Refused};
use crate::render;

/// The caution that goes with every deviation, remedy and re-cut.
pub const CAUTION: &str = "Geometry only is checked. Strength, airworthiness and the wisdom of a deviation are for \
     the designer, local rules and licensed practice; nothing here approves it.";

/// What a command answers.
pub struct Answer {
    /// How it ended.
    pub status: Status,
    told: Result<Box<dyn Answered>, Refused>,
}

/// What is printed.
#[derive(Debug, Default)]
pub struct Shown {
    /// To standard output.
    pub out: String,
    /// To standard error.
    pub err: String,
}

/// An answer that can be told as text.
pub trait Told {
    /// In lines of about `width` characters.
    fn text(&self, width: usize) -> String;
}

/// What every answer is that can be told as text and serialised.
pub trait Answered: Told {
    /// As JSON.
    fn json(&self) -> serde_json::Result<String>;
}

impl<T: Told + Serialize> Answered for T {
    fn json(&self) -> serde_json::Result<String> {
        to_json(self)
    }
}

/// An answer as JSON.
fn to_json<T: Serialize>(answer: &T) -> serde_json::Result<String> {
    serde_json::to_string_pretty(answer).map(|text| text + "\n")
}

/// What was typed and can't be understood, as JSON like any refused input.
///
/// # Errors
/// It can't be written as JSON.
pub fn not_understood(told: &str) -> serde_json::Result<String> {
    let told = told.trim().trim_start_matches("error: ");
    let (message, rest) = told.split_once("\n\n").unwrap_or((told, ""));
    let message: Vec<&str> = message.lines().map(str::trim).collect();
    let rest: Vec<&str> = rest
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .collect();
    to_json(&RefusedAnswer {
        file: "",
        faults: vec![FaultAnswer {
            code: "command-line",
            severity: Severity::Error,
            message: &message.join(" "),
            line: None,
            column: None,
            help: Some(rest.join("; "))
                .as_deref()
                .filter(|rest| !rest.is_empty()),
        }],
    })
}

/// Refused input as JSON.
#[derive(Serialize, schemars::JsonSchema)]
struct RefusedAnswer<'a> {
    /// The file; empty where the words typed are at fault.
    file: &'a str,
    /// What is wrong with it.
    faults: Vec<FaultAnswer<'a>>,
}

/// A fault with its place.
#[derive(Serialize, schemars::JsonSchema)]
struct FaultAnswer<'a> {
    code: &'a str,
    /// How much it weighs.
    severity: Severity,
    message: &'a str,
    line: Option<usize>,
    column: Option<usize>,
    help: Option<&'a str>,
}

impl Answer {
    fn of(result: Result<(Status, Box<dyn Answered>), Refused>) -> Answer {
        match result {
            Ok((status, told)) => Answer {
                status,
                told: Ok(told),
            },
            Err(refused) => Answer {
                status: Status::Unusable,
                told: Err(refused),
            },
        }
    }

    /// The answer as text.
    pub fn text(&self, width: usize) -> Shown {
        match &self.told {
            Ok(told) => Shown {
                out: told.text(width),
                err: String::new(),
            },
            Err(refused) => Shown {
                out: String::new(),
                err: render::fault::render(refused, width),
            },
        }
    }

    /// The answer as JSON, on standard output whatever it is.
    pub fn json(&self) -> Shown {
        let json = match &self.told {
            Ok(told) => told.json(),
            Err(refused) => to_json(&RefusedAnswer {
                file: &refused.path,
                faults: refused
                    .faults
                    .iter()
                    .map(|fault| FaultAnswer::of(fault, &refused.text))
                    .collect(),
            }),
        };
        match json {
            Ok(out) => Shown {
                out,
                err: String::new(),
            },
            Err(error) => Shown {
                out: String::new(),
                err: format!("the answer can't be written as JSON: {error}\n"),
            },
        }
    }
}

impl<'a> FaultAnswer<'a> {
    fn of(fault: &'a Fault, text: &str) -> Self {
        let place = fault
            .span()
            .filter(|_| !text.is_empty())
            .map(|span| strongback_model::source::line_column(text, span.start));
        Self {
            code: fault.code.as_str(),
            severity: fault.severity,
            message: &fault.message,
            line: place.map(|(line, _)| line),
            column: place.map(|(_, column)| column),
            help: fault.help.as_deref(),
        }
    }
}

/// Does what was typed.
pub fn answer(args: &Args) -> Answer {
    Answer::of(match &args.command {
        Command::Locate(it) => locate::run(it),
        Command::Fit(it) => fit::run(it),
        Command::Try(it) => trial::run(it),
        Command::Recut(it) => recut::run(it),
        Command::Why(it) => why::run(it),
        Command::Odds(it) => odds::run(it),
        Command::Readings(it) => readings::run(it),
        Command::Loose(it) => loose::run(it),
        Command::Measured(it) => measured::run(it),
        Command::Stack(it) => stack::run(it),
        Command::Remedy(it) => remedy::run(it),
        Command::Joints(it) => joints::run(it),
        Command::Order(it) => order::run(it),
        Command::Blanks(it) => blanks::run(it),
        Command::Mass(it) => mass::run(it),
        Command::Draw(it) => draw::run(it),
        Command::Built(it) => built::run(it),
        Command::New(it) => new::run(it),
        Command::Completions(it) => completions::run(it),
        Command::Man(it) => man::run(it),
        Command::Book(it) => book::run(it),
        Command::Page(it) => Err(page_has_none(it)),
    })
}

/// A page is served by [`run`](crate::run), and answers to a browser.
fn page_has_none(args: &crate::args::Page) -> Refused {
    let fault = Fault::error(
        Code::File,
        "a page is served to a browser, and has no other answer",
    );
    Refused {
        path: args.model.display().to_string(),
        text: String::new(),
        faults: vec![fault],
    }
}

/// The JSON Schema of each command's answer, and of refused input.
pub fn schemas() -> Vec<(&'static str, Schema)> {
    vec![
        ("locate", schemars::schema_for!(LocateAnswer)),
        ("fit", schemars::schema_for!(FitAnswer)),
        ("try", schemars::schema_for!(TryAnswer)),
        ("recut", schemars::schema_for!(RecutAnswer)),
        ("why", schemars::schema_for!(WhyAnswer)),
        ("odds", schemars::schema_for!(OddsAnswer)),
        ("readings", schemars::schema_for!(ReadingsAnswer)),
        ("loose", schemars::schema_for!(LooseAnswer)),
        ("measured", schemars::schema_for!(MeasuredAnswer)),
        ("stack", schemars::schema_for!(StackAnswer)),
        ("remedy", schemars::schema_for!(RemedyAnswer)),
        ("joints", schemars::schema_for!(JointsAnswer)),
        ("order", schemars::schema_for!(OrderAnswer)),
        ("blanks", schemars::schema_for!(BlanksAnswer)),
        ("mass", schemars::schema_for!(MassAnswer)),
        ("draw", schemars::schema_for!(DrawAnswer)),
        ("built-show", schemars::schema_for!(RecordAnswer)),
        ("built", schemars::schema_for!(EnteredAnswer)),
        ("book", schemars::schema_for!(BookAnswer)),
        ("new", schemars::schema_for!(NewAnswer)),
        ("completions", schemars::schema_for!(CompletionsAnswer)),
        ("man", schemars::schema_for!(ManAnswer)),
        ("refused", schemars::schema_for!(RefusedAnswer)),
    ]
}

/// How far the parts of a model have been made, as its record says; without one nothing is started.
pub(crate) fn progress(loaded: &Loaded) -> Progress {
    let record = loaded.record.as_ref();
    record.map(Record::progress).unwrap_or_default()
}
