//! The verdict on one part. In: its make before and after, the new one laid on the old one, and how far it has been made. Out: what
//! is to be done with it, difference by difference, and why.

use schemars::JsonSchema;
use serde::Serialize;

use super::Standing;
use super::holes;
use super::judge::Judge;
use super::lie::{Laid, Lie};
use super::makeup::{MakeChange, WORKED_MM, differences};
use super::metal::{Serves, serves};
use super::pattern::pattern;
use crate::layout::PlacedPart;
use crate::part::Stock;
use crate::record::{Made, Stage};
use crate::shift::PartShift;
use crate::words::Side;

/// What is to be done, the lightest first.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Nothing: it is right as far as it is made.
    #[default]
    AsIs,
    /// Not started: it is made to the new figures, and no metal is lost.
    NotStarted,
    /// It is no longer needed.
    LeftOut,
    /// It is off by less than the file's `fit`: it is offered up before anything is cut.
    OfferUp,
    /// It is taken out and fitted again, made as it is.
    Refit,
    /// It is turned round.
    TurnRound,
    /// It is fitted on the other side of the fuselage, as the part of the other hand.
    ChangeSides,
    /// Metal comes off.
    Trim,
    /// Holes are drilled where there are none yet.
    Redrill,
    /// It is too short: whether it gets a splice, a filler or is made anew is a question for the designer.
    TooShort,
    /// It is made anew.
    MakeAnew,
    /// It is a new part.
    New,
}

/// Why a difference is judged so.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "is")]
pub enum Why {
    /// It would be trimmed where it is bent or flanged, or where its kind can't be trimmed.
    BentThere,
    /// Holes lie in the piece that would come off, or too near to the new edge.
    HolesInPiece {
        /// The joint that they are for, or the stated hole.
        holes: String,
    },
    /// It takes another section.
    OtherSection,
    /// It is bent already, and neither turned round nor on the other side does it serve.
    Handed,
    /// It would serve turned round or on the other side, but is drilled: its holes would lie elsewhere.
    Drilled,
    /// It would serve turned round or on the other side, but is drilled, and the model doesn't state where all of its holes are.
    HolesNotStated,
    /// The old hole gets in the way of the new one.
    OldHole {
        /// Between their middles, in millimetres.
        apart_mm: f64,
        /// What there should be, in millimetres.
        needed_mm: f64,
    },
    /// The bolts' size isn't stated, so that it can't be told whether the old holes get in the way.
    NoDiameter,
    /// The old holes stay in it. With those kept instead, metal would be missing at an end.
    OrMissing {
        /// The side of the end, in the part's own frame.
        at: Side,
        /// How much would be missing, in millimetres.
        by_mm: f64,
    },
    /// It is not drilled yet.
    NotDrilled,
    /// The old holes are off by less than what lets their bolts in.
    BoltsGoIn {
        /// How far they may be off, in millimetres.
        slack_mm: f64,
    },
    /// Less than the file's `fit`.
    WithinFit {
        /// The fit, in millimetres.
        fit_mm: f64,
    },
}

/// Metal that comes off at an end, or is missing there.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Cut {
    /// The side of the end, in the part's own frame.
    pub at: Side,
    /// How much, in millimetres.
    pub by_mm: f64,
}

/// One difference and what it asks for.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Step {
    /// What is different, with the figures before and after.
    pub change: MakeChange,
    /// What it asks for.
    pub verdict: Verdict,
    /// At which ends metal comes off or is missing, as far as that can be told.
    pub cuts: Vec<Cut>,
    /// Why it is judged so.
    pub why: Option<Why>,
}

/// The verdict on a part.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PartVerdict {
    /// The part.
    pub part: String,
    /// How far it has been made.
    pub stage: Stage,
    /// Hours put into it.
    pub hours: f64,
    /// What is to be done: the gravest of its steps.
    pub verdict: Verdict,
    /// Whether it is fitted, and has to be taken out first; what is only offered up is looked at where it is.
    pub take_out: bool,
    /// What is different, each with its own verdict; none if it only lies elsewhere.
    pub steps: Vec<Step>,
    /// The greatest shift of a face along station, buttock line and waterline, in millimetres.
    pub moves_mm: [f64; 3],
    /// Change of its turns in degrees: roll, pitch, yaw.
    pub turned_deg: [f64; 3],
    /// Where it comes from: a part that is changed, a dimension or a statement; none if the part itself is changed.
    pub from: Option<String>,
    /// The statements through which it comes.
    pub through: Vec<String>,
    /// The stock of the whole part, where it is made anew, or may have to be.
    pub stock: Vec<Stock>,
    /// Hours that are lost: those of a part that is made anew or left out.
    pub hours_lost: f64,
    /// Hours that are lost if a part that is too short has to be made anew.
    pub hours_at_stake: f64,
}

/// A part in both layouts, or in one of them.
pub(super) struct Case<'a> {
    pub(super) before: Option<&'a PlacedPart>,
    pub(super) after: Option<&'a PlacedPart>,
    /// The new part of the other hand, if it is one of two.
    pub(super) other: Option<&'a PlacedPart>,
    pub(super) moved: Option<&'a PartShift>,
    pub(super) laid: &'a Laid,
    /// The old and the new layout with their joints.
    pub(super) standing: [Standing<'a>; 2],
    pub(super) fit_mm: f64,
}

impl Case<'_> {
    pub(super) fn judged(&self, part: &str, made: Made) -> PartVerdict {
        let steps = match (self.before, self.after) {
            (None, Some(_)) => vec![only(MakeChange::New, added(made.stage))],
            (Some(_), None) => vec![only(MakeChange::Gone, Verdict::LeftOut)],
            (Some(before), Some(after)) => self.steps([before, after], made.stage),
            (None, None) => Vec::new(),
        };
        let fitted = made.stage == Stage::Fitted;
        let lightest = if fitted && self.lies_elsewhere() {
            Verdict::Refit
        } else {
            Verdict::AsIs
        };
        let verdict = steps
            .iter()
            .map(|step| step.verdict)
            .fold(lightest, Verdict::max);
        let takes = matches!(
            verdict,
            Verdict::New | Verdict::MakeAnew | Verdict::TooShort
        );
        let after = self.after.filter(|_| takes);
        let hours = |of: &[Verdict]| {
            if of.contains(&verdict) {
                made.hours
            } else {
                0.0
            }
        };
        PartVerdict {
            part: part.to_owned(),
            stage: made.stage,
            hours: made.hours,
            verdict,
            take_out: fitted && !matches!(verdict, Verdict::AsIs | Verdict::OfferUp),
            steps,
            moves_mm: self
                .moved
                .map(|moved| moved.greatest_mm)
                .unwrap_or_default(),
            turned_deg: self.moved.map(|moved| moved.turned_deg).unwrap_or_default(),
            from: self.moved.and_then(|moved| moved.from.clone()),
            through: self
                .moved
                .map(|moved| moved.through.clone())
                .unwrap_or_default(),
            stock: after.map(|after| after.stock.clone()).unwrap_or_default(),
            hours_lost: hours(&[Verdict::MakeAnew, Verdict::LeftOut]),
            hours_at_stake: hours(&[Verdict::TooShort]),
        }
    }

    /// Whether the metal that is kept, of a part in both layouts, lies elsewhere.
    fn lies_elsewhere(&self) -> bool {
        let lie = self.after.and_then(|after| self.laid.of(&after.name));
        let turned = |moved: &PartShift| {
            let by = |by: &f64| by.abs() > WORKED_MM;
            moved.turned_deg.iter().any(|by| *by != 0.0) && moved.greatest_mm.iter().any(by)
        };
        lie.is_some_and(|lie| lie.moves() || self.moved.is_some_and(turned))
    }

    fn steps(&self, pair: [&PlacedPart; 2], stage: Stage) -> Vec<Step> {
        let [before, after] = pair;
        let none = Lie::default();
        let lie = self.laid.of(&after.name).unwrap_or(&none);
        let judge = Judge {
            before,
            after,
            lie,
            stage,
            fit_mm: self.fit_mm,
        };
        let [old, new] = self.standing;
        let served = || {
            let drilled = |standing, part| (part, pattern(standing, part));
            let other = self.other.map(|other| drilled(new, other));
            serves(&drilled(old, before), &drilled(new, after), other.as_ref())
        };
        let made = differences(before, after, served);
        // turned, its holes fall on those that are wanted
        let holes_serve = made.iter().any(|change| {
            matches!(change, MakeChange::OtherSide { drilled, .. } if *drilled != Serves::Nowhere)
        });
        let holes = holes::differences(&lie.marks, lie.by_mm, self.fit_mm);
        let holes = holes.into_iter().filter(|change| {
            let place = matches!(
                change,
                MakeChange::HolesMove { .. } | MakeChange::NewHoles { .. }
            );
            !(holes_serve && place)
        });
        made.into_iter()
            .chain(holes)
            .filter(|change| !judge.is_nothing(change))
            .map(|change| judge.step(change))
            .collect()
    }
}

/// A new part that the record knows already is there.
fn added(stage: Stage) -> Verdict {
    match stage {
        Stage::NotStarted => Verdict::New,
        _ => Verdict::AsIs,
    }
}

fn only(change: MakeChange, verdict: Verdict) -> Step {
    Step {
        change,
        verdict,
        cuts: Vec::new(),
        why: None,
    }
}
