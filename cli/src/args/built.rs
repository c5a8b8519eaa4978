//! The words of `built`: what is put on record of the real thing.

use std::path::PathBuf;

use clap::{Args as Group, Subcommand, ValueEnum};
use strongback_model::record::Stage;
use strongback_model::words::Side;

/// What to do with the build record.
#[derive(Debug, Group)]
pub struct Built {
    /// What to do.
    #[command(subcommand)]
    pub command: BuiltCommand,
}

/// What can be done with the build record.
#[derive(Debug, Subcommand)]
pub enum BuiltCommand {
    /// What is on record: parts begun, sizes as made beside the plan, hours, measurements, adopted deviations, notes.
    Show(BuiltModel),
    /// How far a part has got, and its sizes as made.
    Set(BuiltSet),
    /// A remark or hours, of a part or of the whole.
    #[command(allow_missing_positional = true)]
    Note(BuiltNote),
    /// A measurement of the real thing, or with --withdraw one that was misread.
    Measure(BuiltMeasure),
    /// A deviation of the model that was built in, or with --withdraw is not any more.
    Adopt(BuiltAdopt),
    /// Takes the record back that was there before the last entry; the present one becomes the one before it.
    Restore(BuiltModel),
}

/// `built show` and `built restore`
#[derive(Debug, Group)]
pub struct BuiltModel {
    /// The model file; its record lies beside it.
    pub model: PathBuf,
}

/// `built set`
#[derive(Debug, Group)]
pub struct BuiltSet {
    /// The model file; its record lies beside it.
    pub model: PathBuf,
    /// The part; of two, with its hand: "rib L".
    pub part: String,
    /// How far it has got. NotStarted of a part that the model has no more takes it out of the record.
    #[arg(value_enum, ignore_case = true)]
    pub stage: StageWord,
    /// A size as made, as in --size "height=3 31/32 in"; may be given several times.
    #[arg(long, value_name = "NAME=FIGURE")]
    pub size: Vec<String>,
    /// The day, as in 2026-10-03; today when it is left out.
    #[arg(long, value_name = "DAY")]
    pub on: Option<String>,
}

/// A stage as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum, serde::Deserialize)]
#[value(rename_all = "PascalCase")]
pub enum StageWord {
    /// No metal has been cut.
    NotStarted,
    /// It is cut and bent to its sizes.
    Cut,
    /// Its holes are drilled.
    Drilled,
    /// It is fitted for good.
    Fitted,
}

impl From<StageWord> for Stage {
    fn from(word: StageWord) -> Stage {
        match word {
            StageWord::NotStarted => Stage::NotStarted,
            StageWord::Cut => Stage::Cut,
            StageWord::Drilled => Stage::Drilled,
            StageWord::Fitted => Stage::Fitted,
        }
    }
}

/// `built note`
#[derive(Debug, Group)]
pub struct BuiltNote {
    /// The model file; its record lies beside it.
    pub model: PathBuf,
    /// The part that it is about; the whole when it is left out.
    pub part: Option<String>,
    /// What is to be remembered.
    #[arg(required = true)]
    pub text: String,
    /// Hours put in.
    #[arg(long, value_name = "HOURS", allow_negative_numbers = true, value_parser = hours)]
    pub hours: Option<f64>,
    /// The day, as in 2026-10-03; today when it is left out.
    #[arg(long, value_name = "DAY")]
    pub on: Option<String>,
}

/// `built measure`
#[derive(Debug, Group)]
pub struct BuiltMeasure {
    /// The model file; its record lies beside it.
    pub model: PathBuf,
    /// A name for the measurement.
    pub name: String,
    /// What was measured from, as PART.FACE.
    #[arg(long, value_name = "PART.FACE")]
    pub from: Option<String>,
    /// What was measured to.
    #[arg(long, value_name = "PART.FACE")]
    pub to: Option<String>,
    /// The side to which the distance counts; without it, whichever way it leads.
    #[arg(long, value_name = "SIDE", value_enum, ignore_case = true)]
    pub toward: Option<SideWord>,
    /// In place of --from and --to: a size.
    #[arg(long, value_name = "PART.SIZE")]
    pub size: Option<String>,
    /// What was read.
    #[arg(
        long,
        value_name = "FIGURE",
        allow_hyphen_values = true,
        required_unless_present = "withdraw"
    )]
    pub is: Option<String>,
    /// Its standard uncertainty, as in "1/32 in".
    #[arg(long, value_name = "FIGURE", required_unless_present = "withdraw")]
    pub uncertainty: Option<String>,
    /// Takes it back, whenever it was entered: it was misread, and does not count any more.
    #[arg(long, conflicts_with_all = ["from", "to", "toward", "size", "is", "uncertainty", "note", "on"])]
    pub withdraw: bool,
    /// How it was measured.
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
    /// The day, as in 2026-10-03; today when it is left out.
    #[arg(long, value_name = "DAY")]
    pub on: Option<String>,
}

/// A side as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SideWord {
    /// Towards the nose.
    Fwd,
    /// Towards the tail.
    Aft,
    /// To the pilot's left.
    Left,
    /// To the pilot's right.
    Right,
    /// Downwards.
    Down,
    /// Upwards.
    Up,
}

impl From<SideWord> for Side {
    fn from(word: SideWord) -> Side {
        match word {
            SideWord::Fwd => Side::Fwd,
            SideWord::Aft => Side::Aft,
            SideWord::Left => Side::Left,
            SideWord::Right => Side::Right,
            SideWord::Down => Side::Down,
            SideWord::Up => Side::Up,
        }
    }
}

/// `built adopt`
#[derive(Debug, Group)]
pub struct BuiltAdopt {
    /// The model file; its record lies beside it.
    pub model: PathBuf,
    /// The deviation of the model.
    pub deviation: String,
    /// Takes it back: it is not part of what is built any more.
    #[arg(long, conflicts_with_all = ["because", "on"])]
    pub withdraw: bool,
    /// Why.
    #[arg(long, value_name = "TEXT")]
    pub because: Option<String>,
    /// The day, as in 2026-10-03; today when it is left out.
    #[arg(long, value_name = "DAY")]
    pub on: Option<String>,
}

/// Hours as they are typed.
fn hours(typed: &str) -> Result<f64, String> {
    typed.trim().parse().map_err(|_| {
        "not a number of hours: write it as 2 or 2.5, decimals with a point".to_owned()
    })
}
