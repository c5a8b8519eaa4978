//! The command line in a test. In: the words after the program's name. Out: what it prints, and its exit status.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use serde_json::Value;

/// A demo model by its file's name.
#[allow(dead_code, reason = "not every test needs it")]
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

#[allow(dead_code, reason = "not every test needs it")]
pub fn json(words: &[&str]) -> Value {
    let (out, err, _) = run(&[words, &["--json"]].concat());
    assert_eq!(err, "");
    serde_json::from_str(&out).unwrap()
}

/// The text without the line of figures that differ from run to run.
#[allow(dead_code, reason = "not every test needs it")]
pub fn steady(text: &str) -> String {
    text.lines()
        .filter(|line| !line.contains("largest residual"))
        .map(|line| format!("{line}\n"))
        .collect()
}
