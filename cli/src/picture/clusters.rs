//! Parts that lie at one station, such as a frame, its doubler and the spar behind it. In: where each could be touched, mm of
//! paper. Out: the order in which their names may stand so that leaders to points one above another don't cross, and a common
//! place from which they are told. The nearest to a fan stand in the middle, and those farther off outside of them.

/// What is to be touched.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Reach {
    /// Paper x between which it lies.
    pub(super) along: [f64; 2],
    /// Where its middle is in the view: 0 at the bottom, 1 at the top.
    pub(super) height: f64,
}

/// Middles nearer to each other than this are one place.
const NEAR: f64 = 0.8;
/// A part longer than this is touched where there is room, and belongs to no place.
pub(super) const LONG: f64 = 15.0;

/// In their new order: which one, and between which x its leader may be thought to end.
pub(super) fn ordered(reaches: &[Reach]) -> Vec<(usize, [f64; 2])> {
    let middle = |at: usize| 0.5 * (reaches[at].along[0] + reaches[at].along[1]);
    let is_long = |at: &usize| reaches[*at].along[1] - reaches[*at].along[0] > LONG;
    let (long, mut short): (Vec<usize>, Vec<usize>) = (0..reaches.len()).partition(is_long);
    short.sort_by(|&a, &b| middle(a).total_cmp(&middle(b)));
    let mut order = Vec::with_capacity(reaches.len());
    let mut rest = short.as_slice();
    while let Some(&first) = rest.first() {
        let count = rest.partition_point(|&at| middle(at) - middle(first) < NEAR);
        let (cluster, others) = rest.split_at(count.max(1));
        rest = others;
        let place = 0.5 * (middle(first) + cluster.last().map_or(middle(first), |&at| middle(at)));
        let mut inner_first = cluster.to_vec();
        let from_edge = |at: usize| -(reaches[at].height - 0.5).abs();
        inner_first.sort_by(|&a, &b| from_edge(a).total_cmp(&from_edge(b)));
        order.extend(
            outwards(&inner_first)
                .into_iter()
                .map(|at| (at, [place; 2])),
        );
    }
    order.extend(long.into_iter().map(|at| (at, reaches[at].along)));
    order
}

/// The first in the middle, the others by turns at its right and left.
pub(super) fn outwards<T: Copy>(inner_first: &[T]) -> Vec<T> {
    let side = |odd: usize| inner_first.iter().copied().skip(odd).step_by(2);
    let mut row: Vec<T> = side(1).collect();
    row.reverse();
    row.extend(side(0));
    row
}

/// The reverse of [`outwards`]: places in a row of so many, from the middle outwards.
pub(super) fn inwards(count: usize) -> Vec<usize> {
    let row = outwards(&(0..count).collect::<Vec<_>>());
    let mut places = vec![0; count];
    for (place, rank) in row.into_iter().enumerate() {
        places[rank] = place;
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_middle_is_nearest() {
        assert_eq!(outwards(&[0, 1, 2, 3, 4]), [3, 1, 0, 2, 4]);
        assert_eq!(inwards(5), [2, 1, 3, 0, 4]);
        assert_eq!(inwards(0), [0usize; 0]);
    }

    #[test]
    fn what_lies_at_one_station_is_one_place() {
        let at = |x: f64, height: f64| Reach {
            along: [x - 0.1, x + 0.1],
            height,
        };
        let long = Reach {
            along: [0.0, 90.0],
            height: 0.2,
        };
        let order = ordered(&[
            at(40.0, 0.6),
            at(10.0, 0.5),
            long,
            at(40.2, 0.9),
            at(40.4, 0.7),
        ]);
        let names: Vec<usize> = order.iter().map(|(at, _)| *at).collect();
        assert_eq!(
            names,
            [1, 4, 3, 0, 2],
            "the highest, 3, in the middle of its place"
        );
        let places: Vec<f64> = order.iter().map(|(_, along)| along[0]).collect();
        assert!((places[1] - 40.2).abs() < 1e-9 && places[1] == places[3]);
        assert_eq!(order[4].1, long.along);
    }
}
