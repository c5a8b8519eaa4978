//! Answers as text. The only place that knows widths and layouts of tables.

pub mod at_odds;
pub mod beside;
pub mod blank;
pub mod blanks;
pub mod built;
pub mod clashes;
mod columns;
pub mod decimal;
mod departures;
pub mod fault;
pub mod figures;
pub mod fit;
mod hardware;
mod joint;
mod joint_findings;
pub mod joints;
mod lengths;
pub mod locate;
pub mod loose;
pub mod mass;
pub mod measured;
pub mod neighbours;
pub mod odds;
pub mod order;
mod order_circle;
pub mod readings;
pub mod recut;
mod recut_steps;
pub mod remedy;
pub mod stack;
mod stack_bars;
mod stack_shares;
mod stack_verdict;
mod stock;
mod suspicions;
pub(crate) mod table;
pub mod trial;
mod unbroken;
pub mod verdict;
pub mod why;

/// The width of a page, which lays out lines and tables by itself: no line is broken, and tables are kept as rows and cells, of which
/// HTML is made.
pub const PAGE: usize = usize::MAX;

/// Width to write for: the terminal's, or a hundred characters where there is none.
pub fn width() -> usize {
    /// Wide enough for every table, narrow enough to read and to print.
    const ELSEWHERE: usize = 100;
    terminal_size::terminal_size().map_or(ELSEWHERE, |(width, _)| usize::from(width.0).max(40))
}
