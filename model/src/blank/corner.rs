//! The corners of a web. In: the two sides that meet there, each with its flange or without. Out: the line that is cut from one
//! side to the other, relief included, and where the flanges beside it end.
//!
//! All of it in mm, on a web that runs counter-clockwise. The tangent lines of two bends meet at the middle of a relief hole. At an
//! outward corner both flanges end square there; at an inward one they would unfold into each other, and are cut back along the line
//! half-way between, by a slot as wide as the relief hole.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

use super::plane::{Vec2, cross, meet, turned};

/// A side of the web.
#[derive(Clone, Copy, Debug)]
pub(super) struct Side {
    /// Its first corner, over the outside of its flange.
    pub(super) from: Vec2,
    /// The way along it.
    pub(super) way: Vec2,
    /// Setback of its flange; none where it has no flange.
    pub(super) setback: Option<f64>,
}

impl Side {
    /// Away from the metal.
    pub(super) fn outward(&self) -> Vec2 {
        Vec2::new(self.way.y, -self.way.x)
    }

    /// The line at which the flat of the web ends.
    fn end(&self) -> (Vec2, Vec2) {
        let in_by = self.setback.unwrap_or(0.0);
        (self.from - self.outward() * in_by, self.way)
    }
}

/// Where a flange ends: a straight line outwards.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limit {
    /// A point of it.
    pub(super) at: Vec2,
    /// Its way.
    pub(super) way: Vec2,
    /// The middle of the relief hole on the tangent line, if there is one.
    pub(super) hole: Option<Vec2>,
}

/// A corner, cut.
#[derive(Clone, Debug)]
pub(super) struct Cut {
    /// The line from the one side to the other: points, each with the bulge to the next one.
    pub(super) line: Vec<(Vec2, f64)>,
    /// Where the flange of the side before it ends.
    pub(super) before: Limit,
    /// Where the flange of the side after it begins.
    pub(super) after: Limit,
}

/// The corner where two sides meet, its relief of a radius.
pub(super) fn cut(one: &Side, two: &Side, relief: f64) -> Cut {
    let turn = cross(one.way, two.way).atan2(one.way.dot(&two.way));
    match (one.setback, two.setback) {
        (None, None) => bare(one, two),
        (Some(_), Some(_)) => between_flanges(one, two, turn, relief),
        (Some(setback), None) => {
            let half = Half {
                corner: two.from,
                along: one.way,
                outward: one.outward(),
                plain: two.way,
                plain_outward: two.outward(),
                setback,
                turn,
                relief,
            };
            let (line, before) = half.cut();
            let after = bare(one, two).after;
            Cut {
                line,
                before,
                after,
            }
        }
        (None, Some(setback)) => {
            let half = Half {
                corner: two.from,
                along: -two.way,
                outward: two.outward(),
                plain: -one.way,
                plain_outward: one.outward(),
                setback,
                turn,
                relief,
            };
            let (line, after) = half.cut();
            let before = bare(one, two).before;
            Cut {
                line: backwards(&line),
                before,
                after,
            }
        }
    }
}

/// A line the other way round; its arcs go on turning clockwise, as its mirror image is walked.
fn backwards(line: &[(Vec2, f64)]) -> Vec<(Vec2, f64)> {
    let bulges = line.iter().rev().skip(1).map(|(_, bulge)| *bulge);
    let bulges = bulges.chain(std::iter::once(0.0));
    line.iter().rev().map(|(at, _)| *at).zip(bulges).collect()
}

fn bare(one: &Side, two: &Side) -> Cut {
    let limit = |way| Limit {
        at: two.from,
        way,
        hole: None,
    };
    Cut {
        line: vec![(two.from, 0.0)],
        before: limit(one.outward()),
        after: limit(two.outward()),
    }
}

/// An arc clockwise about a centre, in two halves: by the ways from the centre to its ends and its middle, and its angle.
fn arc(centre: Vec2, radius: f64, [from, by, to]: [Vec2; 3], angle: f64) -> Vec<(Vec2, f64)> {
    let bulge = -(0.125 * angle).tan();
    vec![
        (centre + from * radius, bulge),
        (centre + by * radius, bulge),
        (centre + to * radius, 0.0),
    ]
}

fn between_flanges(one: &Side, two: &Side, turn: f64, relief: f64) -> Cut {
    let (n, m) = (one.outward(), two.outward());
    let (one_end, two_end) = (one.end(), two.end());
    // two sides in one line have one tangent line
    let foot = two.from - n * one.setback.unwrap_or(0.0);
    let centre = if turn.sin().abs() < 1e-9 {
        foot
    } else {
        meet(one_end, two_end).unwrap_or(foot)
    };
    let half_way = turned(n, 0.5 * turn);
    if turn >= 0.0 {
        let limit = |way| Limit {
            at: centre,
            way,
            hole: Some(centre),
        };
        return Cut {
            line: arc(centre, relief, [n, -half_way, m], 2.0 * PI - turn),
            before: limit(n),
            after: limit(m),
        };
    }
    let [p, q] = [-FRAC_PI_2, FRAC_PI_2].map(|by| turned(half_way, by));
    let limit = |way: Vec2| Limit {
        at: centre + way * relief,
        way: half_way,
        hole: Some(centre),
    };
    Cut {
        line: arc(centre, relief, [p, -half_way, q], PI),
        before: limit(p),
        after: limit(q),
    }
}

/// A corner with a flange on one side only, seen from that side.
struct Half {
    corner: Vec2,
    /// Along the side with the flange, towards the corner.
    along: Vec2,
    outward: Vec2,
    /// Along the plain side, away from the corner.
    plain: Vec2,
    plain_outward: Vec2,
    setback: f64,
    turn: f64,
    relief: f64,
}

impl Half {
    /// The line from the flange to the plain side, and where the flange ends.
    fn cut(&self) -> (Vec<(Vec2, f64)>, Limit) {
        let Half {
            corner,
            along,
            outward,
            plain,
            relief,
            turn,
            ..
        } = *self;
        let foot = corner - outward * self.setback;
        let square = |at, hole| Limit {
            at,
            way: outward,
            hole,
        };
        let crossing = meet((foot, along), (corner, plain));
        let (Some(at), true) = (crossing, turn.abs() > FRAC_PI_4) else {
            // the plain side goes on nearly in line: a notch beside the flange, down to its tangent line
            let bottom = foot + along * (2.0 * relief);
            let top = meet((bottom, outward), (corner, plain)).unwrap_or(corner);
            return (
                vec![(foot, 0.0), (bottom, 0.0), (top, 0.0)],
                square(foot, None),
            );
        };
        if turn >= FRAC_PI_2 - 1e-9 {
            return (vec![(at, 0.0)], square(at, None));
        }
        if turn > -FRAC_PI_2 {
            // clockwise from the flange's end; in the mirror the other way
            let sense = cross(along, outward).signum();
            // where the plain side leans outwards it meets the tangent line beyond the corner, and the flange ends at the corner
            let beyond = (at - foot).dot(&along).max(0.0);
            if beyond > relief {
                let by = turned(outward, sense * 0.75 * PI);
                let mut line = arc(foot, relief, [outward, by, along], 1.5 * PI);
                line.push((at, 0.0));
                return (line, square(foot, Some(foot)));
            }
            let short = (beyond / relief).asin();
            let angle = 1.5 * PI - turn - short;
            let from = turned(outward, sense * short);
            let by = turned(from, sense * 0.5 * angle);
            let end = if beyond > 0.0 { foot } else { at };
            return (
                arc(at, relief, [from, by, plain], angle),
                square(end, Some(at)),
            );
        }
        // the plain side leans over the flange, which is cut back along it
        let beside = self.plain_outward;
        let sense = cross(along, outward).signum();
        let by = turned(beside, sense * 0.75 * PI);
        let limit = Limit {
            at: at + beside * relief,
            way: plain,
            hole: Some(at),
        };
        (arc(at, relief, [beside, by, plain], 1.5 * PI), limit)
    }
}
