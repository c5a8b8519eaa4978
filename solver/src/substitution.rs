//! Sums solved one unknown after the other, as far as each next one has a row in which nothing else is unknown.
//!
//! In: rows that are sums, and a state. Out: the state with what follows from them, and in which order. Of the rows that could
//! be used next the most trusted is taken. What is found so rests on certain rows; a more trusted row that is left over with
//! nothing unknown in it tells that one of these should have given way to it, and that this short way does not serve.

use crate::groups::Groups;
use crate::places::Places;
use crate::rows::Rows;
use crate::sparse::{Entry, SparseRows};
use crate::system::State;

/// A coefficient smaller than this part of the largest of its row does not find its unknown: the row is left to elimination.
const SOUND: f64 = 1e-3;

/// What was found.
#[derive(Debug, Default)]
pub(crate) struct Substitution {
    /// Rows in the order in which they were used, each with the column that it found.
    pub(crate) steps: Vec<(usize, usize)>,
    /// Which columns are found.
    pub(crate) found: Vec<bool>,
    /// For each column that is found the place of the least trusted row that it rests on.
    rests_on: Vec<usize>,
}

/// Rows with the columns that are still unknown in each.
struct Open<'r> {
    rows: &'r Rows<'r>,
    /// How many unknown columns each row has, and the numbers of these combined by exclusive or: of a single one its number.
    left: Vec<u32>,
    combined: Vec<usize>,
    /// The places in the order of trust of the rows with a single unknown column.
    ready: Places,
    /// For each column the rows that have it.
    users: Groups,
}

impl Substitution {
    /// Solves what can be solved of `sums`, which has a row, maybe an empty one, for each row of the system; `constants` are
    /// what the rows add their sums to. Columns in `held` are known already, at their values in the state.
    pub(crate) fn of(
        rows: &Rows<'_>,
        (sums, constants): (&SparseRows, &[f64]),
        held: &[bool],
        state: &mut State,
    ) -> Self {
        let mut done = Self {
            steps: Vec::with_capacity(rows.unknowns.len()),
            found: held.to_vec(),
            rests_on: vec![0; rows.unknowns.len()],
        };
        let mut open = Open::new(rows, sums, held);
        while let Some(place) = open.ready.take_first() {
            let row = rows.trusted[place];
            if open.left[row] != 1 {
                continue;
            }
            let column = open.combined[row];
            let entries = sums.row(row);
            let Some(value) = done.solved(rows, (entries, constants[row]), column, state) else {
                continue;
            };
            state.values[rows.unknowns[column].index()] = value;
            done.found[column] = true;
            done.rests_on[column] = place.max(done.least_trusted(entries));
            done.steps.push((row, column));
            open.take(column);
        }
        done
    }

    /// The place in the order of trust of the least trusted row on which found columns of a row rest.
    pub(crate) fn least_trusted(&self, entries: &[Entry]) -> usize {
        let places = entries.iter().map(|(column, _)| self.rests_on[*column]);
        places.max().unwrap_or(0)
    }

    /// The same of columns.
    pub(crate) fn rests_on(&self, column: usize) -> usize {
        self.rests_on[column]
    }

    /// The value of the only unknown column of a row.
    fn solved(
        &self,
        rows: &Rows<'_>,
        (entries, constant): (&[Entry], f64),
        column: usize,
        state: &State,
    ) -> Option<f64> {
        let (mut sum, mut own, mut largest) = (constant, 0.0, 0.0_f64);
        for &(other, by) in entries {
            largest = largest.max((by * rows.unit(other)).abs());
            if other == column {
                own = by;
            } else {
                sum += by * state.values[rows.unknowns[other].index()];
            }
        }
        let value = -sum / own;
        let sound = (own * rows.unit(column)).abs() >= SOUND * largest;
        (sound && value.is_finite()).then_some(value)
    }
}

impl<'r> Open<'r> {
    fn new(rows: &'r Rows<'r>, sums: &SparseRows, held: &[bool]) -> Self {
        let mut left = vec![0; sums.len()];
        let mut combined = vec![0; sums.len()];
        let mut ready = Places::up_to(sums.len());
        for (row, entries) in sums.iter().enumerate() {
            for &(column, _) in entries {
                if !held[column] {
                    left[row] += 1;
                    combined[row] ^= column;
                }
            }
            if left[row] == 1 {
                ready.insert(rows.trust_position(row));
            }
        }
        Self {
            rows,
            left,
            combined,
            ready,
            users: sums.by_column(rows.unknowns.len()),
        }
    }

    /// Takes a column that was found out of the rows that have it.
    fn take(&mut self, column: usize) {
        for &row in self.users.get(column) {
            self.left[row] -= 1;
            self.combined[row] ^= column;
            if self.left[row] == 1 {
                self.ready.insert(self.rows.trust_position(row));
            }
        }
    }
}
