//! Cubic splines along one parameter. In: knots and values. Out: slopes at the knots, and the weights of values and slopes at a
//! parameter, with first and second derivatives.
//!
//! De Boor, A Practical Guide to Splines, rev. ed., Springer 2001, chapter IV (from memory). Beyond its ends a spline goes on straight.

/// What holds at an end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    /// No second derivative.
    Natural,
    /// No slope.
    Level,
}

/// The slopes at the knots of the spline through the values. Knots grow; there are at least two, and as many values.
pub(super) fn slopes(knots: &[f64], values: &[f64], ends: [End; 2]) -> Vec<f64> {
    let last = knots.len() - 1;
    let step = |at: usize| knots[at + 1] - knots[at];
    let rise = |at: usize| (values[at + 1] - values[at]) / step(at);
    // rows of the tridiagonal system: below, on and above the diagonal, and the right-hand side
    let row = |at: usize| -> [f64; 4] {
        let end = match at {
            0 => ends[0],
            _ if at == last => ends[1],
            _ => {
                let (before, after) = (step(at - 1), step(at));
                let right = 3.0 * (after * rise(at - 1) + before * rise(at));
                return [after, 2.0 * (before + after), before, right];
            }
        };
        match (end, at) {
            (End::Level, _) => [0.0, 1.0, 0.0, 0.0],
            (End::Natural, 0) => [0.0, 2.0, 1.0, 3.0 * rise(0)],
            (End::Natural, _) => [1.0, 2.0, 0.0, 3.0 * rise(last - 1)],
        }
    };
    // Thomas's elimination; the matrix is diagonally dominant
    let mut above = Vec::with_capacity(last + 1);
    let mut right = Vec::with_capacity(last + 1);
    for at in 0..=last {
        let [low, diagonal, high, side] = row(at);
        let (above_before, right_before) = match at {
            0 => (0.0, 0.0),
            _ => (above[at - 1], right[at - 1]),
        };
        let pivot = diagonal - low * above_before;
        above.push(high / pivot);
        right.push((side - low * right_before) / pivot);
    }
    for at in (0..last).rev() {
        right[at] -= above[at] * right[at + 1];
    }
    right
}

/// A place between two knots.
#[derive(Clone, Copy, Debug)]
pub(super) struct Along {
    /// The knot before it.
    pub(super) knot: usize,
    /// For the value, the first and the second derivative: weights of the values at this knot and the next, and of their slopes.
    pub(super) weights: [[f64; 4]; 3],
}

/// The place of a parameter.
pub(super) fn along(knots: &[f64], parameter: f64) -> Along {
    let last = knots.len() - 1;
    // one that is no number stays where the first knot is, and makes all weights none
    let within = parameter.max(knots[0]).min(knots[last]);
    let beyond = parameter - within;
    let knot = knots[1..last].partition_point(|k| *k <= within);
    let h = knots[knot + 1] - knots[knot];
    let t = (within - knots[knot]) / h;
    let (t2, t3) = (t * t, t * t * t);
    let mut weights = [
        [
            2.0 * t3 - 3.0 * t2 + 1.0,
            3.0 * t2 - 2.0 * t3,
            h * (t3 - 2.0 * t2 + t),
            h * (t3 - t2),
        ],
        [
            6.0 * (t2 - t) / h,
            6.0 * (t - t2) / h,
            3.0 * t2 - 4.0 * t + 1.0,
            3.0 * t2 - 2.0 * t,
        ],
        [
            (12.0 * t - 6.0) / (h * h),
            (6.0 - 12.0 * t) / (h * h),
            (6.0 * t - 4.0) / h,
            (6.0 * t - 2.0) / h,
        ],
    ];
    if beyond != 0.0 {
        let slope = weights[1];
        for (value, slope) in weights[0].iter_mut().zip(slope) {
            *value += beyond * slope;
        }
        weights[2] = [0.0; 4];
    }
    Along { knot, weights }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(knots: &[f64], values: &[f64], ends: [End; 2], at: f64) -> [f64; 3] {
        let slopes = slopes(knots, values, ends);
        let place = along(knots, at);
        place.weights.map(|w| {
            w[0] * values[place.knot]
                + w[1] * values[place.knot + 1]
                + w[2] * slopes[place.knot]
                + w[3] * slopes[place.knot + 1]
        })
    }

    #[test]
    fn a_cubic_that_is_level_at_its_ends_comes_back() {
        let cubic = |x: f64| x * x * (3.0 - 2.0 * x);
        let knots = [0.0, 0.2, 0.55, 0.7, 1.0];
        let values = knots.map(cubic);
        for at in [0.0, 0.1, 0.33, 0.6, 0.69, 0.95, 1.0] {
            let [y, slope, bend] = value(&knots, &values, [End::Level; 2], at);
            assert!((y - cubic(at)).abs() < 1e-14);
            assert!((slope - 6.0 * at * (1.0 - at)).abs() < 1e-13);
            assert!((bend - (6.0 - 12.0 * at)).abs() < 1e-12);
        }
    }

    #[test]
    fn it_is_smooth_and_goes_on_straight() {
        let knots = [0.0, 1.0, 3.0, 4.5];
        let values = [2.0, -1.0, 4.0, 4.5];
        let ends = [End::Natural; 2];
        for knot in knots {
            let [before, after] = [-1e-9, 1e-9].map(|by| value(&knots, &values, ends, knot + by));
            for order in 0..3 {
                assert!(
                    (before[order] - after[order]).abs() < 1e-6,
                    "{knot} {order}"
                );
            }
        }
        let [y, slope, bend] = value(&knots, &values, ends, 6.5);
        let [end, end_slope, _] = value(&knots, &values, ends, 4.5);
        assert_eq!((slope, bend), (end_slope, 0.0));
        assert!((y - end - 2.0 * slope).abs() < 1e-12);
    }

    #[test]
    fn two_knots_make_a_straight_line() {
        let [y, slope, bend] = value(&[1.0, 5.0], &[3.0, 11.0], [End::Natural; 2], 2.5);
        assert!((y - 6.0).abs() < 1e-14 && (slope - 2.0).abs() < 1e-14 && bend.abs() < 1e-14);
    }
}
