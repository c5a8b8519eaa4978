//! The iteration: try a step, weigh the gain found against the gain predicted, move or shrink the trust radius.
//! In: the problem and `argmin`'s state; out: the state moved on, and the reason for the end once there is one.
//! Source: J. J. Moré, Lecture Notes in Mathematics 630 (1978), 105–116.

use super::damped_step::{Linearised, Step, column_lengths};
use super::settings::{
    BLIND_SHRINK, COST_ROUNDING, FitError, GOOD_GAIN, HARDEST_SHRINK, LEAST_GAIN, LEAST_PROGRESS,
    POOR_GAIN, Settings, Stop,
};
use super::{FitState, Retract};
use argmin::core::{
    Error, Jacobian, KV, Operator, Problem, Solver, TerminationReason, TerminationStatus,
};
use nalgebra::{DMatrix, DVector};

/// The solver, for use with `argmin`'s `Executor`; one iteration is one step tried.
pub struct LevenbergMarquardt {
    settings: Settings,
    record: Record,
    /// D: the longest each column of the Jacobian has been so far.
    scale: DVector<f64>,
    radius: f64,
    damping: f64,
    /// None before the start is evaluated, and once the run is over.
    linear: Option<Linearised>,
    stop: Option<Stop>,
}

/// Whether each iteration fills the key-value record that observers get: a small map, so not for nothing.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Record {
    Empty,
    Filled,
}

/// What was found of a step; gains are parts of |r|².
struct Trial {
    step: Step,
    /// |r at the trial point| / |r|; not finite when a residual is not.
    ratio: f64,
    /// The gain found, with everything beyond a tenfold growth of |r| cut to -1.
    found: f64,
    /// The gain found over the gain predicted.
    gain: f64,
    /// The relative offset before the step.
    offset: f64,
    /// Even the undamped step could not gain enough to be seen in |r|²; then the relative offset is the judge.
    lost_in_rounding: bool,
    /// A step along any one column could not either, and this one promises less than a unit of the last place.
    flat: bool,
}

impl Trial {
    fn new(step: Step, ratio: f64, linear: &Linearised) -> Self {
        let found = if HARDEST_SHRINK * ratio < 1.0 {
            (1.0 - ratio) * (1.0 + ratio)
        } else {
            -1.0
        };
        Self {
            gain: found / step.predicted(),
            offset: linear.offset,
            lost_in_rounding: linear.offset.powi(2) <= COST_ROUNDING,
            flat: linear.is_flat() && step.predicted() <= f64::EPSILON,
            step,
            ratio,
            found,
        }
    }

    fn is_accepted(&self) -> bool {
        let harmless = self.lost_in_rounding && self.found >= -COST_ROUNDING;
        self.ratio.is_finite() && (self.gain >= LEAST_GAIN || harmless)
    }
}

impl LevenbergMarquardt {
    /// A solver that has not started.
    #[must_use]
    pub fn new(settings: Settings) -> Self {
        Self {
            settings,
            record: Record::Empty,
            scale: DVector::zeros(0),
            radius: 0.0,
            damping: 0.0,
            linear: None,
            stop: None,
        }
    }

    /// Gives observers, with each iteration: `gain` (found over predicted), `damping`, `radius`, `offset`.
    #[must_use]
    pub fn with_record(mut self) -> Self {
        self.record = Record::Filled;
        self
    }

    /// Why the run ended; None while it runs, or when the executor ended it.
    #[must_use]
    pub fn stop(&self) -> Option<Stop> {
        self.stop
    }

    fn end(&mut self, stop: Stop) {
        self.stop = Some(stop);
        self.linear = None;
    }

    fn is_small(&self, residuals: &DVector<f64>) -> bool {
        // The norm is zero before the entries are where their squares underflow.
        residuals.amax() <= self.settings.residual_tolerance || residuals.norm() == 0.0
    }

    /// The end when no step helps any more.
    fn dead_end(&self, residuals: &DVector<f64>, linear: &Linearised) -> Stop {
        if residuals.amax() <= self.settings.residual_acceptance {
            Stop::ResidualSmall
        } else if linear.is_flat() {
            Stop::GradientZero
        } else {
            Stop::Stalled
        }
    }

    /// Takes in the Jacobian at a point with the given residuals: scale, factors, and the tests on both.
    fn linearise(&mut self, jacobian: DMatrix<f64>, residuals: &DVector<f64>) {
        let lengths = column_lengths(&jacobian);
        if self.scale.is_empty() {
            self.scale = lengths;
        } else {
            self.scale
                .zip_apply(&lengths, |most, length| *most = most.max(length));
        }
        let tolerance = self.settings.rank_tolerance;
        let linear = Linearised::new(jacobian, residuals, &self.scale, tolerance);
        if linear.cosine <= self.settings.gradient_tolerance {
            self.end(Stop::GradientZero);
        } else if linear.offset <= self.settings.offset_tolerance {
            self.end(Stop::StepSmall);
        } else {
            self.linear = Some(linear);
        }
    }

    /// After an accepted step. False when it turns out that the old point is as good as can be had.
    fn move_on(&mut self, trial: &Trial, jacobian: DMatrix<f64>, residuals: &DVector<f64>) -> bool {
        if !trial.lost_in_rounding {
            self.adapt_radius(trial);
        }
        self.linearise(jacobian, residuals);
        let idle = |linear: &Linearised| linear.offset > LEAST_PROGRESS * trial.offset;
        if trial.lost_in_rounding && self.linear.as_ref().is_some_and(idle) {
            self.end(Stop::StepSmall);
            return false;
        }
        true
    }

    /// After a rejected step with finite residuals.
    fn stay(&mut self, trial: &Trial, residuals: &DVector<f64>) {
        if trial.lost_in_rounding {
            self.end(Stop::StepSmall);
        } else if residuals.amax() <= self.settings.residual_acceptance {
            self.end(Stop::ResidualSmall);
        } else if trial.flat {
            self.end(Stop::GradientZero);
        } else {
            self.adapt_radius(trial);
        }
    }

    /// Moré's rule: shrink by the parabola through both costs and the slope, grow to twice the step.
    fn adapt_radius(&mut self, trial: &Trial) {
        let step = &trial.step;
        if trial.gain <= POOR_GAIN {
            let slope = -(step.linear_part + step.damping_part);
            let factor = if trial.found >= 0.0 {
                0.5
            } else if HARDEST_SHRINK * trial.ratio >= 1.0 {
                HARDEST_SHRINK
            } else {
                (0.5 * slope / (slope + 0.5 * trial.found)).max(HARDEST_SHRINK)
            };
            self.shrink(factor, step.length / HARDEST_SHRINK);
        } else if step.damping == 0.0 || trial.gain >= GOOD_GAIN {
            self.radius = 2.0 * step.length;
            self.damping = 0.5 * step.damping;
        } else {
            self.damping = step.damping;
        }
    }

    fn shrink(&mut self, factor: f64, most: f64) {
        self.radius = factor * self.radius.min(most);
        self.damping /= factor;
    }

    fn observation(&self, trial: &Trial) -> Option<KV> {
        (self.record == Record::Filled).then(|| {
            argmin::kv!(
                "gain" => trial.gain;
                "damping" => trial.step.damping;
                "radius" => self.radius;
                "offset" => trial.offset;
            )
        })
    }
}

fn same_count(what: &'static str, found: usize, expected: usize) -> Result<(), FitError> {
    if found == expected {
        return Ok(());
    }
    Err(FitError::Shape {
        what,
        found,
        expected,
    })
}

/// None when an entry, or the length of a column, is not finite.
fn finite(jacobian: DMatrix<f64>) -> Option<DMatrix<f64>> {
    let lengths = column_lengths(&jacobian);
    lengths
        .iter()
        .all(|length| length.is_finite())
        .then_some(jacobian)
}

impl<O, P> Solver<O, FitState<P>> for LevenbergMarquardt
where
    O: Operator<Param = P, Output = DVector<f64>>
        + Jacobian<Param = P, Jacobian = DMatrix<f64>>
        + Retract<Param = P>,
    P: Clone,
{
    fn name(&self) -> &str {
        "Levenberg-Marquardt"
    }

    fn init(
        &mut self,
        problem: &mut Problem<O>,
        mut state: FitState<P>,
    ) -> Result<(FitState<P>, Option<KV>), Error> {
        *self = Self {
            record: self.record,
            ..Self::new(self.settings.clone())
        };
        state.max_iters = state.max_iters.min(self.settings.iteration_limit);
        let start = state.param.as_ref().ok_or(FitError::NoStart)?;
        let residuals = problem.apply(start)?;
        let norm = residuals.norm();
        if !norm.is_finite() {
            self.end(Stop::NotFinite);
            return Ok((state.residuals(residuals), None));
        }
        self.radius = self.settings.first_radius * norm;
        if self.is_small(&residuals) {
            self.end(Stop::ResidualSmall);
        } else {
            let jacobian = problem.jacobian(start)?;
            same_count("rows of the Jacobian", jacobian.nrows(), residuals.len())?;
            match finite(jacobian) {
                Some(jacobian) => self.linearise(jacobian, &residuals),
                None => self.end(Stop::NotFinite),
            }
        }
        Ok((state.cost(0.5 * norm * norm).residuals(residuals), None))
    }

    fn next_iter(
        &mut self,
        problem: &mut Problem<O>,
        state: FitState<P>,
    ) -> Result<(FitState<P>, Option<KV>), Error> {
        let (Some(linear), Some(at), Some(residuals), Some(manifold)) = (
            &self.linear,
            &state.param,
            &state.residuals,
            &problem.problem,
        ) else {
            return Ok((state, None));
        };
        let norm = residuals.norm();
        // A step shorter than this changes no residual by a digit.
        let least = f64::EPSILON * norm;
        let step = linear.step(self.radius, self.damping);
        let Some(step) = step.filter(|step| step.length > least) else {
            self.end(self.dead_end(residuals, linear));
            return Ok((state, None));
        };
        if state.iter == 0 {
            self.radius = self.radius.min(step.length);
        }
        let point = manifold.retract(at, &step.direction);
        let reached = problem.apply(&point)?;
        same_count("residuals", reached.len(), residuals.len())?;
        let trial = Trial::new(step, reached.norm() / norm, linear);
        let record = self.observation(&trial);

        if !trial.is_accepted() {
            if trial.ratio.is_finite() {
                self.stay(&trial, residuals);
            } else {
                self.shrink(BLIND_SHRINK, trial.step.length);
            }
            return Ok((state, record));
        }
        if self.is_small(&reached) {
            self.end(Stop::ResidualSmall);
        } else {
            let jacobian = problem.jacobian(&point)?;
            same_count("rows of the Jacobian", jacobian.nrows(), reached.len())?;
            same_count(
                "columns of the Jacobian",
                jacobian.ncols(),
                self.scale.len(),
            )?;
            let Some(jacobian) = finite(jacobian) else {
                self.shrink(BLIND_SHRINK, trial.step.length);
                return Ok((state, record));
            };
            if !self.move_on(&trial, jacobian, &reached) {
                return Ok((state, record));
            }
        }
        let cost = 0.5 * reached.norm_squared();
        Ok((state.param(point).residuals(reached).cost(cost), record))
    }

    fn terminate(&mut self, state: &FitState<P>) -> TerminationStatus {
        if self.stop.is_none() && state.iter >= state.max_iters {
            self.end(Stop::IterationLimit);
        }
        self.stop.map_or(TerminationStatus::NotTerminated, |stop| {
            TerminationStatus::Terminated(TerminationReason::from(stop))
        })
    }
}
