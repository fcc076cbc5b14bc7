//! The signed distance of a displacement from a forbidden region: exactly, and quickly from a grid.

use super::forbidden::Outlines;
use super::sides::Sides;
use crate::geometry::{Point, Rect, Vec2, greater, lesser};
use crate::units::Length;

/// Cells along the longer side of the grid.
const CELLS: f64 = 30.0;

/// The distances of displacements from a forbidden region, negative inside.
#[derive(Clone, Debug)]
pub(super) struct Field {
    sides: Sides,
    /// The forbidden region lies inside.
    bounds: Rect,
    grid: Grid,
}

/// Distances at the corners of square cells.
#[derive(Clone, Debug, Default)]
struct Grid {
    origin: Point,
    cell: f64,
    /// Cells to a millimetre.
    per_mm: f64,
    n_columns: usize,
    n_rows: usize,
    values: Vec<f32>,
}

impl Field {
    /// The field of a region, with a grid that reaches `margin` millimetres beyond it.
    pub(super) fn new(outlines: &Outlines, margin: f64) -> Self {
        let points = outlines.iter().flatten().copied();
        let bounds = Rect::around(points).unwrap_or_default();
        let reach = bounds.grown(Length::mm(margin));
        let mut field = Self { sides: Sides::new(outlines, reach), bounds, grid: Grid::default() };
        if !field.is_empty() {
            field.grid = field.sampled(reach);
        }
        field
    }

    fn sampled(&self, reach: Rect) -> Grid {
        let (width, depth) = (reach.width().to_mm(), reach.depth().to_mm());
        let cell = width.max(depth) / CELLS;
        let (n_columns, n_rows) = (floor(width / cell) + 2, floor(depth / cell) + 2);
        let at = |k: usize, low: f64| low + cell * count(k);
        let values = (0..n_columns * n_rows).map(|k| {
            let p = Point::new(at(k % n_columns, reach.min.x), at(k / n_columns, reach.min.y));
            narrow(self.signed(p))
        });
        Grid {
            origin: reach.min,
            cell,
            per_mm: 1.0 / cell,
            n_columns,
            n_rows,
            values: values.collect(),
        }
    }

    /// The region lies inside this rectangle.
    pub(super) const fn bounds(&self) -> Rect {
        self.bounds
    }

    /// True when no displacement is forbidden.
    pub(super) const fn is_empty(&self) -> bool {
        self.sides.is_empty()
    }

    /// The signed distance; infinite when nothing is forbidden. Cost: linear in the sides that may be the nearest.
    pub(super) fn signed(&self, p: Point) -> f64 {
        let here = self.sides.at(p);
        let squares = here.near.iter().map(|side| side.away(p)).map(|away| away.dot(away));
        let distance = squares.fold(f64::INFINITY, lesser).sqrt();
        if here.is_inside(p) { -distance } else { distance }
    }

    /// The signed distance and the direction in which it grows.
    pub(super) fn signed_with_way_out(&self, p: Point) -> (f64, Vec2) {
        let here = self.sides.at(p);
        let mut best = (f64::INFINITY, Vec2::ZERO, Vec2::ZERO);
        for side in here.near {
            let away = side.away(p);
            let square = away.dot(away);
            if square < best.0 {
                best = (square, away, side.along);
            }
        }
        let distance = best.0.sqrt();
        let sign = if here.is_inside(p) { -1.0 } else { 1.0 };
        // Very near the boundary the way out is square to the side, whose surface lies to its left.
        let way = if distance > 1e-9 {
            best.1 * (sign / distance)
        } else {
            -best.2.left() / best.2.length()
        };
        (sign * distance, way)
    }

    /// A displacement as a place on the grid, in cells.
    pub(super) fn on_grid(&self, p: Point) -> Vec2 {
        (p - self.grid.origin) * self.grid.per_mm
    }

    /// A way in the field as one on the grid, in cells.
    pub(super) fn way_on_grid(&self, way: Vec2) -> Vec2 {
        way * self.grid.per_mm
    }

    /// What the distance at a place on the grid lacks to `apart`, within a cell's error; zero outside the grid.
    #[inline]
    pub(super) fn rough_lack(&self, Vec2 { x: u, y: v }: Vec2, apart: f32) -> f32 {
        let grid = &self.grid;
        if u < 0.0 || v < 0.0 {
            return 0.0;
        }
        let (column, row) = (floor(u), floor(v));
        if column + 1 >= grid.n_columns || row + 1 >= grid.n_rows {
            return 0.0;
        }
        let (u, v) = (narrow(u - count(column)), narrow(v - count(row)));
        let at = row * grid.n_columns + column;
        let (near, far) = (&grid.values[at..at + 2], &grid.values[at + grid.n_columns..][..2]);
        let low = near[0] + (near[1] - near[0]) * u;
        let high = far[0] + (far[1] - far[0]) * u;
        greater(0.0, apart - (low + (high - low) * v))
    }

    /// What the distance lacks to `apart`.
    pub(super) fn lack(&self, p: Point, apart: f64) -> f64 {
        let (low, high) = (self.bounds.min, self.bounds.max);
        let (dx, dy) = (greater(low.x - p.x, p.x - high.x), greater(low.y - p.y, p.y - high.y));
        if dx >= apart || dy >= apart || self.is_clear(p, apart) {
            return 0.0;
        }
        greater(0.0, apart - self.signed(p))
    }

    /// True when the grid alone shows that nothing is lacking: distances change no faster than places.
    fn is_clear(&self, p: Point, apart: f64) -> bool {
        let grid = &self.grid;
        let (u, v) =
            ((p.x - grid.origin.x) * grid.per_mm + 0.5, (p.y - grid.origin.y) * grid.per_mm + 0.5);
        if u < 0.0 || v < 0.0 {
            return false;
        }
        let (column, row) = (floor(u), floor(v));
        column < grid.n_columns
            && row < grid.n_rows
            && f64::from(grid.values[row * grid.n_columns + column]) > apart + grid.cell * 0.7072
    }
}

/// A whole number as a coordinate; the counts here are far below the digits of one.
pub(super) fn count(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}

/// The whole number below, zero for what is negative or not a number.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the conversion saturates, which is what is wanted here"
)]
#[inline]
pub(super) const fn floor(x: f64) -> usize {
    x as u32 as usize
}

/// With the digits that a map on a grid needs.
#[expect(clippy::cast_possible_truncation, reason = "a map on a grid is rough anyway")]
#[inline]
pub(super) const fn narrow(x: f64) -> f32 {
    x as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A square of 20 mm about the origin.
    fn field(margin: f64) -> Field {
        let square = [(-10.0, -10.0), (10.0, -10.0), (10.0, 10.0), (-10.0, 10.0)];
        Field::new(&vec![square.map(|(x, y)| Point::new(x, y)).to_vec()], margin)
    }

    #[test]
    fn the_distance_from_a_square_is_the_closed_form_inside_and_outside() {
        let field = field(5.0);
        for (x, y, expected, way) in [
            (13.0, 0.0, 3.0, (1.0, 0.0)),
            (13.0, 14.0, 5.0, (0.6, 0.8)),
            (8.0, 1.0, -2.0, (1.0, 0.0)),
            (-1.0, -7.0, -3.0, (0.0, -1.0)),
            (10.0, 4.0, 0.0, (1.0, 0.0)),
        ] {
            let (signed, out) = field.signed_with_way_out(Point::new(x, y));
            assert!((signed - expected).abs() < 1e-12, "({x}, {y}): {signed}");
            assert!((field.signed(Point::new(x, y)) - expected).abs() < 1e-12);
            assert!((out - Vec2::new(way.0, way.1)).length() < 1e-9, "({x}, {y}): {out:?}");
        }
    }

    #[test]
    fn the_grid_is_near_to_the_true_lack_and_the_quick_way_out_is_never_wrong() {
        let field = field(5.0);
        for k in 0..400 {
            let p = Point::new(f64::from(k % 20) * 1.7 - 16.0, f64::from(k / 20) * 1.7 - 16.0);
            let expected = (5.0 - field.signed(p)).max(0.0);
            assert!((field.lack(p, 5.0) - expected).abs() < 1e-12, "{p:?}");
            let rough = f64::from(field.rough_lack(field.on_grid(p), 5.0));
            assert!((rough - expected).abs() < 0.6, "{p:?}: {rough} for {expected}");
        }
        assert!(field.lack(Point::new(1e9, f64::NAN), 5.0) <= 0.0);
        assert!(field.rough_lack(Vec2::new(f64::NAN, -1e300), 5.0) <= 0.0);
    }

    #[test]
    fn nothing_forbidden_is_infinitely_far_away() {
        let nothing = Field::new(&Vec::new(), 5.0);
        assert!(nothing.is_empty());
        assert!(nothing.signed(Point::ORIGIN).is_infinite());
    }
}
