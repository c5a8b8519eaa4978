//! Times of the stages of something that is run several times. In: what to run. Out: of each stage the median and the least.

use std::time::{Duration, Instant};

/// Runs go on until so many are done, or so much time is gone; a few are made in any case, unless the first takes long.
const MOST_RUNS: usize = 15;
const FEW_RUNS: usize = 3;
const ENOUGH: Duration = Duration::from_secs(3);
const LONG: Duration = Duration::from_secs(20);

/// One run, stage by stage.
pub(crate) struct Run {
    since: Instant,
    stages: Vec<(&'static str, Duration)>,
}

impl Run {
    fn begun() -> Run {
        Run {
            since: Instant::now(),
            stages: Vec::new(),
        }
    }

    /// What was done since the last stage is a stage.
    pub(crate) fn done(&mut self, stage: &'static str) {
        self.stages.push((stage, self.since.elapsed()));
        self.since = Instant::now();
    }

    /// What was done since the last stage doesn't count.
    pub(crate) fn skip(&mut self) {
        self.since = Instant::now();
    }

    /// All stages so far as one more.
    pub(crate) fn sum(&mut self, stage: &'static str) {
        let whole = self.stages.iter().map(|(_, time)| *time).sum();
        self.stages.push((stage, whole));
        self.since = Instant::now();
    }
}

/// A stage over all runs.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Time {
    pub(crate) median: Duration,
    pub(crate) least: Duration,
    /// It was not run to its end: the time is projected.
    pub(crate) projected: bool,
}

impl Time {
    /// Of something that would take too long.
    pub(crate) fn projected(time: Duration) -> Time {
        Time {
            median: time,
            least: time,
            projected: true,
        }
    }

    /// Of something that was run once.
    pub(crate) fn once(time: Duration) -> Time {
        Time {
            projected: false,
            ..Time::projected(time)
        }
    }
}

/// Runs it several times, at least once.
pub(crate) fn times(
    mut one: impl FnMut(&mut Run) -> Result<(), String>,
) -> Result<Vec<(&'static str, Time)>, String> {
    let begun = Instant::now();
    let mut runs: Vec<Vec<(&'static str, Duration)>> = Vec::new();
    let goes_on = |runs: usize| {
        let limit = if runs < FEW_RUNS { LONG } else { ENOUGH };
        runs == 0 || (runs < MOST_RUNS && begun.elapsed() < limit)
    };
    while goes_on(runs.len()) {
        let mut run = Run::begun();
        one(&mut run)?;
        runs.push(run.stages);
    }
    let stages = runs.first().map(Vec::len).unwrap_or_default();
    Ok((0..stages)
        .filter_map(|stage| {
            let mut column: Vec<Duration> = runs
                .iter()
                .filter_map(|run| Some(run.get(stage)?.1))
                .collect();
            column.sort_unstable();
            let time = Time {
                median: *column.get(column.len() / 2)?,
                least: *column.first()?,
                projected: false,
            };
            Some((runs.first()?.get(stage)?.0, time))
        })
        .collect())
}
