//! Places in a row with room between them. In: where things would like to be, in order, and the gaps to keep. Out: where they
//! are, in the same unit: the least-squares fit to their wishes (pool adjacent violators; Barlow, Bartholomew, Bremner, Brunk,
//! Statistical Inference under Order Restrictions, 1972, from memory), then pushed inside the bounds.

/// The places nearest to `at` (in order) with the gaps between them and within the bounds; nothing if there is no room.
pub(super) fn spread(
    at: &[f64],
    gaps: &[f64],
    reach: &[[f64; 2]],
    [left, right]: [f64; 2],
) -> Option<Vec<f64>> {
    // With the sum of the gaps taken off, keeping the gaps is keeping the order.
    let mut offset = vec![0.0; at.len()];
    for i in 1..at.len() {
        offset[i] = offset[i - 1] + gaps[i - 1];
    }
    let mut pools: Vec<(f64, f64)> = Vec::new();
    for (a, o) in at.iter().zip(&offset) {
        pools.push((a - o, 1.0));
        while let [.., (m1, n1), (m2, n2)] = pools[..] {
            if m1 <= m2 {
                break;
            }
            pools.truncate(pools.len() - 2);
            pools.push(((m1 * n1 + m2 * n2) / (n1 + n2), n1 + n2));
        }
    }
    let means = pools
        .iter()
        .flat_map(|&(mean, n)| std::iter::repeat_n(mean, n as usize));
    let mut places: Vec<f64> = means.zip(&offset).map(|(mean, o)| mean + o).collect();
    for i in (0..places.len()).rev() {
        places[i] = places[i].min(right - reach[i][1]);
        if i + 1 < places.len() {
            places[i] = places[i].min(places[i + 1] - gaps[i]);
        }
    }
    for i in 0..places.len() {
        places[i] = places[i].max(left + reach[i][0]);
        if i > 0 {
            places[i] = places[i].max(places[i - 1] + gaps[i - 1]);
        }
    }
    let fits = places
        .iter()
        .zip(reach)
        .all(|(x, r)| x + r[1] <= right + 1e-6);
    fits.then_some(places)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn spreading_keeps_gaps_and_bounds() {
        let reach = [[1.0, 1.0]; 4];
        let places = spread(&[5.0, 5.0, 5.0, 9.9], &[2.0; 3], &reach, [0.0, 10.0]).unwrap();
        assert!(places.windows(2).all(|p| p[1] - p[0] >= 2.0 - 1e-9));
        assert!(places[0] >= 1.0 && places[3] <= 9.0 + 1e-6);
        assert!(spread(&[5.0; 4], &[4.0; 3], &reach, [0.0, 10.0]).is_none());
    }
}
