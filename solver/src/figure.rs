//! What an equation compares with, and by what its rows bend. In: an equation. Out: its own figure, the same equation with
//! another figure, and the variables in which its rows are not affine.

use crate::equation::Equation;
use crate::geometry::{Affine, Direction, Var};
use crate::system::System;

impl Equation {
    /// The figure that the equation compares with, where it has one of its own.
    pub fn figure(&self) -> Option<&Affine> {
        match self {
            Equation::Held { form, .. } => Some(form),
            Equation::PointOnPlane { offset, .. } | Equation::PointOnSurface { offset, .. } => {
                Some(offset)
            }
            Equation::PointFromAxis { distance, .. } | Equation::Distance { distance, .. } => {
                Some(distance)
            }
            Equation::Angle { angle, .. } => Some(angle),
            Equation::PointOnAxis { .. }
            | Equation::Midway { .. }
            | Equation::Parallel { .. }
            | Equation::Perpendicular { .. }
            | Equation::Mirrored { .. } => None,
        }
    }

    /// The distance that the equation demands, where it demands one.
    pub fn distance(&self) -> Option<&Affine> {
        match self {
            Equation::Held { .. } | Equation::Angle { .. } => None,
            _ => self.figure(),
        }
    }

    /// The same with another figure; an equation without one stays as it is.
    #[must_use]
    pub fn with_figure(mut self, figure: Affine) -> Equation {
        match &mut self {
            Equation::Held { form: own, .. }
            | Equation::PointOnPlane { offset: own, .. }
            | Equation::PointOnSurface { offset: own, .. }
            | Equation::PointFromAxis { distance: own, .. }
            | Equation::Distance { distance: own, .. }
            | Equation::Angle { angle: own, .. } => *own = figure,
            Equation::PointOnAxis { .. }
            | Equation::Midway { .. }
            | Equation::Parallel { .. }
            | Equation::Perpendicular { .. }
            | Equation::Mirrored { .. } => {}
        }
        self
    }

    fn directions(&self) -> Vec<&Direction> {
        match self {
            Equation::Held { .. } | Equation::PointOnSurface { .. } | Equation::Distance { .. } => {
                Vec::new()
            }
            Equation::PointOnPlane { plane, .. } => vec![&plane.normal],
            Equation::PointOnAxis { axis, .. } | Equation::PointFromAxis { axis, .. } => {
                vec![&axis.direction]
            }
            Equation::Midway { between, .. } => between.iter().map(|plane| &plane.normal).collect(),
            Equation::Parallel { a, b }
            | Equation::Perpendicular { a, b }
            | Equation::Mirrored { a, b, .. } => vec![a, b],
            Equation::Angle { a, b, about, .. } => vec![a, b, about],
        }
    }
}

impl System {
    /// The variables by which an equation's rows bend: as long as none of these changes, the rows are affine in all others,
    /// unknown and given.
    pub(crate) fn bending_of(&self, equation: &Equation) -> Vec<Var> {
        match equation {
            // a straight distance bends by everything but the figure that it is compared with, as does one from a surface
            Equation::Distance { .. }
            | Equation::PointFromAxis { .. }
            | Equation::PointOnSurface { .. } => {
                let bare = equation.clone().with_figure(Affine::default());
                self.variables_of(&bare, None)
            }
            _ => {
                let mut list = self.turns_of(equation);
                for direction in equation.directions() {
                    if let Direction::Between(way) | Direction::Across { edge: way, .. } = direction
                    {
                        list.extend(way.from.at.iter().chain(&way.to).flat_map(Affine::vars));
                    }
                }
                list
            }
        }
    }
}
