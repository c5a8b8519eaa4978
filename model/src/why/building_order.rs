//! The figures of a chain in the order in which one builds: what a statement measures from, what lies between, and only then
//! the part that it places. In: the statements of a chain and the solution's blocks. Out: a place in the chain for each variable.

use std::collections::{BTreeSet, HashMap};

use strongback_solver::{BodyId, EquationId, Status, Var};

use crate::assembly::Solved;
use crate::words::Axis;

/// In which order the solution meets things.
#[derive(Debug, Default)]
pub(crate) struct Order {
    /// The block in which each equation first stands, by the equation's number.
    block_of: Vec<Option<usize>>,
    /// The places of the parts among the assembly's, by their bodies.
    part_of: HashMap<BodyId, usize>,
}

impl Order {
    /// When an equation is used: the number of its block.
    pub(super) fn of(&self, equation: EquationId) -> usize {
        self.block(equation).unwrap_or(usize::MAX)
    }

    fn block(&self, equation: EquationId) -> Option<usize> {
        self.block_of.get(equation.index()).copied().flatten()
    }
}

/// Where a figure comes among those that one equation reads; the less, the earlier.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    /// Of a part that stands already: the how-manieth it is in the chain, and whether it is a size and no coordinate.
    Standing(usize, bool),
    /// Of the statement itself, or of a part that only lies between.
    Between,
    /// Of the part that the equation places.
    Placed,
}

impl Solved<'_> {
    /// The order of the solution, worked out once for all chains that are asked for.
    pub(super) fn order(&self) -> &Order {
        self.order.get_or_init(|| {
            let parts = self.assembly.parts.iter().enumerate();
            Order {
                block_of: self.solution.block_of_equations(),
                part_of: parts.map(|(at, part)| (part.body, at)).collect(),
            }
        })
    }

    /// The parts that a block places or sizes, by their places among the assembly's parts.
    fn placed_by(&self, block: Option<usize>) -> BTreeSet<usize> {
        let found = block.map(|at| self.solution.found_by(at));
        let found = found.unwrap_or_default().into_iter();
        found.filter_map(|var| self.part_at(var)).collect()
    }

    /// The place of each variable in a chain that goes through some equations; what none of them reads comes after, and has
    /// none.
    pub(super) fn building_order(&self, through: &[EquationId]) -> HashMap<Var, usize> {
        let order = self.order();
        let mut equations = through.to_vec();
        equations.sort_by_key(|id| (order.of(*id), *id));
        equations.dedup();
        // the parts that stand, each with the how-manieth it is
        let mut standing: HashMap<usize, usize> = HashMap::new();
        let mut places = HashMap::new();
        // a large block is looked at once, not for each of its equations
        let mut placed = BTreeSet::new();
        let mut last = None;
        for id in equations {
            let block = order.block(id);
            if block != last {
                placed = self.placed_by(block);
                last = block;
                // while it is being placed a part is told from one that stands
                for part in &placed {
                    let next = standing.len();
                    standing.entry(*part).or_insert(next);
                }
            }
            let mut read: Vec<(Rank, Var)> = self
                .solution
                .reads(id)
                .into_iter()
                .map(|var| (self.rank(var, &placed, &standing), var))
                .collect();
            read.sort();
            for (_, var) in read {
                let next = places.len();
                places.entry(var).or_insert(next);
            }
        }
        places
    }

    fn rank(&self, var: Var, placed: &BTreeSet<usize>, standing: &HashMap<usize, usize>) -> Rank {
        let Some(part) = self.part_at(var) else {
            return Rank::Between;
        };
        if placed.contains(&part) {
            return Rank::Placed;
        }
        let is_size = !self.is_coordinate(var);
        match standing.get(&part) {
            Some(at) => Rank::Standing(at + 1, is_size),
            None if self.is_stated(part) => Rank::Standing(0, is_size),
            None => Rank::Between,
        }
    }

    /// Whether a variable is a coordinate of a part and no size of it.
    pub(super) fn is_coordinate(&self, var: Var) -> bool {
        let label = self.assembly.quantities.label(var);
        label.is_some_and(|label| Axis::ALL.iter().any(|axis| axis.short() == label.detail))
    }

    /// Whether all coordinates of a part are stated.
    fn is_stated(&self, part: usize) -> bool {
        let system = &self.assembly.system;
        let mut vars = self.assembly.parts[part]
            .origin
            .iter()
            .flat_map(|form| form.vars());
        vars.all(|var| system.get(var).status != Status::Unknown)
    }

    /// The part that a variable is a coordinate, a turn or a size of.
    fn part_at(&self, var: Var) -> Option<usize> {
        let assembly = self.assembly;
        if let Some((body, _)) = self.solution.tangent(var) {
            return self.order().part_of.get(&body).copied();
        }
        let label = assembly.quantities.label(var)?;
        assembly.names.get_index_of(label.text.as_str())
    }
}
