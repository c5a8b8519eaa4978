//! A part's shape in its own frame: named features and solids, affine in its sizes.
//!
//! The own frame is parallel to the airframe's axes as long as the part stands square: own x is
//! station (aft), own y is buttock line (right), own z is waterline (up). Millimetres.

use indexmap::IndexMap;
use nalgebra::Vector3;
use strongback_solver::Affine;

use crate::words::{Axis, Runs, Side};

/// A place in the part's own frame.
pub type Place = [Affine; 3];

/// Something of a part that a statement can name.
#[derive(Clone, Debug)]
pub enum Feature {
    /// A flat face: its middle and its outward normal.
    Face {
        /// The middle of the face.
        middle: Place,
        /// The outward normal.
        normal: Normal,
    },
    /// A straight edge or an axis.
    Line {
        /// Its middle.
        middle: Place,
        /// Its direction, in own components.
        along: [f64; 3],
    },
    /// A point.
    Point {
        /// Where it lies.
        at: Place,
    },
}

impl Feature {
    /// A face by its middle and its outward normal, of length 1, in own components.
    pub(super) fn face(middle: Place, normal: Vector3<f64>) -> Feature {
        let normal = Normal::Fixed(normal.into());
        Feature::Face { middle, normal }
    }
}

/// The outward normal of a face.
#[derive(Clone, Debug)]
pub enum Normal {
    /// Own components that no size changes.
    Fixed([f64; 3]),
    /// Of an edge from one point to another within a flat piece: `along` × (to − from).
    OfEdge {
        /// Start of the edge.
        from: Box<Place>,
        /// End of the edge.
        to: Box<Place>,
        /// Normal of the flat piece.
        along: [f64; 3],
    },
}

/// A prism: a flat outline swept along a vector.
#[derive(Clone, Debug)]
pub struct Solid {
    /// Corners in order.
    pub outline: Vec<Place>,
    /// Outlines of openings in it.
    pub openings: Vec<Vec<Place>>,
    /// The way from each corner to the opposite one.
    pub sweep: Place,
    /// How far a flat of it may lie beyond the round metal that it stands for; nothing for what is flat.
    pub beyond: Affine,
}

/// What a part consists of.
#[derive(Clone, Debug, Default)]
pub struct Shape {
    /// Named features, in the order in which a builder would list them.
    pub features: IndexMap<String, Feature>,
    /// The metal.
    pub solids: Vec<Solid>,
    /// What is probably not meant so: each in a sentence without a full stop.
    pub doubts: Vec<String>,
}

/// The origin.
pub(super) fn origin() -> Place {
    [(); 3].map(|()| Affine::constant(0.0))
}

/// A place from three affine coordinates.
pub(super) fn place(x: &Affine, y: &Affine, z: &Affine) -> Place {
    [x.clone(), y.clone(), z.clone()]
}

/// The middle between two affine coordinates.
pub(super) fn middle(a: &Affine, b: &Affine) -> Affine {
    a.clone().plus(b).times(0.5)
}

/// A place with one coordinate replaced.
pub(super) fn with(mut place: Place, axis: Axis, value: &Affine) -> Place {
    place[axis.index()] = value.clone();
    place
}

/// A place moved by a distance along a way.
pub(super) fn moved(place: &Place, way: Vector3<f64>, by: &Affine) -> Place {
    [0, 1, 2].map(|axis| {
        let at = place[axis].clone();
        // what doesn't move it is no term of it
        match way[axis] {
            0.0 => at,
            share => at.plus(&by.clone().times(share)),
        }
    })
}

/// A box along the own axes.
#[derive(Clone, Debug)]
pub struct Block {
    /// Least coordinates.
    pub low: Place,
    /// Greatest coordinates.
    pub high: Place,
}

impl Block {
    /// The middle of the box.
    pub fn middle(&self) -> Place {
        [0, 1, 2].map(|i| middle(&self.low[i], &self.high[i]))
    }

    /// The face that looks to a side.
    pub fn face(&self, side: Side) -> Feature {
        let bound = if side.is_positive() {
            &self.high
        } else {
            &self.low
        };
        Feature::Face {
            middle: with(self.middle(), side.axis(), &bound[side.axis().index()]),
            normal: Normal::Fixed(side.vector()),
        }
    }

    /// The box as a solid.
    pub fn solid(&self) -> Solid {
        let (low, high) = (&self.low, &self.high);
        let corner = |y: &Affine, z: &Affine| place(&low[0], y, z);
        Solid {
            outline: vec![
                corner(&low[1], &low[2]),
                corner(&high[1], &low[2]),
                corner(&high[1], &high[2]),
                corner(&low[1], &high[2]),
            ],
            openings: Vec::new(),
            sweep: place(
                &high[0].clone().minus(&low[0]),
                &Affine::constant(0.0),
                &Affine::constant(0.0),
            ),
            beyond: Affine::default(),
        }
    }
}

impl Shape {
    /// Adds a feature.
    pub fn add(&mut self, name: &str, feature: Feature) {
        self.features.insert(name.to_owned(), feature);
    }

    /// Adds a face square to an own axis.
    pub fn face(&mut self, name: &str, side: Side, middle: Place) {
        self.add(
            name,
            Feature::Face {
                middle,
                normal: Normal::Fixed(side.vector()),
            },
        );
    }

    /// Adds an axis or edge.
    pub fn line(&mut self, name: &str, along: Axis, middle: Place) {
        self.add(
            name,
            Feature::Line {
                middle,
                along: along.vector(),
            },
        );
    }

    /// Adds a second name for a feature.
    pub fn alias(&mut self, name: &str, of: &str) {
        if let Some(feature) = self.features.get(of).cloned() {
            self.features.insert(name.to_owned(), feature);
        }
    }

    /// Adds the two ends of a piece that runs along an axis: by their own names, and by the sides they look to.
    pub fn ends(&mut self, runs: Runs, piece: &Block) {
        let high = runs.along().positive();
        let sides = [high.opposite(), high];
        for (name, side) in runs.ends().into_iter().zip(sides) {
            self.add(name, piece.face(side));
        }
        for side in sides {
            self.add(side.face(), piece.face(side));
        }
    }

    /// Adds a box with its six faces named by the sides they look to.
    pub fn block(&mut self, block: &Block) {
        for side in Side::ALL {
            self.add(side.face(), block.face(side));
        }
        self.solids.push(block.solid());
    }

    /// The mirror image about the own plane y = 0; faces that are named left become right ones.
    pub fn mirrored(self) -> Shape {
        let features = self
            .features
            .into_iter()
            .map(|(name, feature)| (mirror_word(&name), feature.mirrored()))
            .collect();
        let solids = self
            .solids
            .into_iter()
            .map(|solid| Solid {
                outline: solid.outline.into_iter().map(flip).collect(),
                openings: solid
                    .openings
                    .into_iter()
                    .map(|opening| opening.into_iter().map(flip).collect())
                    .collect(),
                sweep: flip(solid.sweep),
                beyond: solid.beyond,
            })
            .collect();
        Shape {
            features,
            solids,
            doubts: self.doubts,
        }
    }
}

impl Feature {
    /// A point of the feature: its middle.
    pub fn middle(&self) -> &Place {
        match self {
            Feature::Face { middle, .. } | Feature::Line { middle, .. } => middle,
            Feature::Point { at } => at,
        }
    }

    fn mirrored(self) -> Feature {
        match self {
            Feature::Face { middle, normal } => Feature::Face {
                middle: flip(middle),
                normal: match normal {
                    Normal::Fixed([x, y, z]) => Normal::Fixed([x, -y, z]),
                    // a mirror turns a vector product round, so the edge is walked the other way
                    Normal::OfEdge {
                        from,
                        to,
                        along: [x, y, z],
                    } => Normal::OfEdge {
                        from: Box::new(flip(*to)),
                        to: Box::new(flip(*from)),
                        along: [x, -y, z],
                    },
                },
            },
            Feature::Line {
                middle,
                along: [x, y, z],
            } => Feature::Line {
                middle: flip(middle),
                along: [x, -y, z],
            },
            Feature::Point { at } => Feature::Point { at: flip(at) },
        }
    }
}

fn flip([x, y, z]: Place) -> Place {
    [x, y.times(-1.0), z]
}

/// `left` for `right` and the other way round, in a word of a face's name.
pub fn mirror_word(name: &str) -> String {
    name.split('_')
        .map(|word| match word {
            "left" => "right",
            "right" => "left",
            other => other,
        })
        .collect::<Vec<_>>()
        .join("_")
}
