//! A set of small numbers of which the least is taken first, in time that hardly depends on how many there are.
//!
//! In: numbers below a bound. Out: the least of them. A bit for each number, and above each sixty-four bits one that says whether
//! any of them is set (van Emde Boas, Kaas and Zijlstra, Math. Systems Theory 10, 1977, with the word of the machine as radix).

const BITS: usize = u64::BITS as usize;

/// The set.
#[derive(Debug)]
pub(crate) struct Places {
    /// From the numbers themselves up to a single word.
    levels: Vec<Vec<u64>>,
}

impl Places {
    /// An empty set of numbers below `bound`.
    pub(crate) fn up_to(bound: usize) -> Self {
        let mut levels = Vec::new();
        let mut words = bound.max(1).div_ceil(BITS);
        loop {
            levels.push(vec![0; words]);
            if words == 1 {
                return Self { levels };
            }
            words = words.div_ceil(BITS);
        }
    }

    /// Adds a number, which has to be below the bound.
    pub(crate) fn insert(&mut self, number: usize) {
        let mut at = number;
        for level in &mut self.levels {
            let word = &mut level[at / BITS];
            let was_empty = *word == 0;
            *word |= 1 << (at % BITS);
            if !was_empty {
                return;
            }
            at /= BITS;
        }
    }

    /// Takes the least number out.
    pub(crate) fn take_first(&mut self) -> Option<usize> {
        let mut at = 0;
        for level in self.levels.iter().rev() {
            let word = level[at];
            if word == 0 {
                return None;
            }
            at = at * BITS + word.trailing_zeros() as usize;
        }
        let first = at;
        for level in &mut self.levels {
            let word = &mut level[at / BITS];
            *word &= !(1 << (at % BITS));
            if *word != 0 {
                break;
            }
            at /= BITS;
        }
        Some(first)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn as_an_ordered_set_does(steps in prop::collection::vec(prop::option::of(0..10_000_usize), 0..300)) {
            let mut places = Places::up_to(10_000);
            let mut set = BTreeSet::new();
            for step in steps {
                match step {
                    Some(number) => {
                        places.insert(number);
                        set.insert(number);
                    }
                    None => prop_assert_eq!(places.take_first(), set.pop_first()),
                }
            }
            while let Some(first) = set.pop_first() {
                prop_assert_eq!(places.take_first(), Some(first));
            }
            prop_assert_eq!(places.take_first(), None);
        }
    }
}
