//! The command line in a test. In: words as typed. Out: what is printed, and the exit status.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// A demo model by its file's name.
pub fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../demo-models")
        .join(name)
}

/// What a command prints, its errors, and its exit status as a number.
pub fn run(words: &[&str]) -> (String, String, u8) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = std::iter::once("strongback").chain(words.iter().copied());
    let code = strongback::run(all.map(Into::into), &mut out, &mut err);
    let status = (0..=2)
        .find(|n| format!("{code:?}") == format!("{:?}", ExitCode::from(*n)))
        .unwrap();
    (
        String::from_utf8(out).unwrap(),
        String::from_utf8(err).unwrap(),
        status,
    )
}
