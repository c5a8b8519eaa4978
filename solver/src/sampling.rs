//! What a solution becomes when given variables and rows vary. In: which of them vary, by how much, and what is observed. Out:
//! for each of many samples the observed values, in millimetres or radians, each from the true equations.
//!
//! The work is reduced first (`reduce.rs`): whatever follows straight from the samples is a sum; only blocks that bend are
//! solved (`turned.rs`). Every chunk of samples has a stream of random numbers of its own, so that neither the number of
//! threads nor their timing changes a digit. (Plain Monte Carlo: JCGM 101:2008, Propagation of distributions.)

mod reduce;
mod turned;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use rand_distr::{Distribution, StandardNormal, StandardUniform};
use rayon::prelude::*;

use crate::equation::{Equation, MAX_ROWS};
use crate::geometry::Var;
use crate::rows::Rows;
use crate::solution::Solution;
use crate::system::{EquationId, State};
use turned::TurnedBlock;

/// What varies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Source {
    /// A given variable.
    Given(Var),
    /// What a row of an equation comes to, in place of zero.
    Row(EquationId, usize),
}

/// A source with how far it varies to both sides: millimetres or radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Variation {
    /// What varies.
    pub source: Source,
    /// By how much to both sides.
    pub within: f64,
}

/// How values are spread over what is allowed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spread {
    /// Normally, with what is allowed at three standard deviations.
    Normal,
    /// Evenly between the limits.
    Uniform,
}

impl Spread {
    /// The standard deviation, as a share of what is allowed to one side.
    pub fn deviation(self) -> f64 {
        match self {
            Spread::Normal => 1.0 / 3.0,
            Spread::Uniform => 1.0 / 3.0_f64.sqrt(),
        }
    }

    /// One draw, as a share of what is allowed to one side.
    fn draw(self, rng: &mut ChaCha8Rng) -> f64 {
        match self {
            Spread::Normal => {
                let normal: f64 = StandardNormal.sample(rng);
                normal * self.deviation()
            }
            Spread::Uniform => {
                let uniform: f64 = StandardUniform.sample(rng);
                2.0 * uniform - 1.0
            }
        }
    }
}

/// Something read off a state by a function of its own.
pub type Read<'m> = Box<dyn Fn(&State) -> f64 + Sync + 'm>;

/// What is observed in each sample.
pub enum Observed<'m> {
    /// How far an equation is from holding, as [`Solution::miss`] tells it.
    Miss(Box<Equation>),
    /// What a function makes of the state. Only the variables that it says it reads are as in the sample.
    State {
        /// The variables that have to be right.
        reads: Vec<Var>,
        /// The function.
        value: Read<'m>,
    },
}

/// An observed value, prepared.
enum Prepared<'m> {
    /// Rows that are sums of the draws.
    Straight {
        equation: Equation,
        nominal: [f64; MAX_ROWS],
        slopes: [Slopes; MAX_ROWS],
    },
    Bent(Equation),
    State(Read<'m>),
}

/// Positions among the draws, with rates.
type Slopes = Vec<(usize, f64)>;

/// What varies with the draws, ready to be sampled.
pub struct Sampler<'s, 'm> {
    rows: &'s Rows<'s>,
    nominal: &'s State,
    /// The variations that count: position in the list given, and how far to both sides.
    drawn: Vec<(usize, f64)>,
    /// Given variables that the state has to hold, each with its draw.
    givens: Vec<(Var, usize)>,
    /// Unknowns that follow straight from the draws.
    straight: Vec<(Var, Slopes)>,
    turned: Vec<TurnedBlock>,
    observed: Vec<Prepared<'m>>,
}

/// Observed values of all samples.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Samples {
    /// For each thing observed a value for each sample; no number where the sample could not be solved.
    pub values: Vec<Vec<f64>>,
}

impl Solution<'_> {
    /// Prepares to sample what is observed.
    pub fn sampler<'s, 'm>(
        &'s self,
        variations: &[Variation],
        observed: Vec<Observed<'m>>,
    ) -> Sampler<'s, 'm> {
        reduce::sampler(self, variations, observed)
    }
}

/// Samples of one chunk: enough to be worth a task, few enough to share out evenly.
const CHUNK: usize = 256;

impl Sampler<'_, '_> {
    /// The variations on which anything observed depends, by their positions.
    pub fn relevant(&self) -> impl Iterator<Item = usize> + '_ {
        self.drawn.iter().map(|(at, _)| *at)
    }

    /// Draws samples. The same seed gives the same values, whatever the number of threads.
    pub fn sample(&self, count: usize, seed: u64, spread: Spread) -> Samples {
        let chunks: Vec<Vec<Vec<f64>>> = (0..count.div_ceil(CHUNK))
            .into_par_iter()
            .map(|chunk| {
                let size = CHUNK.min(count - chunk * CHUNK);
                let mut rng = ChaCha8Rng::seed_from_u64(seed);
                rng.set_stream(chunk as u64);
                self.chunk(size, || spread.draw(&mut rng))
            })
            .collect();
        let mut values = vec![Vec::with_capacity(count); self.observed.len()];
        for chunk in chunks {
            for (all, some) in values.iter_mut().zip(chunk) {
                all.extend(some);
            }
        }
        Samples { values }
    }

    /// What is observed when each variation is off by so much: millimetres or radians, in the order of the list given.
    pub fn at(&self, off: &[f64]) -> Vec<f64> {
        let mut draws = self.drawn.iter().map(|(at, within)| {
            let off = off.get(*at).copied().unwrap_or(0.0);
            if *within > 0.0 { off / within } else { 0.0 }
        });
        let mut values = self.chunk(1, || draws.next().unwrap_or(0.0));
        values.drain(..).flatten().collect()
    }

    fn chunk(&self, count: usize, mut draw: impl FnMut() -> f64) -> Vec<Vec<f64>> {
        let by_state = |observed: &Prepared<'_>| !matches!(observed, Prepared::Straight { .. });
        let mut state = self
            .observed
            .iter()
            .any(by_state)
            .then(|| self.nominal.clone());
        let mut draws = vec![0.0; self.drawn.len()];
        let mut values = vec![Vec::with_capacity(count); self.observed.len()];
        for _ in 0..count {
            for (value, (_, within)) in draws.iter_mut().zip(&self.drawn) {
                *value = draw() * within;
            }
            let placed = state
                .as_mut()
                .and_then(|state| self.place(state, &draws).then_some(&*state));
            for (list, observed) in values.iter_mut().zip(&self.observed) {
                list.push(self.value(observed, &draws, placed));
            }
        }
        values
    }

    /// Moves a state to where the draws put it; false when a block could not be solved.
    fn place(&self, state: &mut State, draws: &[f64]) -> bool {
        for (var, at) in &self.givens {
            state.values[var.index()] = self.nominal.value(*var) + draws[*at];
        }
        for (var, slopes) in &self.straight {
            state.values[var.index()] = self.nominal.value(*var) + sum(slopes, draws);
        }
        self.turned
            .iter()
            .all(|block| block.solve(self.rows, state, draws))
    }

    fn value(&self, observed: &Prepared<'_>, draws: &[f64], placed: Option<&State>) -> f64 {
        let system = self.rows.system;
        match (observed, placed) {
            (
                Prepared::Straight {
                    equation,
                    nominal,
                    slopes,
                },
                _,
            ) => {
                let rows = std::array::from_fn(|row| nominal[row] + sum(&slopes[row], draws));
                system.miss_of_rows(equation, rows)
            }
            (_, None) => f64::NAN,
            (Prepared::Bent(equation), Some(state)) => {
                system.miss_of_rows(equation, system.residual(equation, state))
            }
            (Prepared::State(value), Some(state)) => value(state),
        }
    }
}

fn sum(slopes: &[(usize, f64)], draws: &[f64]) -> f64 {
    slopes.iter().map(|(at, slope)| slope * draws[*at]).sum()
}
