//! What needs a word beside a measure: why it can't be measured, or what lies where room is wanted. In: what keeps clear of what, and a
//! solution. Out: names of parts and joints.

use schemars::JsonSchema;
use serde::Serialize;

use crate::assembly::Solved;
use crate::joint::Stand;
use crate::must_fit::Body;

/// A word beside a measure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Remark {
    /// It can't be measured: the rows of this joint have no room, so that nothing says where its fasteners are.
    NoPlaces {
        /// The joint.
        joint: String,
    },
    /// It can't be measured: there is no metal of this.
    NoMetal {
        /// What has none.
        of: String,
    },
    /// The part lies against the stack of a joint, and the joint doesn't have it among its layers.
    AgainstStack {
        /// The part.
        part: String,
        /// The joint.
        joint: String,
    },
}

impl Remark {
    /// Whether nothing can be measured for this reason.
    pub fn prevents(&self) -> bool {
        matches!(self, Remark::NoPlaces { .. } | Remark::NoMetal { .. })
    }
}

impl Solved<'_> {
    /// Why a clearance can't be measured.
    pub(crate) fn unmeasurable(&self, between: &[Body; 2]) -> Option<Remark> {
        between.iter().find_map(|body| {
            let stand = Stand::new(self.assembly, self.at());
            if let Some(joint) = stand.without_places(&body.heads_of) {
                return Some(Remark::NoPlaces { joint });
            }
            let none = body.solids(self.assembly, self.at()).is_empty();
            none.then(|| Remark::NoMetal {
                of: body.name.clone(),
            })
        })
    }

    /// Of heads that have no room: the part that should keep clear of them and lies against their stack.
    pub(super) fn lies_against(&self, between: &[Body; 2]) -> Option<Remark> {
        let [one, other] = between;
        [(one, other), (other, one)]
            .into_iter()
            .find_map(|(heads, body)| {
                let stand = Stand::new(self.assembly, self.at());
                let (part, joint) = stand.against_stack(&heads.heads_of, &body.parts)?;
                let part = self.assembly.parts.get(part)?.name.clone();
                body.heads_of
                    .is_empty()
                    .then_some(Remark::AgainstStack { part, joint })
            })
    }
}
