//! The words of `page`.

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
