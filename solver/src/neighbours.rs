//! Other roots near a solution: of several solutions the one nearest the drawn state is meant, and this finds those beside it.
//!
//! In: a solution with its blocks. Out: for each block that is not affine the other values of its unknowns at which all its
//! rows hold, all else held; or that two roots meet where it stands. Near means less than the reference length, and less than
//! half a turn. Method: searches with the known roots divided out, begun beside them along the right singular vectors of the
//! block's Jacobian with the least singular values, where rows that hold let it move furthest. What is not found may exist.

use nalgebra::{DMatrix, DVector};

use crate::block::{Block, Local};
use crate::deflation::Deflated;
use crate::geometry::Var;
use crate::levenberg_marquardt::{self, Settings};
use crate::solution::Solution;
use crate::square::BlockOf;
use crate::system::State;
use crate::tolerance::Tolerances;

/// Another root of a block, or the same one twice.
#[derive(Clone, Debug, PartialEq)]
pub struct Neighbour {
    /// The unknowns of the block.
    pub unknowns: Vec<Var>,
    /// What they come to.
    pub is: Root,
}

/// How a block can be solved otherwise.
#[derive(Clone, Debug, PartialEq)]
pub enum Root {
    /// All rows of the block hold in this state too, in which everything else is as it was found: what reads the block's
    /// unknowns is not placed anew.
    Another(State),
    /// Two roots meet in the one found: a dead centre, where the least change of a figure moves the block far, or leaves no root.
    Meets,
}

/// A block wider than this is not searched.
const WIDEST: usize = 30;
/// More blocks than this are not searched: a whole airframe has some dozens, and each takes a millisecond or two.
const BLOCKS: usize = 100;
/// So many other roots of a block are looked for.
const ROOTS: usize = 3;
/// Along so many of the weakest directions.
const DIRECTIONS: usize = 3;
/// Lengths of the first step, relative to the reference length, or in radians.
const STEPS: [f64; 2] = [0.1, 0.5];
/// The longest first step, in the same measure: from there the search goes on by itself to what lies within half a turn.
const FURTHEST: f64 = 2.0;
/// Steps of one search: from beside a root a sound one takes fewer than 20.
const ITERATIONS: u64 = 40;
/// Newton's steps that take a root of the deflated rows to one of the rows themselves.
const POLISH: usize = 4;

/// What was found beside a solution.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Neighbours {
    /// Block by block in the order of solution, the nearest first.
    pub found: Vec<Neighbour>,
    /// Blocks that are not affine and were not searched: too wide, or too many.
    pub unsearched: usize,
}

impl Solution<'_> {
    /// Other roots near this solution. A system whose blocks are all affine has none and pays nothing.
    pub fn neighbours(&self) -> Neighbours {
        let tolerances = Tolerances::default();
        let affine = |block: &BlockOf<'_>| {
            let mut rows = block.rows.iter();
            rows.all(|row| self.rows.is_affine_in(*row, block.columns))
        };
        let (searched, left): (Vec<_>, Vec<_>) = self
            .order()
            .iter()
            .filter(|block| !affine(block))
            .partition(|block| block.columns.len() <= WIDEST);
        let mut list = Neighbours {
            found: Vec::new(),
            unsearched: left.len() + searched.len().saturating_sub(BLOCKS),
        };
        let mut state = self.state.clone();
        for block in searched.into_iter().take(BLOCKS) {
            let columns = block.columns.iter();
            let unknowns: Vec<Var> = columns.map(|column| self.rows.unknowns[*column]).collect();
            let search = Search::new(self, block, &unknowns, &tolerances, &mut state);
            let found = search.roots();
            search.block.put(&search.found);
            list.found.extend(found.into_iter().map(|is| Neighbour {
                unknowns: unknowns.clone(),
                is,
            }));
        }
        list
    }
}

/// The search beside one block's root.
struct Search<'n, 's> {
    solution: &'n Solution<'s>,
    block: Block<'n, 's>,
    unknowns: &'n [Var],
    tolerances: &'n Tolerances,
    found: Local,
}

/// A direction in which the rows change little: a step of length 1 along it, in the columns' own units.
struct Weak {
    step: DVector<f64>,
    /// Where the rows, bent as they are here, would hold again: in millimetres, with its sign.
    again: f64,
}

impl<'n, 's> Search<'n, 's> {
    fn new(
        solution: &'n Solution<'s>,
        rows: BlockOf<'_>,
        unknowns: &'n [Var],
        tolerances: &'n Tolerances,
        state: &'n mut State,
    ) -> Self {
        let block = Block::new(&solution.rows, rows.rows, rows.columns, state);
        Self {
            solution,
            unknowns,
            tolerances,
            found: block.local(),
            block,
        }
    }

    fn roots(&self) -> Vec<Root> {
        let length = self.block.reference_length();
        let weak = match self.weak_directions() {
            Some(weak) if length > 0.0 => weak,
            _ => return Vec::new(),
        };
        if weak[0].again.abs() <= self.tolerances.distinct * length {
            return vec![Root::Meets];
        }
        let mut known = vec![self.found.clone()];
        let mut near = Vec::new();
        for direction in &weak {
            let fixed = STEPS.iter().flat_map(|by| [by * length, -by * length]);
            let bent = direction.again.clamp(-FURTHEST * length, FURTHEST * length);
            let all = std::iter::once(bent).chain(fixed);
            for by in all.filter(|by| by.is_finite()) {
                if known.len() > ROOTS {
                    break;
                }
                let from = self.block.retract(&self.found, &(&direction.step * by));
                let Some(root) = self.search(&from, &known, by) else {
                    continue;
                };
                self.block.put(&root);
                let state = self.block.state();
                let apart = self.apart(&state);
                if apart.is_distinct(self.tolerances, length)
                    && apart.turn < self.tolerances.half_turn
                    && apart.length < length
                {
                    near.push((self.block.separation(&root, &self.found).0, state));
                }
                known.push(root);
            }
        }
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        near.into_iter()
            .map(|(_, state)| Root::Another(state))
            .collect()
    }

    fn apart(&self, state: &State) -> Apart {
        let system = self.solution.system();
        system.apart(self.unknowns, &self.solution.state, state)
    }

    /// A root other than the known ones: by the rows as they are, or, where they lead to a known one, with those divided out
    /// that lie as near as the start.
    fn search(&self, from: &Local, known: &[Local], by: f64) -> Option<Local> {
        let reach = by.abs() / self.block.reference_length();
        let is_new = |root: &Local| {
            let beside = |other: &Local| self.block.separation(root, other).0.sqrt();
            let apart = known.iter().map(beside).fold(f64::INFINITY, f64::min);
            apart > self.tolerances.distinct
        };
        let deflated = |roots| Deflated {
            block: &self.block,
            roots,
            reach,
        };
        self.minimised(&deflated(&[]), from)
            .filter(is_new)
            .or_else(|| self.minimised(&deflated(known), from).filter(is_new))
    }

    /// The root at which a search ends, if it ends at one.
    fn minimised(&self, deflated: &Deflated<'_, '_, '_>, from: &Local) -> Option<Local> {
        let within = self.tolerances.converged * self.block.reference_length();
        let settings = Settings {
            residual_tolerance: within,
            first_radius: 0.3,
            iteration_limit: ITERATIONS,
            ..Settings::default()
        };
        let fit = levenberg_marquardt::minimise(deflated, from.clone(), &settings).ok()?;
        self.block.put(&fit.point);
        (self.block.newton(POLISH, 0.0) <= within).then(|| self.block.local())
    }

    /// The weakest directions, the weakest first; none where a derivative is no finite number.
    fn weak_directions(&self) -> Option<Vec<Weak>> {
        /// Step of a difference of gradients, relative to the reference length.
        const DIFFERENCE: f64 = 1e-4;
        /// Far more than a block of the widest takes.
        const SVD_ITERATIONS: usize = 10_000;
        let units = self.block.units();
        let scaled = self.scaled(&self.found, &units)?;
        let svd = scaled.try_svd(true, true, f64::EPSILON, SVD_ITERATIONS)?;
        let (left, right) = (svd.u?, svd.v_t?);
        let mut order: Vec<usize> = (0..svd.singular_values.len()).collect();
        order.sort_by(|a, b| svd.singular_values[*a].total_cmp(&svd.singular_values[*b]));
        let difference = DIFFERENCE * self.block.reference_length();
        let weak = order.into_iter().take(DIRECTIONS).map(|at| {
            let direction = right.row(at).transpose();
            let step = direction.component_mul(&units);
            let sides = [difference, -difference].map(|by| {
                let beside = self.block.retract(&self.found, &(&step * by));
                self.scaled(&beside, &units)
            });
            let [Some(more), Some(less)] = sides else {
                return None;
            };
            let bend = (more - less) * &direction / (2.0 * difference);
            let again = -2.0 * svd.singular_values[at] / left.column(at).dot(&bend);
            Some(Weak { step, again })
        });
        weak.collect::<Option<Vec<Weak>>>()
            .filter(|weak| !weak.is_empty())
    }

    /// The Jacobian at a point, all columns counted as lengths.
    fn scaled(&self, at: &Local, units: &DVector<f64>) -> Option<DMatrix<f64>> {
        self.block.put(at);
        let mut matrix = self.block.derivatives();
        for (mut column, unit) in matrix.column_iter_mut().zip(units.iter()) {
            column *= *unit;
        }
        let finite = matrix.iter().all(|derivative| derivative.is_finite());
        finite.then_some(matrix)
    }
}

/// How far two states lie apart, in some of their unknowns.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Apart {
    /// The greatest difference of a length, in millimetres.
    pub length: f64,
    /// The greatest angle by which a body is turned otherwise, or another angle differs by other than whole turns, in radians.
    pub turn: f64,
}

impl Apart {
    /// Whether the two count as two places.
    pub fn is_distinct(&self, tolerances: &Tolerances, reference_length: f64) -> bool {
        self.length > tolerances.distinct * reference_length || self.turn > tolerances.distinct
    }
}
