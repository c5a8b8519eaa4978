//! A block that bends, solved anew for each sample. In: a state in which all that the block reads is as in the sample. Out: the
//! state with the block's unknowns found, or the word that they could not be.

use crate::block::{Block, Local};
use crate::rows::Rows;
use crate::search::search;
use crate::square::BlockRows;
use crate::system::State;
use crate::tolerance::Tolerances;

/// A block with what varies in its rows.
pub(super) struct TurnedBlock {
    block: BlockRows,
    /// Where its unknowns lie when nothing varies: each sample begins there, so that none depends on another.
    start: Local,
    /// The rows that vary: position in the block, draw, and the factor that makes a residual of it.
    varied: Vec<(usize, usize, f64)>,
    /// How far a row may be off.
    within: f64,
}

impl TurnedBlock {
    pub(super) fn new(
        rows: &Rows<'_>,
        block: BlockRows,
        nominal: &State,
        varied: Vec<(usize, usize, f64)>,
    ) -> Self {
        let mut state = nominal.clone();
        let start = Block::new(rows, &[], &block.columns, &mut state).local();
        Self {
            start,
            block,
            varied,
            within: Tolerances::default().converged * rows.system.reference_length(),
        }
    }

    /// Solves the block: by Newton's method from where it lies when nothing varies, else by a search from there.
    pub(super) fn solve(&self, rows: &Rows<'_>, state: &mut State, draws: &[f64]) -> bool {
        /// Newton's method doubles its digits with each step; a dozen are far more than it needs.
        const STEPS: usize = 12;
        /// What the rounding of a step leaves, as for the solution itself.
        const ROUNDING: f64 = 10.0;
        let mut targets = Vec::new();
        if !self.varied.is_empty() {
            targets.resize(self.block.rows.len(), 0.0);
            for (row, draw, factor) in &self.varied {
                targets[*row] = draws[*draw] * factor;
            }
        }
        let block = Block::new(rows, &self.block.rows, &self.block.columns, state).toward(targets);
        block.put(&self.start);
        let mut residual = block.newton(STEPS, self.within);
        if residual > ROUNDING * self.within {
            block.put(&self.start);
            residual = search(&block, self.within).residual;
        }
        residual <= ROUNDING * self.within
    }
}
