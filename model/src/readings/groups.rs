//! Statements in groups that have to be chosen together: the connected components of "one item rests on both" and of "they
//! rest on each other in a circle".

use std::collections::{BTreeMap, BTreeSet};

use petgraph::unionfind::UnionFind;

use super::trial::Item;
use crate::together::groups;

/// Groups of statements, by their places in the list of choices.
pub(super) struct Groups(Vec<Vec<usize>>);

impl Groups {
    /// The groups of `count` statements, in the order of their first members.
    pub(super) fn of(
        rests_on: &BTreeMap<Item, BTreeSet<usize>>,
        circles: &[Vec<usize>],
        count: usize,
    ) -> Groups {
        let mut together = UnionFind::<usize>::new(count);
        for on in rests_on.values() {
            if let Some(first) = on.first() {
                for other in on {
                    together.union(*first, *other);
                }
            }
        }
        for circle in circles {
            for (one, next) in circle.iter().zip(&circle[1..]) {
                together.union(*one, *next);
            }
        }
        Groups(groups(&together, count))
    }

    /// Whether two statements are of different groups.
    pub(super) fn part(&self, one: usize, other: usize) -> bool {
        let own = self.0.iter().find(|group| group.contains(&one));
        own.is_none_or(|group| !group.contains(&other))
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = &Vec<usize>> {
        self.0.iter()
    }
}
