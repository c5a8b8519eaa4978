//! The rules by which one difference of a part is judged. In: the difference, the new make laid on the old one, and the stage. Out:
//! what it asks for, at which ends, and why.

use super::holes::{CLEAR_OF_OLD_HOLE, off_mm};
use super::lie::Lie;
use super::makeup::{MakeChange, WORKED_MM, over_all_axis};
use super::metal::Serves;
use super::verdict::{Cut, Step, Verdict, Why};
use crate::layout::PlacedPart;
use crate::part::{Section, Stock};
use crate::record::Stage;

/// From the middle of a hole to an edge, in diameters: AC 43.13-1B par. 4-57c, single row, second-hand.
const EDGE_DISTANCE: f64 = 2.0;

/// Judges the differences of one part.
pub(super) struct Judge<'a> {
    pub(super) before: &'a PlacedPart,
    pub(super) after: &'a PlacedPart,
    pub(super) lie: &'a Lie,
    pub(super) stage: Stage,
    pub(super) fit_mm: f64,
}

impl Judge<'_> {
    /// Whether a difference is none as long as the part isn't drilled: its bolts go in either way.
    pub(super) fn is_nothing(&self, change: &MakeChange) -> bool {
        let in_slack = matches!(change, MakeChange::HolesMove { by_mm, slack_mm, .. } if off_mm(*by_mm) <= *slack_mm);
        in_slack && !self.is_drilled()
    }

    pub(super) fn step(&self, change: MakeChange) -> Step {
        let cuts = match &change {
            MakeChange::Longer { size, by_mm, .. } => self.ends(size, *by_mm, 1.0),
            MakeChange::Shorter { size, by_mm, .. } => self.ends(size, *by_mm, -1.0),
            _ => Vec::new(),
        };
        let (verdict, why) = if self.stage == Stage::NotStarted {
            (Verdict::NotStarted, None)
        } else {
            self.judged(&change, &cuts)
        };
        Step {
            change,
            verdict,
            cuts,
            why,
        }
    }

    fn judged(&self, change: &MakeChange, cuts: &[Cut]) -> (Verdict, Option<Why>) {
        let within_fit = || {
            let fit_mm = self.fit_mm;
            (Verdict::OfferUp, Some(Why::WithinFit { fit_mm }))
        };
        match change {
            MakeChange::Longer { by_mm, .. } | MakeChange::Shorter { by_mm, .. }
                if *by_mm <= self.fit_mm =>
            {
                within_fit()
            }
            MakeChange::Longer { .. } if self.other_section() => {
                (Verdict::MakeAnew, Some(Why::OtherSection))
            }
            MakeChange::Longer { .. } => (Verdict::TooShort, None),
            MakeChange::Shorter { size, .. } => self.trim(size, cuts),
            MakeChange::OtherSide {
                serves,
                drilled,
                holes_known,
                ..
            } => self.other_side(*serves, *drilled, *holes_known),
            MakeChange::HolesMove { .. } if !self.is_drilled() => {
                (Verdict::AsIs, Some(Why::NotDrilled))
            }
            // where the bolts go in all the same, nothing is done; and no hole is drilled beside another one before the bolt was
            // tried in it, while it is off by less than what the builder takes for a fit
            MakeChange::HolesMove {
                by_mm, slack_mm, ..
            } if off_mm(*by_mm) <= *slack_mm => {
                let slack_mm = *slack_mm;
                (Verdict::AsIs, Some(Why::BoltsGoIn { slack_mm }))
            }
            MakeChange::HolesMove { by_mm, .. } if off_mm(*by_mm) <= self.fit_mm => within_fit(),
            MakeChange::HolesMove {
                diameter_mm,
                apart_mm,
                by_mm,
                ..
            } => self.redrill(*diameter_mm, *apart_mm, *by_mm),
            MakeChange::NewHoles { .. } if self.is_drilled() => (Verdict::Redrill, None),
            MakeChange::HoleSize { from_mm, to_mm, .. } if self.is_drilled() => {
                if to_mm > from_mm {
                    (Verdict::Redrill, None)
                } else {
                    (Verdict::MakeAnew, None)
                }
            }
            MakeChange::NewHoles { .. } | MakeChange::HoleSize { .. } => {
                (Verdict::AsIs, Some(Why::NotDrilled))
            }
            MakeChange::OtherKind { .. }
            | MakeChange::OtherStock { .. }
            | MakeChange::OtherShape { .. } => (Verdict::MakeAnew, None),
            // not of a part that is in both layouts
            MakeChange::New | MakeChange::Gone => (Verdict::AsIs, None),
        }
    }

    /// Whether the sections that it is made of are others.
    fn other_section(&self) -> bool {
        let (before, after) = (sections(self.before), sections(self.after));
        before.len() != after.len() || before.iter().zip(&after).any(|(a, b)| !a.is(b))
    }

    /// Whether it is turned in the airframe.
    fn leans_otherwise(&self) -> bool {
        let rows = self.before.rotation.iter().zip(&self.after.rotation);
        rows.flat_map(|(before, after)| before.iter().zip(after))
            .any(|(before, after)| (before - after).abs() > 1e-9)
    }

    fn is_drilled(&self) -> bool {
        self.stage >= Stage::Drilled
    }

    /// The ends at which a size grows (`sense` 1) or shrinks (-1), where that can be told.
    fn ends(&self, size: &str, by_mm: f64, sense: f64) -> Vec<Cut> {
        let stated = self.after.size(size);
        let ends = match stated.map(|size| &size.trimmed_at[..]) {
            Some([only]) => return vec![Cut { at: *only, by_mm }],
            Some([low, high]) => [*low, *high],
            Some(_) => return Vec::new(),
            None => match over_all_axis(size) {
                Some(axis) => axis.sides(),
                None => return Vec::new(),
            },
        };
        let beyond = self.lie.beyond_mm[ends[0].axis().index()];
        // the lean of a part moves its ends along itself a little
        let slack = if self.leans_otherwise() {
            WORKED_MM + 0.01 * by_mm
        } else {
            WORKED_MM
        };
        let mut cuts: Vec<Cut> = ends
            .into_iter()
            .zip(beyond)
            .map(|(at, beyond)| Cut {
                at,
                by_mm: sense * beyond,
            })
            .filter(|cut| cut.by_mm.abs() > slack)
            .collect();
        // of a part whose metal isn't drawn square to its own axes the ends can't be told
        let sum: f64 = cuts.iter().map(|cut| cut.by_mm).sum();
        if (sum - by_mm).abs() > 2.0 * WORKED_MM + 0.01 * by_mm
            || cuts.iter().any(|cut| cut.by_mm < 0.0)
        {
            return Vec::new();
        }
        if let [only] = &mut cuts[..] {
            only.by_mm = by_mm;
        }
        cuts
    }

    fn trim(&self, size: &str, cuts: &[Cut]) -> (Verdict, Option<Why>) {
        let can = self.after.size(size);
        if can.is_none_or(|size| size.trimmed_at.is_empty()) {
            return (Verdict::MakeAnew, Some(Why::BentThere));
        }
        let in_the_way = self.lie.marks.iter().find(|mark| {
            let was = mark.was.filter(|_| self.is_drilled());
            let edge = EDGE_DISTANCE * mark.diameters[0].unwrap_or_default();
            let used = mark.is_there(self.lie.by_mm);
            was.is_some_and(|was| cuts.iter().any(|cut| self.takes(*cut, was, edge, used)))
        });
        match in_the_way {
            Some(mark) => {
                let holes = mark.name.clone();
                (Verdict::MakeAnew, Some(Why::HolesInPiece { holes }))
            }
            None => (Verdict::Trim, None),
        }
    }

    /// Whether a hole lies in the piece that a cut takes off, or, if nothing bolts there any more, too near to the new edge. How
    /// near a hole in use may lie is the drawing's own figure.
    fn takes(&self, cut: Cut, hole: [f64; 3], edge_mm: f64, used: bool) -> bool {
        let Some(ends) = self.lie.old_ends else {
            return false;
        };
        let axis = cut.at.axis().index();
        let end = ends[axis][usize::from(cut.at.is_positive())];
        let from_end = cut.at.sign() * (end - hole[axis]);
        let needed = cut.by_mm + if used { 0.0 } else { edge_mm };
        from_end < needed - WORKED_MM
    }

    fn other_side(
        &self,
        bare: Serves,
        drilled: Serves,
        holes_known: bool,
    ) -> (Verdict, Option<Why>) {
        let serves = if self.is_drilled() { drilled } else { bare };
        match (serves, bare) {
            (Serves::TurnedRound, _) => (Verdict::TurnRound, None),
            (Serves::OtherHand, _) => (Verdict::ChangeSides, None),
            (Serves::Nowhere, Serves::Nowhere) => (Verdict::MakeAnew, Some(Why::Handed)),
            (Serves::Nowhere, _) if holes_known => (Verdict::MakeAnew, Some(Why::Drilled)),
            (Serves::Nowhere, _) => (Verdict::MakeAnew, Some(Why::HolesNotStated)),
        }
    }

    fn redrill(
        &self,
        diameter_mm: Option<f64>,
        apart_mm: f64,
        by_mm: [f64; 3],
    ) -> (Verdict, Option<Why>) {
        let Some(diameter) = diameter_mm else {
            return (Verdict::Redrill, Some(Why::NoDiameter));
        };
        let needed_mm = CLEAR_OF_OLD_HOLE * diameter;
        if apart_mm < needed_mm - WORKED_MM {
            let why = Why::OldHole {
                apart_mm,
                needed_mm,
            };
            return (Verdict::MakeAnew, Some(why));
        }
        let or_missing = self.lie.missing_with(by_mm);
        let or_missing = or_missing.map(|Cut { at, by_mm }| Why::OrMissing { at, by_mm });
        (Verdict::Redrill, or_missing)
    }
}

/// The sections of a part that are bought by the length.
fn sections(part: &PlacedPart) -> Vec<&Section> {
    part.stock.iter().filter_map(Stock::section).collect()
}
