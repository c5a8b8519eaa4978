//! Things that hang together, in groups. In: which are joined. Out: the groups, in the order of their first members.

use std::collections::BTreeMap;

use petgraph::unionfind::UnionFind;

/// The groups of `count` things, each by its place.
pub(crate) fn groups(together: &UnionFind<usize>, count: usize) -> Vec<Vec<usize>> {
    let mut groups: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for at in 0..count {
        groups.entry(together.find(at)).or_default().push(at);
    }
    let mut groups: Vec<Vec<usize>> = groups.into_values().collect();
    groups.sort();
    groups
}
