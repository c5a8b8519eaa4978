//! Residuals and exact derivatives of the neutral form. In: the unknowns. Out: residuals, and the Jacobian by rows, its pattern fixed.
//!
//! ∂r/∂x = Σₖ Tₖ ∂Aₖ/∂x + Aₖ Σ ∂Tₖ/∂θ · ∂θ/∂x. Sines and cosines are taken once an angle; the derivatives of affine rows
//! are written once and stay.

use super::equations::Equations;

/// A sparse matrix by rows: row i has its entries at `first[i]..first[i + 1]`, sorted by column.
#[derive(Clone, Debug)]
pub struct ByRows {
    pub columns: usize,
    pub first: Vec<usize>,
    pub column: Vec<usize>,
    pub value: Vec<f64>,
}

impl ByRows {
    pub fn rows(&self) -> usize {
        self.first.len() - 1
    }

    /// The columns and values of a row.
    pub fn row(&self, row: usize) -> (&[usize], &[f64]) {
        let range = self.first[row]..self.first[row + 1];
        (&self.column[range.clone()], &self.value[range])
    }

    /// The same matrix with some of its rows.
    pub fn only(&self, wanted: &[bool]) -> ByRows {
        let mut only = ByRows {
            columns: self.columns,
            first: vec![0],
            column: Vec::new(),
            value: Vec::new(),
        };
        for row in (0..self.rows()).filter(|row| wanted[*row]) {
            let (columns, values) = self.row(row);
            only.column.extend(columns);
            only.value.extend(values);
            only.first.push(only.column.len());
        }
        only
    }

    /// Jᵀ r.
    pub fn transposed_times(&self, r: &[f64]) -> Vec<f64> {
        let mut product = vec![0.0; self.columns];
        for (row, by) in r.iter().enumerate() {
            let (columns, values) = self.row(row);
            for (column, value) in columns.iter().zip(values) {
                product[*column] += by * value;
            }
        }
        product
    }
}

/// Evaluates the equations at one point after another.
#[derive(Clone)]
pub struct Evaluator<'a> {
    equations: &'a Equations,
    /// Rows with sines and cosines.
    turned: Vec<usize>,
    /// Where each entry of the turned rows' derivatives lies in the Jacobian, in the order in which they are computed.
    slots: Vec<usize>,
    pub residuals: Vec<f64>,
    pub jacobian: ByRows,
    /// Sine and cosine of each angle.
    trig: Vec<f64>,
}

impl<'a> Evaluator<'a> {
    pub fn new(equations: &'a Equations) -> Self {
        let turned: Vec<usize> = (0..equations.rows())
            .filter(|row| !equations.is_affine(*row))
            .collect();
        let mut jacobian = pattern(equations);
        let mut slots = Vec::new();
        for &row in &turned {
            for_each_entry(equations, row, |unknown| {
                slots.push(slot(&jacobian, row, unknown));
            });
        }
        for row in (0..equations.rows()).filter(|row| equations.is_affine(*row)) {
            for term in equations.terms_of(row) {
                for (unknown, coefficient) in equations.amounts.entries(term) {
                    let slot = slot(&jacobian, row, unknown);
                    jacobian.value[slot] += coefficient;
                }
            }
        }
        Self {
            equations,
            turned,
            slots,
            residuals: vec![0.0; equations.rows()],
            jacobian,
            trig: vec![0.0; 2 * equations.angles.len()],
        }
    }

    /// Puts the residuals at `x` into [`Evaluator::residuals`]. The answer is the largest in size.
    pub fn evaluate(&mut self, x: &[f64]) -> f64 {
        let equations = self.equations;
        for (angle, both) in self.trig.chunks_exact_mut(2).enumerate() {
            (both[0], both[1]) = equations.angles.at(angle, x).sin_cos();
        }
        let mut largest = 0.0_f64;
        for (row, residual) in self.residuals.iter_mut().enumerate() {
            let mut sum = 0.0;
            for term in equations.terms_of(row) {
                let factors = equations.factors_of(term).iter();
                let amount = equations.amounts.at(term, x);
                sum += factors.fold(amount, |product, factor| product * self.trig[*factor]);
            }
            *residual = sum;
            // a residual that is no number has to show
            largest = if sum.is_nan() {
                f64::INFINITY
            } else {
                largest.max(sum.abs())
            };
        }
        largest
    }

    /// Puts the derivatives at the `x` of the last evaluation into [`Evaluator::jacobian`].
    pub fn differentiate(&mut self, x: &[f64]) {
        let equations = self.equations;
        let mut slots = self.slots.iter();
        let values = &mut self.jacobian.value;
        let mut add = |values: &mut [f64], by: f64| {
            if let Some(slot) = slots.next() {
                values[*slot] += by;
            }
        };
        for &row in &self.turned {
            values[self.jacobian.first[row]..self.jacobian.first[row + 1]].fill(0.0);
            for term in equations.terms_of(row) {
                let factors = equations.factors_of(term);
                let product: f64 = factors.iter().map(|factor| self.trig[*factor]).product();
                for (_, coefficient) in equations.amounts.entries(term) {
                    add(values, product * coefficient);
                }
                if factors.is_empty() {
                    continue;
                }
                let amount = equations.amounts.at(term, x);
                for (at, &factor) in factors.iter().enumerate() {
                    let others = factors.iter().enumerate().filter(|(other, _)| *other != at);
                    let others: f64 = others.map(|(_, factor)| self.trig[*factor]).product();
                    // (sin θ)' = cos θ and (cos θ)' = −sin θ
                    let derivative = match factor % 2 {
                        0 => self.trig[factor + 1],
                        _ => -self.trig[factor - 1],
                    };
                    for (_, coefficient) in equations.angles.entries(factor / 2) {
                        add(values, amount * others * derivative * coefficient);
                    }
                }
            }
        }
    }
}

/// The unknowns by which a row is differentiated, in the order in which [`Evaluator::differentiate`] does it.
fn for_each_entry(equations: &Equations, row: usize, mut f: impl FnMut(usize)) {
    for term in equations.terms_of(row) {
        let amounts = equations.amounts.entries(term);
        amounts.for_each(|(unknown, _)| f(unknown));
        for factor in equations.factors_of(term) {
            let angles = equations.angles.entries(factor / 2);
            angles.for_each(|(unknown, _)| f(unknown));
        }
    }
}

fn pattern(equations: &Equations) -> ByRows {
    let mut first = vec![0];
    let mut column = Vec::new();
    for row in 0..equations.rows() {
        let mut reads = Vec::new();
        for_each_entry(equations, row, |unknown| reads.push(unknown));
        reads.sort_unstable();
        reads.dedup();
        column.extend(reads);
        first.push(column.len());
    }
    ByRows {
        columns: equations.start.len(),
        first,
        value: vec![0.0; column.len()],
        column,
    }
}

/// Where a row has the entry of a column. Every entry is in the pattern, which was made from the same list.
fn slot(jacobian: &ByRows, row: usize, column: usize) -> usize {
    let first = jacobian.first[row];
    let (columns, _) = jacobian.row(row);
    first + columns.partition_point(|known| *known < column)
}
