//! The plan and what is built, part by part. In: their layouts and how far each part has got. Out: stations beside each other, and by
//! how much they differ: as built less the plan, so that positive is aft, right or up.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Progress, Stage};
use crate::layout::{Layout, PlacedPart};

/// A part in the plan and as built; figures in millimetres.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Beside {
    /// Its name.
    pub part: String,
    /// How far it has got.
    pub stage: Stage,
    /// The stations between which it lies in the plan; none if the plan doesn't have it.
    pub plan_mm: Option<[f64; 2]>,
    /// The stations between which it lies as built; none if that doesn't have it.
    pub built_mm: Option<[f64; 2]>,
    /// By how much its forward and its aft end lie elsewhere, if both have it.
    pub ends_moved_mm: Option<[f64; 2]>,
    /// By how much its origin lies elsewhere: station, buttock line, waterline, if both have it.
    pub origin_moved_mm: Option<[f64; 3]>,
}

impl Beside {
    /// Every part of the plan and of what is built, in the order of what is built.
    pub fn of(plan: &Layout, built: &Layout, progress: &Progress) -> Vec<Beside> {
        let dropped = plan
            .parts
            .iter()
            .filter(|part| built.part(&part.name).is_none());
        let now = built.parts.iter();
        now.map(|part| (plan.part(&part.name), Some(part)))
            .chain(dropped.map(|part| (Some(part), None)))
            .filter_map(|(plan, built)| {
                let name = &plan.or(built)?.name;
                let stations = |part: &PlacedPart| part.extent_mm[0];
                Some(Beside {
                    part: name.clone(),
                    stage: progress.of(name).stage,
                    plan_mm: plan.map(stations),
                    built_mm: built.map(stations),
                    ends_moved_mm: plan.zip(built).map(|(plan, built)| {
                        let (was, is) = (stations(plan), stations(built));
                        [is[0] - was[0], is[1] - was[1]]
                    }),
                    origin_moved_mm: plan.zip(built).map(|(plan, built)| {
                        let (was, is) = (plan.origin_mm, built.origin_mm);
                        [0, 1, 2].map(|axis| is[axis] - was[axis])
                    }),
                })
            })
            .collect()
    }
}
