//! In what order a builder would take parts that may go in at any time. In: the stacks of parts that are fastened, and which parts are located
//! from which. Out: the parts in that order. Plain numbers.
//!
//! Next is what is fastened to something that is in; where nothing is, what is located from it; else what stands first in the file. So an
//! assembly grows from one place, and its parts aren't laid down all over the floor. What would shut in a layer that is still to come waits
//! for that one. The two hands of a pair come together.

use super::logic::Parts;

/// The parts in the order in which they come.
pub(super) fn ranked(
    parts: &Parts,
    fitted: &Parts,
    stacks: &[Vec<usize>],
    located: &[Parts],
    twin: &dyn Fn(usize) -> Option<usize>,
) -> Vec<usize> {
    let mut inside = fitted.clone();
    let mut left: Vec<usize> = parts.iter().copied().collect();
    let mut order = Vec::with_capacity(left.len());
    while !left.is_empty() {
        let fastened = |part: usize| {
            let mut pairs = stacks.iter().flat_map(|stack| stack.windows(2));
            pairs
                .any(|pair| pair.contains(&part) && pair.iter().any(|other| inside.contains(other)))
        };
        let from_inside = |part: usize| {
            let mut groups = located.iter();
            groups.any(|group| group.contains(&part) && !group.is_disjoint(&inside))
        };
        let open = |part: usize| !stacks.iter().any(|stack| shuts_in(stack, part, &inside));
        let first = |wanted: &dyn Fn(usize) -> bool| left.iter().position(|part| wanted(*part));
        let next = first(&|part| fastened(part) && open(part))
            .or_else(|| first(&|part| from_inside(part) && open(part)))
            .or_else(|| first(&open));
        let part = left.remove(next.unwrap_or(0));
        let other = twin(part).filter(|other| left.contains(other));
        left.retain(|part| Some(*part) != other);
        for part in std::iter::once(part).chain(other) {
            inside.insert(part);
            order.push(part);
        }
    }
    order
}

/// Whether a layer that isn't in yet lies between a part and one that is.
fn shuts_in(stack: &[usize], part: usize, inside: &Parts) -> bool {
    let Some(at) = stack.iter().position(|layer| *layer == part) else {
        return false;
    };
    stack.iter().enumerate().any(|(other, layer)| {
        let between = stack.get(at.min(other) + 1..at.max(other));
        let between = between.unwrap_or_default();
        inside.contains(layer) && between.iter().any(|layer| !inside.contains(layer))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(list: &[usize]) -> Parts {
        list.iter().copied().collect()
    }

    /// 0 and 3 are bolted together, 1 is located from 3, 2 from nothing.
    #[test]
    fn what_is_fastened_comes_before_what_is_located() {
        let all = set(&[0, 1, 2, 3]);
        let order = ranked(&all, &set(&[]), &[vec![0, 3]], &[set(&[1, 3])], &|_| None);
        assert_eq!(order, [0, 3, 1, 2]);
    }

    /// What is fitted draws its neighbours first.
    #[test]
    fn it_grows_from_what_is_in() {
        let order = ranked(&set(&[0, 1, 2]), &set(&[4]), &[vec![2, 4]], &[], &|_| None);
        assert_eq!(order, [2, 0, 1]);
    }

    /// A spar (1) on a frame (0) with a packer (2) between: the packer first, though the spar is named before it.
    #[test]
    fn a_packer_is_not_shut_out() {
        let order = ranked(
            &set(&[0, 1, 2]),
            &set(&[]),
            &[vec![1, 2, 0]],
            &[set(&[0, 1])],
            &|_| None,
        );
        assert_eq!(order, [0, 2, 1]);
    }

    /// A floor (2) on two rails (0, 1): both rails come before it.
    #[test]
    fn two_hands_come_together() {
        let stacks = [vec![2, 0], vec![2, 1]];
        let twin = |part: usize| (part < 2).then(|| 1 - part);
        assert_eq!(
            ranked(&set(&[0, 1, 2]), &set(&[]), &stacks, &[], &twin),
            [0, 1, 2]
        );
    }
}
