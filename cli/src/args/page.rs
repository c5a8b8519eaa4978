//! The words of `page` and `book`.

use std::path::PathBuf;

use clap::Args as Group;

/// `page`
#[derive(Debug, Group)]
pub struct Page {
    /// The model file.
    pub model: PathBuf,
    /// Opens the page in the browser of this computer.
    #[arg(long)]
    pub open: bool,
    /// The port to listen on; a free one is chosen when it is left out.
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub port: u16,
}

/// `book`
#[derive(Debug, Group)]
pub struct Book {
    /// The model file.
    pub model: PathBuf,
    /// The file to write, HTML; beside the model and named after it when it is left out.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Writes over a file that is there.
    #[arg(long)]
    pub overwrite: bool,
}
