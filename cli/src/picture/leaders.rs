//! Where leaders run. In: names in their places, and the heights between which each may end. Out: for each its corners, from
//! the name to a point of the part that no other leader has; in mm of paper. Leaders of one station bend beside one another
//! and end one below another, so that each can be followed.

use super::clusters::inwards;
use super::labels::{Fan, Labels};
use super::spread::spread;

/// From the name over the bend to the part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Leader {
    pub(super) corners: [[f64; 2]; 3],
}

/// Where a leader may end: paper x, and the upper and lower paper y of the part there.
#[derive(Clone, Copy, Debug, PartialEq)]
struct End {
    x: f64,
    y: [f64; 2],
}

/// Between leaders side by side, and between the points at which they end.
const ASIDE: f64 = 1.1;
const APART: f64 = 1.8;
/// How far inside the part a leader ends.
const INSIDE: f64 = 1.0;

/// The leaders of all names. `along` gives the paper x between which each of `labels.placed` may be touched, `heights` the upper
/// and lower paper y of it at one x; `bend` and `start` are the paper y of both fans.
pub(super) fn leaders(
    labels: &Labels,
    along: &[[f64; 2]],
    heights: impl Fn(usize, f64) -> [f64; 2],
    [bend, start]: [[f64; 2]; 2],
    bounds: [f64; 2],
) -> Vec<Leader> {
    let mut ends = vec![
        End {
            x: 0.0,
            y: [0.0; 2],
        };
        along.len()
    ];
    let mut leaders: Vec<Leader> = vec![
        Leader {
            corners: [[0.0; 2]; 3]
        };
        ends.len()
    ];
    for (side, fan) in [Fan::Above, Fan::Below].into_iter().enumerate() {
        let row: Vec<usize> = (0..ends.len())
            .filter(|&at| labels.placed[at].fan == fan)
            .collect();
        let touch: Vec<f64> = row.iter().map(|&at| labels.placed[at].x[0]).collect();
        let gaps = vec![ASIDE; row.len().saturating_sub(1)];
        let reach = vec![[0.0; 2]; row.len()];
        // With hundreds of names they bend where they end.
        let bends = spread(&touch, &gaps, &reach, bounds).unwrap_or_else(|| touch.clone());
        for (&at, &bend_x) in row.iter().zip(&bends) {
            // straight down from the bend, as far as the part is long enough
            let [first, last] = along[at];
            let margin = (0.5 * (last - first)).clamp(0.0, 0.4);
            let x = bend_x.max(first + margin).min(last - margin);
            ends[at] = End {
                x,
                y: heights(at, x),
            };
        }
        let mut from = 0;
        while from < row.len() {
            let count = touch[from..]
                .iter()
                .take_while(|x| (**x - touch[from]).abs() < 1e-6)
                .count()
                .max(1);
            let cluster = &row[from..from + count];
            for (at, y) in depths(cluster, &ends, fan) {
                leaders[at].corners[2] = [ends[at].x, y];
            }
            from += count;
        }
        for (&at, bend_x) in row.iter().zip(bends) {
            leaders[at].corners[0] = [labels.placed[at].x[1], start[side]];
            leaders[at].corners[1] = [bend_x, bend[side]];
        }
    }
    leaders
}

/// How deep each leader of one place goes: the middle one least, those outside of it ever deeper; where there is a choice, to
/// a height at which no other of them lies.
fn depths(cluster: &[usize], ends: &[End], fan: Fan) -> Vec<(usize, f64)> {
    // Depth grows away from the fan.
    let sign = match fan {
        Fan::Above => 1.0,
        Fan::Below => -1.0,
    };
    let range = |at: usize| {
        let [high, low] = ends[at].y;
        let inside = (0.5 * (low - high)).clamp(0.0, INSIDE);
        match fan {
            Fan::Above => [high + inside, low - inside],
            Fan::Below => [-(low - inside), -(high + inside)],
        }
    };
    let mut found: Vec<(usize, f64)> = Vec::new();
    let mut taken: Vec<[f64; 2]> = Vec::new();
    for place in inwards(cluster.len()) {
        let at = cluster[place];
        let [near, far] = range(at);
        let clear = |depth: f64| {
            taken
                .iter()
                .map(|[x, other]| (ends[at].x - x).hypot(depth - other))
                .fold(APART, f64::min)
        };
        let others = |depth: f64| {
            cluster
                .iter()
                .filter(|&&other| other != at)
                .filter(|&&other| {
                    range(other)[0] - INSIDE <= depth && depth <= range(other)[1] + INSIDE
                })
                .count()
        };
        let deepest = taken
            .iter()
            .map(|[_, other]| *other)
            .fold(f64::NEG_INFINITY, f64::max);
        let steps = (((far - near) / 0.6).ceil().clamp(1.0, 200.0)) as usize;
        let mut best = (f64::NEG_INFINITY, near);
        for step in 0..=steps {
            let depth = near + (far - near) * step as f64 / steps as f64;
            // Apart from the others before all; then below them, then where no other part lies, then near.
            let below = f64::from(u8::from(depth > deepest));
            let score = 10.0 * clear(depth) + 2.0 * below
                - 0.7 * others(depth) as f64
                - 0.05 * (depth - near);
            if score > best.0 {
                best = (score, depth);
            }
        }
        taken.push([ends[at].x, best.1]);
        found.push((at, sign * best.1));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::labels::{Placed, Slant};
    use super::*;

    /// Names of parts at one station, each between two heights.
    fn fan(heights: &[[f64; 2]]) -> Vec<Leader> {
        let placed = (0..heights.len())
            .map(|of| Placed {
                of,
                text: String::new(),
                fan: Fan::Above,
                x: [50.0, 40.0 + 5.0 * of as f64],
            })
            .collect();
        let labels = Labels {
            placed,
            size: 2.5,
            slant: Slant::Slanted,
            bend: [4.0, 0.0],
            text_height: [10.0, 0.0],
            left_out: 0,
        };
        let along = vec![[49.9, 50.1]; heights.len()];
        let rows = [[20.0, 0.0], [16.0, 0.0]];
        leaders(&labels, &along, |at, _| heights[at], rows, [0.0, 200.0])
    }

    #[test]
    fn five_at_one_station_end_apart_and_do_not_cross() {
        let leaders = fan(&[[22.0, 80.0]; 5]);
        for (at, a) in leaders.iter().enumerate() {
            for b in &leaders[at + 1..] {
                assert!((a.corners[2][1] - b.corners[2][1]).abs() >= APART - 1e-9);
                assert!(a.corners[1][0] + ASIDE <= b.corners[1][0] + 1e-9);
            }
        }
        let deep: Vec<f64> = leaders.iter().map(|leader| leader.corners[2][1]).collect();
        assert!(deep[0] > deep[1] && deep[1] > deep[2] && deep[2] < deep[3] && deep[3] < deep[4]);
    }

    #[test]
    fn a_leader_ends_where_no_other_part_lies() {
        // a frame, and a doubler on its upper part
        let leaders = fan(&[[22.0, 80.0], [22.0, 30.0]]);
        let [on_frame, on_doubler] = [0, 1].map(|at: usize| leaders[at].corners[2][1]);
        assert!(on_frame > 30.0 && (22.0..=30.0).contains(&on_doubler));
    }
}
