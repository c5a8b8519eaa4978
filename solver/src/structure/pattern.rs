//! Where a sparse system has entries, in compressed rows.
//!
//! In: for each row (equation) the columns (unknowns) it mentions. Out: the rows as slices, and the transpose.
//! Storage: Davis, Direct Methods for Sparse Linear Systems (2006), ch. 2, without the values.

use std::borrow::Borrow;

use crate::groups::Groups;

/// The pattern of a sparse matrix: rows = equations, columns = unknowns.
///
/// Within a row the columns keep the order in which they were given. A column given twice is harmless.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pattern {
    columns: usize,
    /// Where each row starts in `entries`, and the end of the last: one longer than the number of rows.
    starts: Vec<usize>,
    entries: Vec<usize>,
}

/// A row mentions a column that the pattern does not have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("row {row} mentions column {column}, but the pattern has {columns} columns")]
pub struct ColumnOutOfRange {
    /// The row, counted from 0.
    pub row: usize,
    /// The column it mentions, counted from 0.
    pub column: usize,
    /// How many columns the pattern has.
    pub columns: usize,
}

impl Pattern {
    /// A pattern with this many columns and no rows yet.
    #[must_use]
    pub fn new(columns: usize) -> Self {
        Self {
            columns,
            starts: vec![0],
            entries: Vec::new(),
        }
    }

    /// A pattern from all its rows, as lists of columns.
    ///
    /// # Errors
    /// [`ColumnOutOfRange`] at the first column that is not below `columns`.
    pub fn from_rows<Rows>(columns: usize, rows: Rows) -> Result<Self, ColumnOutOfRange>
    where
        Rows: IntoIterator<Item: IntoIterator<Item: Borrow<usize>>>,
    {
        let mut pattern = Self::new(columns);
        for row in rows {
            pattern.push_row(row)?;
        }
        Ok(pattern)
    }

    /// Adds a row below the others.
    ///
    /// # Errors
    /// [`ColumnOutOfRange`]; the pattern is then as it was before.
    pub fn push_row<Row>(&mut self, row: Row) -> Result<(), ColumnOutOfRange>
    where
        Row: IntoIterator<Item: Borrow<usize>>,
    {
        let start = self.entries.len();
        for column in row {
            let column = *column.borrow();
            if column >= self.columns {
                self.entries.truncate(start);
                return Err(ColumnOutOfRange {
                    row: self.rows(),
                    column,
                    columns: self.columns,
                });
            }
            self.entries.push(column);
        }
        self.starts.push(self.entries.len());
        Ok(())
    }

    /// The number of rows (equations).
    #[must_use]
    pub fn rows(&self) -> usize {
        self.starts.len() - 1
    }

    /// The number of columns (unknowns).
    #[must_use]
    pub fn columns(&self) -> usize {
        self.columns
    }

    /// The number of entries, repeated ones counted.
    #[must_use]
    pub fn entries(&self) -> usize {
        self.entries.len()
    }

    /// The columns that a row mentions; none for a row that is not there.
    #[must_use]
    pub fn row(&self, row: usize) -> &[usize] {
        match self.starts.get(row..) {
            Some([start, end, ..]) => self.entries.get(*start..*end).unwrap_or_default(),
            _ => &[],
        }
    }

    /// Rows and columns exchanged, in time linear in the entries. Each row of the result is in ascending order.
    #[must_use]
    pub fn transpose(&self) -> Self {
        let rows = (0..self.rows()).map(|row| (row, self.row(row)));
        let pairs =
            rows.flat_map(|(row, columns)| columns.iter().map(move |column| (*column, row)));
        let groups = Groups::of(self.columns, pairs);
        Self {
            columns: self.rows(),
            starts: groups.starts,
            entries: groups.members,
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    #[test]
    fn transpose_exchanges_rows_and_columns() {
        let pattern = Pattern::from_rows(4, &[vec![3, 0], vec![], vec![0, 1]]).unwrap();
        let expected = Pattern::from_rows(3, [vec![0, 2], vec![2], vec![], vec![0]]).unwrap();
        assert_eq!(pattern.transpose(), expected);
        assert_eq!(pattern.transpose().transpose().row(0), [0, 3]);
        assert_eq!((pattern.rows(), pattern.entries()), (3, 4));
    }

    #[test]
    fn a_column_out_of_range_is_refused_and_leaves_no_trace() {
        let mut pattern = Pattern::from_rows(2, [[0, 1]]).unwrap();
        let before = pattern.clone();
        let refused = pattern.push_row([1, 2]);
        assert_eq!(
            refused,
            Err(ColumnOutOfRange {
                row: 1,
                column: 2,
                columns: 2
            })
        );
        assert_eq!(pattern, before);
    }

    #[test]
    fn a_row_that_is_not_there_is_empty() {
        let pattern = Pattern::from_rows(2, [[0, 1]]).unwrap();
        assert!(pattern.row(1).is_empty());
        assert!(pattern.row(usize::MAX).is_empty());
    }
}
