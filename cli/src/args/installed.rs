//! The words of `completions` and `man`.

use clap::Args as Group;
use clap_complete::Shell;

/// `completions`
#[derive(Debug, Group)]
pub struct Completions {
    /// The shell.
    pub shell: Shell,
}

/// `man`
#[derive(Debug, Group)]
pub struct Man {
    /// The command; the whole program when it is left out.
    pub command: Option<String>,
}
