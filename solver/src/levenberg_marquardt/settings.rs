//! The tolerances of a least-squares run, the ways in which it can end, and the errors that keep it from running.
//! Residuals are in the caller's unit (millimetres in this project); all other tolerances are pure numbers.
//! Sources: Moré (1978) for the gain thresholds; Bates and Watts (1981) for the relative offset.

use argmin::core::{Error, TerminationReason};

/// What counts as done. Every tolerance has its reason beside it; [`Settings::default`] is meant for
/// geometry in millimetres, [`Settings::data_fit`] for data whose residuals stay large.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Done when no residual is larger than this. 1e-12 mm: the spacing of doubles at a coordinate of 8 m, so
    /// nothing smaller can be asked for.
    pub residual_tolerance: f64,
    /// Taken for zero when a step brings no gain. 1e-9 mm: an expression of some tens of operations on
    /// coordinates of 10 to 100 m carries rounding of this size, far below anything that can be cut or measured.
    pub residual_acceptance: f64,
    /// Done when the part of the residual vector that a linear model could still remove is this fraction of its
    /// whole length (the relative offset of Bates and Watts). A parameter is then off its minimum by at most about
    /// this number times the root of the degrees of freedom, in standard deviations of that parameter. 1e-10: ten
    /// digits of a standard deviation; the cost alone could tell about six.
    pub offset_tolerance: f64,
    /// Done when the cosine between the residual vector and every column of the Jacobian is below this.
    /// 1e-15: at right angles as far as double precision can tell.
    pub gradient_tolerance: f64,
    /// A column that, all columns scaled to length one, sticks out of the span of those before it by less than this
    /// is dependent; the undamped step is then the shortest of all that serve. 1e-13: rounding of a factorisation
    /// of a few hundred columns.
    pub rank_tolerance: f64,
    /// First trust radius in multiples of the length of the residual vector at the start. Steps are measured by
    /// the change of residual they make column by column, so an undamped step of a well-conditioned system is
    /// about 1 long. 1000: only a nearly singular start is held back. Of the 54 starts of the 27 NIST regression
    /// sets one (MGH10, the first start) needs it this large, and none is hurt by more.
    pub first_radius: f64,
    /// Most steps tried, accepted or not. 200: a sound geometric block takes fewer than 10, linear convergence
    /// at a double root about 20.
    pub iteration_limit: u64,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            residual_tolerance: 1e-12,
            residual_acceptance: 1e-9,
            offset_tolerance: 1e-10,
            gradient_tolerance: 1e-15,
            rank_tolerance: 1e-13,
            first_radius: 1000.0,
            iteration_limit: 200,
        }
    }
}

impl Settings {
    /// For data in any unit: no residual is small as such, and a bad start may need many damped steps.
    #[must_use]
    pub fn data_fit() -> Self {
        Self {
            residual_tolerance: 0.0,
            residual_acceptance: 0.0,
            iteration_limit: 5000,
            ..Self::default()
        }
    }
}

/// A step is accepted when it brings at least this part of the predicted gain (Moré 1978).
pub(super) const LEAST_GAIN: f64 = 1e-4;
/// Below this gain the radius shrinks (Moré 1978).
pub(super) const POOR_GAIN: f64 = 0.25;
/// From this gain on the radius grows (Moré 1978).
pub(super) const GOOD_GAIN: f64 = 0.75;
/// The radius shrinks at most to this part of itself at once (Moré 1978).
pub(super) const HARDEST_SHRINK: f64 = 0.1;
/// The radius shrinks to this part when the trial point has no finite residuals or derivatives: there is no
/// gain to interpolate, so half-way between the least and the hardest shrink.
pub(super) const BLIND_SHRINK: f64 = 0.25;
/// Gains below this part of |r|² are lost in its rounding. Residuals are differences of numbers that may well be a
/// thousand times larger, so they carry some thousand units of the last place.
pub(super) const COST_ROUNDING: f64 = 1e-12;

/// Where the cost cannot judge any more, a step has to bring the relative offset below this part of its last value.
pub(super) const LEAST_PROGRESS: f64 = 0.9;

/// Every way in which a run ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Stop {
    /// Every residual is within its tolerance, or as small as rounding lets it be.
    ResidualSmall,
    /// The undamped step would no longer change the residuals: a least-squares minimum.
    StepSmall,
    /// The residuals are at right angles to every direction of change: a stationary point.
    GradientZero,
    /// No step, however short, lowers the residuals: rounding, or derivatives that do not fit the residuals.
    Stalled,
    /// The limit on iterations came before any other end.
    IterationLimit,
    /// A residual or a derivative at the start is not a finite number.
    NotFinite,
}

impl Stop {
    /// The meaning in one sentence.
    #[must_use]
    pub fn sentence(self) -> &'static str {
        match self {
            Self::ResidualSmall => "Every residual is within its tolerance.",
            Self::StepSmall => {
                "The residuals are as small as they can be made, though not all zero."
            }
            Self::GradientZero => {
                "No direction of change lowers the residuals, though not all are zero."
            }
            Self::Stalled => "No step, however short, lowers the residuals.",
            Self::IterationLimit => "The limit on iterations was reached.",
            Self::NotFinite => "A residual or a derivative at the start is not a finite number.",
        }
    }

    /// Whether the point is a minimum of the cost or has zero residuals. A minimum may still have large
    /// residuals: only [`Stop::ResidualSmall`] says that the equations hold.
    #[must_use]
    pub fn is_converged(self) -> bool {
        match self {
            Self::ResidualSmall | Self::StepSmall | Self::GradientZero => true,
            Self::Stalled | Self::IterationLimit | Self::NotFinite => false,
        }
    }
}

impl std::fmt::Display for Stop {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.sentence())
    }
}

impl From<Stop> for TerminationReason {
    fn from(stop: Stop) -> Self {
        match stop {
            Stop::ResidualSmall | Stop::StepSmall | Stop::GradientZero => Self::SolverConverged,
            Stop::IterationLimit => Self::MaxItersReached,
            Stop::Stalled | Stop::NotFinite => Self::SolverExit(stop.sentence().to_owned()),
        }
    }
}

/// What keeps a run from being made at all.
#[derive(Debug, thiserror::Error)]
pub enum FitError {
    /// The state handed to the executor holds no parameter.
    #[error("no start point was given")]
    NoStart,
    /// The residual vector or the Jacobian does not keep its shape.
    #[error("{what} came with {found} entries, {expected} were expected")]
    Shape {
        /// Which count is wrong.
        what: &'static str,
        /// The count found.
        found: usize,
        /// The count expected.
        expected: usize,
    },
    /// The problem refused to evaluate its residuals or its Jacobian.
    #[error("the equations could not be evaluated: {0}")]
    Evaluation(Error),
}

impl From<Error> for FitError {
    fn from(error: Error) -> Self {
        error.downcast::<Self>().unwrap_or_else(Self::Evaluation)
    }
}
