//! The flat pattern of a skin. In: its contour, the cuts at its two ends, its thickness. Out: the strip between them rolled out flat,
//! how much longer it is at its edge than along its first line, and by how much it would have to stretch to follow the contour.
//!
//! The outside of the metal is the contour. What is rolled out is the middle of its thickness, half of it inwards (common practice, no
//! source). The right-hand half is seen from the inside, from its lower end upwards.

use nalgebra::Vector3;
use schemars::JsonSchema;
use serde::Serialize;
use strongback_solver::Surface;

use super::develop::{Developed, Joined, develop};
use super::plane::is_simple;
use crate::part::Edge;
use crate::pattern::Loop;

/// Sheet springs so far and no farther: a stretch beyond this is told, as a share. 2024-T3 yields at about 0.4 % (from memory); a
/// quarter of that.
pub const SPRINGS: f64 = 1e-3;

/// A skin, developed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Development {
    /// Length of the fwd edge and of the aft edge, round the section.
    pub ends_mm: [f64; 2],
    /// Length of the first line along the fuselage: the centre line, where the contour begins at buttock line 0.
    pub first_mm: f64,
    /// Whether it begins at buttock line 0.
    pub from_centre: bool,
    /// Length of the last line along the fuselage: the other edge.
    pub last_mm: f64,
    /// By how much the last line is longer than the first.
    pub longer_mm: f64,
    /// Whether it is rolled about lines along the fuselage; if not, about lines across it.
    pub along: bool,
    /// By how much the metal would have to stretch, as a share: the greatest difference of a length on the contour from the same
    /// one in the flat.
    pub stretch: f64,
    /// How far the strip lies off the contour between its ends.
    pub off_mm: f64,
}

impl Development {
    /// Whether the contour is near enough to one that can be developed.
    pub fn holds(&self) -> bool {
        self.stretch <= SPRINGS
    }
}

/// A stretch of this size is rounding.
const ROUNDING: f64 = 1e-6;

/// What is rolled out: the middle of the metal.
struct Middle<'s> {
    surface: &'s Surface,
    ends: [Edge<'s>; 2],
    inwards: f64,
}

impl Middle<'_> {
    /// At a parameter round the section, a share of the way from the fwd edge to the aft one.
    fn at(&self, u: f64, share: f64) -> Vector3<f64> {
        let [from, to] = self.ends.map(|end| end.at(u));
        let (at, normal) = self.surface.place(u, from + share * (to - from));
        Vector3::from(at) - Vector3::from(normal) * self.inwards
    }
}

/// Rolls out a skin between two cuts.
///
/// Nothing where it folds over itself however it is rolled.
pub(super) fn roll_out(
    surface: &Surface,
    ends: [Edge<'_>; 2],
    thickness: f64,
) -> Option<(Developed, Development)> {
    let middle = Middle {
        surface,
        ends,
        inwards: 0.5 * thickness,
    };
    let columns = surface.columns();
    let [first, last] =
        [columns.first(), columns.last()].map(|end| end.copied().unwrap_or_default());
    let rolled = |joined| {
        let strip = develop(
            &|u| middle.at(u, 0.0),
            &|u| middle.at(u, 1.0),
            columns,
            joined,
        );
        let told = middle.compare(&strip, &|pair: [f64; 2], share| {
            (pair[0] + share * (pair[1] - pair[0]), share)
        });
        (strip, true, told)
    };
    // where the sections lie between the two cuts, the metal may bend
    let [from, to] = middle.ends.map(|end| end.at(first));
    let inner = surface.rows().iter().map(|fs| (fs - from) / (to - from));
    let mut shares = vec![0.0];
    shares.extend(inner.filter(|share| *share > 1e-6 && *share < 1.0 - 1e-6));
    shares.push(1.0);
    let across = || {
        let strip = develop(
            &|v| middle.at(first, v),
            &|v| middle.at(last, v),
            &shares,
            Joined::ByTangents,
        );
        let told = middle.compare(&strip, &|pair: [f64; 2], share| {
            let way = pair[0] + share * (pair[1] - pair[0]);
            (first + share * (last - first), way)
        });
        (strip, false, told)
    };
    // the first that is as good as any, but for rounding
    let good = |(_, _, (stretch, _)): &(Developed, bool, (f64, f64))| *stretch < ROUNDING;
    let simple = |(strip, along, _): &(Developed, bool, (f64, f64))| {
        let strip = strip.clone();
        let strip = if *along { strip } else { turned(strip) };
        is_simple(&Loop::straight(strip.outline()))
    };
    let first_way = rolled(Joined::ByTangents);
    let ways = if good(&first_way) && simple(&first_way) {
        vec![first_way]
    } else {
        vec![first_way, across(), rolled(Joined::ByParameter)]
    };
    let simple = ways.into_iter().filter(simple);
    let (strip, along, (stretch, off_mm)) = simple.reduce(|best, other| {
        let better = other.2.0 < best.2.0 - ROUNDING;
        if better { other } else { best }
    })?;
    let (ends_mm, [first_mm, last_mm]) = if along {
        (strip.lengths, strip.ends())
    } else {
        (strip.ends(), strip.lengths)
    };
    let development = Development {
        ends_mm,
        first_mm,
        from_centre: middle.surface.place(first, from).0[1].abs() < 1e-6,
        last_mm,
        longer_mm: last_mm - first_mm,
        along,
        stretch,
        off_mm,
    };
    Some((if along { strip } else { turned(strip) }, development))
}

/// A strip rolled about lines across the fuselage, laid like the others: its first curve along the first axis.
fn turned(across: Developed) -> Developed {
    let swap = |list: Vec<[f64; 2]>| list.into_iter().map(|[x, y]| [y, x]).collect();
    Developed {
        one: swap(across.two),
        two: swap(across.one),
        ..across
    }
}

impl Middle<'_> {
    /// The greatest difference of a length on the metal from the same one in the flat, as a share, and how far rulings lie off it.
    /// `on` gives parameter and share of the way of a place: for the ends of a ruling, and a share along it.
    fn compare(&self, strip: &Developed, on: &dyn Fn([f64; 2], f64) -> (f64, f64)) -> (f64, f64) {
        const STEPS: u32 = 16;
        const LINES: usize = 24;
        let shares = || (0..=STEPS).map(|at| f64::from(at) / f64::from(STEPS));
        let every = (strip.rulings.len() / LINES).max(1);
        let ends = || strip.one.iter().zip(&strip.two).zip(&strip.rulings);
        let flat = |one: &[f64; 2], two: &[f64; 2], share: f64| {
            Vector3::new(
                one[0] + share * (two[0] - one[0]),
                one[1] + share * (two[1] - one[1]),
                0.0,
            )
        };
        let on_metal = |pair: [f64; 2], share: f64| {
            let (u, way) = on(pair, share);
            self.at(u, way)
        };
        let (mut stretch, mut off) = (0.0_f64, 0.0_f64);
        let mut compare = |metal: f64, flat: f64| {
            if flat > 1e-6 {
                stretch = stretch.max((metal / flat - 1.0).abs());
            }
        };
        for ((one, two), pair) in ends().step_by(every) {
            let metal: Vec<Vector3<f64>> = shares().map(|share| on_metal(*pair, share)).collect();
            let straight = (flat(one, two, 1.0) - flat(one, two, 0.0)).norm();
            compare(along(&metal), straight);
            let ends = [metal.first(), metal.last()];
            for (at, share) in metal.iter().zip(shares()) {
                if let [Some(from), Some(to)] = ends {
                    // the metal may be elsewhere along the ruling, but not beside it
                    let ruling = to - from;
                    let beside = at - (from + ruling * share);
                    let way = ruling.try_normalize(f64::MIN_POSITIVE).unwrap_or(ruling);
                    off = off.max((beside - way * beside.dot(&way)).norm());
                }
            }
        }
        for share in [0.25, 0.5, 0.75] {
            let metal: Vec<Vector3<f64>> = strip
                .rulings
                .iter()
                .map(|pair| on_metal(*pair, share))
                .collect();
            let pairs = strip.one.iter().zip(&strip.two);
            let laid: Vec<Vector3<f64>> = pairs.map(|(one, two)| flat(one, two, share)).collect();
            compare(along(&metal), along(&laid));
        }
        (stretch, off)
    }
}

/// Length along points.
fn along(points: &[Vector3<f64>]) -> f64 {
    let steps = points.windows(2);
    steps
        .map(|pair| match pair {
            [from, to] => (to - from).norm(),
            _ => 0.0,
        })
        .sum()
}
