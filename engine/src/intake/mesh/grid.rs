//! The heights of a mesh on a grid small enough for a plan.

use super::survey::Survey;
use crate::geometry::{HeightField, Point, Rect};
use crate::plan::{HeightGrid, limits};
use crate::units::Length;

/// Cells of a plan are no finer: a sheet bridges what is smaller (common practice).
const FINEST: f64 = 0.5;

/// The fewest cells along the longer side of a small mold.
const FEWEST: f64 = 8.0;

/// Cells that part a rectangle evenly and are about square.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Layout {
    pub(super) bounds: Rect,
    pub(super) columns: usize,
    pub(super) rows: usize,
}

impl Layout {
    /// The finest that a plan takes, or one of at most `most` cells.
    pub(super) fn over(bounds: Rect, most: usize) -> Self {
        let longest = bounds.width().max(bounds.depth()).to_mm().max(1e-9);
        let limit = f64::from(u32::try_from(limits::GRID_SIDE).unwrap_or(u32::MAX));
        let mut along = (longest / FINEST).clamp(FEWEST, limit);
        loop {
            let side = |length: Length| n_cells(along * length.to_mm() / longest, limit);
            let (columns, rows) = (side(bounds.width()), side(bounds.depth()));
            if columns * rows <= most || along <= 1.0 {
                return Self { bounds, columns, rows };
            }
            along *= 0.9;
        }
    }

    /// From left to right of a column.
    fn across(&self, column: usize) -> (f64, f64) {
        part(self.bounds.min.x, self.bounds.width(), self.columns, column)
    }

    /// From front to back of a row.
    fn back(&self, row: usize) -> (f64, f64) {
        part(self.bounds.min.y, self.bounds.depth(), self.rows, row)
    }

    /// Where a cell lies.
    pub(super) fn rect(&self, column: usize, row: usize) -> Rect {
        let ((left, right), (front, back)) = (self.across(column), self.back(row));
        Rect::new(Point::new(left, front), Point::new(right, back))
    }

    /// The cell that a place lies in; the nearest for one a little outside.
    pub(super) fn cell(&self, place: Point) -> usize {
        let index = |at: f64, low: f64, side: Length, n: usize| {
            let most = f64::from(u32::try_from(n).unwrap_or(u32::MAX));
            let cell = libm::floor((at - low) / side.to_mm().max(1e-9) * most);
            n_cells(cell + 1.0, most) - 1
        };
        let column = index(place.x, self.bounds.min.x, self.bounds.width(), self.columns);
        let row = index(place.y, self.bounds.min.y, self.bounds.depth(), self.rows);
        row * self.columns + column
    }
}

fn part(low: f64, side: Length, n: usize, index: usize) -> (f64, f64) {
    (low + side.to_mm() * share(index, n), low + side.to_mm() * share(index + 1, n))
}

/// The heights of what stands within `bounds`, in at most a quarter of the `room` for cells, so that others fit too.
///
/// Each cell has the mean of what stands in it, where that is half of it at least.
pub(in crate::intake) fn height_grid(
    survey: &Survey,
    bounds: Rect,
    room: usize,
) -> Option<HeightGrid> {
    let layout = Layout::over(bounds, room / 4);
    let cells = (0..layout.rows).flat_map(|row| (0..layout.columns).map(move |c| (c, row)));
    let tenths = cells
        .map(|(column, row)| cell_tenths(&survey.heights, layout.across(column), layout.back(row)));
    HeightGrid::new(layout.columns, layout.rows, survey.height, tenths.collect())
}

/// The mean height within a rectangle in tenths of a millimetre, at least one; 0 when less than half is covered.
fn cell_tenths(field: &HeightField, (left, right): (f64, f64), (front, back): (f64, f64)) -> u16 {
    let (mut n, mut n_standing, mut sum) = (0.0, 0.0, 0.0);
    let columns = field.columns_between(left, right);
    for row in field.rows_between(front, back) {
        for height in &field.heights()[row * field.columns()..][columns.clone()] {
            n += 1.0;
            if *height > 0.0 {
                n_standing += 1.0;
                sum += f64::from(*height);
            }
        }
    }
    if n < 1.0 {
        let middle = Rect::new(Point::new(left, front), Point::new(right, back)).center();
        (n, n_standing, sum) = (1.0, 1.0, field.at(middle));
    }
    if sum <= 0.0 || 2.0 * n_standing < n {
        return 0;
    }
    tenths(Length::mm(sum / n_standing))
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the value is clamped before it is cast"
)]
fn tenths(height: Length) -> u16 {
    libm::round(height.to_mm() * 10.0).clamp(1.0, 65_535.0) as u16
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the value is clamped before it is cast"
)]
fn n_cells(value: f64, most: f64) -> usize {
    libm::ceil(value - 1e-9).clamp(1.0, most) as usize
}

fn share(index: usize, n: usize) -> f64 {
    let count = |value: usize| f64::from(u32::try_from(value).unwrap_or(u32::MAX));
    count(index) / count(n)
}
