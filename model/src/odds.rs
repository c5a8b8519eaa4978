//! Contradictions, each as the two ways round a loop. In: a solution. Out: for each statement at odds the signed figures of its
//! fundamental circuit, those that count one way and those that count the other, each with its sum; the two sums differ by
//! the miss. A length is homogeneous of the first degree in all lengths, so that by Euler's theorem the legs add up exactly,
//! turned parts or not; an angle adds nothing and shows its rate.

mod candidates;
mod consistency;
mod drops;
mod rest;

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;
use strongback_solver::{Equation, EquationId, Sensitivity, Var, Verdict};

use crate::assembly::{AssembledStatement, Solved};
use crate::document::Trust;
use crate::why::Leg;

pub use drops::{Dropped, Drops, drops};

/// A statement at odds, with its loop.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Contradiction {
    /// The statement that gave way.
    pub statement: String,
    /// The sheet it stands on.
    pub sheet: Option<String>,
    /// How far it is trusted.
    pub trust: Trust,
    /// Why it is trusted so far, as the file says.
    pub because: Option<String>,
    /// Which of several readings it is.
    pub reading: Option<String>,
    /// What of it misses, in a word or two: one statement may compare several things.
    pub what: String,
    /// Whether the rest of it still places something: only what misses gave way.
    pub still_places: bool,
    /// By how much it misses: millimetres, or degrees for an angle.
    pub miss: f64,
    /// Whether the miss is an angle.
    pub angle: bool,
    /// The figures that count one way round, in building order, and those that count the other way.
    pub ways: [Way; 2],
    /// Figures that turn the loop and add nothing to its length, with their rates: angles, in millimetres of miss per degree;
    /// and all figures of a miss that is an angle, in degrees per millimetre or degree.
    pub turning: Vec<Leg>,
    /// The other statements of the loop, in building order.
    pub with: Vec<Member>,
    /// Whether the two sums differ by the miss itself; otherwise by its linear part.
    pub adds_up: bool,
}

/// One way round a loop.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Way {
    /// Its figures, with what each adds.
    pub legs: Vec<Leg>,
    /// Their sum in millimetres, without its sign.
    pub sum_mm: f64,
}

/// A statement of a loop.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Member {
    /// The statement.
    pub statement: String,
    /// Its kind, as the file calls it.
    pub kind: String,
    /// The sheet it stands on.
    pub sheet: Option<String>,
    /// How far it is trusted.
    pub trust: Trust,
    /// Why it is trusted so far, as the file says.
    pub because: Option<String>,
    /// Which of several readings it is.
    pub reading: Option<String>,
}

/// The rows of an equation as one: of several the root of the sum of squares, which is what the equation misses by. It is as
/// homogeneous as they are.
fn together(mut rows: Vec<Sensitivity>) -> Option<Sensitivity> {
    /// A derivative below this is the rounding of products that cancel.
    const NOTHING: f64 = 1e-12;
    if rows.len() < 2 {
        return rows.pop();
    }
    let norm = rows
        .iter()
        .map(|row| row.value * row.value)
        .sum::<f64>()
        .sqrt();
    if !(norm > 0.0 && norm.is_finite()) {
        return rows.into_iter().next();
    }
    let mut givens: BTreeMap<Var, f64> = BTreeMap::new();
    let mut told = Sensitivity {
        value: norm,
        ..Sensitivity::default()
    };
    for row in rows {
        let share = row.value / norm;
        for (var, by) in row.givens {
            *givens.entry(var).or_default() += share * by;
        }
        if share != 0.0 {
            let carried = row.equations.into_iter();
            told.equations
                .extend(carried.map(|(id, at, by)| (id, at, share * by)));
        }
    }
    let counts = |(_, by): &(Var, f64)| by.abs() > NOTHING;
    told.givens = givens.into_iter().filter(counts).collect();
    Some(told)
}

impl Solved<'_> {
    /// All statements at odds, in the order of the file.
    pub fn contradictions(&self) -> Vec<Contradiction> {
        self.disagreeing()
            .filter_map(|(statement, id, miss, angle)| {
                self.contradiction(statement, id, miss, angle)
            })
            .collect()
    }

    fn contradiction(
        &self,
        statement: &AssembledStatement,
        id: EquationId,
        miss: f64,
        angle: bool,
    ) -> Option<Contradiction> {
        /// A rate below this is the rounding of products that cancel.
        const RATE_COUNTS: f64 = 1e-9;
        /// Nearer to a right angle than this cosine a sine tells no angle.
        const SQUARE: f64 = 1e-6;
        /// Two sums differ by the miss within this, in millimetres.
        const EXACT: f64 = 1e-6;
        let assembly = self.assembly;
        let equation = assembly.system.get_equation(id);
        let told = together(self.solution.sensitivity(equation))?;
        let mut equations: Vec<_> = told.equations.iter().map(|(id, _, _)| *id).collect();
        let mut with: Vec<Member> = Vec::new();
        let mut known: BTreeSet<&str> = BTreeSet::new();
        self.sort_as_built(&mut equations);
        for member in equations.iter().map(|id| assembly.statement_of(*id)) {
            if member.name != statement.name && known.insert(&member.name) {
                with.push(Member {
                    statement: member.name.clone(),
                    kind: member.word.to_owned(),
                    sheet: member.sheet.clone(),
                    trust: member.trust,
                    because: member.because.clone(),
                    reading: member.reading.clone(),
                });
            }
        }
        equations.push(id);
        let legs = self.legs_as_built(&told.givens, &equations);
        let (mut turning, counting): (Vec<Leg>, Vec<Leg>) = legs
            .into_iter()
            .map(|(_, leg)| leg)
            .partition(|leg| angle || leg.angle);
        if angle {
            // rows that compare directions are radians times the reference length, some of them sines
            let scale = match equation {
                Equation::Parallel { .. }
                | Equation::Perpendicular { .. }
                | Equation::Mirrored { .. } => {
                    assembly.system.reference_length() * miss.to_radians().cos().abs().max(SQUARE)
                }
                _ => assembly.system.reference_length(),
            };
            for leg in &mut turning {
                leg.factor = (leg.factor / scale).to_degrees();
                leg.adds_mm = 0.0;
            }
        }
        let mut ways = [Way::default(), Way::default()];
        for leg in counting.into_iter().filter(|leg| leg.adds_mm != 0.0) {
            let way = &mut ways[usize::from(leg.adds_mm < 0.0)];
            way.sum_mm += leg.adds_mm.abs();
            way.legs.push(leg);
        }
        // the way of the statement's own figure comes first
        let own = |way: &Way| way.legs.iter().any(|leg| self.is_figure_of(&leg.name, id));
        if own(&ways[1]) && !own(&ways[0]) {
            ways.swap(0, 1);
        }
        let apart = (ways[0].sum_mm - ways[1].sum_mm).abs();
        Some(Contradiction {
            statement: statement.name.clone(),
            sheet: statement.sheet.clone(),
            trust: statement.trust,
            because: statement.because.clone(),
            reading: statement.reading.clone(),
            what: own_words(statement, id),
            still_places: self.placing_beside(statement, id).next().is_some(),
            miss,
            angle,
            adds_up: !angle && (apart - miss.abs()).abs() < EXACT,
            ways,
            turning: turning
                .into_iter()
                .filter(|leg| leg.factor.abs() > RATE_COUNTS)
                .collect(),
            with,
        })
    }

    /// The other equations of a statement that place something.
    pub(crate) fn placing_beside<'s>(
        &'s self,
        statement: &'s AssembledStatement,
        id: EquationId,
    ) -> impl Iterator<Item = EquationId> + 's {
        let others = statement.equations.iter().map(|(_, other)| *other);
        others.filter(move |other| *other != id && self.solution.verdict(*other) == Verdict::Places)
    }

    /// Whether a figure, as it is told, is one that the equation compares with.
    fn is_figure_of(&self, told: &str, id: EquationId) -> bool {
        let form = self.assembly.system.get_equation(id).figure();
        form.is_some_and(|form| {
            form.vars().any(|var| {
                let label = self.assembly.quantities.label(var);
                label.is_some_and(|label| label.told() == told)
            })
        })
    }
}

/// What an equation of a statement compares.
fn own_words(statement: &AssembledStatement, id: EquationId) -> String {
    let mut equations = statement.equations.iter();
    let own = equations.find(|(_, own)| *own == id);
    own.map_or_else(String::new, |(what, _)| what.clone())
}
