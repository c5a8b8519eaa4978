//! What the page asks for: a view of the plan or of what is built, with changes made.

use serde::Deserialize;

use crate::args::Changes;
use crate::picture::View;

/// The state of the page's controls.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct Asking {
    /// Of what is built, in place of the plan.
    pub(super) as_built: bool,
    /// From which side it is seen.
    pub(super) view: View,
    /// Deviations of the file that are made.
    pub(super) deviations: Vec<String>,
    /// Figures set otherwise, as `NAME=FIGURE`.
    pub(super) set: Vec<String>,
    /// Parts reversed.
    pub(super) reverse: Vec<String>,
    /// Readings taken, as `STATEMENT=READING`.
    pub(super) take: Vec<String>,
    /// The part that is touched.
    pub(super) part: Option<String>,
    /// The face of it whose chain is asked for.
    pub(super) face: Option<String>,
    /// The must-fit that is touched.
    pub(super) must_fit: Option<String>,
}

impl Asking {
    /// The deviations as they are typed, joined by `+`.
    pub(super) fn deviation(&self) -> Option<String> {
        (!self.deviations.is_empty()).then(|| self.deviations.join("+"))
    }

    /// The changes as they are typed.
    pub(super) fn changes(&self) -> Changes {
        Changes {
            set: self.set.clone(),
            reverse: self.reverse.clone(),
            take: self.take.clone(),
            apart: Vec::new(),
            as_built: self.as_built,
        }
    }

    /// Whether anything is changed.
    pub(super) fn changes_something(&self) -> bool {
        !self.deviations.is_empty() || !self.changes().is_empty()
    }
}
