//! The surface under heights on a grid, walls at the footprint's outline included.
//!
//! ```text
//! S = A mean of sqrt(1 + gx² + gy²)  +  sum along the outline of  h ds
//! ```
//!
//! `A` is the footprint, `g` the slope of a cell from its neighbours, `h` the height that the slope comes to at the
//! outline, where the sheet falls to the platen.
//!
//! **Source:** the area of a graph over a plane (CRC Standard Mathematical Tables; from memory). Slopes are central
//! differences, so edges within the mold are rounded to a cell or two; of balls and blocks the figure errs by less
//! than three parts in a hundred at 96 cells a side.

use crate::geometry::{Rect, Ring, Shape, Vec2};
use crate::plan::{HeightGrid, Mold, Relief};
use crate::units::{Area, Length};

/// Pieces that one side of the outline is cut into.
const MOST_PIECES: f64 = 400.0;

/// The surface of walls and top of a mold with heights on a grid. Cost: linear in cells and sides.
pub(super) fn grid_surface(mold: &Mold, footprint: &Shape) -> Area {
    let Relief::Heights(grid) = &mold.relief else { return Area::ZERO };
    let bounds = footprint.bounds();
    let cells = Cells::of(grid, bounds, mold.height);
    footprint.area() * cells.mean_slant() + walls(mold, footprint, cells.width.min(cells.depth))
}

/// A grid as it is stretched over a footprint.
struct Cells<'a> {
    grid: &'a HeightGrid,
    width: f64,
    depth: f64,
    /// Millimetres for a tenth of the grid's.
    rise: f64,
}

impl<'a> Cells<'a> {
    fn of(grid: &'a HeightGrid, bounds: Rect, height: Length) -> Self {
        let part = |side: Length, n: usize| {
            side.to_mm().max(1e-6) / f64::from(u32::try_from(n).unwrap_or(u32::MAX))
        };
        Self {
            grid,
            width: part(bounds.width(), grid.columns()),
            depth: part(bounds.depth(), grid.rows()),
            rise: 0.1 * height.to_mm() / grid.height().to_mm().max(1e-9),
        }
    }

    /// The height of a cell; `None` beside the grid and where nothing stands.
    fn height(&self, column: Option<usize>, row: Option<usize>) -> Option<f64> {
        let (column, row) = (column?, row?);
        let is_there = column < self.grid.columns() && row < self.grid.rows();
        let tenths = is_there.then(|| self.grid.tenths()[row * self.grid.columns() + column])?;
        (tenths > 0).then(|| f64::from(tenths) * self.rise)
    }

    /// The mean of surface over plan of the cells in which something stands.
    fn mean_slant(&self) -> f64 {
        let (mut sum, mut n) = (0.0, 0.0);
        for row in 0..self.grid.rows() {
            for column in 0..self.grid.columns() {
                let Some(here) = self.height(Some(column), Some(row)) else { continue };
                let left = self.height(column.checked_sub(1), Some(row));
                let right = self.height(Some(column + 1), Some(row));
                let front = self.height(Some(column), row.checked_sub(1));
                let back = self.height(Some(column), Some(row + 1));
                let across = slope(left, here, right) / self.width;
                let along = slope(front, here, back) / self.depth;
                sum += (1.0 + across * across + along * along).sqrt();
                n += 1.0;
            }
        }
        if n > 0.0 { sum / n } else { 1.0 }
    }
}

/// The rise from one cell to the next.
fn slope(before: Option<f64>, here: f64, after: Option<f64>) -> f64 {
    match (before, after) {
        (Some(before), Some(after)) => (after - before) / 2.0,
        (Some(before), None) => here - before,
        (None, Some(after)) => after - here,
        (None, None) => 0.0,
    }
}

/// What falls to the platen along the outlines, from the height that the two nearest cells lead to.
fn walls(mold: &Mold, footprint: &Shape, cell: f64) -> Area {
    let bounds = footprint.bounds();
    let mut sum = 0.0;
    for (from, to) in footprint.region().rings().flat_map(Ring::sides) {
        let along = to - from;
        let length = along.length();
        if length <= 0.0 {
            continue;
        }
        // The footprint lies to the left of its outlines.
        let inward: Vec2 = along.left() / length * cell;
        let n = libm::ceil(length / cell).clamp(1.0, MOST_PIECES);
        let mut share = 0.5 / n;
        while share < 1.0 {
            let place = from + along * share;
            let near = mold.grid_height(bounds, place + inward * 0.5);
            let next = mold.grid_height(bounds, place + inward * 1.5);
            sum += (near - (next - near) / 2.0).clamp(0.0, mold.height.to_mm()) * length / n;
            share += 1.0 / n;
        }
    }
    Area::mm2(sum)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;
    use std::sync::Arc;

    use super::*;
    use crate::geometry::tolerance;
    use crate::plan::{Footprint, limits};

    /// A mold 60 mm across whose height at a distance from its middle, both as shares of 30 mm, is given.
    fn turned(height: impl Fn(f64) -> f64) -> Mold {
        let n = limits::GRID_SIDE;
        let at = |k: usize| (f64::from(u32::try_from(k).unwrap()) + 0.5) / 48.0 - 1.0;
        let tenths = (0..n * n).map(|k| {
            let (x, y) = (at(k % n), at(k / n));
            let r = (x * x + y * y).sqrt();
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a few hundred tenths"
            )]
            let tenths = (300.0 * height(r)).round().max(1.0) as u16;
            if r < 1.0 { tenths } else { 0 }
        });
        let grid = HeightGrid::new(n, n, Length::mm(30.0), tenths.collect()).unwrap();
        let circle = Footprint::Circle { diameter: Length::mm(60.0) };
        let mold = Mold::new("Limpet", circle, Length::mm(30.0));
        Mold { relief: Relief::Heights(Arc::new(grid)), ..mold }
    }

    #[track_caller]
    fn check(mold: &Mold, want: f64, within: f64) {
        let footprint = Shape::new(mold.footprint.region(tolerance::MEASURE));
        let got = grid_surface(mold, &footprint).to_mm2();
        assert!((got / want - 1.0).abs() < within, "{got} mm², not {want}");
    }

    #[test]
    fn grids_of_balls_cones_and_cylinders_have_their_surface() {
        check(&turned(|r| (1.0 - r * r).max(0.0).sqrt()), 2.0 * PI * 900.0, 0.03);
        check(&turned(|r| 1.0 - r), PI * 900.0 * 2.0_f64.sqrt(), 0.01);
        check(&turned(|_| 1.0), PI * 900.0 * 3.0, 0.002);
        // A block with a boss half as wide, each half as tall.
        let stepped = turned(|r| if r < 0.5 { 1.0 } else { 0.5 });
        check(&stepped, PI * 900.0 + PI * 60.0 * 15.0 + PI * 30.0 * 15.0, 0.02);
    }

    #[test]
    fn a_grid_is_stretched_to_the_molds_height_and_one_of_nothing_is_flat() {
        let flat = Mold { height: Length::mm(15.0), ..turned(|_| 1.0) };
        check(&flat, PI * 900.0 * 2.0, 0.002);
        let none = HeightGrid::new(2, 2, Length::mm(30.0), vec![0; 4]).unwrap();
        let none = Mold { relief: Relief::Heights(Arc::new(none)), ..turned(|_| 1.0) };
        check(&none, PI * 900.0, 1e-3);
    }
}
