//! Clashes before and after a change. In: those of two layouts. Out: which it brings, cures, makes deeper or less deep.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Clash, Clashes};

/// What a change does to a clash.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ClashChange {
    /// What it comes to.
    pub verdict: ClashVerdict,
    /// In the plan; none if only the change brings it.
    pub before: Option<Clash>,
    /// With the change; none if it is not there, or can't be told.
    pub after: Option<Clash>,
}

/// What a clash comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ClashVerdict {
    /// The change brings it.
    Brought,
    /// It goes deeper.
    Deeper,
    /// It goes less deep.
    LessDeep,
    /// It stays as deep as it was.
    Stays,
    /// It can't be told: a part of it is loose now.
    Open,
    /// It is there no more.
    Cured,
}

/// What a change does to each clash: those it brings first.
pub fn changes(before: &Clashes, after: &Clashes) -> Vec<ClashChange> {
    let same = |a: &Clash, b: &Clash| a.parts == b.parts;
    let mut list: Vec<ClashChange> = Vec::new();
    for now in &after.found {
        let was = before.found.iter().find(|clash| same(clash, now));
        list.push(ClashChange {
            verdict: was.map_or(ClashVerdict::Brought, |was| {
                deeper(now.depth_mm() - was.depth_mm())
            }),
            before: was.cloned(),
            after: Some(now.clone()),
        });
    }
    for was in &before.found {
        if !after.found.iter().any(|clash| same(clash, was)) {
            let open = was.parts.iter().any(|part| after.left_out.contains(part));
            list.push(ClashChange {
                verdict: if open {
                    ClashVerdict::Open
                } else {
                    ClashVerdict::Cured
                },
                before: Some(was.clone()),
                after: None,
            });
        }
    }
    list.sort_by_key(|change| change.verdict);
    list
}

fn deeper(by: f64) -> ClashVerdict {
    if by > super::CONTACT_MM {
        ClashVerdict::Deeper
    } else if by < -super::CONTACT_MM {
        ClashVerdict::LessDeep
    } else {
        ClashVerdict::Stays
    }
}
