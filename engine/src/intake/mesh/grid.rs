//! The heights of a mesh on a grid small enough for a plan.

use super::survey::Survey;
use crate::geometry::{HeightField, Point, Rect};
use crate::plan::{HeightGrid, limits};
use crate::units::Length;

/// Cells of a plan are no finer: a sheet bridges what is smaller (common practice).
const FINEST: f64 = 0.5;

/// The fewest cells along the longer side of a small mold.
const FEWEST: f64 = 8.0;

/// The heights of what stands within `bounds`, in at most a quarter of the `room` for cells, so that others fit too.
///
/// Each cell has the mean of what stands in it, where that is half of it at least.
pub(in crate::intake) fn height_grid(
    survey: &Survey,
    bounds: Rect,
    room: usize,
) -> Option<HeightGrid> {
    let (width, depth) = (bounds.width().to_mm(), bounds.depth().to_mm());
    let longest = width.max(depth);
    let most = f64::from(u32::try_from(limits::GRID_SIDE).unwrap_or(u32::MAX));
    let sides = |along: f64| {
        let side = |length: f64| n_cells(along * length / longest.max(1e-9), most);
        (side(width), side(depth))
    };
    let mut along = (longest / FINEST).clamp(FEWEST, most);
    while sides(along).0 * sides(along).1 > room / 4 && along > 1.0 {
        along *= 0.9;
    }
    let (columns, rows) = sides(along);
    let part = |low: f64, side: f64, n: usize, index: usize| low + side * share(index, n);
    let mut tenths = Vec::with_capacity(columns * rows);
    for row in 0..rows {
        let [front, back] = [row, row + 1].map(|row| part(bounds.min.y, depth, rows, row));
        for column in 0..columns {
            let [left, right] = [column, column + 1].map(|c| part(bounds.min.x, width, columns, c));
            tenths.push(cell_tenths(&survey.heights, (left, right), (front, back)));
        }
    }
    HeightGrid::new(columns, rows, survey.height, tenths)
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
