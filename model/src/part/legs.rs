//! The two legs of an angle section. In: their widths, each under the side to which the leg leads. Out: the two sides, once
//! they make an angle. Widths in mm, over the outside corner.

use std::ops::Range;

use serde::Deserialize;

use super::sizes::{fault, visit};
use super::{Role, Section, SectionKind, Sizes, Stock};
use crate::source::{Fault, Given};
use crate::words::{Runs, Side};

/// The two legs, each named by the side to which it leads away from the outside corner.
#[derive(Clone, Debug, Default, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Legs {
    /// A leg that leads towards the nose.
    pub fwd: Option<Given>,
    /// A leg that leads towards the tail.
    pub aft: Option<Given>,
    /// A leg that leads to the left.
    pub left: Option<Given>,
    /// A leg that leads to the right.
    pub right: Option<Given>,
    /// A leg that leads down.
    pub down: Option<Given>,
    /// A leg that leads up.
    pub up: Option<Given>,
}

impl Legs {
    fn slots(&mut self) -> [(Side, &mut Option<Given>); 6] {
        [
            (Side::Fwd, &mut self.fwd),
            (Side::Aft, &mut self.aft),
            (Side::Left, &mut self.left),
            (Side::Right, &mut self.right),
            (Side::Down, &mut self.down),
            (Side::Up, &mut self.up),
        ]
    }

    fn stated(&self) -> Vec<Side> {
        let mut copy = self.clone();
        copy.slots()
            .into_iter()
            .filter(|(_, leg)| leg.is_some())
            .map(|(side, _)| side)
            .collect()
    }

    /// The sides that the legs lead to, in words.
    pub(super) fn told(&self) -> String {
        let legs: Vec<String> = self.stated().iter().map(|s| format!("{s:?}")).collect();
        legs.join(" and ")
    }

    /// Visits their widths.
    pub(super) fn visit(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        for (side, leg) in self.slots() {
            visit(&leg_name(side), Role::Extent, leg, f);
        }
    }

    /// A length of the section.
    pub(super) fn stock(&self, length_mm: f64, sizes: &Sizes) -> Stock {
        let mut widths: Vec<f64> = self
            .stated()
            .into_iter()
            .map(|side| sizes.value(&leg_name(side)))
            .collect();
        // the wider leg is named first: common practice, no source
        widths.sort_by(|a, b| b.total_cmp(a));
        widths.push(sizes.value("thickness"));
        Stock::Length {
            section: Section {
                what: SectionKind::Angle,
                sizes_mm: widths,
            },
            length_mm,
        }
    }

    /// The side at which a leg may be made narrower: its edge.
    pub(super) fn trimmed_at(&self, size: &str) -> Vec<Side> {
        let mut sides = self.stated();
        sides.retain(|side| leg_name(*side) == size);
        sides
    }

    /// The sides of the two legs of `whose` section.
    ///
    /// # Errors
    /// There are more or fewer than two, they make no angle that runs that way, or one is no wider than it is thick.
    pub(super) fn pair(
        &self,
        whose: &str,
        runs: Runs,
        sizes: &Sizes,
        span: Range<usize>,
    ) -> Result<[Side; 2], Fault> {
        let along = runs.along();
        let stated = self.stated();
        let [first, second] = stated[..] else {
            return Err(fault(
                span,
                format!("{whose} has two legs; {} are stated", stated.len()),
                "name each by the side it leads to, as in legs: (down: \"1 in\", right: \"3/4 in\")",
            ));
        };
        if first.axis() == second.axis() || first.axis() == along || second.axis() == along {
            return Err(fault(
                span,
                format!("legs that lead {first:?} and {second:?} make no angle that runs {runs:?}"),
                "the legs stand square to each other and to the way the angle runs",
            ));
        }
        for side in [first, second] {
            if sizes.value(&leg_name(side)) <= sizes.value("thickness") {
                return Err(fault(
                    span,
                    "a leg is no wider than it is thick",
                    "a leg is measured over the outside corner of the angle",
                ));
            }
        }
        Ok([first, second])
    }
}

/// The name of a leg's width among the sizes.
pub(super) fn leg_name(side: Side) -> String {
    format!("leg {}", format!("{side:?}").to_lowercase())
}
