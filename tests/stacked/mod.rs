//! Must-fits stacked in a test. In: a model's unit and body as RON. Out: the stack-up of one of its must-fits.

use strongback_model::stack::{Sampling, Spread, Stack, StackedMeasure};

use crate::model_text::{assembled, document, solved};

/// As the command samples when nothing is typed, unless a test says otherwise.
pub const PLAIN: Sampling = Sampling {
    samples: 20_000,
    seed: 1,
    spread: Spread::Normal,
};

/// The stack-up of a must-fit, or of the two hands of it.
pub fn stacks(unit: &str, body: &str, must_fit: &str, sampling: Sampling) -> Vec<Stack> {
    let document = document(unit, body);
    let assembly = assembled(&document);
    solved(&assembly).stack(must_fit, sampling).unwrap()
}

/// The stack-up of a must-fit of one measure.
#[allow(dead_code, reason = "not every test needs it")]
pub fn measure(unit: &str, body: &str, must_fit: &str, sampling: Sampling) -> StackedMeasure {
    let mut stacks = stacks(unit, body, must_fit, sampling);
    assert_eq!((stacks.len(), stacks[0].measures.len()), (1, 1));
    stacks.remove(0).measures.remove(0)
}

/// How far a measure moves per unit of a figure.
#[allow(dead_code, reason = "not every test needs it")]
pub fn rate(measure: &StackedMeasure, figure: &str) -> f64 {
    let share = measure.shares.iter().find(|share| share.name == figure);
    share.unwrap().rate.unwrap()
}
