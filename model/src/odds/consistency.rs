//! Whether the rest holds without some statements and figures, by linear algebra on the circuits. In: the rows that were not
//! kept, each as a combination of the kept ones. Out: it holds, with what holds instead of what was let go; or something comes
//! loose; or a contradiction is left, with all that takes part in it.
//!
//! A row that was not kept is r = m + Σ c·y, where m is its miss, y what the rows and figures let go may become, and c the
//! coefficients of its circuit. The rows that stay are taken in order of trust, as the solver takes them; one that depends on
//! those before it and is not zero then makes the contradiction. For affine rows this is exact; for others the state after the
//! exchange tells.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use nalgebra::DVector;
use strongback_solver::{EquationId, Exchange, Measure, State, Var};

use super::candidates::Candidate;
use crate::assembly::Solved;

/// Something that takes part in a circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum Member {
    /// A row of an equation.
    Row(EquationId, usize),
    /// A given figure.
    Figure(Var),
}

/// A row that was not kept.
#[derive(Debug)]
struct Unkept {
    equation: EquationId,
    row: usize,
    miss: f64,
    /// How far it may be off and still agree.
    within: f64,
    by: BTreeMap<Member, f64>,
}

/// All rows that were not kept, in order of trust, and by what they depend on.
#[derive(Debug)]
pub(super) struct Circuits {
    rows: Vec<Unkept>,
    with: HashMap<Member, Vec<usize>>,
    kept: BTreeSet<(EquationId, usize)>,
}

/// What is let go as one: a row, or a figure wherever it counts.
type Column = Vec<Member>;

/// What comes of letting something go.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Judged {
    /// The rest holds and stays settled, to first order: what is let go, and what holds instead.
    Holds(Exchange),
    /// Something comes loose.
    Loose,
    /// A contradiction is left, between these.
    Conflict(BTreeSet<Member>),
}

/// A coefficient this small against the largest of its row is the rounding of products that cancel.
const NOTHING: f64 = 1e-9;

/// A row of the small system: coefficients of what was let go, the constant, and the rows that it is made of.
struct Combined {
    by: DVector<f64>,
    constant: f64,
    of: BTreeMap<usize, f64>,
}

impl Circuits {
    /// Those of a solution.
    pub(super) fn of(solved: &Solved<'_>) -> Circuits {
        let (assembly, solution) = (solved.assembly, &solved.solution);
        let scale = assembly.system.reference_length();
        let rounding = 1e-9 * scale;
        let mut unkept: BTreeMap<EquationId, BTreeSet<usize>> = BTreeMap::new();
        for (equation, row) in solution.unkept() {
            if !assembly.assumed.contains(&equation) {
                unkept.entry(equation).or_default().insert(row);
            }
        }
        let mut equations: Vec<_> = unkept.into_iter().collect();
        equations.sort_by_key(|(equation, _)| (assembly.statement_of(*equation).trust, *equation));
        let mut circuits = Circuits {
            rows: Vec::new(),
            with: HashMap::new(),
            kept: solution.kept().collect(),
        };
        for (equation, of_it) in equations {
            let compared = assembly.system.get_equation(equation);
            let own = assembly.statement_of(equation).within.as_ref();
            let own = own.map_or(0.0, |within| solved.allowed(within, compared).within);
            // rows that compare directions are radians times the reference length
            let within = match compared.measure() {
                Measure::Angle => own * scale,
                Measure::Length => own,
            };
            let told = solution.sensitivity(assembly.system.get_equation(equation));
            for (row, told) in told.into_iter().enumerate() {
                if !of_it.contains(&row) || !told.loose.is_empty() {
                    continue;
                }
                let rows = told.equations.iter();
                let figures = told.givens.iter();
                circuits.push(Unkept {
                    equation,
                    row,
                    miss: told.value,
                    within: within.max(rounding),
                    by: rows
                        .map(|(id, at, by)| (Member::Row(*id, *at), *by))
                        .chain(figures.map(|(var, by)| (Member::Figure(*var), *by)))
                        .collect(),
                });
            }
        }
        circuits
    }

    fn push(&mut self, row: Unkept) {
        for member in row.by.keys() {
            self.with.entry(*member).or_default().push(self.rows.len());
        }
        self.rows.push(row);
    }

    /// Judges what is left without some candidates: of the rows that depend on them, and of those of `also`.
    pub(super) fn without(&self, dropped: &[&Candidate], also: &BTreeSet<EquationId>) -> Judged {
        let gone =
            |equation: &EquationId| dropped.iter().any(|one| one.equations.contains(equation));
        let columns = self.let_go(dropped);
        let none: Vec<usize> = Vec::new();
        let touched = columns
            .iter()
            .flatten()
            .flat_map(|column| self.with.get(column).unwrap_or(&none))
            .copied();
        let asked = (0..self.rows.len()).filter(|at| also.contains(&self.rows[*at].equation));
        let rows: BTreeSet<usize> = touched
            .chain(asked)
            .filter(|at| !gone(&self.rows[*at].equation))
            .collect();
        let mut basis: Vec<Combined> = Vec::new();
        let mut pivots: Vec<usize> = Vec::new();
        let mut instead = Vec::new();
        let mut conflict = None;
        for at in rows {
            let row = &self.rows[at];
            let mut combined = Combined {
                by: DVector::from_iterator(
                    columns.len(),
                    columns
                        .iter()
                        .map(|column| column.iter().filter_map(|one| row.by.get(one)).sum()),
                ),
                constant: row.miss,
                of: BTreeMap::from([(at, 1.0)]),
            };
            let largest = combined
                .by
                .iter()
                .fold(0.0_f64, |most, by| most.max(by.abs()));
            for (kept, pivot) in basis.iter().zip(&pivots) {
                let factor = combined.by[*pivot] / kept.by[*pivot];
                combined.by.axpy(-factor, &kept.by, 1.0);
                combined.by[*pivot] = 0.0;
                combined.constant -= factor * kept.constant;
                for (of, share) in &kept.of {
                    *combined.of.entry(*of).or_insert(0.0) -= factor * share;
                }
            }
            let pivot = (0..columns.len())
                .max_by(|a, b| combined.by[*a].abs().total_cmp(&combined.by[*b].abs()))
                .filter(|pivot| combined.by[*pivot].abs() > NOTHING * largest);
            match pivot {
                Some(pivot) => {
                    pivots.push(pivot);
                    basis.push(combined);
                    instead.push((row.equation, row.row));
                }
                None if combined.constant.abs() > row.within && conflict.is_none() => {
                    conflict = Some(self.members(&combined, &columns));
                }
                None => {}
            }
        }
        if basis.len() < columns.len() {
            return Judged::Loose;
        }
        match conflict {
            Some(members) => Judged::Conflict(members),
            None => Judged::Holds(exchange(columns, instead)),
        }
    }

    /// Whether all rows that agreed, and those of `asked`, agree at another state, but those that are gone.
    pub(super) fn agree_at(
        &self,
        solved: &Solved<'_>,
        state: &State,
        dropped: &[&Candidate],
        asked: &BTreeSet<EquationId>,
    ) -> bool {
        let system = &solved.assembly.system;
        let stays = |row: &&Unkept| {
            let agreed = row.miss.abs() <= row.within || asked.contains(&row.equation);
            let gone = || {
                dropped
                    .iter()
                    .any(|one| one.equations.contains(&row.equation))
            };
            agreed && !gone()
        };
        self.rows.iter().filter(stays).all(|row| {
            let equation = system.get_equation(row.equation);
            let to_rows = match equation.measure() {
                Measure::Angle => system.reference_length(),
                Measure::Length => 1.0,
            };
            let mut miss = system.miss(equation, state).into_iter();
            miss.all(|miss| (miss * to_rows).abs() <= row.within)
        })
    }

    /// The kept rows and the figures that go with some candidates.
    fn let_go(&self, dropped: &[&Candidate]) -> Vec<Column> {
        dropped
            .iter()
            .flat_map(|one| {
                let rows = one
                    .equations
                    .iter()
                    .flat_map(|id| self.kept.range((*id, 0)..=(*id, usize::MAX)))
                    .map(|(id, row)| vec![Member::Row(*id, *row)]);
                // a figure of both hands is one figure: it can't become two
                let figure: Column = one.vars.iter().map(|var| Member::Figure(*var)).collect();
                rows.chain((!figure.is_empty()).then_some(figure))
            })
            .collect()
    }

    /// What takes part in a combination of rows that cancels all that was let go.
    fn members(&self, combined: &Combined, columns: &[Column]) -> BTreeSet<Member> {
        let mut members = BTreeSet::new();
        let mut sums: BTreeMap<Member, (f64, f64)> = BTreeMap::new();
        for (at, share) in &combined.of {
            if share.abs() <= NOTHING {
                continue;
            }
            let row = &self.rows[*at];
            members.insert(Member::Row(row.equation, row.row));
            for (member, by) in &row.by {
                let (sum, largest) = sums.entry(*member).or_default();
                *sum += share * by;
                *largest = largest.max((share * by).abs());
            }
        }
        members.extend(
            sums.into_iter()
                .filter(|(member, (sum, largest))| {
                    let let_go = || columns.iter().flatten().any(|one| one == member);
                    sum.abs() > NOTHING * largest && !let_go()
                })
                .map(|(member, _)| member),
        );
        members
    }
}

fn exchange(columns: Vec<Column>, instead: Vec<(EquationId, usize)>) -> Exchange {
    let mut exchange = Exchange {
        instead,
        ..Exchange::default()
    };
    for column in columns {
        let mut tie = Vec::new();
        for member in column {
            match member {
                Member::Row(equation, row) => exchange.rows.push((equation, row)),
                Member::Figure(var) => tie.push(var),
            }
        }
        if !tie.is_empty() {
            exchange.ties.push(tie);
        }
    }
    exchange
}
