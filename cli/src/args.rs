//! What was typed, by clap.

mod built;
pub(crate) mod elsewhere;
mod installed;
mod page;
mod workshop;

use std::path::PathBuf;

use clap::{Args as Group, Parser, Subcommand, ValueEnum};
use strongback_model::stack::Spread;
use strongback_model::words::Axis;

pub use built::{
    Built, BuiltAdopt, BuiltCommand, BuiltMeasure, BuiltModel, BuiltNote, BuiltSet, SideWord,
    StageWord,
};

pub use installed::{Completions, Man};
pub use page::{Book, Page};
pub use workshop::{Blanks, Joints, Mass, PaperWord};

/// Before metal is cut: where every face of an all-metal airframe lies, and what a change shifts.
///
/// Parts and relations are stated in a model file; every position follows from them. Geometry only is
/// checked: strength, airworthiness and the wisdom of a deviation are for the designer, local rules and
/// licensed practice.
#[derive(Debug, Parser)]
#[command(
    name = "strongback",
    version,
    max_term_width = 100,
    after_help = "Exit status: 0 all well, 1 something is loose, at odds, does not fit or breaks a rule, 2 the input can't be used."
)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// Answer as JSON, in millimetres and degrees.
    #[arg(long, global = true)]
    pub json: bool,
    /// Colour: a terminal gets it, a file doesn't.
    #[arg(long, global = true, value_name = "WHEN", default_value = "auto")]
    pub color: Color,
}

/// When to colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Color {
    /// On a terminal.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

impl Color {
    /// Makes it the choice for all that is printed.
    pub fn write_global(self) {
        match self {
            Color::Auto => anstream::ColorChoice::Auto,
            Color::Always => anstream::ColorChoice::Always,
            Color::Never => anstream::ColorChoice::Never,
        }
        .write_global();
    }
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Stations, buttock lines and waterlines of every part; found sizes; what is loose or at odds.
    Locate(Locate),
    /// The must-fits, each with its miss and its margin.
    Fit(Question),
    /// A deviation tried beside the plan: what shifts, what must be re-cut, what no longer fits.
    Try(Try),
    /// What a deviation asks of each part, as far as it is made: as is, trim, re-drill, make anew; and the stock it takes.
    Recut(Try),
    /// Why a face lies where it does: the chain of figures from the datum to it, or from another face to it.
    Why(Why),
    /// What contradicts what: each contradiction as the two ways round a loop, and what to drop so that the rest holds.
    Odds(Question),
    /// Statements that can be understood in several ways: each combination of readings against every must-fit.
    Readings(Readings),
    /// What can still move, and which relations between which faces would settle it.
    Loose(Question),
    /// Measurements of the real thing beside the plan: which agree, which are suspect, what the figures would have to be.
    Measured(Question),
    /// Tolerance stack-up: how often a must-fit fits in builds whose figures are off within their tolerances, and why.
    Stack(Stack),
    /// What could be done about must-fits that miss: the smallest sets of changes, the cheapest first.
    Remedy(Remedy),
    /// Each joint as a stack: layers, grip, what to buy and drill, edge distance and pitch of its rows.
    Joints(Joints),
    /// In which order parts are fitted, with a reason for each step; what stays open, what is drilled first; or why there is none.
    Order(Question),
    /// Blanks of sheet parts: flat size, bend lines, setback and allowance, whether the radius is one that the alloy can take.
    Blanks(Blanks),
    /// What the parts weigh, and where: an estimate from blanks and sections, with what a deviation changes.
    Mass(Mass),
    /// The layout as a picture, SVG or PNG; with a deviation, the old layout behind the new one.
    Draw(Draw),
    /// The layout as a local page to explore, at the bench: changes as sliders, what they shift and re-cut, stages to tick off.
    Page(Page),
    /// The build book: all that another builder has to know, as one page to print.
    Book(Book),
    /// The build record beside the model: what has been made, how, when, and in how many hours.
    Built(Built),
    /// Writes a commented first model that solves.
    New(New),
    /// What a shell needs to complete commands, options and file names of this program.
    Completions(Completions),
    /// The manual page of the program, or of one of its commands, for `man`.
    Man(Man),
}

/// `locate`
#[derive(Debug, Group)]
pub struct Locate {
    /// The model file.
    pub model: PathBuf,
    /// Every face of every part, or of the parts named with --part.
    #[arg(long)]
    pub faces: bool,
    /// Only this part; may be given several times.
    #[arg(long, value_name = "PART")]
    pub part: Vec<String>,
    /// Each part's stations in the plan beside those as built.
    #[arg(long, requires = "as_built")]
    pub beside_plan: bool,
    /// Of what it is asked.
    #[command(flatten)]
    pub asked: Asked,
}

/// `fit`, `odds`, `loose`, `measured` and `order`: a model, and of what it is asked.
#[derive(Debug, Group)]
pub struct Question {
    /// The model file.
    pub model: PathBuf,
    /// Of what it is asked.
    #[command(flatten)]
    pub asked: Asked,
}

/// Whether the plan is asked, or the plan with a deviation made and readings taken.
#[derive(Debug, Default, Group)]
pub struct Asked {
    /// A deviation in which to ask; A+B asks in two together.
    #[arg(long, value_name = "DEVIATION")]
    pub with: Option<String>,
    /// A reading to take, as in --take "rear rail=from the web"; may be given several times.
    #[arg(long, value_name = "STATEMENT=READING")]
    pub take: Vec<String>,
    /// Of what is built in place of the plan: deviations adopted, parts as made, fitted ones where they are. Without it the record
    /// doesn't count.
    #[arg(long)]
    pub as_built: bool,
}

/// `readings`
#[derive(Debug, Group)]
pub struct Readings {
    /// The model file.
    pub model: PathBuf,
    /// How many combinations of one group of readings are tried at most.
    #[arg(long, value_name = "COUNT", default_value_t = 256, value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pub most: u32,
    /// Of what it is asked.
    #[command(flatten)]
    pub asked: Asked,
}

/// The changes that are tried.
#[derive(Debug, Default, Group)]
pub struct Changes {
    /// Another figure for a dimension or a size, as in --set "bay=11 1/2 in"; may be given several times.
    #[arg(long, value_name = "NAME=FIGURE")]
    pub set: Vec<String>,
    /// A part whose flange is turned to the other side; may be given several times.
    #[arg(long, value_name = "PART")]
    pub reverse: Vec<String>,
    /// A reading to take, as in --take "rear rail=from the web"; may be given several times.
    #[arg(long, value_name = "STATEMENT=READING")]
    pub take: Vec<String>,
    /// Packing in a joint, as in --apart "spar on frame=1/16 in"; may be given several times.
    #[arg(long, value_name = "RELATION=FIGURE")]
    pub apart: Vec<String>,
    /// Beside what is built in place of the plan: deviations adopted, parts as made, fitted ones where they are.
    #[arg(long)]
    pub as_built: bool,
}

impl Changes {
    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.set.is_empty()
            && self.reverse.is_empty()
            && self.take.is_empty()
            && self.apart.is_empty()
    }
}

/// `try` and `recut`
#[derive(Debug, Group)]
pub struct Try {
    /// The model file.
    pub model: PathBuf,
    /// Deviations of the file, each tried by itself; A+B tries two together.
    #[arg(value_name = "DEVIATION")]
    pub deviations: Vec<String>,
    /// Changes that are added to each of them, or tried by themselves.
    #[command(flatten)]
    pub changes: Changes,
}

/// `remedy`
#[derive(Debug, Group)]
pub struct Remedy {
    /// The model file.
    pub model: PathBuf,
    /// A deviation of the file after which must-fits miss; A+B makes two together.
    #[arg(value_name = "DEVIATION")]
    pub deviation: Option<String>,
    /// Changes that are added to it, or made by themselves.
    #[command(flatten)]
    pub changes: Changes,
}

/// `why`
#[derive(Debug, Group)]
pub struct Why {
    /// The model file.
    pub model: PathBuf,
    /// The face, edge or point, as PART.FACE.
    #[arg(value_name = "PART.FACE")]
    pub feature: String,
    /// Another one, to which the chain leads from the first; or the coordinate at once.
    #[arg(value_name = "PART.FACE|fs|bl|wl", value_parser = feature_or_axis)]
    pub then: Option<FeatureOrAxis>,
    /// The coordinate; without it the one that the first face looks along, or else the second.
    #[arg(value_name = "fs|bl|wl")]
    pub axis: Option<AxisWord>,
    /// Of what it is asked.
    #[command(flatten)]
    pub asked: Asked,
}

/// `stack`
#[derive(Debug, Group)]
pub struct Stack {
    /// The model file.
    pub model: PathBuf,
    /// The must-fit; all of them in one table when it is left out.
    #[arg(value_name = "MUST_FIT")]
    pub must_fit: Option<String>,
    /// Of what it is asked.
    #[command(flatten)]
    pub asked: Asked,
    /// Builds to sample; of a clearance between metal at most 5000 are, and 1000 in the table of all.
    #[arg(long, value_name = "N", default_value_t = 20_000, value_parser = clap::value_parser!(u32).range(1..=10_000_000))]
    pub samples: u32,
    /// Another seed gives other samples, the same one the same.
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
    /// How figures are spread over their tolerances.
    #[arg(long, value_name = "HOW", default_value = "normal")]
    pub spread: SpreadWord,
    /// A picture of the samples to write, SVG or PNG by its ending.
    #[arg(long, value_name = "FILE", requires = "must_fit")]
    pub svg: Option<PathBuf>,
}

/// How figures are spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SpreadWord {
    /// The tolerance is three standard deviations of a normal distribution.
    Normal,
    /// Evenly over the tolerance.
    Uniform,
}

impl From<SpreadWord> for Spread {
    fn from(word: SpreadWord) -> Spread {
        match word {
            SpreadWord::Normal => Spread::Normal,
            SpreadWord::Uniform => Spread::Uniform,
        }
    }
}

/// An axis by its short form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum AxisWord {
    /// Station.
    Fs,
    /// Buttock line.
    Bl,
    /// Waterline.
    Wl,
}

/// The second word of `why`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FeatureOrAxis {
    /// A feature, as PART.FACE.
    Feature(String),
    /// A coordinate.
    Axis(AxisWord),
}

/// A feature by its full stop, anything else as a coordinate.
fn feature_or_axis(word: &str) -> Result<FeatureOrAxis, String> {
    if word.contains('.') {
        return Ok(FeatureOrAxis::Feature(word.to_owned()));
    }
    AxisWord::from_str(word, false)
        .map(FeatureOrAxis::Axis)
        .map_err(|_| "neither a face, as PART.FACE, nor a coordinate: fs, bl or wl".to_owned())
}

impl From<AxisWord> for Axis {
    fn from(word: AxisWord) -> Axis {
        match word {
            AxisWord::Fs => Axis::Station,
            AxisWord::Bl => Axis::ButtockLine,
            AxisWord::Wl => Axis::Waterline,
        }
    }
}

/// `draw`
#[derive(Debug, Group)]
pub struct Draw {
    /// The model file.
    pub model: PathBuf,
    /// A deviation of the file, drawn before the plan's ghost; A+B draws two together.
    #[arg(value_name = "DEVIATION")]
    pub deviation: Option<String>,
    /// Changes that are added to it, or drawn by themselves.
    #[command(flatten)]
    pub changes: Changes,
    /// From which side.
    #[arg(long, default_value = "side")]
    pub view: View,
    /// Where a section is cut: a station, as --at "55 3/8 in", or that of a face, as --at "seat frame.web_fwd".
    #[arg(long, value_name = "STATION|PART.FACE", allow_hyphen_values = true)]
    pub at: Option<String>,
    /// The file to write; its ending says whether it is .svg or .png.
    #[arg(long, short, value_name = "FILE")]
    pub output: PathBuf,
    /// Width of a PNG in pixels.
    #[arg(long, value_name = "PIXELS", default_value_t = 2400, value_parser = clap::value_parser!(u32).range(200..=12000))]
    pub width: u32,
    /// A part to pick out; may be given several times.
    #[arg(long, value_name = "PART")]
    pub part: Vec<String>,
    /// Draws nothing but this part, as large as it gets; may be given several times.
    #[arg(long, value_name = "PART", conflicts_with = "without")]
    pub only: Vec<String>,
    /// Leaves this part out, so that what lies behind it shows; may be given several times.
    #[arg(long, value_name = "PART")]
    pub without: Vec<String>,
}

/// From which side a picture is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum View {
    /// From the left side: stations by waterlines.
    Side,
    /// From above: stations by buttock lines.
    Plan,
    /// From behind, looking forward: buttock lines by waterlines.
    Front,
    /// What a saw across the fuselage would show, looking forward; --at says where, just aft of a face that lies there.
    Section,
}

/// `new`
#[derive(Debug, Group)]
pub struct New {
    /// The file to write; it must not exist yet.
    #[arg(default_value = "first-bay.ron")]
    pub model: PathBuf,
}
