//! The logic of an order of fitting, on bare numbers. In: parts, what has to be in before what, and of each joint what it waits for and
//! what takes the room of its tools. Out: an order, or the parts none of which can be the last one.
//!
//! A part that is in only takes room away. So the order is found from its end: a part may go in last if every joint that closes with it
//! can be set beside all the others, and nothing that is stated wants it earlier. Taking it off never makes another one harder to take
//! off: whichever is taken first, the same parts are left over, and if any are, there is no order at all.

use std::collections::BTreeSet;

/// Parts by their numbers.
pub(super) type Parts = BTreeSet<usize>;

/// What an order has to answer.
#[derive(Clone, Debug, Default)]
pub(super) struct Problem {
    /// Parts to be fitted.
    pub(super) parts: Parts,
    /// Parts that are in already.
    pub(super) fitted: Parts,
    /// The joints.
    pub(super) joints: Vec<Closing>,
    /// What has to be in before what.
    pub(super) before: Vec<[usize; 2]>,
}

/// When a joint closes, and what may be in its way.
#[derive(Clone, Debug, Default)]
pub(super) struct Closing {
    /// It closes when all of these are in.
    pub(super) waits_for: Parts,
    /// Of each of its places the ways to set the fastener, each as the parts that take the room for it.
    pub(super) places: Vec<Vec<Parts>>,
}

/// Why a part can't be the last one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Held {
    /// It has to be in before another one: which of [`Problem::before`].
    Stated(usize),
    /// A joint that closes with it couldn't be set at a place.
    Joint {
        /// Which of the joints.
        joint: usize,
        /// Which of its places.
        place: usize,
    },
}

/// Whether one of several ways is free beside the parts that are in.
pub(super) fn is_free(ways: &[Parts], inside: &Parts) -> bool {
    ways.iter().any(|way| way.is_disjoint(inside))
}

impl Closing {
    /// The first place that can't be set beside these parts.
    pub(super) fn blocked(&self, inside: &Parts) -> Option<usize> {
        self.places.iter().position(|ways| !is_free(ways, inside))
    }
}

impl Problem {
    /// Why a part can't be the last of these.
    pub(super) fn held(&self, part: usize, among: &Parts) -> Option<Held> {
        let stated = self
            .before
            .iter()
            .position(|[first, then]| *first == part && among.contains(then));
        if let Some(at) = stated {
            return Some(Held::Stated(at));
        }
        let inside: Parts = among.union(&self.fitted).copied().collect();
        self.joints.iter().enumerate().find_map(|(joint, closing)| {
            let closes = closing.waits_for.contains(&part) && closing.waits_for.is_subset(&inside);
            let place = closes.then(|| closing.blocked(&inside)).flatten()?;
            Some(Held::Joint { joint, place })
        })
    }

    /// What is left of these when all that can be the last one are taken off, one after the other.
    pub(super) fn stuck(&self, among: &Parts) -> Parts {
        let mut left = among.clone();
        while let Some(part) = left
            .iter()
            .copied()
            .find(|part| self.held(*part, &left).is_none())
        {
            left.remove(&part);
        }
        left
    }

    /// An order in steps, or the parts none of which can be the last one. Of those that can, the one of the highest rank is, and its
    /// twin goes with it in one step where it can.
    pub(super) fn order(
        &self,
        rank: &dyn Fn(usize) -> usize,
        twin: &dyn Fn(usize) -> Option<usize>,
    ) -> Result<Vec<Vec<usize>>, Parts> {
        let mut left = self.parts.clone();
        let mut steps = Vec::new();
        while !left.is_empty() {
            let free = left
                .iter()
                .copied()
                .filter(|part| self.held(*part, &left).is_none());
            let Some(last) = free.max_by_key(|part| (rank(*part), *part)) else {
                return Err(left);
            };
            left.remove(&last);
            let mut step = vec![last];
            let other = twin(last).filter(|other| left.contains(other));
            if let Some(other) = other.filter(|other| self.held(*other, &left).is_none()) {
                left.remove(&other);
                step.insert(0, other);
            }
            steps.push(step);
        }
        steps.reverse();
        Ok(steps)
    }
}
