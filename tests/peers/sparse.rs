//! What the sparse factorisations have in common. In: a Jacobian by rows. Out: the same by columns, as faer reads it; the trait of a step.
//!
//! One thread everywhere: `Par::Seq`.

use faer::dyn_stack::{MemBuffer, StackReq};
use faer::mat::MatMut;
use faer::sparse::{SparseColMatRef, SymbolicSparseColMat};

use super::evaluate::ByRows;

/// Solves J s = r in the sense of least squares, one Jacobian after another of the same pattern.
pub trait Factorisation: Sized {
    /// Orders and analyses the pattern.
    fn analyse(jacobian: &ByRows) -> Result<Self, String>;

    /// Factorises, and solves for each of the right sides, which may be none. A right side becomes its solution, in its
    /// first entries.
    fn solve(&mut self, jacobian: &ByRows, right: Option<&mut Vec<f64>>) -> Result<(), String>;
}

/// A Jacobian by columns.
pub struct ByColumns {
    symbolic: SymbolicSparseColMat<usize>,
    /// Of each entry by columns, where it lies by rows.
    from: Vec<usize>,
    value: Vec<f64>,
}

impl ByColumns {
    pub fn new(jacobian: &ByRows) -> Self {
        let (first, row, from) = transposed(jacobian);
        Self {
            value: vec![0.0; from.len()],
            from,
            symbolic: SymbolicSparseColMat::new_checked(
                jacobian.rows(),
                jacobian.columns,
                first,
                None,
                row,
            ),
        }
    }

    pub fn symbolic(&self) -> &SymbolicSparseColMat<usize> {
        &self.symbolic
    }

    /// The matrix with the values of `jacobian`.
    pub fn filled(&mut self, jacobian: &ByRows) -> SparseColMatRef<'_, usize, f64> {
        for (value, from) in self.value.iter_mut().zip(&self.from) {
            *value = jacobian.value[*from];
        }
        SparseColMatRef::new(self.symbolic.as_ref(), &self.value)
    }
}

/// By columns: where each begins, the row of each entry, and where it lies by rows.
pub fn transposed(jacobian: &ByRows) -> (Vec<usize>, Vec<usize>, Vec<usize>) {
    let mut first = vec![0; jacobian.columns + 1];
    for column in &jacobian.column {
        first[column + 1] += 1;
    }
    for column in 0..jacobian.columns {
        first[column + 1] += first[column];
    }
    let mut next = first.clone();
    let mut row_of = vec![0; jacobian.column.len()];
    let mut from = vec![0; jacobian.column.len()];
    for row in 0..jacobian.rows() {
        for at in jacobian.first[row]..jacobian.first[row + 1] {
            let slot = &mut next[jacobian.column[at]];
            row_of[*slot] = row;
            from[*slot] = at;
            *slot += 1;
        }
    }
    (first, row_of, from)
}

pub fn one_column(values: &mut [f64]) -> MatMut<'_, f64> {
    let rows = values.len();
    MatMut::from_column_major_slice_mut(values, rows, 1)
}

pub fn buffer(need: StackReq) -> Result<MemBuffer, String> {
    MemBuffer::try_new(need).map_err(|error| format!("{error:?}"))
}
