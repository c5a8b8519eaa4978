//! Which part of a system has to be solved for each sample. In: a solution, what varies, what is observed. Out: sums where the
//! way from the draws is affine, and the blocks that bend, in solve order.
//!
//! A block is *still* when nothing that varies reaches it, *straight* when its rows are jointly affine in all that varies and
//! so is everything above it, and *turned* otherwise. The factorised basis gives the rates of straight unknowns; they are exact.

use std::collections::{BTreeMap, BTreeSet};

use super::turned::TurnedBlock;
use super::{Observed, Prepared, Sampler, Slopes, Source, Variation};
use crate::equation::{Equation, MAX_ROWS, Measure};
use crate::geometry::{Affine, Var};
use crate::rows::Rows;
use crate::solution::{Sensitivity, Solution};
use crate::sparse::SparseRow;
use crate::square::{BlockList, Square};
use crate::system::{State, Status};
use crate::tolerance::Tolerances;

/// How an unknown follows the draws.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Follows {
    Still,
    Straight,
    Turned,
}

/// A system as its unknowns follow what varies.
struct Reach<'s> {
    solution: &'s Solution<'s>,
    rows: &'s Rows<'s>,
    /// A point near the solution in unknowns and in what varies: a derivative that vanishes at both vanishes everywhere.
    near: State,
    blocks: BlockList,
    /// For each column the block that finds it.
    finder: Vec<Option<usize>>,
    /// For each block the columns that its rows read.
    reads: Vec<Vec<usize>>,
    given: BTreeMap<Var, usize>,
    row: BTreeMap<usize, usize>,
    follows: Vec<Follows>,
}

pub(super) fn sampler<'s, 'm>(
    solution: &'s Solution<'_>,
    variations: &[Variation],
    observed: Vec<Observed<'m>>,
) -> Sampler<'s, 'm> {
    let mut reach = Reach::new(solution, variations);
    let wanted: Vec<BTreeSet<usize>> = observed.iter().map(|one| reach.read_by(one)).collect();
    let above = reach.above(wanted.iter().flatten().copied(), |_| true);
    reach.classify(&above);

    // what has to stand in the state: what bent observations read, and what turned blocks read
    let mut draws = Draws::default();
    let mut by_state: BTreeSet<usize> = BTreeSet::new();
    let mut givens: BTreeSet<Var> = BTreeSet::new();
    let mut prepared = Vec::with_capacity(observed.len());
    for (one, columns) in observed.into_iter().zip(wanted) {
        prepared.push(match one {
            Observed::Miss(equation) if reach.is_straight(&equation, &columns) => {
                reach.straight(*equation, &mut draws)
            }
            Observed::Miss(equation) => {
                by_state.extend(columns);
                givens.extend(reach.givens_of(&equation));
                Prepared::Bent(*equation)
            }
            Observed::State { reads, value } => {
                by_state.extend(columns);
                givens.extend(
                    reads
                        .into_iter()
                        .filter(|var| reach.given.contains_key(var)),
                );
                Prepared::State(value)
            }
        });
    }
    let is_turned = |column: usize| reach.follows[column] == Follows::Turned;
    let solved = reach.above(by_state.iter().copied(), is_turned);
    let mut turned = Vec::new();
    for at in solved {
        let block = reach.blocks.get(at);
        if !block.columns.iter().any(|column| is_turned(*column)) {
            continue;
        }
        by_state.extend(&reach.reads[at]);
        let mut varied = Vec::new();
        for (position, row) in block.rows.iter().enumerate() {
            givens.extend(reach.givens_of(reach.rows.equation(*row)));
            if let Some(variation) = reach.row.get(row) {
                let slot = draws.slot(*variation);
                varied.push((position, slot, reach.residual_of(reach.rows.equation(*row))));
            }
        }
        turned.push(TurnedBlock::new(
            reach.rows,
            block.to_rows(),
            &solution.state,
            varied,
        ));
    }
    let straight = by_state
        .into_iter()
        .filter(|column| reach.follows[*column] == Follows::Straight)
        .map(|column| reach.straight_unknown(column, &mut draws))
        .collect();
    let givens = givens
        .into_iter()
        .filter_map(|var| Some((var, draws.slot(*reach.given.get(&var)?))))
        .collect();
    Sampler {
        rows: reach.rows,
        nominal: &solution.state,
        drawn: draws
            .order
            .into_iter()
            .map(|at| (at, variations[at].within))
            .collect(),
        givens,
        straight,
        turned,
        observed: prepared,
    }
}

/// The variations that count, numbered as they are met.
#[derive(Default)]
struct Draws {
    order: Vec<usize>,
    slots: BTreeMap<usize, usize>,
}

impl Draws {
    fn slot(&mut self, variation: usize) -> usize {
        *self.slots.entry(variation).or_insert_with(|| {
            self.order.push(variation);
            self.order.len() - 1
        })
    }
}

impl<'s> Reach<'s> {
    fn new(solution: &'s Solution<'_>, variations: &[Variation]) -> Self {
        let rows: &Rows<'_> = &solution.rows;
        let mut given = BTreeMap::new();
        let mut row = BTreeMap::new();
        for (at, variation) in variations.iter().enumerate() {
            match variation.source {
                Source::Given(var) => {
                    given.insert(var, at);
                }
                Source::Row(equation, its) => {
                    let all = rows.of(equation);
                    if its < all.len() {
                        row.insert(all.start + its, at);
                    }
                }
            }
        }
        let tolerances = Tolerances::default();
        let mut near = rows.generic_near(&solution.state, tolerances.generic);
        rows.scatter_givens(&mut near, given.keys().copied(), tolerances.generic);
        let jacobians = [rows.jacobian(&solution.state), rows.jacobian(&near)];
        let square = Square::of(&solution.basis, rows.unknowns.len(), &jacobians);
        let blocks = square.blocks();
        let mut finder = vec![None; rows.unknowns.len()];
        for (at, block) in blocks.iter().enumerate() {
            for column in block.columns {
                finder[*column] = Some(at);
            }
        }
        let reads = blocks
            .iter()
            .map(|block| {
                let mut list: Vec<usize> = square.reads(block).collect();
                list.sort_unstable();
                list.dedup();
                list
            })
            .collect();
        Self {
            solution,
            rows,
            near,
            blocks,
            finder,
            reads,
            given,
            row,
            follows: vec![Follows::Still; rows.unknowns.len()],
        }
    }

    /// The columns that something observed reads.
    fn read_by(&self, observed: &Observed<'_>) -> BTreeSet<usize> {
        match observed {
            Observed::Miss(equation) => [&self.solution.state, &self.near]
                .into_iter()
                .flat_map(|state| self.rows.gradient(equation, state))
                .flat_map(|gradient: SparseRow| gradient.into_iter().map(|(column, _)| column))
                .collect(),
            Observed::State { reads, .. } => reads
                .iter()
                .filter_map(|var| self.rows.column_of[var.index()])
                .collect(),
        }
    }

    /// The blocks on which columns depend, in solve order; through columns that are to be followed.
    fn above(
        &self,
        columns: impl Iterator<Item = usize>,
        follow: impl Fn(usize) -> bool,
    ) -> BTreeSet<usize> {
        let mut seen = BTreeSet::new();
        let mut open: Vec<usize> = columns.filter(|column| follow(*column)).collect();
        while let Some(column) = open.pop() {
            if let Some(at) = self.finder[column]
                && seen.insert(at)
            {
                open.extend(self.reads[at].iter().filter(|column| follow(**column)));
            }
        }
        seen
    }

    fn classify(&mut self, blocks: &BTreeSet<usize>) {
        for &at in blocks {
            let block = self.blocks.get(at);
            let above = self.reads[at]
                .iter()
                .filter(|c| self.finder[**c] != Some(at));
            let above = above.map(|column| self.follows[*column]).max();
            let above = above.unwrap_or(Follows::Still);
            let reached = above != Follows::Still
                || block.rows.iter().any(|row| {
                    self.row.contains_key(row) || self.is_moved_by_givens(self.rows.equation(*row))
                });
            if !reached {
                continue;
            }
            let bends = block.rows.iter().any(|row| {
                let own = |column: usize| self.finder[column] == Some(at);
                self.bends(self.rows.equation(*row), own)
            });
            let follows = if bends || above == Follows::Turned {
                Follows::Turned
            } else {
                Follows::Straight
            };
            for column in self.blocks.get(at).columns {
                self.follows[*column] = follows;
            }
        }
    }

    /// Whether an equation bends by something that varies; `own` are columns that vary besides those known to.
    fn bends(&self, equation: &Equation, own: impl Fn(usize) -> bool) -> bool {
        let bending = self.rows.system.bending_of(equation);
        bending.into_iter().any(|var| {
            self.given.contains_key(&var)
                || self.rows.column_of[var.index()]
                    .is_some_and(|column| own(column) || self.follows[column] != Follows::Still)
        })
    }

    fn is_straight(&self, equation: &Equation, columns: &BTreeSet<usize>) -> bool {
        columns
            .iter()
            .all(|column| self.follows[*column] != Follows::Turned)
            && !self.bends(equation, |_| false)
    }

    /// The varying givens that an equation reads.
    fn givens_of(&self, equation: &Equation) -> Vec<Var> {
        let mut list = self.rows.system.variables_of(equation, Some(Status::Given));
        list.retain(|var| self.given.contains_key(var));
        list
    }

    fn is_moved_by_givens(&self, equation: &Equation) -> bool {
        let vars = self.givens_of(equation);
        !vars.is_empty()
            && [&self.solution.state, &self.near].into_iter().any(|state| {
                let derivatives = self.rows.system.derivatives(equation, state, &vars);
                derivatives.iter().flatten().any(|d| *d != 0.0)
            })
    }

    /// The factor that makes a row's residual of what it varies by: angles count times the reference length.
    fn residual_of(&self, equation: &Equation) -> f64 {
        match equation.measure() {
            Measure::Length => 1.0,
            Measure::Angle => self.rows.system.reference_length(),
        }
    }

    fn straight<'m>(&self, equation: Equation, draws: &mut Draws) -> Prepared<'m> {
        let told = self.solution.sensitivity(&equation);
        let mut nominal = [0.0; MAX_ROWS];
        let mut slopes: [Slopes; MAX_ROWS] = Default::default();
        for (row, told) in told.iter().enumerate().take(MAX_ROWS) {
            nominal[row] = told.value;
            slopes[row] = self.slopes(told, draws);
        }
        Prepared::Straight {
            equation,
            nominal,
            slopes,
        }
    }

    fn straight_unknown(&self, column: usize, draws: &mut Draws) -> (Var, Slopes) {
        let var = self.rows.unknowns[column];
        let itself = Equation::Held {
            form: Affine::var(var),
            // an angle as it is, without the reference length
            measure: Measure::Length,
        };
        let told = self.solution.sensitivity(&itself);
        let slopes = told.first().map(|told| self.slopes(told, draws));
        (var, slopes.unwrap_or_default())
    }

    fn slopes(&self, told: &Sensitivity, draws: &mut Draws) -> Slopes {
        let mut list: BTreeMap<usize, f64> = BTreeMap::new();
        for (var, rate) in &told.givens {
            if let Some(at) = self.given.get(var) {
                *list.entry(*at).or_insert(0.0) += rate;
            }
        }
        for (equation, row, rate) in &told.equations {
            if let Some(at) = self.row.get(&(self.rows.of(*equation).start + row)) {
                let factor = self.residual_of(self.rows.system.get_equation(*equation));
                *list.entry(*at).or_insert(0.0) += rate * factor;
            }
        }
        list.into_iter()
            .filter(|(_, rate)| *rate != 0.0)
            .map(|(at, rate)| (draws.slot(at), rate))
            .collect()
    }
}
