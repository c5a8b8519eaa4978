//! The words of what the workshop asks for: `joints`, `blanks` and `mass`.

use std::path::PathBuf;

use clap::{Args as Group, ValueEnum};

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
    /// A folder for cutting files, DXF, one for each part.
    #[arg(long, value_name = "FOLDER")]
    pub dxf: Option<PathBuf>,
    /// A folder for templates at full size over as many pages as it takes, PDF.
    #[arg(long, value_name = "FOLDER")]
    pub pdf: Option<PathBuf>,
    /// A folder for drawings at full size, SVG.
    #[arg(long, value_name = "FOLDER")]
    pub svg: Option<PathBuf>,
    /// The paper of templates; that of the country of the file's unit when it is left out.
    #[arg(long, value_name = "SIZE", requires = "pdf")]
    pub paper: Option<PaperWord>,
    /// Of what it is asked.
    #[command(flatten)]
    pub asked: Asked,
}

/// Paper as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PaperWord {
    /// 210 by 297 mm.
    A4,
    /// 8 1/2 by 11 in.
    Letter,
}
