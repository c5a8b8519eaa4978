//! Sparse systems of small residuals over lengths, angles and rotations.
//!
//! Given variables p, unknowns x and equations F(x, p) = 0 with an order of trust, this crate finds
//! the state at which the most trusted independent equations hold exactly, and says of every other
//! equation whether it is spare or at odds, of every unknown whether it is settled, and of every
//! quantity what it depends on. It knows no trade, no units but millimetres and radians, no names
//! and no files.
//!
//! In the order in which data flows:
//! - [`geometry`]: points, directions, planes and axes on bodies, affine in the variables
//! - [`Surface`]: a smooth surface through a grid of points, and how far a point lies off it
//! - [`Equation`]: the closed set of demands on them, with exact derivatives by dual numbers
//! - [`System`]: variables, bodies, equations
//! - [`structure`]: maximum matching, Dulmage–Mendelsohn, blocks in solve order
//! - [`levenberg_marquardt`]: the damped least-squares method that searches where Newton's does not lead
//! - [`rank`]: numerical rank and null space of a dense block
//! - [`Tolerances`]: every threshold, with its reason
//! - [`solve()`] and [`Solution`]: the state, verdicts, circuits, motions and derivatives
//! - [`Changes`]: what follows from other values of given variables, downstream only
//! - [`Exchange`]: other equations hold in place of some, from a solution
//! - [`adjustment`]: least squares with observations, and which of them look false
//! - [`Sampler`]: what a solution becomes when given variables and rows vary
//! - [`Neighbours`]: other roots near a solution

pub mod adjustment;
mod after;
mod basis;
mod block;
mod contraction;
mod deflation;
mod direct;
mod equation;
mod error;
mod evaluate;
mod exchange;
mod figure;
pub mod geometry;
mod groups;
mod judge;
mod least_miss;
pub mod levenberg_marquardt;
mod neighbours;
mod place;
mod places;
pub mod rank;
mod readers;
mod rotation;
mod rough;
mod rows;
mod sampling;
mod search;
mod solution;
mod solve;
mod sparse;
mod square;
pub mod structure;
mod substitution;
mod sums;
mod surface;
mod system;
mod tolerance;
mod wide;

pub use after::Changes;
pub use equation::{Equation, Measure};
pub use error::SolveError;
pub use exchange::{Exchange, Row};
pub use geometry::{Affine, Axis, Body, BodyId, Direction, Plane, Point, Turn, Var, Way};
pub use neighbours::{Apart, Neighbour, Neighbours, Root};
pub use sampling::{Observed, Read, Sampler, Samples, Source, Spread, Variation};
pub use solution::{Report, Sensitivity, Solution, Verdict};
pub use solve::solve;
pub use surface::{Foot, Surface, SurfaceError, Symmetry};
pub use system::{EquationId, State, Status, System, Variable};
pub use tolerance::Tolerances;
