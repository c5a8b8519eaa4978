//! Whether tools reach a fastener. In: a joint as its tools meet it, the metal of all parts, the room of each tool. Out: of each place the
//! ways to drill for the fastener and to set it, each with the parts whose metal takes the room.
//!
//! A tool stands on the outer face of the stack, on the axis of the fastener, a bucking bar also beside it as far as it covers the tail;
//! its handle may lead off in any of twelve directions. What lies within its room is found by the separating axes of [`Prism`], which
//! keeps contact apart from overlap.

use std::collections::BTreeMap;

use parry3d_f64::bounding_volume::{Aabb, BoundingVolume};
use parry3d_f64::math::Vector;

use super::answer::End;
use super::logic::Parts;
use crate::assembly::{DATUM, Solved};
use crate::clash::CONTACT_MM;
use crate::clash::prism::Prism;
use crate::fit::clearance::convex_outlines;
use crate::joint::{Block, Fastening, blocks};
use crate::trade::fastener::Fastener;
use crate::trade::tools::{Envelope, Handle, Section, Tool};

/// Directions in which a handle is tried.
const DIRECTIONS: u32 = 12;

/// Corners of a round section: they lie on the circle, so that it takes no more room than the tool.
const CORNERS: u32 = 16;

/// Tools stand off so far: a face that is a little canted isn't in their way.
const OFF_MM: f64 = 0.5;

/// A way to drill for a fastener or to set it.
#[derive(Clone, Debug)]
pub(super) struct Way {
    pub(super) tools: Vec<(Tool, End)>,
    /// Parts that take the room for it.
    pub(super) blockers: Parts,
}

/// The ways at a place, the ones asked for less room than another left out.
#[derive(Clone, Debug, Default)]
pub(super) struct Reach {
    pub(super) set: Vec<Way>,
    pub(super) drill: Vec<Way>,
    /// To pull a rivet from one side, if there are rivets.
    pub(super) pull: Vec<Way>,
}

/// A convex piece of a part: the part, the piece, up to which depth something only touches it.
struct Piece {
    part: usize,
    prism: Prism,
    contact: f64,
}

/// The metal of all settled parts, and the tools.
pub(super) struct Workshop {
    pieces: Vec<Piece>,
    tools: BTreeMap<Tool, Envelope>,
}

impl Workshop {
    pub(super) fn of(solved: &Solved<'_>) -> Workshop {
        let mut pieces = Vec::new();
        for (index, part) in solved.assembly.parts.iter().enumerate() {
            if part.name == DATUM || !solved.is_settled(part) {
                continue;
            }
            for (solid, beyond) in solved.at().metal_with_rounds(part) {
                let sweep = Vector::from(solid.sweep_mm);
                let prisms = convex_outlines(&solid)
                    .into_iter()
                    .filter_map(|outline| Prism::new(outline, sweep));
                pieces.extend(prisms.map(|prism| Piece {
                    part: index,
                    prism,
                    contact: CONTACT_MM + beyond,
                }));
            }
        }
        let tool = |tool: &Tool| (*tool, solved.assembly.order.envelope(*tool));
        Workshop {
            pieces,
            tools: Tool::ALL.iter().map(tool).collect(),
        }
    }

    /// The ways at each place of a joint, whose fastener is known.
    pub(super) fn reach(&self, joint: &Fastening, fastener: Fastener) -> Vec<Reach> {
        let way = Vector::from(joint.way);
        let places = joint.places.iter().map(|ends| {
            let [head, tail] = [Vector::from(ends.head), Vector::from(ends.tail)];
            let around = self.around([head, tail]);
            let stands = [
                Stand::new(self, &around, head, -way),
                Stand::new(self, &around, tail, way),
            ];
            let grip = (tail - head).length();
            Reach {
                set: set(&stands, fastener, grip),
                drill: drill(&stands),
                pull: match fastener.is_rivet() {
                    true => pull(&stands),
                    false => Vec::new(),
                },
            }
        });
        places.collect()
    }

    /// What lies so near that a tool could meet it.
    fn around(&self, ends: [Vector; 2]) -> Vec<&Piece> {
        let far = |tool: &Envelope| {
            let long: f64 = tool.sections.iter().map(|section| section.long_mm).sum();
            let wide = tool.sections.iter().map(|section| section.wide_mm);
            let reach = tool.handle.map_or(0.0, |handle| handle.long_mm);
            long + reach + wide.fold(0.0, f64::max)
        };
        let farthest = self.tools.values().map(far).fold(50.0, f64::max);
        let near = Aabb::from_points(ends).loosened(farthest);
        let pieces = self.pieces.iter();
        pieces
            .filter(|piece| piece.prism.extent.intersects(&near))
            .collect()
    }
}

/// One side of a stack, where a tool stands.
#[derive(Clone, Copy)]
struct Stand<'w> {
    workshop: &'w Workshop,
    around: &'w [&'w Piece],
    at: Vector,
    out: Vector,
    across: [Vector; 2],
}

impl<'w> Stand<'w> {
    fn new(workshop: &'w Workshop, around: &'w [&'w Piece], at: Vector, out: Vector) -> Self {
        let out = out.normalize_or(Vector::Z);
        let axes = [Vector::X, Vector::Y, Vector::Z].map(|axis| axis - out * axis.dot(out));
        let [a, b, c] = axes.map(|axis| axis.length());
        // along the airframe's axes where the face is square to them
        let u = match a >= b && a >= c {
            true => axes[0],
            false if b >= c => axes[1],
            false => axes[2],
        };
        let u = u.normalize_or(Vector::X);
        Stand {
            workshop,
            around,
            at,
            out,
            across: [u, out.cross(u)],
        }
    }

    fn direction(&self, index: u32, of: u32) -> Vector {
        let (sine, cosine) = (std::f64::consts::TAU * f64::from(index) / f64::from(of)).sin_cos();
        self.across[0] * cosine + self.across[1] * sine
    }

    fn met(&self, prism: Option<Prism>) -> Parts {
        let Some(prism) = prism else {
            return Parts::new();
        };
        let mut met = Parts::new();
        for piece in self.around {
            if !met.contains(&piece.part)
                && piece.prism.extent.intersects(&prism.extent)
                && piece.prism.depth(&prism, piece.contact).is_some()
            {
                met.insert(piece.part);
            }
        }
        met
    }

    fn round(&self, from: f64, section: Section) -> Parts {
        let start = self.at + self.out * from;
        let radius = 0.5 * section.wide_mm;
        let ring = (0..CORNERS).map(|at| start + self.direction(at, CORNERS) * radius);
        self.met(Prism::new(ring.collect(), self.out * section.long_mm))
    }

    fn handle(&self, from: f64, high: f64, handle: Handle, index: u32) -> Parts {
        let lead = self.direction(index, DIRECTIONS);
        let aside = self.out.cross(lead) * (0.5 * handle.wide_mm);
        let start = self.at + self.out * from;
        let far = start + lead * handle.long_mm;
        let outline = vec![start - aside, far - aside, far + aside, start + aside];
        self.met(Prism::new(outline, self.out * high))
    }

    /// What a tool meets that stands off the face, each way that its handle can be held; those that meet more than another left out.
    fn tool(&self, tool: Tool, off: f64, least_wide: f64) -> Vec<Parts> {
        let Some(envelope) = self.workshop.tools.get(&tool) else {
            return Vec::new();
        };
        let mut from = off.max(OFF_MM);
        let mut met = Parts::new();
        let mut last = (from, 0.0);
        for (at, section) in envelope.sections.iter().enumerate() {
            let wide_mm = match at {
                0 => section.wide_mm.max(least_wide),
                _ => section.wide_mm,
            };
            met.extend(self.round(
                from,
                Section {
                    wide_mm,
                    ..*section
                },
            ));
            last = (from, section.long_mm);
            from += section.long_mm;
        }
        let Some(handle) = envelope.handle else {
            return vec![met];
        };
        let mut list = Vec::new();
        for index in 0..DIRECTIONS {
            let mut all = self.handle(last.0, last.1, handle, index);
            all.extend(&met);
            list.push(all);
        }
        least(list, |parts| parts)
    }
}

impl Stand<'_> {
    /// What a bucking bar meets: on the axis, or held off it in any direction as far as its face still covers a head of some radius.
    fn bar(&self, off: f64, covers: f64) -> Vec<Parts> {
        let centred = self.tool(Tool::BuckingBar, off, 0.0);
        let envelope = self.workshop.tools.get(&Tool::BuckingBar);
        let face = envelope.and_then(|envelope| envelope.sections.first());
        let spare = face.map_or(0.0, |face| 0.5 * face.wide_mm - covers);
        if spare <= 0.0 || centred.iter().any(Parts::is_empty) {
            return centred;
        }
        let moved = (0..DIRECTIONS).flat_map(|index| {
            let at = self.at + self.direction(index, DIRECTIONS) * spare;
            Stand { at, ..*self }.tool(Tool::BuckingBar, off, 0.0)
        });
        least(centred.into_iter().chain(moved).collect(), |parts| parts)
    }
}

/// Those that ask for no more than is needed: none that holds all of another one.
fn least<T>(list: Vec<T>, parts: impl Fn(&T) -> &Parts) -> Vec<T> {
    let mut kept: Vec<T> = Vec::new();
    for one in list {
        if kept.iter().any(|other| parts(other).is_subset(parts(&one))) {
            continue;
        }
        kept.retain(|other| !parts(&one).is_subset(parts(other)));
        kept.push(one);
    }
    kept
}

/// One tool on either side, in every way that they can be held.
fn both(tools: [Tool; 2], sides: [&[Parts]; 2]) -> Vec<Way> {
    let mut list = Vec::new();
    for one in sides[0] {
        for other in sides[1] {
            list.push(Way {
                tools: vec![(tools[0], End::Head), (tools[1], End::Tail)],
                blockers: one.union(other).copied().collect(),
            });
        }
    }
    list
}

fn set(stands: &[Stand<'_>; 2], fastener: Fastener, grip: f64) -> Vec<Way> {
    let [head, tail] = stands;
    let [under, beyond] = blocks(fastener);
    let mut ways = Vec::new();
    if fastener.is_rivet() {
        let side = |stand: &Stand<'_>, tool, block: &Block| match tool {
            Tool::BuckingBar => stand.bar(block.high_mm, block.radius_mm),
            _ => stand.tool(tool, block.high_mm, 0.0),
        };
        let pairs = [
            [Tool::RivetGun, Tool::BuckingBar],
            [Tool::BuckingBar, Tool::RivetGun],
        ];
        for [one, other] in pairs {
            let on_head = side(head, one, &under);
            let on_tail = side(tail, other, &beyond);
            ways.extend(both([one, other], [&on_head, &on_tail]));
        }
        return least(ways, |way| &way.blockers);
    }
    // the bolt is put in from the side of its head
    let put_in = head.round(
        OFF_MM,
        Section {
            wide_mm: fastener.diameter_mm(),
            long_mm: grip + beyond.high_mm,
        },
    );
    let turners = [Tool::Wrench, Tool::Socket];
    let wide = |block: &Block, tool: Tool| 2.0 * (block.radius_mm + tool.wall_mm());
    let on_head = turners.map(|tool| head.tool(tool, OFF_MM, wide(&under, tool)));
    let on_tail = turners.map(|tool| tail.tool(tool, OFF_MM, wide(&beyond, tool)));
    for (one, at_head) in turners.iter().zip(&on_head) {
        for (other, at_tail) in turners.iter().zip(&on_tail) {
            let held = both([*one, *other], [at_head, at_tail]);
            ways.extend(held.into_iter().map(|mut way| {
                way.blockers.extend(&put_in);
                way
            }));
        }
    }
    least(ways, |way| &way.blockers)
}

fn one_side(stands: &[Stand<'_>; 2], tools: &[Tool]) -> Vec<Way> {
    let mut ways = Vec::new();
    for tool in tools {
        for (stand, end) in stands.iter().zip([End::Head, End::Tail]) {
            let met = stand.tool(*tool, OFF_MM, 0.0).into_iter();
            ways.extend(met.map(|blockers| Way {
                tools: vec![(*tool, end)],
                blockers,
            }));
        }
    }
    least(ways, |way| &way.blockers)
}

fn drill(stands: &[Stand<'_>; 2]) -> Vec<Way> {
    one_side(stands, &[Tool::Drill, Tool::AngleDrill])
}

fn pull(stands: &[Stand<'_>; 2]) -> Vec<Way> {
    one_side(stands, &[Tool::RivetPuller])
}
