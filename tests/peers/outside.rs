//! Peers that are programs of their own. In: the command, the equations on disk. Out: what they measured of themselves.

use std::fs::{self, File};
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use super::measured::{Measured, median_and_least};
use super::text::arrays;

/// A peer that takes longer than this, in seconds, for all its runs is ended.
const LONGEST: u64 = 120;

/// Runs `command VARIANT EQUATIONS RUNS`, which prints arrays named `built`, `times`, `steps` and `x`.
///
/// # Errors
/// Why there is no answer, in the program's own words where it has some.
pub fn run(
    command: &mut Command,
    variant: &str,
    equations: &Path,
    runs: usize,
) -> Result<Measured, String> {
    let [output, errors] = ["out", "err"].map(|ending| equations.with_extension(ending));
    let create = |path: &Path| File::create(path).map_err(|error| error.to_string());
    let mut child = command
        .arg(variant)
        .arg(equations)
        .arg(runs.to_string())
        .stdin(Stdio::null())
        .stdout(create(&output)?)
        .stderr(create(&errors)?)
        .spawn()
        .map_err(|error| error.to_string())?;
    let begun = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().map_err(|error| error.to_string())? {
            break status;
        }
        if begun.elapsed() > Duration::from_secs(LONGEST) {
            child.kill().map_err(|error| error.to_string())?;
            child.wait().map_err(|error| error.to_string())?;
            return Err(format!("not there after {LONGEST} s"));
        }
        sleep(Duration::from_millis(20));
    };
    if !status.success() {
        let said = fs::read_to_string(&errors).unwrap_or_default();
        let last = said.lines().last().unwrap_or_default();
        return Err(format!("{status}: {last}"));
    }
    let text = fs::read_to_string(&output).map_err(|error| error.to_string())?;
    let mut found = arrays(&text)?;
    let mut take = |name: &str| found.remove(name).ok_or(format!("it told no `{name}`"));
    let (built, _) = median_and_least(&take("built")?);
    Ok(Measured {
        built: Some(built),
        times: take("times")?,
        steps: take("steps")?.first().map_or(0, |steps| *steps as u64),
        x: take("x")?,
    })
}
