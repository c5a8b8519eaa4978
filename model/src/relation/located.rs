//! Features of parts as the solver sees them: planes, axes and points on bodies.

use strongback_solver::{Axis, BodyId, Direction, Plane, Point, Way};

use crate::part::{Feature, Normal, Place};

/// A feature of a part, on its body.
#[derive(Clone, Debug)]
pub enum Located {
    /// A flat face.
    Face(Plane),
    /// A line or an axis.
    Line(Axis),
    /// A point.
    Point(Point),
}

impl Located {
    /// A point of it: its middle.
    pub fn middle(&self) -> Point {
        match self {
            Located::Face(plane) => plane.point.clone(),
            Located::Line(axis) => axis.point.clone(),
            Located::Point(point) => point.clone(),
        }
    }
}

/// A feature on its body, as the solver sees it.
pub fn locate(body: BodyId, feature: &Feature) -> Located {
    let point = |at: &Place| Point {
        body,
        at: at.clone(),
    };
    match feature {
        Feature::Face { middle, normal } => Located::Face(Plane {
            point: point(middle),
            normal: match normal {
                Normal::Fixed(vector) => Direction::Fixed {
                    body,
                    vector: *vector,
                },
                Normal::OfEdge { from, to, along } => Direction::Across {
                    edge: Box::new(Way {
                        from: point(from),
                        to: (**to).clone(),
                    }),
                    along: *along,
                },
            },
        }),
        Feature::Line { middle, along } => Located::Line(Axis {
            point: point(middle),
            direction: Direction::Fixed {
                body,
                vector: *along,
            },
        }),
        Feature::Point { at } => Located::Point(point(at)),
    }
}
