//! Sparse rows in one piece of memory, and room to add such rows up.
//!
//! In: rows as columns with values. Out: the rows as slices. Storage: compressed rows (Davis, Direct Methods for Sparse Linear
//! Systems, SIAM 2006, chapter 2), the columns of a row in any order.

use crate::groups::Groups;

/// A column with a value.
pub(crate) type Entry = (usize, f64);

/// A sparse row of its own.
pub(crate) type SparseRow = Vec<Entry>;

/// Rows of a sparse matrix, one after the other.
#[derive(Clone, Debug)]
pub(crate) struct SparseRows {
    /// Where each row starts, and the end of the last.
    starts: Vec<usize>,
    entries: Vec<Entry>,
}

impl Default for SparseRows {
    fn default() -> Self {
        Self {
            starts: vec![0],
            entries: Vec::new(),
        }
    }
}

impl SparseRows {
    /// No rows yet, with room for so many.
    pub(crate) fn with_capacity(rows: usize, entries: usize) -> Self {
        let mut starts = Vec::with_capacity(rows + 1);
        starts.push(0);
        Self {
            starts,
            entries: Vec::with_capacity(entries),
        }
    }

    /// Adds a row below the others.
    pub(crate) fn push(&mut self, row: impl IntoIterator<Item = Entry>) {
        self.entries.extend(row);
        self.starts.push(self.entries.len());
    }

    /// Forgets all but the first rows.
    pub(crate) fn truncate(&mut self, rows: usize) {
        self.starts.truncate(rows + 1);
        self.entries
            .truncate(self.starts.last().copied().unwrap_or(0));
    }

    /// The number of rows.
    pub(crate) fn len(&self) -> usize {
        self.starts.len() - 1
    }

    /// A row; an empty one past the end.
    pub(crate) fn row(&self, row: usize) -> &[Entry] {
        match self.starts.get(row..) {
            Some([start, end, ..]) => self.entries.get(*start..*end).unwrap_or_default(),
            _ => &[],
        }
    }

    /// All rows in their order.
    pub(crate) fn iter(&self) -> impl Iterator<Item = &[Entry]> + Clone {
        (0..self.len()).map(|row| self.row(row))
    }

    /// For each of so many columns the rows that have an entry there, in order.
    pub(crate) fn by_column(&self, columns: usize) -> Groups {
        let pairs = self.iter().enumerate().flat_map(|(row, entries)| {
            let columns = entries.iter().map(|(column, _)| *column);
            columns.map(move |column| (column, row))
        });
        Groups::of(columns, pairs)
    }

    /// All entries of all rows.
    pub(crate) fn entries(&self) -> &[Entry] {
        &self.entries
    }
}

impl<'r> FromIterator<&'r [Entry]> for SparseRows {
    fn from_iter<Rows: IntoIterator<Item = &'r [Entry]>>(rows: Rows) -> Self {
        let mut list = Self::default();
        for row in rows {
            list.push(row.iter().copied());
        }
        list
    }
}
