//! A search measured. In: a search to run several times, from cold. Out: its times, its steps and where it ended.

use std::time::Instant;

use super::gauss_newton::Ended;

/// No more runs once they took so long together, in seconds.
pub const ENOUGH: f64 = 20.0;

/// What a table tells of a solver.
#[derive(Clone, Debug)]
pub struct Measured {
    /// Seconds to make the solver's own form of the equations, which count apart; nothing for one that reads them as they are.
    pub built: Option<f64>,
    /// Seconds of each run.
    pub times: Vec<f64>,
    pub steps: u64,
    /// The unknowns found.
    pub x: Vec<f64>,
}

/// Runs a search up to `runs` times.
///
/// # Errors
/// Those of the search.
pub fn measure(
    runs: usize,
    built: Option<f64>,
    mut search: impl FnMut() -> Result<Ended, String>,
) -> Result<Measured, String> {
    let (times, ended) = timed(runs, &mut search)?;
    Ok(Measured {
        built,
        times,
        steps: ended.steps as u64,
        x: ended.x,
    })
}

/// The seconds of up to `runs` runs, and what the last one gave.
///
/// # Errors
/// Those of what is run.
pub fn timed<T>(
    runs: usize,
    mut run: impl FnMut() -> Result<T, String>,
) -> Result<(Vec<f64>, T), String> {
    let mut times = Vec::with_capacity(runs);
    loop {
        let begun = Instant::now();
        let last = run()?;
        times.push(begun.elapsed().as_secs_f64());
        if times.len() >= runs || times.iter().sum::<f64>() > ENOUGH {
            return Ok((times, last));
        }
    }
}

/// The middle one, and the least.
pub fn median_and_least(times: &[f64]) -> (f64, f64) {
    let mut sorted = times.to_vec();
    sorted.sort_by(f64::total_cmp);
    let at = |index: usize| sorted.get(index).copied().unwrap_or(f64::NAN);
    (at(sorted.len() / 2), at(0))
}
