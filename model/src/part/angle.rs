//! An extruded or bent angle.

use serde::Deserialize;
use strongback_solver::Affine;

use super::shape::{Block, Shape, origin, with};
use super::sizes::{fault, visit};
use super::{PartKind, Role, Sizes, part};
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

part! {
    /// An angle: two legs at a right angle, along one axis.
    pub struct Angle {
        /// The axis it runs along.
        pub runs: Runs,
        /// Its length.
        pub length: Given,
        /// Its two legs, over the outside corner.
        pub legs: Legs,
        /// Thickness of both legs.
        pub thickness: Given,
    }
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
}

fn leg_name(side: Side) -> String {
    format!("leg {}", format!("{side:?}").to_lowercase())
}

impl PartKind for Angle {
    fn says(&self) -> &'static str {
        "An angle. Origin: its outside corner at the fwd, left or lower end. Faces: the two outside \
         faces and the two leg edges by the sides they look to (fwd, aft, left, right, bottom, top), \
         inside_ and the side for the inside of a leg, and its two ends; line: corner (the outside corner)."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        f("length".to_owned(), Role::Extent, &mut self.length);
        for (side, leg) in self.legs.slots() {
            visit(&leg_name(side), Role::Extent, leg, f);
        }
        f("thickness".to_owned(), Role::Gauge, &mut self.thickness);
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        let along = self.runs.along();
        let stated = self.legs.stated();
        let [first, second] = stated[..] else {
            return Err(fault(
                self.thickness.span(),
                format!("an Angle has two legs; {} are stated", stated.len()),
                "name each by the side it leads to, as in legs: (down: \"1 in\", right: \"3/4 in\")",
            ));
        };
        if first.axis() == second.axis() || first.axis() == along || second.axis() == along {
            return Err(fault(
                self.thickness.span(),
                format!(
                    "legs that lead {first:?} and {second:?} make no angle that runs {:?}",
                    self.runs
                ),
                "the legs stand square to each other and to the way the angle runs",
            ));
        }
        for side in [first, second] {
            if sizes.value(&leg_name(side)) <= sizes.value("thickness") {
                return Err(fault(
                    self.thickness.span(),
                    "a leg is no wider than it is thick",
                    "a leg is measured over the outside corner of the angle",
                ));
            }
        }
        let (length, thickness) = (sizes.form("length"), sizes.form("thickness"));
        let reach = |side: Side, by: &Affine| by.clone().times(side.sign());
        // a leg leads along its own side and is as thick as the stock towards the other one
        let leg = |own: Side, other: Side| {
            let mut block = Block {
                low: origin(),
                high: with(origin(), along, &length),
            };
            for (side, by) in [
                (own, sizes.form(&leg_name(own))),
                (other, thickness.clone()),
            ] {
                let end = reach(side, &by);
                let at = side.axis().index();
                if side.is_positive() {
                    block.high[at] = end;
                } else {
                    block.low[at] = end;
                }
            }
            block
        };
        let (a, b) = (leg(first, second), leg(second, first));
        let mut shape = Shape::default();
        for (block, own, other) in [(&a, first, second), (&b, second, first)] {
            let outside = other.opposite();
            shape.add(outside.face(), block.face(outside));
            shape.add(own.face(), block.face(own));
            shape.add(&format!("inside_{}", other.face()), block.face(other));
            shape.solids.push(block.solid());
        }
        shape.line(
            "corner",
            along,
            with(origin(), along, &length.clone().times(0.5)),
        );
        shape.ends(self.runs, &a);
        Ok(shape)
    }

    fn choices(&self) -> Vec<(&'static str, String)> {
        let legs: Vec<String> = self
            .legs
            .stated()
            .iter()
            .map(|s| format!("{s:?}"))
            .collect();
        vec![("legs", legs.join(" and "))]
    }
}
