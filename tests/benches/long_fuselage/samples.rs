//! Samples of a must-fit that all bays lead to. In: a family and a length. Out: the time of 100,000 builds.

use std::time::{Duration, Instant};

use strongback_model::assembly::{Solved, assemble};
use strongback_model::document::Document;
use strongback_model::source::read;
use strongback_model::stack::{Sampling, Spread};

use super::long_fuselage::{Family, model};
use super::pipeline::{all_told, last_frame, told};
use super::timed::Time;

/// Builds that are asked for, and those by which their time is judged before.
const SAMPLES: usize = 100_000;
const FEW: usize = 8;
/// What would take longer than this is projected from the few.
const PATIENCE: Duration = Duration::from_secs(60);

/// The time of 100,000 samples; what would take too long is projected from few of them.
pub(crate) fn samples(family: Family, bays: usize) -> Result<Time, String> {
    let (text, _) = model(family, bays);
    let end = text.trim_end().trim_end_matches(')');
    let text = format!(
        r#"{end}    must_fit: {{ "length": Between(from: "datum.station", to: "{}", at_least: 1) }},
    within: "1/64 in",
)
"#,
        last_frame(bays)
    );
    let document: Document = read(&text).map_err(told)?;
    let assembly = assemble(&document).map_err(all_told)?;
    let solved = assembly.solve().map_err(told)?;
    // what is done once, whatever the count, is in both
    let (one, few) = (taken(&solved, 1)?, taken(&solved, FEW + 1)?);
    let each = few.saturating_sub(one) / FEW as u32;
    let projected = one + each * SAMPLES as u32;
    if projected > PATIENCE {
        return Ok(Time::projected(projected));
    }
    Ok(Time::once(taken(&solved, SAMPLES)?))
}

fn taken(solved: &Solved<'_>, samples: usize) -> Result<Duration, String> {
    let begun = Instant::now();
    let sampling = Sampling {
        samples,
        seed: 1,
        spread: Spread::Normal,
    };
    let stacks = solved.stack("length", sampling).map_err(told)?;
    let measure = stacks.first().and_then(|stack| stack.measures.first());
    let sampled = measure.and_then(|measure| measure.sampled.as_ref());
    sampled.ok_or("nothing was sampled")?;
    Ok(begun.elapsed())
}
