//! Part names above and below a view, each with a leader to its part. In: where each part may be touched, mm of paper.
//! Out: texts and leaders that don't overlap, and how high both fans are.
//! Names lie flat if they fit side by side, else they slant; leaders keep their order, so they never cross.

use super::clusters::LONG;
use super::font;
use super::spread::spread;

/// A name to be placed.
#[derive(Clone, Debug)]
pub(super) struct Wanted {
    pub(super) text: String,
    /// Paper x between which the leader may touch the part.
    pub(super) along: [f64; 2],
    /// Where the part's middle is in the view: 0 at the bottom, 1 at the top.
    pub(super) height: f64,
    /// Names of lower rank are left out first.
    pub(super) rank: Rank,
}

/// How much a name is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Rank {
    Plain,
    Moved,
    Picked,
}

/// On which side of the view.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fan {
    Above,
    Below,
}

/// A name in its place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Placed {
    /// Which of the wanted names.
    pub(super) of: usize,
    pub(super) text: String,
    pub(super) fan: Fan,
    /// Paper x where the leader touches the part, and where the name is.
    pub(super) x: [f64; 2],
}

/// All names in their places.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Labels {
    pub(super) placed: Vec<Placed>,
    pub(super) size: f64,
    pub(super) slant: Slant,
    /// Height of the zone in which leaders bend, and of the texts: above, below.
    pub(super) bend: [f64; 2],
    pub(super) text_height: [f64; 2],
    /// Names for which there was no room.
    pub(super) left_out: usize,
}

/// How names lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Slant {
    Flat,
    Slanted,
}

/// Text sizes, the first that gives room for all is taken.
const SIZES: [f64; 4] = [2.8, 2.5, 2.2, 1.9];
/// The longest name shown in full, in ems.
const LONGEST_EM: f64 = 20.0;
/// Between flat names, in ems.
const BLANK_EM: f64 = 1.2;
/// Sine and cosine of the slant of 45 degrees.
const HALF_RIGHT: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// Between slanted names across their lines, in ems.
const PITCH_EM: f64 = 1.22;
/// A flat name may lie no farther from its part than this, mm.
const FARTHEST_FLAT: f64 = 16.0;

/// Places names between the paper's `left` and `right`.
pub(super) fn place(wanted: &[Wanted], left: f64, right: f64) -> Labels {
    let touch = touches(wanted);
    let all: Vec<usize> = (0..wanted.len()).collect();
    let fans = split(wanted, &touch, &all, usize::MAX);
    if let Some(labels) = arranged(wanted, &touch, &fans, SIZES[0], Slant::Flat, [left, right]) {
        return labels;
    }
    for size in SIZES {
        // The first or the last name reaches out by its own length.
        let reach = LONGEST_EM * size * HALF_RIGHT + 2.0 * size;
        let room = ((right - left - reach) / (size * PITCH_EM / HALF_RIGHT)).max(0.0) as usize + 1;
        if wanted.len() > 2 * room && size > SIZES[3] {
            continue;
        }
        let chosen = most_wanted(wanted, &touch, 2 * room);
        let fans = split(wanted, &touch, &chosen, room);
        if let Some(mut labels) =
            arranged(wanted, &touch, &fans, size, Slant::Slanted, [left, right])
        {
            labels.left_out = wanted.len() - labels.placed.len();
            return labels;
        }
    }
    Labels {
        placed: Vec::new(),
        size: SIZES[0],
        slant: Slant::Flat,
        bend: [0.0; 2],
        text_height: [0.0; 2],
        left_out: wanted.len(),
    }
}

/// As many names as there is room for: the higher ranks whole, and of the rank that doesn't fit every so-manieth along the
/// paper.
fn most_wanted(wanted: &[Wanted], touch: &[f64], room: usize) -> Vec<usize> {
    let mut chosen = Vec::new();
    for rank in [Rank::Picked, Rank::Moved, Rank::Plain] {
        let mut of_rank: Vec<usize> = (0..wanted.len())
            .filter(|&at| wanted[at].rank == rank)
            .collect();
        of_rank.sort_by(|&a, &b| touch[a].total_cmp(&touch[b]));
        let (count, left) = (of_rank.len(), room - chosen.len());
        if count <= left {
            chosen.extend(of_rank);
        } else {
            chosen.extend((0..left).map(|at| of_rank[at * count / left]));
            break;
        }
    }
    chosen
}

/// Where each leader touches its part: short parts in the middle, long ones where no other leader is near.
fn touches(wanted: &[Wanted]) -> Vec<f64> {
    const TRIES: u32 = 9;
    let mut touch: Vec<f64> = wanted
        .iter()
        .map(|w| 0.5 * (w.along[0] + w.along[1]))
        .collect();
    let is_long = |w: &Wanted| w.along[1] - w.along[0] > LONG;
    let mut taken: Vec<f64> = Vec::new();
    for (at, w) in wanted.iter().enumerate() {
        if !is_long(w) {
            taken.push(touch[at]);
        }
    }
    taken.sort_by(f64::total_cmp);
    for (at, w) in wanted.iter().enumerate().filter(|(_, w)| is_long(w)) {
        let clearance = |x: f64| {
            let after = taken.partition_point(|&t| t < x);
            let before = after.checked_sub(1).and_then(|i| taken.get(i));
            let gap = |t: Option<&f64>| t.map_or(LONG, |t| (t - x).abs());
            gap(before).min(gap(taken.get(after))).min(LONG)
        };
        let mut best = (touch[at], clearance(touch[at]));
        for step in 1..TRIES {
            let x = w.along[0] + (w.along[1] - w.along[0]) * f64::from(step) / f64::from(TRIES);
            let free = clearance(x);
            if free > best.1 + 0.5 {
                best = (x, free);
            }
        }
        touch[at] = best.0;
        let place = taken.partition_point(|&t| t < best.0);
        taken.insert(place, best.0);
    }
    touch
}

/// Which names go above and which below, each in order along the paper and no more than `room`.
fn split(wanted: &[Wanted], touch: &[f64], chosen: &[usize], room: usize) -> [Vec<usize>; 2] {
    let mut order = chosen.to_vec();
    order.sort_by(|&a, &b| touch[a].total_cmp(&touch[b]).then(a.cmp(&b)));
    let mut fans: [Vec<usize>; 2] = [Vec::new(), Vec::new()];
    // First those that clearly lie high or low, then the others to the emptier side, along the paper.
    let clear = |at: usize| match wanted[at].height {
        h if h > 0.62 => Some(0),
        h if h < 0.38 => Some(1),
        _ => None,
    };
    let mut counts = [0, 1].map(|side| order.iter().filter(|&&at| clear(at) == Some(side)).count());
    // Every other one to each side as long as they balance.
    let mut last = 1;
    for at in order {
        let side = clear(at)
            .filter(|&side| fans[side].len() < room)
            .unwrap_or_else(|| {
                let side = match counts[0].cmp(&counts[1]) {
                    std::cmp::Ordering::Less => 0,
                    std::cmp::Ordering::Greater => 1,
                    std::cmp::Ordering::Equal => 1 - last,
                };
                last = side;
                counts[side] += 1;
                if fans[side].len() < room {
                    side
                } else {
                    1 - side
                }
            });
        fans[side].push(at);
    }
    fans
}

/// Both fans at one size and slant; nothing if they don't fit.
fn arranged(
    wanted: &[Wanted],
    touch: &[f64],
    fans: &[Vec<usize>; 2],
    size: f64,
    slant: Slant,
    [left, right]: [f64; 2],
) -> Option<Labels> {
    let mut labels = Labels {
        placed: Vec::new(),
        size,
        slant,
        bend: [0.0; 2],
        text_height: [0.0; 2],
        left_out: 0,
    };
    for (side, fan) in [Fan::Above, Fan::Below].into_iter().enumerate() {
        let texts: Vec<String> = fans[side]
            .iter()
            .map(|&at| font::fitted(wanted[at].text.trim(), size, LONGEST_EM * size))
            .collect();
        let widths: Vec<f64> = texts.iter().map(|text| font::width(text, size)).collect();
        // How far the text reaches from its place to the left and to the right.
        let reach: Vec<[f64; 2]> = widths
            .iter()
            .map(|&w| match (slant, fan) {
                (Slant::Flat, _) => [0.5 * w, 0.5 * w],
                (Slant::Slanted, Fan::Above) => [0.5 * size, w * HALF_RIGHT + size],
                (Slant::Slanted, Fan::Below) => [w * HALF_RIGHT + size, 0.5 * size],
            })
            .collect();
        let gaps: Vec<f64> = match slant {
            Slant::Flat => widths
                .windows(2)
                .map(|pair| 0.5 * (pair[0] + pair[1]) + BLANK_EM * size)
                .collect(),
            Slant::Slanted => vec![size * PITCH_EM / HALF_RIGHT; widths.len().saturating_sub(1)],
        };
        let at: Vec<f64> = fans[side].iter().map(|&of| touch[of]).collect();
        let places = spread(&at, &gaps, &reach, [left, right])?;
        let farthest = at
            .iter()
            .zip(&places)
            .map(|(a, b)| (a - b).abs())
            .fold(0.0, f64::max);
        if slant == Slant::Flat && farthest > FARTHEST_FLAT {
            return None;
        }
        if !at.is_empty() {
            labels.bend[side] = (0.4 * farthest).clamp(2.5, 14.0);
            labels.text_height[side] = match slant {
                Slant::Flat => size,
                Slant::Slanted => widths.iter().copied().fold(0.0, f64::max) * HALF_RIGHT + size,
            };
        }
        let xs = at.into_iter().zip(places);
        for ((&of, text), (touch, place)) in fans[side].iter().zip(texts).zip(xs) {
            labels.placed.push(Placed {
                of,
                text,
                fan,
                x: [touch, place],
            });
        }
    }
    Some(labels)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn wanted(count: usize, x: impl Fn(usize) -> f64) -> Vec<Wanted> {
        (0..count)
            .map(|i| Wanted {
                text: format!("bulkhead number {i}"),
                along: [x(i), x(i)],
                height: 0.5,
                rank: if i % 10 == 0 {
                    Rank::Moved
                } else {
                    Rank::Plain
                },
            })
            .collect()
    }

    fn check(labels: &Labels) {
        for fan in [Fan::Above, Fan::Below] {
            let row: Vec<_> = labels.placed.iter().filter(|p| p.fan == fan).collect();
            for pair in row.windows(2) {
                assert!(pair[0].x[0] <= pair[1].x[0], "leaders cross");
                let gap = pair[1].x[1] - pair[0].x[1];
                let least = match labels.slant {
                    Slant::Slanted => labels.size / HALF_RIGHT,
                    Slant::Flat => {
                        0.5 * (font::width(&pair[0].text, labels.size)
                            + font::width(&pair[1].text, labels.size))
                    }
                };
                assert!(gap >= least - 1e-9, "names overlap");
            }
        }
    }

    #[test]
    fn a_few_lie_flat_and_many_slant() {
        let few = place(&wanted(6, |i| 30.0 + 30.0 * i as f64), 10.0, 260.0);
        assert_eq!(
            (few.slant, few.left_out, few.placed.len()),
            (Slant::Flat, 0, 6)
        );
        check(&few);
        let many = place(&wanted(60, |i| 20.0 + 3.5 * i as f64), 10.0, 260.0);
        assert_eq!(
            (many.slant, many.left_out, many.placed.len()),
            (Slant::Slanted, 0, 60)
        );
        check(&many);
    }

    #[test]
    fn all_at_one_station() {
        let labels = place(&wanted(40, |_| 100.0), 10.0, 260.0);
        assert_eq!(labels.left_out, 0);
        check(&labels);
    }

    #[test]
    fn too_many_keep_those_that_moved() {
        let asked = wanted(1000, |i| 20.0 + 0.2 * i as f64);
        let labels = place(&asked, 10.0, 260.0);
        check(&labels);
        assert_eq!(labels.left_out + labels.placed.len(), 1000);
        let moved = labels
            .placed
            .iter()
            .filter(|p| asked[p.of].rank == Rank::Moved);
        assert_eq!(moved.count(), 100);
    }

    #[test]
    fn a_long_part_is_touched_where_there_is_room() {
        let mut asked = wanted(9, |i| 96.0 + i as f64);
        asked.push(Wanted {
            along: [20.0, 180.0],
            ..asked[0].clone()
        });
        assert!((touches(&asked)[9] - 100.0).abs() > 10.0);
    }

    #[test]
    fn nothing_wanted() {
        assert!(place(&[], 10.0, 260.0).placed.is_empty());
    }
}
