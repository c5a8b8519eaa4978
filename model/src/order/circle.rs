//! The smallest circle of reasons. In: parts none of which can be the last one. Out: as few of them as possible of which that is true.
//!
//! A set is such a circle by what stands within it alone, so that any circle within these parts is found by going from a part to what
//! holds it, and from there to what holds that: set by set up to a size, and each size in turn.

use std::collections::BTreeSet;

use super::logic::{Parts, Problem, is_free};

/// Sets looked at before the search is given up.
const MOST_SETS: usize = 40_000;

/// A set of parts none of which can be the last one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Smallest {
    pub(super) parts: Parts,
    /// Whether there is none with fewer parts for certain.
    pub(super) proved: bool,
}

impl Problem {
    /// The smallest circle within parts that are stuck.
    pub(super) fn circle(&self, stuck: &Parts) -> Smallest {
        let best = self.by_leaving_out(stuck);
        let mut search = Search {
            problem: self,
            stuck,
            most: 0,
            seen: BTreeSet::new(),
            left: MOST_SETS,
        };
        for most in 1..best.len() {
            search.most = most;
            search.seen.clear();
            for part in stuck {
                if let Some(parts) = search.grow(&Parts::from([*part])) {
                    return Smallest {
                        parts,
                        proved: true,
                    };
                }
                if search.left == 0 {
                    return Smallest {
                        parts: best,
                        proved: false,
                    };
                }
            }
        }
        Smallest {
            parts: best,
            proved: true,
        }
    }

    /// Parts are left out one by one as long as something stays stuck; from several starts.
    fn by_leaving_out(&self, stuck: &Parts) -> Parts {
        const STARTS: usize = 12;
        let list: Vec<usize> = stuck.iter().copied().collect();
        let stride = list.len().div_ceil(STARTS).max(1);
        let mut best = stuck.clone();
        for start in (0..list.len()).step_by(stride) {
            let mut left = stuck.clone();
            for part in list.iter().cycle().skip(start).take(list.len()) {
                let mut fewer = left.clone();
                if fewer.remove(part) {
                    let fewer = self.stuck(&fewer);
                    if !fewer.is_empty() {
                        left = fewer;
                    }
                }
            }
            if left.len() < best.len() {
                best = left;
            }
        }
        best
    }
}

struct Search<'p> {
    problem: &'p Problem,
    stuck: &'p Parts,
    /// Sets have no more parts than this.
    most: usize,
    seen: BTreeSet<Parts>,
    /// Sets that may still be looked at.
    left: usize,
}

impl Search<'_> {
    /// A circle that holds these parts.
    fn grow(&mut self, parts: &Parts) -> Option<Parts> {
        if parts.len() > self.most || self.left == 0 || !self.seen.insert(parts.clone()) {
            return None;
        }
        self.left -= 1;
        let problem = self.problem;
        let Some(loose) = parts
            .iter()
            .copied()
            .find(|part| problem.held(*part, parts).is_none())
        else {
            return Some(parts.clone());
        };
        for [first, then] in &problem.before {
            if *first == loose && self.stuck.contains(then) {
                let mut more = parts.clone();
                more.insert(*then);
                if let Some(found) = self.grow(&more) {
                    return Some(found);
                }
            }
        }
        let all: Parts = self.stuck.union(&problem.fitted).copied().collect();
        for closing in &problem.joints {
            if !closing.waits_for.contains(&loose) || !closing.waits_for.is_subset(&all) {
                continue;
            }
            let mut more = parts.clone();
            more.extend(closing.waits_for.difference(&problem.fitted));
            for ways in closing.places.iter().filter(|ways| !is_free(ways, &all)) {
                if let Some(found) = self.block(&more, ways) {
                    return Some(found);
                }
            }
        }
        None
    }

    /// The same with every one of these ways blocked.
    fn block(&mut self, parts: &Parts, ways: &[Parts]) -> Option<Parts> {
        if parts.len() > self.most || self.left == 0 {
            return None;
        }
        let inside: Parts = parts.union(&self.problem.fitted).copied().collect();
        let Some(open) = ways.iter().find(|way| way.is_disjoint(&inside)) else {
            return self.grow(parts);
        };
        self.left = self.left.saturating_sub(1);
        for part in open.intersection(self.stuck) {
            let mut more = parts.clone();
            more.insert(*part);
            if let Some(found) = self.block(&more, ways) {
                return Some(found);
            }
        }
        None
    }
}
