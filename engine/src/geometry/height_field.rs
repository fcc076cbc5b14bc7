//! A surface over the platen as heights on a regular grid.

use super::{Point, Rect};
use crate::units::Length;

/// Cells of one field, so that no size and spacing exhaust a tablet.
const MOST_CELLS: usize = 4_000_000;

/// Heights over a rectangle, one for each square cell, measured at the cell's middle.
///
/// Cells stand in rows from front to back, each row from left to right. A cell whose middle nothing covers has the
/// height 0, that of the platen; heights are millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct HeightField {
    corner: Point,
    spacing: f64,
    columns: usize,
    rows: usize,
    heights: Vec<f32>,
}

impl HeightField {
    /// A flat field over `bounds`, with one cell to spare on each side; the spacing is made wider when the field
    /// would have more than four million cells.
    #[must_use]
    pub fn flat(bounds: Rect, spacing: Length) -> Self {
        let (spacing, [columns, rows]) =
            cells(bounds, spacing, |side, spacing| whole(libm::ceil(side / spacing)) + 2);
        let corner = bounds.min - super::Vec2::new(spacing, spacing);
        Self { corner, spacing, columns, rows, heights: vec![0.0; columns * rows] }
    }

    /// A flat field over `bounds` whose middle cell lies in their middle, so that what is symmetric is read
    /// symmetrically; otherwise as [`Self::flat`].
    #[must_use]
    pub fn centred(bounds: Rect, spacing: Length) -> Self {
        let (spacing, [columns, rows]) = cells(bounds, spacing, |side, spacing| {
            2 * whole(libm::ceil(side / spacing / 2.0 - 1e-9)) + 3
        });
        let half = super::Vec2::new(count_to_f64(columns), count_to_f64(rows)) * (spacing / 2.0);
        let corner = bounds.center() - half;
        Self { corner, spacing, columns, rows, heights: vec![0.0; columns * rows] }
    }

    /// A field of these heights, row by row, from its front left corner; `None` when rows are not whole, the spacing is
    /// no length, or there are more than four million cells.
    #[must_use]
    pub fn of(corner: Point, spacing: Length, columns: usize, heights: Vec<f32>) -> Option<Self> {
        let spacing = spacing.to_mm();
        let rows = heights.len().checked_div(columns)?;
        let is_sound = rows * columns == heights.len()
            && rows > 0
            && heights.len() <= MOST_CELLS
            && spacing.is_finite()
            && spacing > 0.0;
        is_sound.then_some(Self { corner, spacing, columns, rows, heights })
    }

    /// Its front left corner.
    #[must_use]
    pub const fn corner(&self) -> Point {
        self.corner
    }

    /// From the middle of one cell to the next.
    #[must_use]
    pub const fn spacing(&self) -> Length {
        Length::mm(self.spacing)
    }

    /// Cells in a row.
    #[must_use]
    pub const fn columns(&self) -> usize {
        self.columns
    }

    /// How many rows.
    #[must_use]
    pub const fn rows(&self) -> usize {
        self.rows
    }

    /// All heights in millimetres, row by row.
    #[must_use]
    pub fn heights(&self) -> &[f32] {
        &self.heights
    }

    /// The same, to be set.
    pub fn heights_mut(&mut self) -> &mut [f32] {
        &mut self.heights
    }

    /// The middle of a cell.
    #[must_use]
    pub fn middle(&self, column: usize, row: usize) -> Point {
        let along = |index: usize| (count_to_f64(index) + 0.5) * self.spacing;
        Point::new(self.corner.x + along(column), self.corner.y + along(row))
    }

    /// The index of the cell that a place lies in; `None` outside.
    #[must_use]
    pub fn cell(&self, place: Point) -> Option<usize> {
        let (x, y) = self.steps(place);
        let (column, row) = (libm::floor(x), libm::floor(y));
        let is_inside = column >= 0.0
            && row >= 0.0
            && column < count_to_f64(self.columns)
            && row < count_to_f64(self.rows);
        is_inside.then(|| whole(row) * self.columns + whole(column))
    }

    /// The height of the cell that a place lies in, in millimetres; 0 outside.
    #[must_use]
    pub fn at(&self, place: Point) -> f64 {
        self.cell(place).map_or(0.0, |cell| f64::from(self.heights[cell]))
    }

    /// The columns whose middles lie from one x to another.
    #[must_use]
    pub fn columns_between(&self, low: f64, high: f64) -> std::ops::Range<usize> {
        between(low - self.corner.x, high - self.corner.x, self.spacing, self.columns)
    }

    /// The rows whose middles lie from one y to another.
    #[must_use]
    pub fn rows_between(&self, low: f64, high: f64) -> std::ops::Range<usize> {
        between(low - self.corner.y, high - self.corner.y, self.spacing, self.rows)
    }

    /// The largest height in millimetres.
    #[must_use]
    pub fn highest(&self) -> f64 {
        f64::from(self.heights.iter().copied().fold(0.0, f32::max))
    }

    fn steps(&self, place: Point) -> (f64, f64) {
        ((place.x - self.corner.x) / self.spacing, (place.y - self.corner.y) / self.spacing)
    }
}

fn between(low: f64, high: f64, spacing: f64, most: usize) -> std::ops::Range<usize> {
    let first = whole(libm::ceil(low / spacing - 0.5)).min(most);
    let end = whole(libm::floor(high / spacing - 0.5) + 1.0).min(most);
    first..end.max(first)
}

/// A number as a count; zero below it and for what is none.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the value is clamped to a few thousand million before it is cast"
)]
fn whole(value: f64) -> usize {
    value.clamp(0.0, 4e9) as usize
}

fn count_to_f64(value: usize) -> f64 {
    f64::from(u32::try_from(value).unwrap_or(u32::MAX))
}

/// How many cells `count` wants along each side of the bounds, both in millimetres; with a wider spacing where that would be
/// more than a field may have.
fn cells(bounds: Rect, spacing: Length, count: impl Fn(f64, f64) -> usize) -> (f64, [usize; 2]) {
    let mut spacing = spacing.to_mm().max(1e-3);
    loop {
        let counts = [bounds.width(), bounds.depth()].map(|side| count(side.to_mm(), spacing));
        if counts[0].saturating_mul(counts[1]) <= MOST_CELLS {
            return (spacing, counts);
        }
        spacing *= 1.25;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_centred_field_has_a_cell_in_the_middle_and_one_to_spare() {
        let bounds = Rect::new(Point::new(-10.0, 5.0), Point::new(20.0, 15.3));
        for spacing in [0.4, 0.5, 0.7, 3.0, 40.0] {
            let field = HeightField::centred(bounds, Length::mm(spacing));
            let (columns, rows) = (field.columns(), field.rows());
            let middle = field.middle(columns / 2, rows / 2);
            assert!(columns % 2 == 1 && rows % 2 == 1, "{columns} {rows}");
            assert!(middle.distance(bounds.center()) < 1e-9, "{middle:?}");
            let (first, last) = (field.middle(0, 0), field.middle(columns - 1, rows - 1));
            let about = bounds.grown(Length::mm(2.5 * spacing));
            assert!(first.x < -10.0 && first.y < 5.0 && last.x > 20.0 && last.y > 15.3);
            assert!(about.contains(first) && about.contains(last), "{spacing}");
        }
        let huge = HeightField::centred(bounds, Length::mm(1e-9));
        assert!(huge.heights().len() <= MOST_CELLS);
    }

    #[test]
    fn cells_cover_the_bounds_with_one_to_spare() {
        let bounds = Rect::new(Point::new(-10.0, 5.0), Point::new(20.0, 15.0));
        let field = HeightField::flat(bounds, Length::mm(0.5));
        assert_eq!((field.columns(), field.rows()), (62, 22));
        for (column, row) in [(0, 0), (61, 21), (30, 7)] {
            let cell = field.cell(field.middle(column, row));
            assert_eq!(cell, Some(row * 62 + column));
        }
        assert_eq!(field.middle(1, 1), Point::new(-9.75, 5.25));
        assert_eq!(field.cell(Point::new(-10.6, 5.0)), None);
        assert_eq!(field.cell(Point::new(f64::NAN, 5.0)), None);
        assert_eq!(field.columns_between(-9.75, -8.7), 1..3 + 1);
        assert_eq!(field.columns_between(-900.0, 900.0), 0..62);
        let huge = HeightField::flat(bounds, Length::mm(1e-9));
        assert!(huge.heights().len() <= MOST_CELLS);
    }
}
