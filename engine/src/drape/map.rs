//! The forecast as seen from above: one reading for each cell of a grid.

use super::Contact;
use crate::geometry::Point;
use crate::units::Length;

/// What the map says of one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// What is left of the gauge, where the sheet is thinnest above or below this place.
    pub ratio: f64,
    /// The share of its width that the sheet must lose in folds.
    pub surplus: f64,
    /// How high the sheet lies, where it is highest.
    pub height: Length,
    /// What it has landed on, where it is highest.
    pub contact: Contact,
}

/// The sheet as seen from above the opening: rows from front to back, each row from left to right.
///
/// A wall stands over few cells, so each cell keeps the thinnest sheet over it.
#[derive(Clone, Debug, PartialEq)]
pub struct Map {
    /// The front left corner, in the coordinates of the blank.
    pub corner: Point,
    /// The width and depth of a cell.
    pub cell: [Length; 2],
    /// Cells in a row.
    pub columns: usize,
    /// How many rows.
    pub rows: usize,
    /// All cells, row by row.
    pub cells: Vec<Reading>,
}

impl Map {
    /// The reading at a place of the blank; none outside the opening.
    #[must_use]
    pub fn at(&self, place: Point) -> Option<&Reading> {
        let along = |from: f64, to: f64, cell: Length, most: usize| {
            let steps = libm::floor((to - from) / cell.to_mm());
            (0..most).find(|&index| (steps - index_to_f64(index)).abs() < 0.5)
        };
        let column = along(self.corner.x, place.x, self.cell[0], self.columns)?;
        let row = along(self.corner.y, place.y, self.cell[1], self.rows)?;
        self.cells.get(row * self.columns + column)
    }

    /// The middle of a cell.
    #[must_use]
    pub fn middle(&self, column: usize, row: usize) -> Point {
        Point::new(
            self.corner.x + (index_to_f64(column) + 0.5) * self.cell[0].to_mm(),
            self.corner.y + (index_to_f64(row) + 0.5) * self.cell[1].to_mm(),
        )
    }
}

/// A count as a number.
pub(super) fn index_to_f64(index: usize) -> f64 {
    f64::from(u32::try_from(index).unwrap_or(u32::MAX))
}
