//! In what order a builder would take parts that may go in at any time. In: which parts are fastened to which, and located from which. Out: a
//! rank for each. Plain numbers.
//!
//! Next is what is fastened to something that is in; where nothing is, what is located from it; else what stands first in the file. So an
//! assembly grows from one place, and its parts aren't laid down all over the floor.

use super::logic::Parts;

/// Ranks: the order in which the parts come, fitted ones before all.
pub(super) fn ranked(parts: &Parts, fitted: &Parts, tied: [&[Parts]; 2]) -> Vec<usize> {
    let mut inside = fitted.clone();
    let mut left: Vec<usize> = parts.iter().copied().collect();
    let mut order = Vec::with_capacity(left.len());
    while !left.is_empty() {
        let joined = |part: &usize, groups: &[Parts]| {
            groups
                .iter()
                .any(|group| group.contains(part) && !group.is_disjoint(&inside))
        };
        let next = tied
            .iter()
            .find_map(|groups| left.iter().position(|part| joined(part, groups)));
        let part = left.remove(next.unwrap_or(0));
        inside.insert(part);
        order.push(part);
    }
    order
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
        let bolted = [set(&[0, 3])];
        let located = [set(&[1, 3])];
        let all = set(&[0, 1, 2, 3]);
        assert_eq!(
            ranked(&all, &set(&[]), [&bolted, &located]),
            [0, 3, 1, 2]
        );
    }

    /// What is fitted draws its neighbours first.
    #[test]
    fn it_grows_from_what_is_in() {
        let bolted = [set(&[2, 4])];
        assert_eq!(
            ranked(&set(&[0, 1, 2]), &set(&[4]), [&bolted, &[]]),
            [2, 0, 1]
        );
    }
}
