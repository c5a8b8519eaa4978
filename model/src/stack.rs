//! Tolerance stack-up of a must-fit. In: a solution, and how far each figure of the file may be off. Out: what is measured in
//! the plan, at worst, by the root of the sum of squares, and in many sampled builds; and which figure brings how much of it.
//!
//! Millimetres and degrees. Worst case and root-sum-square are linear: Σ|sᵢ|tᵢ and √Σ(sᵢtᵢ)², with sᵢ the derivative by a
//! figure and tᵢ its tolerance. Each sample solves the true equations (JCGM 101:2008). What a must-fit itself demands is not
//! varied: the figure that it names is taken as stated.

mod linear;
mod sources;
mod stacking;
mod statistics;

use schemars::JsonSchema;
use serde::Serialize;

use crate::assembly::{AssembledFit, Solved};
use crate::fit::Remark;
use crate::source::{Code, Fault, nearest};

pub use linear::{Fails, LinearCheck, Share};
pub use statistics::{Capability, Chance, Histogram, Sampled};

use stacking::Demand;

/// How figures are spread over their tolerance.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Spread {
    /// Normally, the tolerance being three standard deviations (common practice, no source).
    #[default]
    Normal,
    /// Evenly over the tolerance.
    Uniform,
}

impl Spread {
    fn solvers(self) -> strongback_solver::Spread {
        match self {
            Spread::Normal => strongback_solver::Spread::Normal,
            Spread::Uniform => strongback_solver::Spread::Uniform,
        }
    }
}

/// How to sample.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sampling {
    /// Builds to sample; of a clearance between metal at most [`CLEARANCE_SAMPLES`] are.
    pub samples: usize,
    /// The same seed gives the same builds.
    pub seed: u64,
    /// How figures are spread.
    pub spread: Spread,
}

/// Clearances are measured between solids, which takes a thousand times as long as a sum.
pub const CLEARANCE_SAMPLES: usize = 5000;
/// At most so many of each where all must-fits are stacked: a table of them should not keep anybody waiting.
pub const CLEARANCE_SAMPLES_OF_ALL: usize = 1000;

/// A must-fit that fits in fewer builds than this is at risk: the share of a normal distribution within three standard
/// deviations to both sides (the reference interval of ISO 22514-2).
pub const ENOUGH: f64 = 0.9973;

/// The stack-up of a must-fit.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Stack {
    /// The must-fit.
    pub name: String,
    /// Its kind, as the file calls it.
    pub kind: String,
    /// Whether it fits often enough.
    pub verdict: StackVerdict,
    /// Statements at odds whose contradiction bears on it.
    pub disputed: Vec<String>,
    /// How often all of it fits; nothing if it rests on something loose, or on nothing that varies, or can't be measured.
    pub chance: Option<Chance>,
    /// How figures were spread.
    pub spread: Spread,
    /// With which seed.
    pub seed: u64,
    /// Its measures, the one that fits least often first; none if it rests on something loose.
    pub measures: Vec<StackedMeasure>,
    /// Why it can't be measured, if it can't.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remark: Option<Remark>,
    /// Figures behind it that state no tolerance and were held exact; zeros are not told.
    pub held: Vec<String>,
}

/// Whether a must-fit comes true often enough.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum StackVerdict {
    /// In 99.73 % of the builds or more.
    Fits,
    /// As drawn it fits, but in fewer builds.
    AtRisk,
    /// As drawn it doesn't fit.
    Misses,
    /// As drawn it fits, and nothing behind it states a tolerance: how often it fits can't be told.
    NotJudged,
    /// It rests on something loose, and can't be stacked.
    Open,
    /// It can't be measured as drawn, and can't be stacked.
    Unmeasured,
}

/// One measure of a must-fit, stacked. Lengths in millimetres, angles in degrees.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StackedMeasure {
    /// What is measured.
    pub what: String,
    /// Whether it is an angle.
    pub angle: bool,
    /// Whether it is a distance or an angle without a sign, which is never less than nothing.
    pub unsigned: bool,
    /// What it comes to when every figure is as stated.
    pub nominal: f64,
    /// The least that will do.
    pub least: Option<f64>,
    /// The most that will do.
    pub most: Option<f64>,
    /// Linear worst case: by how much it may be off to both sides.
    pub worst_case: f64,
    /// Root of the sum of squares: by how much it may be off to both sides.
    pub rss: f64,
    /// What the true equations give at the two corners to which the linear estimate points: the least and the greatest.
    pub corners: Option<[f64; 2]>,
    /// What the samples came to; nothing where none could be measured.
    pub sampled: Option<Sampled>,
    /// How often it fits.
    pub chance: Chance,
    /// How its spread compares with its limits.
    pub capability: Capability,
    /// What each figure brings, the largest share of the variance first.
    pub shares: Vec<Share>,
    /// Whether the linear estimate can be trusted.
    pub linear: Option<LinearCheck>,
}

impl Solved<'_> {
    /// The stack-up of a must-fit; of both when the name is that of one on both sides, without ` L` or ` R`.
    ///
    /// # Errors
    /// There is no such must-fit: the nearest is named. Or there are more samples than memory for them.
    pub fn stack(&self, name: &str, sampling: Sampling) -> Result<Vec<Stack>, Fault> {
        let names = crate::words::with_hands(name);
        let fits: Vec<&AssembledFit> = self
            .assembly
            .fits
            .iter()
            .filter(|fit| names.contains(&fit.name))
            .collect();
        if fits.is_empty() {
            return Err(self.no_must_fit(name));
        }
        self.stack_all(&fits, sampling, CLEARANCE_SAMPLES)
    }

    /// The stack-up of every must-fit, the one that fits least often first; open ones before all, and those behind which nothing
    /// varies last.
    ///
    /// # Errors
    /// There are more samples than memory for them.
    pub fn stacks(&self, sampling: Sampling) -> Result<Vec<Stack>, Fault> {
        let fits: Vec<&AssembledFit> = self.assembly.fits.iter().collect();
        let mut stacks = self.stack_all(&fits, sampling, CLEARANCE_SAMPLES_OF_ALL)?;
        let of = |stack: &Stack| match (stack.verdict, stack.chance) {
            (StackVerdict::Open | StackVerdict::Unmeasured, _) => -1.0,
            (_, Some(chance)) => chance.share,
            (StackVerdict::Misses, None) => 0.0,
            (_, None) => 2.0,
        };
        stacks.sort_by(|a, b| {
            of(a)
                .total_cmp(&of(b))
                .then(b.tightness().total_cmp(&a.tightness()))
        });
        Ok(stacks)
    }

    fn no_must_fit(&self, name: &str) -> Fault {
        let names = || self.assembly.fits.iter().map(|fit| fit.name.as_str());
        let near = nearest(name, names());
        Fault::error(Code::UnknownName, format!("there is no must-fit `{name}`")).help_if(
            match near {
                Some(near) => Some(format!("the nearest is `{near}`")),
                None if names().next().is_none() => {
                    Some("the model states none: `must_fit` is where they stand".to_owned())
                }
                None => Some("`strongback fit` lists them".to_owned()),
            },
        )
    }

    fn stack_all(
        &self,
        fits: &[&AssembledFit],
        sampling: Sampling,
        clearances: usize,
    ) -> Result<Vec<Stack>, Fault> {
        /// Half a gigabyte of figures.
        const MOST_VALUES: usize = 64_000_000;
        let most = fits.iter().map(|fit| fit.measures.len()).max();
        if let Some(most) = most.filter(|most| sampling.samples > MOST_VALUES / most.max(&1)) {
            return Err(Fault::error(
                Code::TooLarge,
                format!(
                    "{} samples of {most} measures are more than fit in memory",
                    sampling.samples
                ),
            )
            .help(format!("take at most {}", MOST_VALUES / most.max(1))));
        }
        let varied = sources::varied(self.assembly);
        Ok(fits
            .iter()
            .map(|fit| self.stack_one(fit, &varied, sampling, clearances))
            .collect())
    }
}

impl Stack {
    /// Whether nothing is known to be amiss with it.
    pub fn is_well(&self) -> bool {
        let fits = matches!(self.verdict, StackVerdict::Fits | StackVerdict::NotJudged);
        fits && self.disputed.is_empty()
    }

    /// Whether something behind it states a tolerance.
    pub fn varies(&self) -> bool {
        self.measures
            .iter()
            .any(|measure| !measure.shares.is_empty())
    }

    /// The measure that fits least often.
    pub fn worst(&self) -> Option<&StackedMeasure> {
        self.measures.first()
    }

    fn tightness(&self) -> f64 {
        self.worst().map_or(0.0, StackedMeasure::tightness)
    }
}

impl StackedMeasure {
    /// What the linear worst case takes of the room to the nearer limit: 1 where it just fits.
    fn tightness(&self) -> f64 {
        let below = self
            .least
            .map_or(f64::INFINITY, |least| self.nominal - least);
        let above = self.most.map_or(f64::INFINITY, |most| most - self.nominal);
        self.worst_case / below.min(above).max(f64::MIN_POSITIVE)
    }

    /// The least and the greatest of the linear worst case.
    pub fn worst_range(&self) -> [f64; 2] {
        let least = self.nominal - self.worst_case;
        let least = if self.unsigned { least.max(0.0) } else { least };
        [least, self.nominal + self.worst_case]
    }

    /// Whether the linear worst case keeps within the limits.
    pub fn fits_at_worst(&self) -> bool {
        let demand = self.demand();
        self.worst_range()
            .into_iter()
            .all(|value| demand.takes(value))
    }

    /// Whether it fits when every figure is as stated.
    pub fn fits_as_drawn(&self) -> bool {
        self.demand().takes(self.nominal)
    }

    fn demand(&self) -> Demand {
        Demand {
            what: String::new(),
            angle: self.angle,
            unsigned: self.unsigned,
            nominal: self.nominal,
            least: self.least,
            most: self.most,
        }
    }
}
