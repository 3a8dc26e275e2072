//! The raw cells of one line, by the names of their columns.

use crate::quantity::Reading;
use std::borrow::Cow;

/// One cell of a raw column, in the column's canonical unit.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// A figure or a bound.
    Number(Reading),
    /// A word.
    Word(Cow<'static, str>),
}

/// The filled cells of one line in the order of their names; blank cells are absent.
///
/// A line has a handful of cells and a catalog a million lines: they stand in one small list.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RawCells(Vec<(&'static str, Cell)>);

impl RawCells {
    /// Takes cells of different columns out of a list, whose room can be used again.
    pub(crate) fn taken(from: &mut Vec<(&'static str, Cell)>) -> Self {
        from.sort_by_key(|c| c.0);
        let mut own = Vec::with_capacity(from.len());
        own.append(from);
        RawCells(own)
    }

    /// The cell of a column.
    pub fn get(&self, column: &str) -> Option<&Cell> {
        self.0.iter().find(|c| same(c.0, column)).map(|c| &c.1)
    }

    /// The cell of a column, to be changed.
    pub fn get_mut(&mut self, column: &str) -> Option<&mut Cell> {
        self.0
            .iter_mut()
            .find(|c| same(c.0, column))
            .map(|c| &mut c.1)
    }

    /// Puts a cell into a column; gives back the one that stood there.
    pub fn insert(&mut self, column: &'static str, cell: Cell) -> Option<Cell> {
        if let Some(there) = self.get_mut(column) {
            return Some(std::mem::replace(there, cell));
        }
        let at = self.0.partition_point(|c| c.0 < column);
        self.0.insert(at, (column, cell));
        None
    }

    /// All cells in the order of their columns' names.
    pub fn iter(&self) -> impl Iterator<Item = (&'static str, &Cell)> {
        self.0.iter().map(|(name, cell)| (*name, cell))
    }
}

/// Whether two names are one: most are told apart, or known for one, without a look at their text.
fn same(a: &str, b: &str) -> bool {
    a.len() == b.len()
        && (std::ptr::eq(a, b) || a.as_bytes().first() == b.as_bytes().first() && a == b)
}

impl FromIterator<(&'static str, Cell)> for RawCells {
    fn from_iter<T: IntoIterator<Item = (&'static str, Cell)>>(cells: T) -> Self {
        let mut all = RawCells::default();
        for (column, cell) in cells {
            all.insert(column, cell);
        }
        all
    }
}

impl<const N: usize> From<[(&'static str, Cell); N]> for RawCells {
    fn from(cells: [(&'static str, Cell); N]) -> Self {
        cells.into_iter().collect()
    }
}
