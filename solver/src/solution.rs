//! A solution and the questions it answers: verdicts, circuits, motions, derivatives.

use std::cell::{OnceCell, RefCell};
use std::collections::BTreeSet;

use serde::Serialize;

use crate::after::Downstream;
use crate::basis::{Basis, Combination, Elimination};
use crate::equation::Equation;
use crate::geometry::{Affine, BodyId, Direction, Point, Var};
use crate::readers::Readers;
use crate::rows::Rows;
use crate::square::{BlockList, Square};
use crate::system::{EquationId, State, Status, System};
use crate::tolerance::Tolerances;

/// What became of an equation.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub enum Verdict {
    /// At least one of its rows helps to place something.
    Places,
    /// It follows from others and agrees with them.
    Spare,
    /// It was not reached, and something that it reads is loose: whether it can hold is known once that is settled.
    Waits {
        /// How far it is off where the search ended: as for [`Verdict::AtOdds`].
        miss: f64,
    },
    /// It can't hold together with those that are trusted more. The miss is in millimetres or
    /// radians, the largest of its rows in size, with its sign.
    AtOdds {
        /// By how much it misses.
        miss: f64,
    },
}

/// What was done, and how well it ended.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Report {
    /// Unknowns to be found.
    pub unknowns: usize,
    /// Rows stated.
    pub rows: usize,
    /// Independent rows.
    pub rank: usize,
    /// Ways left to move: unknowns less rank.
    pub freedoms: usize,
    /// Blocks solved one after the other.
    pub blocks: usize,
    /// Unknowns of the largest block.
    pub largest_block: usize,
    /// Steps of the iterative methods, over all blocks.
    pub iterations: u64,
    /// How often the kept set was chosen.
    pub rounds: usize,
    /// The largest residual of the kept rows, in millimetres (angles times the reference length).
    pub largest_residual: f64,
    /// Wall time in seconds.
    pub seconds: f64,
}

/// A row, or a quantity, told as a combination of what places it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sensitivity {
    /// The value: millimetres, or radians times the reference length.
    pub value: f64,
    /// The rows that carry it: equation, its row, the coefficient of that row's residual.
    pub equations: Vec<(EquationId, usize, f64)>,
    /// The total derivative by each given variable that has one.
    pub givens: Vec<(Var, f64)>,
    /// What depends on unknowns that nothing settles.
    pub loose: Vec<(Var, f64)>,
}

/// A state at which every kept row holds, with the factorised kept rows.
pub struct Solution<'a> {
    pub(crate) rows: Rows<'a>,
    pub(crate) state: State,
    pub(crate) basis: Basis,
    pub(crate) verdicts: Vec<Verdict>,
    pub(crate) report: Report,
    /// The blocks in an order in which they can be solved, once they were asked for.
    pub(crate) order: OnceCell<BlockList>,
    /// Where changes are followed, once one was.
    pub(crate) downstream: RefCell<Option<Downstream>>,
    /// Room to tell rows by the kept ones.
    pub(crate) elimination: RefCell<Elimination>,
    /// A generic point near the state, with the kept rows factorised there, once they were asked for.
    pub(crate) beside: OnceCell<(State, Basis)>,
    /// Who reads what, once it was asked for.
    pub(crate) readers: OnceCell<Readers>,
}

impl Solution<'_> {
    /// The blocks of the kept rows, in an order in which they can be solved and that is as near as may be to that of trust.
    pub(crate) fn order(&self) -> &BlockList {
        self.order.get_or_init(|| {
            let rows = &self.rows;
            let spread = Tolerances::default().generic;
            let near = rows.generic_near(&self.state, spread);
            let jacobians = [rows.jacobian(&near), rows.jacobian(&self.state)];
            let mut kept = self.basis.kept.clone();
            kept.sort_unstable_by_key(|row| rows.trust_position(*row));
            let columns = self.basis.pivots().collect();
            Square::new(kept, columns, rows.unknowns.len(), &jacobians).blocks()
        })
    }

    /// What was done.
    pub fn report(&self) -> &Report {
        &self.report
    }

    /// The values found.
    pub fn state(&self) -> &State {
        &self.state
    }

    /// The system that was solved.
    pub fn system(&self) -> &System {
        self.rows.system
    }

    /// What became of an equation.
    pub fn verdict(&self, equation: EquationId) -> Verdict {
        self.verdicts[equation.index()]
    }

    /// The fixed coordinates of a point, in millimetres.
    pub fn point(&self, point: &Point) -> [f64; 3] {
        self.rows.system.point_at(point, &self.state)
    }

    /// The fixed components of a direction.
    pub fn direction(&self, direction: &Direction) -> [f64; 3] {
        self.rows.system.direction_at(direction, &self.state)
    }

    /// The value of an affine form.
    pub fn form(&self, form: &Affine) -> f64 {
        self.rows.system.form_at(form, &self.state)
    }

    /// A body's rotation matrix.
    pub fn rotation(&self, body: BodyId) -> [[f64; 3]; 3] {
        self.rows.system.rotation_at(body, &self.state)
    }

    /// How far any equation is from holding: its rows in millimetres, or one angle in radians.
    pub fn miss(&self, equation: &Equation) -> Vec<f64> {
        self.rows.system.miss(equation, &self.state)
    }

    /// The first-order dependence of each row of an equation that need not belong to the system: by
    /// the adjoint of the kept rows, λ from Bᵀ λ = ∇c, and dc/dp = ∂c/∂p − Σ λᵢ ∂Fᵢ/∂p.
    pub fn sensitivity(&self, equation: &Equation) -> Vec<Sensitivity> {
        let values = self.rows.system.residual(equation, &self.state);
        self.rows
            .gradient(equation, &self.state)
            .iter()
            .enumerate()
            .map(|(row, gradient)| {
                let told = (self.basis).express(gradient, &mut self.elimination.borrow_mut());
                self.explain(equation, row, values[row], told)
            })
            .collect()
    }

    /// How the unknowns change to first order when given variables and the residuals of kept rows do, what nothing settles
    /// held: B dx = dF − ∂B/∂p dp. Only those that change.
    pub fn response(
        &self,
        residuals: &[(EquationId, usize, f64)],
        givens: &[(Var, f64)],
    ) -> Vec<(Var, f64)> {
        let mut due: Vec<(usize, f64)> = Vec::new();
        for (equation, row, by) in residuals {
            due.extend(self.position_of(*equation, *row).map(|at| (at, *by)));
        }
        for (var, by) in givens {
            self.due_to_given(*var, *by, &mut due);
        }
        let step = self.basis.respond(&due).into_iter();
        step.map(|(column, by)| (self.rows.unknowns[column], by))
            .collect()
    }

    /// What kept rows have to change by, to first order, so that they still hold when a given variable changes.
    pub(crate) fn due_to_given(&self, var: Var, by: f64, due: &mut Vec<(usize, f64)>) {
        for at in self.readers().kept(&self.rows, var) {
            let id = self.rows.ids[self.basis.kept[at]];
            let equation = self.rows.system.get_equation(id.equation);
            let derivatives = self.rows.system.derivatives(equation, &self.state, &[var]);
            due.push((at, -by * derivatives[id.row][0]));
        }
    }

    /// The position of a row in the basis, if it is kept.
    pub(crate) fn position_of(&self, equation: EquationId, row: usize) -> Option<usize> {
        let row = self.rows.of(equation).start + row;
        self.readers().position(row)
    }

    /// Who reads what.
    pub(crate) fn readers(&self) -> &Readers {
        self.readers
            .get_or_init(|| Readers::new(&self.rows, &self.basis))
    }

    /// The rows that place nothing, each with its equation.
    pub fn unkept(&self) -> Vec<(EquationId, usize)> {
        let kept: BTreeSet<usize> = self.basis.kept.iter().copied().collect();
        let rows = self.rows.ids.iter().enumerate();
        rows.filter(|(at, _)| !kept.contains(at))
            .map(|(_, id)| (id.equation, id.row))
            .collect()
    }

    /// The rows that place something, each with its equation.
    pub fn kept(&self) -> impl Iterator<Item = (EquationId, usize)> + '_ {
        let rows = self.basis.kept.iter().map(|row| self.rows.ids[*row]);
        rows.map(|id| (id.equation, id.row))
    }

    /// Whether an equation is affine in the unknowns, so that first-order statements about it are exact.
    pub fn is_affine(&self, equation: EquationId) -> bool {
        self.rows.is_affine(equation)
    }

    /// Whether an equation and all that carries it are affine in every variable: then what it is told by holds for a change of
    /// any length, and else the derivatives are the rates at the solution.
    pub fn is_affine_throughout(&self, equation: &Equation, told: &Sensitivity) -> bool {
        let system = self.rows.system;
        let carriers = told
            .equations
            .iter()
            .map(|(id, _, _)| system.get_equation(*id));
        carriers.chain([equation]).all(|one| system.is_affine(one))
    }

    /// Whether an equation, which need not belong to the system, is affine as long as nothing but these unknowns moves.
    pub fn is_affine_along(&self, equation: &Equation, moving: &BTreeSet<Var>) -> bool {
        let turns = self.rows.system.turns_of(equation);
        equation.is_affine_with_turns_held() && turns.iter().all(|turn| !moving.contains(turn))
    }

    /// The unknowns that no kept row accounts for: one for each way left to move.
    pub fn free_unknowns(&self) -> impl Iterator<Item = Var> + '_ {
        let columns = self.basis.free_columns().into_iter();
        columns.map(|column| self.rows.unknowns[column])
    }

    /// Whether an equation's rows depend on something that is loose: to first order at the solution, or at a generic point
    /// near it, since a derivative may vanish where things happen to lie in line.
    pub fn rests_on_loose(&self, equation: &Equation) -> bool {
        if self.basis.rank() == self.rows.unknowns.len() {
            return false;
        }
        let (near, beside) = self.beside.get_or_init(|| {
            let tolerances = Tolerances::default();
            let near = self.rows.generic_near(&self.state, tolerances.generic);
            let kept: BTreeSet<usize> = self.basis.kept.iter().copied().collect();
            let basis = Basis::of(
                &self.rows,
                &self.rows.jacobian(&near),
                |row| kept.contains(&row),
                &tolerances,
            );
            (near, basis)
        });
        let open = |basis: &Basis, state: &State| {
            self.rows.gradient(equation, state).iter().any(|gradient| {
                let told = basis.express(gradient, &mut self.elimination.borrow_mut());
                !told.rest.is_empty()
            })
        };
        open(&self.basis, &self.state) || open(beside, near)
    }

    fn explain(
        &self,
        equation: &Equation,
        row: usize,
        value: f64,
        told: Combination,
    ) -> Sensitivity {
        let system = self.rows.system;
        let mut by_given = std::collections::BTreeMap::new();
        self.add_givens(equation, row, 1.0, &mut by_given);
        let mut equations = Vec::new();
        for (at, coefficient) in told.kept {
            let id = self.rows.ids[self.basis.kept[at]];
            let carrier = system.get_equation(id.equation);
            self.add_givens(carrier, id.row, -coefficient, &mut by_given);
            equations.push((id.equation, id.row, coefficient));
        }
        /// A derivative below this is the rounding of products that cancel.
        const NOTHING: f64 = 1e-12;
        Sensitivity {
            value,
            equations,
            givens: by_given
                .into_iter()
                .filter(|(_, d)| f64::abs(*d) > NOTHING)
                .collect(),
            loose: told
                .rest
                .into_iter()
                .map(|(column, d)| (self.rows.unknowns[column], d))
                .collect(),
        }
    }

    fn add_givens(
        &self,
        equation: &Equation,
        row: usize,
        factor: f64,
        sums: &mut std::collections::BTreeMap<Var, f64>,
    ) {
        let system = self.rows.system;
        let vars = system.variables_of(equation, Some(Status::Given));
        let derivatives = system.derivatives(equation, &self.state, &vars);
        for (var, derivative) in vars.into_iter().zip(&derivatives[row]) {
            if *derivative != 0.0 {
                *sums.entry(var).or_insert(0.0) += factor * derivative;
            }
        }
    }

    /// The ways left to move: a sparse basis of the null space at the solution. Each motion lists
    /// unknowns with their rates, millimetres or radians, for a rate of 1 of its first free unknown.
    pub fn motions(&self) -> Vec<Vec<(Var, f64)>> {
        self.basis
            .motions()
            .into_iter()
            .map(|motion| {
                motion
                    .into_iter()
                    .map(|(column, by)| (self.rows.unknowns[column], by))
                    .collect()
            })
            .collect()
    }

    /// The body and the component of the increment that a tangent variable belongs to.
    pub fn tangent(&self, var: Var) -> Option<(BodyId, usize)> {
        let column = self.rows.column_of[var.index()]?;
        self.rows.tangent_of[column]
    }

    /// The variables that an equation reads.
    pub fn reads(&self, equation: EquationId) -> Vec<Var> {
        let system = self.rows.system;
        system.variables_of(system.get_equation(equation), None)
    }

    /// For each equation, by its number, the block in which it was first used.
    pub fn block_of_equations(&self) -> Vec<Option<usize>> {
        let mut block_of = vec![None; self.rows.system.equation_count()];
        for (at, block) in self.order().iter().enumerate() {
            for row in block.rows {
                let first = &mut block_of[self.rows.ids[*row].equation.index()];
                first.get_or_insert(at);
            }
        }
        block_of
    }

    /// The unknowns that a block found.
    pub fn found_by(&self, block: usize) -> Vec<Var> {
        let columns = self.order().get(block).columns.iter();
        columns.map(|column| self.rows.unknowns[*column]).collect()
    }

    /// The blocks in the order in which they were solved: the equations that were used and the
    /// unknowns they found.
    pub fn blocks(&self) -> impl Iterator<Item = (Vec<EquationId>, Vec<Var>)> + '_ {
        self.order().iter().map(|block| {
            let mut equations: Vec<EquationId> = block
                .rows
                .iter()
                .map(|row| self.rows.ids[*row].equation)
                .collect();
            equations.dedup();
            let unknowns = block
                .columns
                .iter()
                .map(|c| self.rows.unknowns[*c])
                .collect();
            (equations, unknowns)
        })
    }
}
