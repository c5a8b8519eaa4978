//! A web with flanges, unfolded flat. In: its plan, the bends' radius and allowance, the relief. Out: the outline of the blank, its
//! bends, and the flanges that had to be left out.
//!
//! Each bend's tangent line lies a setback inside the mold line; outwards of it follow the bend allowance and the flange's flat. A
//! flange is left out where the metal for it is not there: on a side too short for the reliefs at its ends, or where it would
//! unfold into other metal. The shorter one of two goes.

use super::bent::{Bending, Bent};
use super::corner::{Cut, Side, cut};
use super::plane::{Vec2, is_simple, loop_of, overlap};
use crate::part::Web;
use crate::pattern::Loop;

/// A web, unfolded.
#[derive(Clone, Debug)]
pub(super) struct Unfolded {
    /// The outside of the blank.
    pub(super) outline: Loop,
    /// Its flanges, by the number of their side.
    pub(super) flanges: Vec<Laid>,
    /// Sides whose flange was left out, and why.
    pub(super) left_out: Vec<(usize, &'static str)>,
    /// Middles of the relief holes.
    pub(super) reliefs: Vec<Vec2>,
    /// The web's flat, between the tangent lines.
    pub(super) web: Vec<Vec2>,
}

/// A flange in the flat.
#[derive(Clone, Debug)]
pub(super) struct Laid {
    /// Its side.
    pub(super) side: usize,
    /// Its bend.
    pub(super) bent: Bent,
    /// The side to which it is bent is the one from which the pattern is seen.
    pub(super) up: bool,
    /// The first point of its tangent line at the web, the way along it and the way outwards.
    start: Vec2,
    way: Vec2,
    pub(super) outward: Vec2,
    /// Along the tangent line from that point, at a height above it: where the flange begins and ends.
    ends: [End; 2],
}

/// One end of a flange: at a height h it lies at `at + slope h`, but no nearer the middle than its relief hole.
#[derive(Clone, Copy, Debug)]
struct End {
    at: f64,
    slope: f64,
    hole: Option<(f64, f64)>,
}

impl End {
    fn edge(&self, height: f64) -> f64 {
        self.at + self.slope * height
    }
}

impl Laid {
    /// The flange from end to end at a height above the tangent line at the web.
    pub(super) fn across(&self, height: f64) -> [Vec2; 2] {
        let along = |at: f64| self.start + self.way * at + self.outward * height;
        let chord = |end: &End| {
            end.hole.map(|(middle, radius)| {
                let half = (radius * radius - height * height).max(0.0).sqrt();
                (middle, half)
            })
        };
        let [first, last] = &self.ends;
        let from = chord(first).map_or(f64::NEG_INFINITY, |(middle, half)| middle + half);
        let to = chord(last).map_or(f64::INFINITY, |(middle, half)| middle - half);
        [
            along(first.edge(height).max(from)),
            along(last.edge(height).min(to)),
        ]
    }

    /// Bend and flat from the tangent line at the web to the edge, without its relief holes.
    pub(super) fn laid_out(&self) -> [Vec2; 4] {
        self.quad(0.0)
    }

    /// Its width at a height.
    fn room(&self, height: f64) -> f64 {
        self.ends[1].edge(height) - self.ends[0].edge(height)
    }

    /// Its four corners, without its relief holes, from a height above the tangent line.
    fn quad(&self, from: f64) -> [Vec2; 4] {
        let to = self.bent.developed();
        let at = |end: &End, height: f64| {
            self.start + self.way * end.edge(height) + self.outward * height
        };
        let [first, last] = &self.ends;
        [at(first, from), at(last, from), at(last, to), at(first, to)]
    }
}

/// Why a flange is left out.
const TOO_SHORT: &str = "the side is too short for it between the reliefs at its ends";
const NO_FLAT: &str = "it is no wider than its own bend or its relief";
const IN_WEB: &str = "unfolded it would lie in the web";
const IN_FLANGE: &str = "unfolded it would lie in another flange";
const NEIGHBOUR: &str = "its setback takes up all of the side beside it";
const CROSSES: &str = "the outline would cross itself";

/// Lengths nearer than this are one, in mm.
const SLACK: f64 = 1e-6;

/// Unfolds a web.
///
/// # Errors
/// Why it makes no blank: its outline crosses itself, or encloses nothing.
pub(super) fn unfold(web: &Web, bending: &Bending) -> Result<Unfolded, &'static str> {
    let (outline, mut bent) = sides(web, bending);
    let mut left_out: Vec<(usize, &'static str)> = Vec::new();
    let flat = loop_of(outline.iter().map(|(_, at)| (*at, 0.0)));
    if outline.len() < 3 || !is_simple(&flat) {
        return Err("its outline crosses itself or encloses nothing");
    }
    loop {
        let laid = lay(&outline, &bent, bending);
        let faults = laid.faults(bending);
        // all that are as short go together, so that what is symmetrical stays so
        let shortest = faults
            .iter()
            .map(|fault| fault.1)
            .fold(f64::INFINITY, f64::min);
        if faults.is_empty() {
            return Ok(laid.unfolded(left_out));
        }
        for (at, length, why) in faults {
            if length <= shortest + SLACK
                && let Some(side) = bent.get_mut(at)
                && side.take().is_some()
                && let Some((number, _)) = outline.get(at)
            {
                left_out.push((*number, why));
            }
        }
    }
}

/// A side's bend, if it has a flange, and whether that is bent up.
type SideBend = Option<(Bent, bool)>;

/// The sides: the number and first corner of each, and its bend. Corners that are one, or in one line between sides with the same
/// flange, are none.
fn sides(web: &Web, bending: &Bending) -> (Vec<(usize, Vec2)>, Vec<SideBend>) {
    let mut list: Vec<(usize, Vec2, SideBend)> = Vec::new();
    let up = web.seen_from();
    for (number, at) in web.outline.iter().enumerate() {
        let flange = web.flanges.get(number).copied().flatten();
        let bend = flange.map(|flange| {
            (
                bending.bent(flange.angle, flange.width),
                flange.towards == up,
            )
        });
        list.push((number, Vec2::from(*at), bend));
    }
    let mut at = 0;
    while at < list.len() && list.len() > 2 {
        let count = list.len();
        let of = |place: usize| list.get(place % count).copied();
        let (Some(before), Some(here), Some(after)) = (of(at + count - 1), of(at), of(at + 1))
        else {
            break;
        };
        let (a, b) = (here.1 - before.1, after.1 - here.1);
        let no_side = b.norm() < SLACK;
        let in_line = a.dot(&b) > 0.0
            && super::plane::cross(a, b).abs() <= SLACK * 1e-3 * a.norm() * b.norm()
            && before.2 == here.2;
        if no_side || in_line {
            list.remove(at);
            at = at.saturating_sub(1);
        } else {
            at += 1;
        }
    }
    list.into_iter()
        .map(|(number, at, bend)| ((number, at), bend))
        .unzip()
}

/// A trial: each side with its corners cut, and each flange laid flat.
struct Trial {
    cuts: Vec<Cut>,
    /// By side: its way, and its flange.
    sides: Vec<(Side, Option<Laid>)>,
}

fn lay(outline: &[(usize, Vec2)], bent: &[SideBend], bending: &Bending) -> Trial {
    let relief = 0.5 * bending.relief;
    let corners = outline.iter();
    let next = outline.iter().cycle().skip(1);
    let sides: Vec<Side> = corners
        .zip(next)
        .zip(bent)
        .map(|(((_, from), (_, to)), bend)| Side {
            from: *from,
            way: (to - from).normalize(),
            setback: bend.as_ref().map(|(bent, _)| bent.setback),
        })
        .collect();
    let before = sides.iter().cycle().skip(sides.len().saturating_sub(1));
    let cuts: Vec<Cut> = before
        .zip(&sides)
        .map(|(one, two)| cut(one, two, relief))
        .collect();
    let ends = cuts.iter().zip(cuts.iter().cycle().skip(1));
    let sides = sides
        .iter()
        .zip(outline)
        .zip(bent.iter().zip(ends))
        .map(|((side, (number, _)), (bend, (first, last)))| {
            let laid = bend.as_ref().map(|(bent, up)| {
                let outward = side.outward();
                let start = side.from - outward * bent.setback;
                let end = |limit: &super::corner::Limit| {
                    let from = limit.at - start;
                    let slope = limit.way.dot(&side.way) / limit.way.dot(&outward).max(1e-9);
                    End {
                        at: from.dot(&side.way) - slope * from.dot(&outward),
                        slope,
                        hole: limit
                            .hole
                            .map(|hole| ((hole - start).dot(&side.way), relief)),
                    }
                };
                Laid {
                    side: *number,
                    bent: *bent,
                    up: *up,
                    start,
                    way: side.way,
                    outward,
                    ends: [end(&first.after), end(&last.before)],
                }
            });
            (*side, laid)
        })
        .collect();
    Trial { cuts, sides }
}

impl Trial {
    /// Flanges that can't stay: the side, its length, and why.
    fn faults(&self, bending: &Bending) -> Vec<(usize, f64, &'static str)> {
        let mut faults = Vec::new();
        let web = self.web();
        let length = |laid: &Laid| laid.room(0.0);
        let count = self.sides.len();
        for (at, (side, laid)) in self.sides.iter().enumerate() {
            let Some(laid) = laid else {
                // what is left of a plain side between the corners cut at its ends
                let left = self.left_of(at, side);
                if left < SLACK {
                    for beside in [(at + count - 1) % count, (at + 1) % count] {
                        if let Some((_, Some(laid))) = self.sides.get(beside) {
                            faults.push((beside, length(laid), NEIGHBOUR));
                        }
                    }
                }
                continue;
            };
            let [near, far] = [0.0, laid.bent.developed()].map(|height| laid.room(height));
            if laid.bent.flat < SLACK || laid.bent.developed() <= 0.5 * bending.relief {
                faults.push((at, near, NO_FLAT));
            } else if near < 2.0 * bending.relief || far < SLACK {
                faults.push((at, near.min(far), TOO_SHORT));
            } else if overlap(&web, &laid.quad(0.5 * bending.relief.max(SLACK))) {
                faults.push((at, near, IN_WEB));
            }
        }
        let flanges: Vec<(usize, &Laid)> = self
            .sides
            .iter()
            .enumerate()
            .filter_map(|(at, (_, laid))| Some((at, laid.as_ref()?)))
            .collect();
        for (at, (one, a)) in flanges.iter().enumerate() {
            for (two, b) in flanges.iter().skip(at + 1) {
                let from = 0.5 * bending.relief.max(SLACK);
                if overlap(&a.quad(from), &b.quad(from)) {
                    let (x, y) = (length(a), length(b));
                    if x <= y + SLACK {
                        faults.push((*one, x, IN_FLANGE));
                    }
                    if y <= x + SLACK {
                        faults.push((*two, y, IN_FLANGE));
                    }
                }
            }
        }
        if faults.is_empty() && !is_simple(&self.outline()) {
            let of = |(at, laid): &(usize, &Laid)| (*at, length(laid), CROSSES);
            faults.extend(flanges.iter().map(of));
        }
        faults
    }

    fn left_of(&self, at: usize, side: &Side) -> f64 {
        let ends = [
            self.cuts.get(at).and_then(|cut| cut.line.last()),
            self.cuts
                .get((at + 1) % self.cuts.len())
                .and_then(|cut| cut.line.first()),
        ];
        match ends {
            [Some((from, _)), Some((to, _))] => (to - from).dot(&side.way),
            _ => 0.0,
        }
    }

    /// The flat of the web, between its tangent lines, without its relief holes.
    fn web(&self) -> Vec<Vec2> {
        let corner = |cut: &Cut| match cut.before.hole.or(cut.after.hole) {
            Some(middle) => vec![middle],
            None => cut.line.iter().map(|(at, _)| *at).collect(),
        };
        self.cuts.iter().flat_map(corner).collect()
    }

    fn outline(&self) -> Loop {
        let mut points: Vec<(Vec2, f64)> = Vec::new();
        for (cut, (_, laid)) in self.cuts.iter().zip(&self.sides) {
            points.extend(&cut.line);
            if let Some(laid) = laid {
                let [_, _, last, first] = laid.quad(0.0);
                points.extend([(first, 0.0), (last, 0.0)]);
            }
        }
        points.dedup_by(|b, a| {
            // a corner that falls on the one before it hands its arc on
            let one = (b.0 - a.0).norm() < SLACK;
            if one {
                a.1 = b.1;
            }
            one
        });
        loop_of(points)
    }

    fn unfolded(self, left_out: Vec<(usize, &'static str)>) -> Unfolded {
        let mut reliefs: Vec<Vec2> = Vec::new();
        for cut in &self.cuts {
            reliefs.extend(cut.before.hole.or(cut.after.hole));
        }
        Unfolded {
            outline: self.outline(),
            web: self.web(),
            reliefs,
            left_out,
            flanges: self.sides.into_iter().filter_map(|side| side.1).collect(),
        }
    }
}
