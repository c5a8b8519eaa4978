//! The development of a ruled strip between two curves in space. In: the curves, over one range of a parameter. Out: both of them
//! rolled out flat, with their lengths, in mm.
//!
//! Each point of the one curve is joined to the point of the other at which both tangents and the ruling lie in one plane,
//! det(a', b', b - a) = 0: the tangent plane then stays the same along the ruling, and the strip is developable (do Carmo,
//! Differential Geometry of Curves and Surfaces, 1976, section 3-5, from memory). Where a curve ends before its partner is found, the
//! rest of the other one is a fan about its end. Strips of triangles are laid out side by side, with twice as many for a second
//! time; the difference tells the error, which falls with the square of their width, and is taken off (Richardson's extrapolation).

use nalgebra::Vector3;

use super::plane::{Vec2, cross};

/// A curve.
pub(super) type Curve<'c> = &'c dyn Fn(f64) -> Vector3<f64>;

/// A strip, rolled out.
#[derive(Clone, Debug)]
pub struct Developed {
    /// Points of the first curve, in the flat; the first ruling lies along the first axis, from the origin.
    pub one: Vec<[f64; 2]>,
    /// Points of the second curve: as many, each across a ruling from that of the first.
    pub two: Vec<[f64; 2]>,
    /// The parameters of both ends of each ruling.
    pub rulings: Vec<[f64; 2]>,
    /// Lengths of the two curves.
    pub lengths: [f64; 2],
}

/// How the points of two curves are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joined {
    /// So that the strip is developable.
    ByTangents,
    /// Each to the one of the same parameter, whatever surface that makes.
    ByParameter,
}

/// Rolls out the strip between two curves whose pieces are smooth between the knots; knots grow.
pub fn develop(
    one: &dyn Fn(f64) -> Vector3<f64>,
    two: &dyn Fn(f64) -> Vector3<f64>,
    knots: &[f64],
    joined: Joined,
) -> Developed {
    /// Rulings in all, more or less, of the first time.
    const RULINGS: usize = 240;
    let pieces = knots.len().saturating_sub(1).max(1);
    let each = RULINGS.div_ceil(pieces).max(8);
    let coarse = lay(one, two, knots, each, joined);
    let fine = lay(one, two, knots, 2 * each, joined);
    let better = |a: f64, b: f64| (4.0 * b - a) / 3.0;
    let points = |coarse: &[Vec2], fine: &[Vec2]| -> Vec<[f64; 2]> {
        let pairs = coarse.iter().zip(fine.iter().step_by(2));
        pairs
            .map(|(a, b)| [better(a.x, b.x), better(a.y, b.y)])
            .collect()
    };
    Developed {
        one: points(&coarse.flat[0], &fine.flat[0]),
        two: points(&coarse.flat[1], &fine.flat[1]),
        rulings: coarse.rulings,
        lengths: [0, 1].map(|which| better(coarse.lengths[which], fine.lengths[which])),
    }
}

/// Both curves laid flat by triangles.
struct Laid {
    flat: [Vec<Vec2>; 2],
    rulings: Vec<[f64; 2]>,
    lengths: [f64; 2],
}

fn lay(one: Curve<'_>, two: Curve<'_>, knots: &[f64], each: usize, joined: Joined) -> Laid {
    let parameters = subdivided(knots, each);
    let rulings = match joined {
        Joined::ByTangents => matched(one, two, &parameters),
        Joined::ByParameter => parameters.iter().map(|at| [*at, *at]).collect(),
    };
    let mut flat = [Vec::new(), Vec::new()];
    let mut lengths = [0.0, 0.0];
    let mut last: Option<([Vector3<f64>; 2], [Vec2; 2])> = None;
    for [s, t] in &rulings {
        let here = [one(*s), two(*t)];
        let laid = match last {
            None => [Vec2::zeros(), Vec2::new((here[1] - here[0]).norm(), 0.0)],
            Some((before, laid)) => {
                for which in 0..2 {
                    lengths[which] += (here[which] - before[which]).norm();
                }
                let a = beyond(
                    laid,
                    [(here[0] - before[0]).norm(), (here[0] - before[1]).norm()],
                );
                let b = beyond(
                    [a, laid[1]],
                    [(here[1] - here[0]).norm(), (here[1] - before[1]).norm()],
                );
                [a, b]
            }
        };
        flat[0].push(laid[0]);
        flat[1].push(laid[1]);
        last = Some((here, laid));
    }
    Laid {
        flat,
        rulings,
        lengths,
    }
}

/// The point at two distances from two points, to the left of the way from the first to the second.
fn beyond([p, q]: [Vec2; 2], [from_p, from_q]: [f64; 2]) -> Vec2 {
    let way = q - p;
    let base = way.norm();
    if base < f64::MIN_POSITIVE {
        return p + Vec2::new(0.0, from_p);
    }
    let way = way / base;
    let along = ((from_p - from_q) * (from_p + from_q) + base * base) / (2.0 * base);
    let up = (from_p * from_p - along * along).max(0.0).sqrt();
    p + way * along + Vec2::new(-way.y, way.x) * up
}

/// Parameters with so many steps between each two knots.
fn subdivided(knots: &[f64], each: usize) -> Vec<f64> {
    let mut list = Vec::new();
    for pair in knots.windows(2) {
        let [from, to] = pair else { continue };
        list.extend((0..each).map(|at| from + (to - from) * at as f64 / each as f64));
    }
    list.extend(knots.last());
    list
}

/// The ends of the rulings, both growing.
fn matched(one: Curve<'_>, two: Curve<'_>, parameters: &[f64]) -> Vec<[f64; 2]> {
    let ends = [parameters.first(), parameters.last()].map(|end| end.copied().unwrap_or_default());
    let range = (ends[1] - ends[0]).max(f64::MIN_POSITIVE);
    let step = 1e-5 * range;
    let along = |curve: Curve<'_>, at: f64| {
        // at an end from three points on the one side of it
        let one_sided = |h: f64| (curve(at + h) * 4.0 - curve(at) * 3.0 - curve(at + 2.0 * h)) / h;
        let way = if at - step < ends[0] {
            one_sided(step)
        } else if at + step > ends[1] {
            one_sided(-step)
        } else {
            (curve(at + step) - curve(at - step)) / step
        };
        way.try_normalize(f64::MIN_POSITIVE).unwrap_or(way)
    };
    // the sine by which the ruling's two tangent planes differ, more or less
    let twist = |(from, way): (Vector3<f64>, Vector3<f64>), t: f64| {
        let ruling = two(t) - from;
        let ruling = ruling.try_normalize(f64::MIN_POSITIVE).unwrap_or(ruling);
        way.cross(&along(two, t)).dot(&ruling)
    };
    let mut rulings = Vec::with_capacity(parameters.len());
    let (mut before, mut offset) = (ends[0], 0.0);
    for s in parameters {
        let here = (one(*s), along(one, *s));
        let t = partner(&|t| twist(here, t), *s, offset, range).clamp(before, ends[1]);
        offset = t - s;
        before = t;
        rulings.push([*s, t]);
    }
    // the rest of the second curve, beyond the first ruling and the last
    let fan = |from: f64, to: f64, s: f64| {
        let count = parameters.len() / 4;
        let share = move |at: usize| from + (to - from) * at as f64 / count.max(1) as f64;
        (0..count).map(move |at| [s, share(at)])
    };
    let first = rulings.first().map_or(ends[0], |pair| pair[1]);
    if first - ends[0] > 1e-9 * range {
        let head: Vec<[f64; 2]> = fan(ends[0], first, ends[0]).collect();
        rulings.splice(0..0, head);
    }
    if ends[1] - before > 1e-9 * range {
        let tail: Vec<[f64; 2]> = fan(ends[1], before, ends[1]).collect();
        rulings.extend(tail.into_iter().rev());
    }
    rulings
}

/// Where the twist goes, near the same parameter or the partner before it; the same parameter where it is none there already.
fn partner(twist: &dyn Fn(f64) -> f64, s: f64, offset: f64, range: f64) -> f64 {
    /// Sines of this size are rounding.
    const FLAT: f64 = 1e-9;
    const STEPS: usize = 12;
    if offset.abs() < 1e-9 * range && twist(s).abs() < FLAT {
        return s;
    }
    let mut at = s + offset;
    let step = 1e-5 * range;
    for _ in 0..STEPS {
        let miss = twist(at);
        let slope = (twist(at + step) - twist(at - step)) / (2.0 * step);
        // straight or flat metal has no ruling of its own
        if miss.abs() < FLAT || slope.abs() * range < FLAT {
            break;
        }
        let by = (miss / slope).clamp(-0.1 * range, 0.1 * range);
        at -= by;
        if (at - s).abs() > range {
            return s + offset;
        }
        if by.abs() < 1e-13 * range {
            break;
        }
    }
    at
}

impl Developed {
    /// The outline, counter-clockwise: along the first ruling, the second curve, the last ruling, the first curve.
    pub fn outline(&self) -> Vec<[f64; 2]> {
        let back = self.one.iter().skip(1).rev();
        let start = self.one.first().into_iter();
        start.chain(&self.two).chain(back).copied().collect()
    }

    /// Lengths of the first and of the last ruling.
    pub fn ends(&self) -> [f64; 2] {
        let length = |pair: (Option<&[f64; 2]>, Option<&[f64; 2]>)| match pair {
            (Some([x, y]), Some([u, v])) => (u - x).hypot(v - y),
            _ => 0.0,
        };
        [
            length((self.one.first(), self.two.first())),
            length((self.one.last(), self.two.last())),
        ]
    }

    /// Area of the outline, straight from point to point.
    pub fn area(&self) -> f64 {
        let outline: Vec<Vec2> = self.outline().into_iter().map(Vec2::from).collect();
        let next = outline.iter().cycle().skip(1);
        outline
            .iter()
            .zip(next)
            .map(|(a, b)| 0.5 * cross(*a, *b))
            .sum()
    }
}

#[cfg(test)]
mod tests;
