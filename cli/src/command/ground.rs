//! What deviations are tried beside: the plan, or what is built. In: a model file. Out: both layouts with their joints, and what made
//! parts would be with a deviation.

use std::path::Path;

use strongback_model::assembly::Solved;
use strongback_model::document::Document;
use strongback_model::joint::Bought;
use strongback_model::layout::Layout;
use strongback_model::record::{Departure, ToBe};
use strongback_model::recut::Standing;

use super::locate::{Located, laid_out, solve, with_solution};
use super::progress;
use crate::args;
use crate::load::{Loaded, Refused, load};
use crate::record::Basis;

/// What deviations are tried beside.
pub(crate) struct Ground {
    pub(crate) loaded: Loaded,
    /// The plan; or what is built, where that was asked.
    pub(crate) plan: Located,
    /// Its joints, where something is tried beside it.
    joints: Vec<Bought>,
    /// Where there is a record: the other one of the two layouts, of the plan with what was adopted and of what is built.
    other: Option<(Layout, Vec<Bought>)>,
    as_built: bool,
}

impl Ground {
    /// Solves what a question is asked of: nothing is tried beside it, so that its joints are not asked for.
    pub(crate) fn question(model: &Path, as_built: bool) -> Result<Ground, Refused> {
        let loaded = load(model)?.taken_as(as_built)?;
        let plan = solve(&loaded, &loaded.document)?;
        Ok(Ground {
            loaded,
            plan,
            joints: Vec::new(),
            other: None,
            as_built,
        })
    }

    /// Solves what is tried beside.
    pub(crate) fn of(model: &Path, as_built: bool) -> Result<Ground, Refused> {
        let loaded = load(model)?.tried_beside(as_built)?;
        let (plan, joints) = with_solution(&loaded, &loaded.document, |solved, located| {
            (located, solved.bought())
        })?;
        let other = match &loaded.built {
            Some(built) if as_built => Some(&built.adopted),
            Some(built) => Some(&built.document),
            None => None,
        };
        let with_joints = |solved: &Solved<'_>, layout| (layout, solved.bought());
        let other = other.map(|document| laid_out(&loaded, document, with_joints));
        Ok(Ground {
            other: other.transpose()?,
            loaded,
            plan,
            joints,
            as_built,
        })
    }

    /// What made parts would be with a deviation, where there is a record.
    pub(super) fn to_be(&self) -> Option<ToBe<'_>> {
        let plan = match &self.other {
            Some((adopted, _)) if self.as_built => adopted,
            _ => &self.plan.layout,
        };
        let record = self.loaded.record.as_ref()?;
        Some(ToBe { record, plan })
    }

    /// The deviation on the plan with what was adopted, no made part held as it is, and that plan; none where there is no record.
    pub(super) fn asked(
        &self,
        deviation: Option<&str>,
        changes: &args::Changes,
    ) -> Result<Option<[Document; 2]>, Refused> {
        let Some(built) = &self.loaded.built else {
            return Ok(None);
        };
        let plan = Loaded {
            document: built.adopted.clone(),
            ..self.loaded.clone()
        };
        let asked = plan.changed(deviation, changes)?.document;
        Ok(Some([asked, plan.document]))
    }

    /// What made parts are otherwise than the plan with what was adopted.
    pub(crate) fn departures(&self) -> Vec<Departure> {
        let to_be = self.to_be();
        to_be.map_or_else(Vec::new, |to_be| {
            Departure::all(to_be.plan, self.made().layout, &progress(&self.loaded))
        })
    }

    /// What is tried beside.
    pub(crate) fn basis(&self) -> &Basis {
        &self.loaded.basis
    }

    /// The deviations that were adopted.
    pub(crate) fn adopted(&self) -> Vec<String> {
        let record = self.loaded.record.iter();
        record
            .flat_map(|record| record.adopted.iter())
            .map(|entry| entry.name.value.clone())
            .collect()
    }

    /// The layout to which parts were made, with its joints.
    pub(super) fn made(&self) -> Standing<'_> {
        let (layout, joints) = match &self.other {
            Some((built, joints)) if !self.as_built => (built, joints),
            _ => (&self.plan.layout, &self.joints),
        };
        Standing { layout, joints }
    }
}
