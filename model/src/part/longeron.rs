//! A longeron: an angle section along a path of straights and bends. In: the section, and the path's straights in mm, bends in
//! radians with their inside radii. Out: faces of each straight, tangent lines of each bend, metal, and the developed length.
//!
//! A bend turns the section about the axis of one of its legs. The leg that stands square to the plane of the bend is bent flat,
//! and its inside radius is the bend's; the other one lies in that plane and is taken to be shrunk, stretched or notched.

use nalgebra::Vector3;
use strongback_solver::Affine;

use super::arc::{Arc, Flats};
use super::bend;
use super::legs::{Legs, leg_name};
use super::path::{self, DEVELOPED, Stretch};
use super::shape::{Feature, Place, Shape, Solid, moved, origin};
use super::sizes::fault;
use super::{PartKind, Role, Sizes, Stock, part};
use crate::source::{Fault, Given};
use crate::words::{Runs, Side};

part! {
    /// An angle along a path with bends, such as a longeron that follows the taper of the fuselage.
    pub struct Longeron {
        /// The axis along which its first straight runs.
        pub runs: Runs,
        /// Its two legs, over the outside corner, by the sides they lead to in the first straight.
        pub legs: Legs,
        /// Thickness of both legs.
        pub thickness: Given,
        /// Straights and bends in turn, from the fwd, left or lower end, with a straight at both ends: `Straight(length)`, from
        /// its end or tangent line to the next one, and `Bend(toward: side, by: angle from straight, radius: inside radius)`: the side is one that a leg leads to in the first
        /// straight, or away from it, and turns with the section from bend to bend; the radius is that of the concave surface of the leg that
        /// is bent flat.
        pub path: Vec<Stretch>,
    }
}

/// Where the path has come to: the outside corner, the way it goes, and the ways the two legs lead.
struct Section {
    corner: Place,
    way: Vector3<f64>,
    legs: [Vector3<f64>; 2],
    sides: [Side; 2],
}

impl Section {
    /// A place by its distances along the path and along the two legs.
    fn at(&self, along: &Affine, legs: [&Affine; 2]) -> Place {
        let place = moved(&self.corner, self.way, along);
        let place = moved(&place, self.legs[0], legs[0]);
        moved(&place, self.legs[1], legs[1])
    }
}

fn vector(way: Vector3<f64>, by: &Affine) -> Place {
    moved(&origin(), way, by)
}

/// Widths of the two legs, and their thickness.
struct Profile {
    widths: [Affine; 2],
    thickness: Affine,
}

impl PartKind for Longeron {
    fn says(&self) -> &'static str {
        "An angle along a path of straights and bends. Origin: its outside corner at the fwd, left or lower end; `runs` and the \
         sides of the legs are those of the first straight. Faces: of each straight, counted from 1, those of an Angle with its \
         number, as top_1, inside_bottom_2, and line corner_1 (the outside corner), by the sides of the first straight however far the \
         path has turned; its two ends, which go by `runs`: fwd_end and aft_end, left_end and right_end, or lower_end and \
         upper_end; of each bend the tangent lines bend_1_start and bend_1_end, on the outside of the leg that is bent flat. Straights may say `Find`, a \
         bend's angle may not, and no tolerance of it is followed. Its sizes go by their number: `straight 1`, `bend 1` (its angle), \
         `bend 1 radius`. Its `developed length` is that of the straight blank: the \
         straights, and for each bend the length of the neutral line in the leg bent flat; `bend 1 starts at` and `bend 1 ends at` \
         are marked on it from the end that is the origin."
    }

    fn visit_sizes(&mut self, f: &mut dyn FnMut(String, Role, &mut Given)) {
        self.legs.visit(f);
        f("thickness".to_owned(), Role::Gauge, &mut self.thickness);
        path::visit(&mut self.path, f);
    }

    fn shape(&self, sizes: &Sizes) -> Result<Shape, Fault> {
        let span = self.thickness.span();
        path::check(&self.path, span.clone())?;
        let sides = self.legs.pair("a Longeron", self.runs, sizes, span)?;
        let stock = Profile {
            widths: sides.map(|side| sizes.form(&leg_name(side))),
            thickness: sizes.form("thickness"),
        };
        let mut section = Section {
            corner: origin(),
            way: Vector3::from(self.runs.along().vector()),
            legs: sides.map(|side| Vector3::from(side.vector())),
            sides,
        };
        let mut shape = Shape::default();
        let [low, high] = self.runs.ends();
        let half = stock.widths[0].clone().times(0.5);
        let across = [&half, &stock.thickness.clone().times(0.5)];
        let none = Affine::default();
        shape.add(low, Feature::face(section.at(&none, across), -section.way));
        for (at, stretch) in self.path.iter().enumerate() {
            let number = at / 2 + 1;
            match stretch {
                Stretch::Straight(_) => {
                    let length = sizes.form(&path::straight(number));
                    straight(&mut shape, &section, &stock, &length, number);
                    section.corner = section.at(&length, [&none, &none]);
                    if number == path::straights(&self.path) {
                        shape.add(high, Feature::face(section.at(&none, across), section.way));
                    }
                }
                Stretch::Bend { toward, by, radius } => {
                    let bend = Bend::new(&section, *toward, number, sizes, [by, radius])?;
                    bend.build(&mut shape, &mut section, &stock, number);
                }
            }
        }
        Ok(shape)
    }

    fn derived(&self, sizes: &Sizes) -> Vec<(String, Affine)> {
        let thickness = sizes.form("thickness");
        let takes_up = |angle, radius: &Affine| bend::allowance(angle, radius, &thickness);
        path::along_stock(&self.path, sizes, takes_up)
    }

    fn stock(&self, sizes: &Sizes) -> Vec<Stock> {
        vec![self.legs.stock(sizes.value(DEVELOPED), sizes)]
    }

    fn trimmed_at(&self, size: &str) -> Vec<Side> {
        path::trimmed_at(&self.path, self.runs, size)
    }

    fn turned_by(&self) -> Option<&'static str> {
        Some("legs")
    }

    fn choices(&self) -> Vec<(&'static str, String)> {
        vec![
            ("legs", self.legs.told()),
            (path::BENDS, path::bends(&self.path)),
        ]
    }
}

/// Adds the faces and the metal of a straight.
fn straight(shape: &mut Shape, section: &Section, stock: &Profile, length: &Affine, number: usize) {
    let middle = length.clone().times(0.5);
    let (none, t) = (Affine::default(), &stock.thickness);
    for own in 0..2 {
        let other = 1 - own;
        let at = |own_way: &Affine, other_way: &Affine| {
            let legs = if own == 0 {
                [own_way, other_way]
            } else {
                [other_way, own_way]
            };
            section.at(&middle, legs)
        };
        let width = &stock.widths[own];
        let half = width.clone().times(0.5);
        let [toward_own, toward_other] = [own, other].map(|leg| section.legs[leg]);
        let [own_side, other_side] = [own, other].map(|leg| section.sides[leg]);
        let mut add = |name: &str, middle: Place, normal: Vector3<f64>| {
            shape.add(&format!("{name}_{number}"), Feature::face(middle, normal));
        };
        add(
            other_side.opposite().face(),
            at(&half, &none),
            -toward_other,
        );
        add(
            own_side.face(),
            at(width, &t.clone().times(0.5)),
            toward_own,
        );
        let inside = format!("inside_{}", other_side.face());
        add(&inside, at(&half, t), toward_other);
        let corner = |own_way: &Affine, other_way: &Affine| {
            let place = moved(&section.corner, toward_own, own_way);
            moved(&place, toward_other, other_way)
        };
        shape.solids.push(Solid {
            outline: vec![
                corner(&none, &none),
                corner(width, &none),
                corner(width, t),
                corner(&none, t),
            ],
            openings: Vec::new(),
            sweep: vector(section.way, length),
            beyond: Affine::default(),
        });
    }
    shape.add(
        &format!("corner_{number}"),
        Feature::Line {
            middle: section.at(&middle, [&none, &none]),
            along: section.way.into(),
        },
    );
}

/// A bend, once it is understood.
struct Bend {
    /// The leg that lies in the plane of the bend.
    edgewise: usize,
    /// Towards the centre of the bend.
    inwards: Vector3<f64>,
    /// Whether the edgewise leg leads towards the centre.
    leads_in: bool,
    angle: f64,
    radius: Affine,
    /// The radius of its outermost metal as drawn, in millimetres.
    outside_mm: f64,
}

impl Bend {
    fn new(
        section: &Section,
        toward: Side,
        number: usize,
        sizes: &Sizes,
        [by, radius]: [&Given; 2],
    ) -> Result<Self, Fault> {
        let Some(edgewise) = (0..2).find(|leg| section.sides[*leg].axis() == toward.axis()) else {
            return Err(fault(
                by.span(),
                format!("a bend can't turn {toward:?}: the longeron runs along that axis"),
                "it turns toward the side that one of its legs leads to, or away from it",
            ));
        };
        let angle = path::angle(number, by, sizes)?;
        let name = path::bend_radius(number);
        let leads_in = section.sides[edgewise] == toward;
        let room = sizes.value(&name) + sizes.value("thickness");
        if leads_in && sizes.value(&leg_name(section.sides[edgewise])) >= room {
            return Err(fault(
                radius.span(),
                format!(
                    "the leg that leads {toward:?} reaches beyond the centre of a bend so tight"
                ),
                "take a radius greater than that leg is wide, or turn the section round so that the leg leads outwards",
            ));
        }
        let sense = if leads_in { 1.0 } else { -1.0 };
        Ok(Self {
            edgewise,
            inwards: section.legs[edgewise] * sense,
            leads_in,
            angle,
            radius: sizes.form(&name),
            outside_mm: if leads_in {
                room
            } else {
                sizes.value(&name) + sizes.value(&leg_name(section.sides[edgewise]))
            },
        })
    }

    /// Adds the tangent lines and the metal of the bend, and leads the section round it.
    fn build(&self, shape: &mut Shape, section: &mut Section, stock: &Profile, number: usize) {
        let flat = 1 - self.edgewise;
        let (t, width) = (&stock.thickness, &stock.widths[self.edgewise]);
        // the radius of the outside corner's line
        let corner = if self.leads_in {
            self.radius.clone().plus(t)
        } else {
            self.radius.clone()
        };
        let edge = if self.leads_in {
            corner.clone().minus(width)
        } else {
            corner.clone().plus(width)
        };
        let arc = Arc::new(&section.corner, section.way, self.inwards, &corner);
        let flats = Flats::of(self.angle, self.outside_mm);
        let metal = |[inside, outside]: [&Affine; 2], sweep: Place| {
            let there = flats.touching().map(|angle| arc.at(angle, inside));
            let back = flats.corners().into_iter().rev();
            let back = back.map(|(angle, share)| arc.at(angle, &outside.clone().times(share)));
            Solid {
                outline: there.chain(back).collect(),
                openings: Vec::new(),
                sweep,
                beyond: outside.clone().times(flats.rise()),
            }
        };
        let outside = self.radius.clone().plus(t);
        let square = section.legs[flat];
        let flat_width = &stock.widths[flat];
        let edgewise = if self.leads_in {
            [&edge, &corner]
        } else {
            [&corner, &edge]
        };
        let solids = [
            metal([&self.radius, &outside], vector(square, flat_width)),
            metal(edgewise, vector(square, t)),
        ];
        shape.solids.extend(solids);
        let half = flat_width.clone().times(0.5);
        let mut tangent = |name: &str, angle: f64| {
            let at = arc.at(angle, &corner);
            let line = Feature::Line {
                middle: moved(&at, square, &half),
                along: square.into(),
            };
            shape.add(&format!("bend_{number}_{name}"), line);
        };
        tangent("start", 0.0);
        tangent("end", self.angle);
        let out = arc.outwards(self.angle);
        section.corner = arc.at(self.angle, &corner);
        section.way = arc.way(self.angle);
        section.legs[self.edgewise] = if self.leads_in { -out } else { out };
    }
}
