//! Numbers sorted into groups, in one piece of memory.
//!
//! In: pairs of a group and a member, walked twice. Out: the members of each group, in the order in which they came. A counting
//! sort (Knuth, The Art of Computer Programming 3, 2nd ed., section 5.2), so linear in the pairs.

/// Members by group.
#[derive(Clone, Debug, Default)]
pub(crate) struct Groups {
    /// Where each group starts, and the end of the last.
    pub(crate) starts: Vec<usize>,
    pub(crate) members: Vec<usize>,
}

impl Groups {
    /// So many groups, from pairs of a group and a member.
    pub(crate) fn of(groups: usize, pairs: impl Iterator<Item = (usize, usize)> + Clone) -> Self {
        let mut starts = vec![0; groups + 1];
        // walked from inside: pairs come out of nested iterators
        pairs.clone().for_each(|(group, _)| starts[group + 1] += 1);
        for group in 0..groups {
            starts[group + 1] += starts[group];
        }
        let mut next = starts.clone();
        let mut members = vec![0; starts[groups]];
        pairs.for_each(|(group, member)| {
            members[next[group]] = member;
            next[group] += 1;
        });
        Self { starts, members }
    }

    /// The members of a group.
    pub(crate) fn get(&self, group: usize) -> &[usize] {
        &self.members[self.starts[group]..self.starts[group + 1]]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn members_keep_their_order_within_a_group() {
        let pairs = [(2, 7), (0, 5), (2, 1), (0, 5)];
        let groups = Groups::of(4, pairs.into_iter());
        let all: Vec<&[usize]> = (0..4).map(|group| groups.get(group)).collect();
        assert_eq!(all, [&[5, 5][..], &[], &[7, 1], &[]]);
    }
}
