//! What samples come to. In: values in millimetres or degrees, and limits. Out: moments, quantiles, a histogram, how often the
//! limits are kept, and how the spread compares with them.
//!
//! Quantiles: definition 7 of Hyndman and Fan, "Sample quantiles in statistical packages", The American Statistician 50(4),
//! 1996. Capability: ISO 22514-2, Cp = (U − L)/6σ and Cpk = min(U − μ, μ − L)/3σ.

use schemars::JsonSchema;
use serde::Serialize;

/// What the samples of a measure came to.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Sampled {
    /// Samples that could be measured.
    pub count: usize,
    /// Samples of which the equations could not be solved; they count as missing.
    pub failed: usize,
    /// The mean.
    pub mean: f64,
    /// The standard deviation.
    pub sd: f64,
    /// The skewness: the third moment about the mean over the third power of the standard deviation.
    pub skewness: f64,
    /// The least of all.
    pub least: f64,
    /// The greatest of all.
    pub greatest: f64,
    /// What 0.135 %, 50 % and 99.865 % of the samples lie below.
    pub quantiles: [f64; 3],
    /// How many lie where.
    pub histogram: Histogram,
}

/// Counts in bins of equal width.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Histogram {
    /// Where the first bin begins.
    pub from: f64,
    /// The width of a bin.
    pub width: f64,
    /// How many lie in each.
    pub counts: Vec<usize>,
}

/// How many samples kept the limits.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Chance {
    /// Those that did.
    pub fitting: usize,
    /// All of them.
    pub of: usize,
    /// The one over the other.
    pub share: f64,
    /// The standard error of that share.
    pub standard_error: f64,
    /// Where all samples keep the limits, or none does: the share of builds that do otherwise is less than this with 95 %
    /// confidence, 3 over the number of samples (Hanley and Lippman-Hand, JAMA 249(13), 1983).
    pub bound: Option<f64>,
}

/// How a spread compares with its limits; nothing where there is no spread.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Capability {
    /// The room between two limits over six standard deviations.
    pub cp: Option<f64>,
    /// The room to the nearer limit over three.
    pub cpk: Option<f64>,
}

impl Chance {
    /// Of counts.
    pub fn of(fitting: usize, of: usize) -> Chance {
        let n = of.max(1) as f64;
        let share = fitting as f64 / n;
        let one_sided = fitting == 0 || fitting == of;
        Chance {
            fitting,
            of,
            share,
            standard_error: (share * (1.0 - share) / n).sqrt(),
            bound: one_sided.then(|| (3.0 / n).min(1.0)),
        }
    }
}

/// Shares of a normal distribution below three standard deviations under the mean, the mean, and three above it.
const QUANTILES: [f64; 3] = [0.001_35, 0.5, 0.998_65];
/// Bins of a histogram: fine enough to show a skew, coarse enough for twenty thousand samples.
const BINS: usize = 40;

impl Sampled {
    /// Of values, some of which may be no number; nothing if all are.
    pub(super) fn of(mut values: Vec<f64>) -> Option<Sampled> {
        let all = values.len();
        values.retain(|value| value.is_finite());
        values.sort_unstable_by(f64::total_cmp);
        let (least, greatest) = (*values.first()?, *values.last()?);
        let n = values.len() as f64;
        // about the middle one, so that a small spread is not lost in a large value
        let about = values[values.len() / 2];
        let mean = about + values.iter().map(|value| value - about).sum::<f64>() / n;
        let moment = |power: i32| {
            values
                .iter()
                .map(|value| (value - mean).powi(power))
                .sum::<f64>()
        };
        let spread = (moment(2) / n).sqrt();
        // rounding of a value that doesn't vary
        let still = greatest - least <= 1e-12 * greatest.abs().max(1.0);
        Some(Sampled {
            count: values.len(),
            failed: all - values.len(),
            mean,
            sd: if still {
                0.0
            } else {
                (moment(2) / (n - 1.0).max(1.0)).sqrt()
            },
            skewness: if still {
                0.0
            } else {
                moment(3) / n / spread.powi(3)
            },
            least,
            greatest,
            quantiles: QUANTILES.map(|share| quantile(&values, share)),
            histogram: Histogram::of(&values, if still { 1 } else { BINS }),
        })
    }

    /// How the spread compares with limits.
    pub(super) fn capability(&self, least: Option<f64>, most: Option<f64>) -> Capability {
        if self.sd <= 0.0 {
            return Capability::default();
        }
        let below = least.map(|least| self.mean - least);
        let above = most.map(|most| most - self.mean);
        let nearer = match (below, above) {
            (Some(below), Some(above)) => Some(below.min(above)),
            (one, other) => one.or(other),
        };
        Capability {
            cp: least
                .zip(most)
                .map(|(least, most)| (most - least) / (6.0 * self.sd)),
            cpk: nearer.map(|room| room / (3.0 * self.sd)),
        }
    }
}

/// Of sorted values that are not none.
fn quantile(sorted: &[f64], share: f64) -> f64 {
    let at = share * (sorted.len() - 1) as f64;
    let below = sorted[at.floor() as usize];
    let above = sorted[at.ceil() as usize];
    below + (above - below) * at.fract()
}

impl Histogram {
    /// Of sorted values that are not none.
    fn of(sorted: &[f64], bins: usize) -> Histogram {
        let (from, to) = (sorted[0], sorted[sorted.len() - 1]);
        let width = (to - from) / bins as f64;
        let mut counts = vec![0; bins];
        for value in sorted {
            // a quotient that is no number becomes the first bin, the greatest value the last
            let at = ((value - from) / width) as usize;
            counts[at.min(bins - 1)] += 1;
        }
        Histogram {
            from,
            width,
            counts,
        }
    }
}
