//! A system: variables, bodies and equations, and who reads what.

use nalgebra::{Matrix3, Rotation3, Vector3};

use crate::equation::{Equation, Measure, Reads};
use crate::geometry::{Affine, Body, BodyId, Turn, Var};
use crate::neighbours::Apart;

/// Whether a variable is to be found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// Its value is given.
    Given,
    /// Its value is to be found.
    Unknown,
}

/// A variable of a system.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Variable {
    /// Given or to be found.
    pub status: Status,
    /// Millimetres or radians.
    pub measure: Measure,
    /// The given value, or the drawn one from which the search starts.
    pub value: f64,
}

/// An equation of a system, by its position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct EquationId(pub(crate) u32);

impl EquationId {
    /// Position in the system's list of equations.
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

/// Variables, bodies and equations. Built once, then [solved](crate::solve).
#[derive(Clone, Debug)]
pub struct System {
    pub(crate) variables: Vec<Variable>,
    pub(crate) bodies: Vec<Body>,
    pub(crate) starts: Vec<Matrix3<f64>>,
    pub(crate) equations: Vec<Equation>,
    pub(crate) priorities: Vec<u32>,
    pub(crate) scale: f64,
}

impl System {
    /// An empty system. `reference_length` in millimetres is of the size of the whole: it turns
    /// angles into lengths and gives the tolerances their meaning. Body 0 is [`System::FIXED`].
    pub fn new(reference_length: f64) -> Self {
        let mut system = Self {
            variables: Vec::new(),
            bodies: Vec::new(),
            starts: Vec::new(),
            equations: Vec::new(),
            priorities: Vec::new(),
            scale: reference_length,
        };
        system.body([(); 3].map(|()| Affine::constant(0.0)), Turn::Square);
        system
    }

    /// The body that carries the fixed axes.
    pub const FIXED: BodyId = BodyId(0);

    /// Adds a variable whose value is given.
    pub fn given(&mut self, value: f64, measure: Measure) -> Var {
        self.variable(Status::Given, value, measure)
    }

    /// Adds a variable to be found, starting from the drawn value.
    pub fn unknown(&mut self, start: f64, measure: Measure) -> Var {
        self.variable(Status::Unknown, start, measure)
    }

    fn variable(&mut self, status: Status, value: f64, measure: Measure) -> Var {
        let var = Var(self.variables.len() as u32);
        self.variables.push(Variable {
            status,
            measure,
            value,
        });
        var
    }

    /// A turn about all three axes that is to be found, starting from a rotation.
    pub fn free_turn(&mut self) -> Turn {
        Turn::Free {
            tangent: [(); 3].map(|()| self.unknown(0.0, Measure::Angle)),
        }
    }

    /// Adds a body whose free turn, if it has one, starts from no rotation.
    pub fn body(&mut self, origin: [Affine; 3], turn: Turn) -> BodyId {
        self.body_from(origin, turn, Rotation3::identity())
    }

    /// Adds a body whose free turn starts from `start`.
    pub fn body_from(&mut self, origin: [Affine; 3], turn: Turn, start: Rotation3<f64>) -> BodyId {
        let id = BodyId(self.bodies.len() as u32);
        self.bodies.push(Body { origin, turn });
        self.starts.push(start.into_inner());
        id
    }

    /// Adds an equation. Of two that can't both be kept, the one with the lower `priority` number is;
    /// of equal ones, the one that was added first.
    pub fn equation(&mut self, equation: Equation, priority: u32) -> EquationId {
        let id = EquationId(self.equations.len() as u32);
        self.equations.push(equation);
        self.priorities.push(priority);
        id
    }

    /// The variable.
    pub fn get(&self, var: Var) -> &Variable {
        &self.variables[var.index()]
    }

    /// Gives a variable whose value is given another value; one that is to be found is left alone.
    pub fn set_given(&mut self, var: Var, value: f64) {
        let variable = &mut self.variables[var.index()];
        if variable.status == Status::Given {
            variable.value = value;
        }
    }

    /// The equation.
    pub fn get_equation(&self, id: EquationId) -> &Equation {
        &self.equations[id.index()]
    }

    /// How a body is turned.
    pub fn turn(&self, body: BodyId) -> &Turn {
        &self.bodies[body.index()].turn
    }

    /// The variables that place a body: those of its origin and its turn.
    pub fn vars_of_body(&self, body: BodyId) -> Vec<Var> {
        let body = &self.bodies[body.index()];
        let mut vars = body.turn.vars();
        vars.extend(body.origin.iter().flat_map(Affine::vars));
        vars
    }

    /// The number of equations.
    pub fn equation_count(&self) -> usize {
        self.equations.len()
    }

    /// Sets the length by which angles are multiplied, in millimetres.
    pub fn set_reference_length(&mut self, length: f64) {
        self.scale = length;
    }

    /// The greatest length given or drawn, in millimetres.
    pub fn longest(&self) -> f64 {
        self.variables
            .iter()
            .filter(|variable| variable.measure == Measure::Length)
            .map(|variable| variable.value.abs())
            .fold(0.0, f64::max)
    }

    /// The length by which angles are multiplied, in millimetres.
    pub fn reference_length(&self) -> f64 {
        self.scale
    }

    /// The variables an equation reads, each once, in order; with `status` only those.
    pub(crate) fn variables_of(&self, equation: &Equation, status: Option<Status>) -> Vec<Var> {
        let mut list: Vec<Var> = Vec::with_capacity(12);
        self.for_each_var(equation, &mut |var| {
            if status.is_none_or(|status| self.get(var).status == status) {
                list.push(var);
            }
        });
        list.sort_unstable();
        list.dedup();
        list
    }

    /// Calls `f` with the variables an equation reads, some of them several times.
    pub(crate) fn for_each_var(&self, equation: &Equation, f: &mut impl FnMut(Var)) {
        equation.for_each_form(&mut |form| form.vars().for_each(&mut *f));
        equation.for_each_body(&mut |body, reads| {
            let body = &self.bodies[body.index()];
            if reads == Reads::OriginAndTurn {
                body.origin.iter().flat_map(Affine::vars).for_each(&mut *f);
            }
            body.turn.for_each_var(&mut *f);
        });
    }

    /// The bodies an equation reads, each once, in order.
    pub fn bodies_of(&self, equation: &Equation) -> Vec<BodyId> {
        let mut list = Vec::new();
        equation.for_each_body(&mut |body, _| list.push(body));
        list.sort_unstable_by_key(|body| body.index());
        list.dedup();
        list
    }

    /// The variables by which an equation's rows are not affine: the turns of its bodies.
    pub(crate) fn turns_of(&self, equation: &Equation) -> Vec<Var> {
        let mut list = Vec::new();
        self.for_each_turn_var(equation, &mut |var| list.push(var));
        list
    }

    /// Calls `f` with the variables of the turns of an equation's bodies.
    pub(crate) fn for_each_turn_var(&self, equation: &Equation, f: &mut impl FnMut(Var)) {
        equation.for_each_body(&mut |body, _| self.bodies[body.index()].turn.for_each_var(&mut *f));
    }

    /// Whether an equation's rows are affine in all that it reads, given or to be found.
    pub(crate) fn is_affine(&self, equation: &Equation) -> bool {
        equation.is_affine_with_turns_held() && self.turns_of(equation).is_empty()
    }

    /// How far two states lie apart as places, in some unknowns.
    pub fn apart(&self, unknowns: &[Var], a: &State, b: &State) -> Apart {
        let mut apart = Apart::default();
        let mut turns = Vec::new();
        for (index, body) in self.bodies.iter().enumerate() {
            let vars = body.turn.vars();
            if vars.iter().any(|var| unknowns.contains(var)) {
                turns.extend(vars);
                let [a, b] = [a, b].map(|state| {
                    let rows = self.rotation_at(BodyId(index as u32), state);
                    Rotation3::from_matrix_unchecked(Matrix3::from_fn(|i, j| rows[i][j]))
                });
                apart.turn = apart.turn.max(a.angle_to(&b));
            }
        }
        for var in unknowns.iter().filter(|var| !turns.contains(var)) {
            let by = a.value(*var) - b.value(*var);
            match self.get(*var).measure {
                Measure::Length => apart.length = apart.length.max(by.abs()),
                Measure::Angle => apart.turn = apart.turn.max(by.sin().atan2(by.cos()).abs()),
            }
        }
        apart
    }

    /// The drawn state.
    pub fn start(&self) -> State {
        State {
            values: self.variables.iter().map(|v| v.value).collect(),
            rotations: self.starts.clone(),
        }
    }

    /// All variables, in the order in which they were added.
    pub fn variables(&self) -> impl Iterator<Item = (Var, &Variable)> {
        let vars = (0..).map(Var);
        self.variables
            .iter()
            .zip(vars)
            .map(|(variable, var)| (var, variable))
    }

    /// All bodies, by [`BodyId::index`].
    pub fn bodies(&self) -> &[Body] {
        &self.bodies
    }

    /// All equations, in the order in which they were added.
    pub fn equations(&self) -> impl Iterator<Item = (EquationId, &Equation)> {
        let ids = (0..).map(EquationId);
        self.equations
            .iter()
            .zip(ids)
            .map(|(equation, id)| (id, equation))
    }
}

/// Values of all variables and the free rotations of all bodies.
#[derive(Clone, Debug, PartialEq)]
pub struct State {
    pub(crate) values: Vec<f64>,
    pub(crate) rotations: Vec<Matrix3<f64>>,
}

impl State {
    /// The value of a variable, in millimetres or radians.
    pub fn value(&self, var: Var) -> f64 {
        self.values[var.index()]
    }

    /// Turns a free body by the rotation vector ω, in the fixed axes: R ← exp([ω]ₓ) R
    /// (Rodrigues' formula).
    pub(crate) fn turn(&mut self, body: BodyId, omega: Vector3<f64>) {
        let increment = Rotation3::new(omega);
        let turned = increment.into_inner() * self.rotations[body.index()];
        self.rotations[body.index()] = orthonormal(turned);
    }
}

/// Takes the rounding out of a product of rotations (one step of Gram and Schmidt).
fn orthonormal(m: Matrix3<f64>) -> Matrix3<f64> {
    let x = m.column(0).normalize();
    let y = m.column(1) - x * x.dot(&m.column(1));
    let y = y.normalize();
    Matrix3::from_columns(&[x, y, x.cross(&y)])
}
