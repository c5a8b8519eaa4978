//! In which order parts are fitted. In: a solved assembly, and how far parts are made. Out: steps, each with its reasons, or the circle of
//! reasons why there is no order.

mod circle;
mod logic;
#[cfg(test)]
mod logic_tests;
mod stated;

pub use stated::{AssembledOrder, Fitting, OwnTool};
pub(crate) use stated::{enter, forget};
