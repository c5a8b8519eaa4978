//! The words of what the workshop asks for: `joints`, `blanks` and `mass`.

use std::path::PathBuf;

use clap::Args as Group;

use super::{Asked, Changes};

/// `mass`
#[derive(Debug, Group)]
pub struct Mass {
    /// The model file.
    pub model: PathBuf,
    /// A deviation of the file whose difference is asked for; A+B makes two together.
    #[arg(value_name = "DEVIATION")]
    pub deviation: Option<String>,
    /// Changes that are added to it, or made by themselves.
    #[command(flatten)]
    pub changes: Changes,
}

/// `joints`
#[derive(Debug, Group)]
pub struct Joints {
    /// The model file.
    pub model: PathBuf,
    /// Joints to be told in full, by the names of their statements; all of them in short when left out.
    #[arg(value_name = "JOINT")]
    pub joint: Vec<String>,
    /// Of what it is asked.
    #[command(flatten)]
    pub asked: Asked,
    /// A picture of the one joint that is named, SVG or PNG by its ending.
    #[arg(long, value_name = "FILE", requires = "joint")]
    pub svg: Option<PathBuf>,
}

/// `blanks`
#[derive(Debug, Group)]
pub struct Blanks {
    /// The model file.
    pub model: PathBuf,
    /// Only these parts, each told in full.
    #[arg(value_name = "PART")]
    pub part: Vec<String>,
    /// Of what it is asked.
    #[command(flatten)]
    pub asked: Asked,
}
