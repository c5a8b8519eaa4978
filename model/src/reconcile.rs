//! Measurements reconciled with the plan. In: a solution and the measurements of its file. Out: which agree, which look like
//! blunders, what the figures of the plan would have to be, and how the layout shifts by that. Millimetres and degrees.
//!
//! Method: least squares with the plan as prior. Each figure that states a tolerance and that a measurement rests on is an
//! observation of itself, of standard deviation a third of the tolerance (common practice, no source); all others are held
//! exact, and told beside what they may explain. Measurements are told by these to first order, and the plan is solved anew
//! until nothing changes any more (Gauss-Newton), so that the adjusted layout is a layout. Blunders are searched among both
//! alike.

mod iterate;
mod linear;
mod next;
mod otherwise;
mod verdict;

use schemars::JsonSchema;
use serde::Serialize;

use crate::assembly::Solved;
use crate::source::Fault;

pub use otherwise::{Instead, Otherwise};

/// What came of all measurements.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Reconciled {
    /// The measurements, in the order of the file.
    pub measurements: Vec<Compared>,
    /// The figures of the plan that state a tolerance and that a measurement rests on.
    pub figures: Vec<Corrected>,
    /// Figures that a measurement rests on and that state no tolerance: they are held exact.
    pub exact: Vec<String>,
    /// What looks like a blunder.
    pub suspects: Vec<Suspicion>,
    /// What the residuals say of the uncertainties and tolerances together: about 1 if they are right, more if they are too
    /// small. Nothing where there is nothing to tell it from.
    pub sigma0: Option<f64>,
    /// Observations less unknowns.
    pub degrees_of_freedom: usize,
    /// A statistic beyond this is a suspect.
    pub critical: f64,
    /// Whether the adjusted layout is a true solution.
    pub adjustment: Ended,
    /// How many parts shift when the plan's figures are the adjusted ones.
    pub parts_shifted: usize,
    /// The faces that shift most, one of each part, at most [`FACES_TOLD`].
    pub shifts: Vec<FaceShift>,
    /// What to do next.
    pub next: Vec<NextStep>,
    /// How many statements and readings that may explain a measurement were not tried.
    pub untried: usize,
}

/// At most so many shifted faces are told.
pub const FACES_TOLD: usize = 6;

/// How the adjustment ended.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "ended")]
pub enum Ended {
    /// The corrections settled, and the layout was solved with them.
    Settled {
        /// How often the plan was solved anew.
        solves: usize,
    },
    /// They did not, or no layout was found with them: figures are first-order estimates.
    Estimated {
        /// Why.
        why: String,
    },
}

/// A measurement beside the plan. Lengths in millimetres, angles in degrees.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Compared {
    /// Its name.
    pub name: String,
    /// The features or the size that it names.
    pub of: Vec<String>,
    /// Whether it is an angle.
    pub angle: bool,
    /// What came of it.
    pub verdict: Verdict,
    /// What was measured.
    pub measured: f64,
    /// Its standard uncertainty.
    pub uncertainty: f64,
    /// What the plan says.
    pub plan: f64,
    /// What the adjusted layout says. Nothing for one that can't be compared; so with all that follow.
    pub adjusted: Option<f64>,
    /// Adjusted less measured.
    pub residual: Option<f64>,
    /// Standard deviation of the adjusted value.
    pub deviation: Option<f64>,
    /// The residual over its own standard deviation.
    pub normalised: Option<f64>,
    /// How far the plan and the other measurements check it, from 0 to 1: the share of a blunder that would show.
    pub redundancy: Option<f64>,
    /// The least blunder in it that is found in 80 of 100 cases.
    pub detectable: Option<f64>,
    /// Statements at odds on whose contradiction the plan's value rests.
    pub disputed: Vec<String>,
    /// Figures behind it that state no tolerance and are held exact; zeros are not told.
    pub exact: Vec<String>,
    /// Where it doesn't agree with the plan: what it does agree with.
    pub otherwise: Vec<Otherwise>,
    /// The day on which it was measured.
    pub on: Option<String>,
    /// How it was measured.
    pub note: Option<String>,
}

/// What came of a measurement.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "is")]
pub enum Verdict {
    /// It agrees with the plan, within uncertainty and tolerances.
    Agrees,
    /// It looks like a blunder.
    Suspect,
    /// Something is wrong with it or with one of these, and nothing here tells which.
    Undecided {
        /// Measurements and figures that explain the difference as well.
        from: Vec<String>,
    },
    /// The plan's tolerances leave it so much room that next to nothing checks it.
    Unchecked,
    /// It rests on something that is loose, and can't be compared.
    Open {
        /// What is loose.
        loose: Vec<String>,
    },
}

/// A figure of the plan before and after. Lengths in millimetres, angles in degrees.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Corrected {
    /// Its name.
    pub name: String,
    /// The sheet it stands on.
    pub sheet: Option<String>,
    /// Whether it is an angle.
    pub angle: bool,
    /// What the plan says.
    pub before: f64,
    /// What it is after the adjustment.
    pub after: f64,
    /// Its standard deviation by the plan: a third of its tolerance.
    pub deviation_before: f64,
    /// Its standard deviation after the adjustment.
    pub deviation_after: f64,
    /// The correction over its own standard deviation; nothing where no measurement checks it.
    pub normalised: Option<f64>,
    /// How far measurements check it, from 0 to 1.
    pub redundancy: f64,
    /// Whether it was set aside as a suspect, and is told by the measurements alone.
    pub set_aside: bool,
}

/// Something that looks like a blunder: one of these, the likeliest first.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Suspicion {
    /// What may be false. The first was set aside in the adjustment.
    pub one_of: Vec<Candidate>,
}

/// What may be false. Lengths in millimetres, angles in degrees.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Candidate {
    /// Whether it is a measurement or a figure of the plan.
    pub kind: CandidateKind,
    /// Its name.
    pub name: String,
    /// The sheet it stands on, of a figure.
    pub sheet: Option<String>,
    /// Whether it is an angle.
    pub angle: bool,
    /// What it says.
    pub says: f64,
    /// What it would have to say, if it alone is false.
    pub would_have_to_say: f64,
    /// Its residual over its standard deviation.
    pub normalised: f64,
    /// Figures held exact that would explain a measurement's residual, if one of them is wrong, and against which no other
    /// measurement speaks.
    pub exact: Vec<String>,
}

/// What may be false.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum CandidateKind {
    /// What the builder measured.
    Measurement,
    /// What the plan states.
    Figure,
}

/// A face that shifts: adjusted less plan, positive aft, right and up.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FaceShift {
    /// Its name, `PART.FACE`.
    pub face: String,
    /// Along station, buttock line and waterline.
    pub shift_mm: [f64; 3],
}

/// Something to measure next.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct NextStep {
    /// The measurement to make again, or the figure to measure by itself.
    pub measure: String,
    /// Whether it is one or the other.
    pub kind: CandidateKind,
    /// Between which features a figure can be measured, where one statement says so.
    pub between: Option<[String; 2]>,
    /// What for.
    pub purpose: Purpose,
}

/// What a further measurement is for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "for")]
pub enum Purpose {
    /// To make sure of a suspect.
    Confirm,
    /// To tell suspects apart.
    TellApart,
    /// To check a measurement that next to nothing checks.
    Check {
        /// The measurement.
        measurement: String,
    },
}

impl Compared {
    /// Whether it neither is suspect nor can't be compared.
    pub fn is_well(&self) -> bool {
        match self.verdict {
            Verdict::Agrees | Verdict::Unchecked => true,
            Verdict::Suspect | Verdict::Undecided { .. } | Verdict::Open { .. } => false,
        }
    }
}

impl Reconciled {
    /// Whether nothing is suspect and everything can be compared.
    pub fn is_well(&self) -> bool {
        self.suspects.is_empty() && self.measurements.iter().all(Compared::is_well)
    }
}

impl Solved<'_> {
    /// Compares all measurements of the file with the plan.
    ///
    /// # Errors
    /// A measurement whose figures are so large or so small that they can't be weighed.
    pub fn reconcile(&self) -> Result<Reconciled, Fault> {
        let compared = linear::Comparison::of(self);
        let run = iterate::run(&compared)?;
        Ok(verdict::told(&compared, &run))
    }
}

#[cfg(test)]
mod tests;
