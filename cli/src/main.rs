//! The binary: words from the command line in, text or files out, and an exit status.

use std::process::ExitCode;

fn main() -> ExitCode {
    let mut out = anstream::stdout().lock();
    let mut err = anstream::stderr().lock();
    strongback::run(std::env::args_os(), &mut out, &mut err)
}
