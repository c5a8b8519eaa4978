//! The structure of a system, from its pattern alone: which unknowns stand in which equations.
//!
//! In: a [`Pattern`], rows = equations, columns = unknowns. Out: a maximum matching, the under-, well- and
//! over-determined parts, and the blocks of the well-determined part in the order in which they can be solved.
//! No number is looked at: what the counts cannot see is left to [`crate::rank`]. All steps but the matching take
//! linear time, none recurses. Methods: Hopcroft and Karp 1973; Dulmage and Mendelsohn 1958; Tarjan 1972.
//!
//! ```
//! use strongback_solver::structure::{Pattern, dulmage_mendelsohn, solve_order};
//!
//! // Unknowns 0..4. Equation 0 fixes unknown 1; equations 1 and 2 need each other; unknown 3 stands nowhere.
//! let pattern = Pattern::from_rows(4, [vec![1], vec![0, 1, 2], vec![0, 2]])?;
//! let parts = dulmage_mendelsohn(&pattern);
//! assert_eq!(parts.under.cols, [3]);
//! assert_eq!(parts.well.rows, [0, 1, 2]);
//!
//! let blocks = solve_order(&pattern, &parts.matching.restricted_to(&parts.well.rows));
//! let order: Vec<_> = blocks.iter().map(|block| block.rows.to_vec()).collect();
//! assert_eq!(order, [vec![0], vec![1, 2]]);
//! # Ok::<(), strongback_solver::structure::ColumnOutOfRange>(())
//! ```

mod blocks;
mod components;
mod dulmage_mendelsohn;
mod matching;
mod pattern;

pub use blocks::{Block, Blocks, downstream, solve_order};
pub use dulmage_mendelsohn::{Coarse, Part, dulmage_mendelsohn};
pub use matching::{Matching, maximum_matching};
pub use pattern::{ColumnOutOfRange, Pattern};

#[cfg(test)]
mod samples;
