//! The signed distance of a displacement from a forbidden region: exactly, and quickly from a grid.

use super::forbidden::Outlines;
use crate::geometry::{Point, Rect, Vec2};
use crate::units::Length;

/// Cells along the longer side of the grid.
const CELLS: f64 = 30.0;
/// Corners of cells along the side of what is filled together.
const BLOCK: usize = 4;

/// A side of the boundary, made ready for distances.
#[derive(Clone, Copy, Debug)]
struct Edge {
    from: Point,
    along: Vec2,
    /// One over the square of the length; zero for a side of no length.
    inverse: f64,
}

/// The distances of displacements from a forbidden region, negative inside.
#[derive(Clone, Debug)]
pub(super) struct Field {
    edges: Vec<Edge>,
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
        let edges = outlines.iter().flat_map(|ring| {
            let next = ring.iter().cycle().skip(1);
            ring.iter().zip(next).map(|(&from, &to)| Edge::new(from, to))
        });
        let mut field = Self { edges: edges.collect(), bounds, grid: Grid::default() };
        if !field.edges.is_empty() {
            field.grid = field.sampled(margin);
        }
        field
    }

    fn sampled(&self, margin: f64) -> Grid {
        let reach = self.bounds.grown(Length::mm(margin));
        let (width, depth) = (reach.width().to_mm(), reach.depth().to_mm());
        let cell = width.max(depth) / CELLS;
        let (n_columns, n_rows) = (floor(width / cell) + 2, floor(depth / cell) + 2);
        let mut grid = Grid {
            origin: reach.min,
            cell,
            per_mm: 1.0 / cell,
            n_columns,
            n_rows,
            values: vec![0.0; n_columns * n_rows],
        };
        for row in (0..n_rows).step_by(BLOCK) {
            for column in (0..n_columns).step_by(BLOCK) {
                self.fill_squares(&mut grid, column, row);
            }
        }
        self.fill_signs(&mut grid);
        grid
    }

    /// The squares of the distances in one block of the grid.
    ///
    /// Distances change no faster than places. So a side that is farther from the block's middle than the nearest one
    /// by more than the block's diagonal is nowhere in the block the nearest, and is not looked at again.
    fn fill_squares(&self, grid: &mut Grid, column: usize, row: usize) {
        let columns = column..(column + BLOCK).min(grid.n_columns);
        let rows = row..(row + BLOCK).min(grid.n_rows);
        let (low, high) = (grid.point(column, row), grid.point(columns.end - 1, rows.end - 1));
        let middle = low.midpoint(high);
        let distances: Vec<f64> =
            self.edges.iter().map(|edge| edge.away(middle).length()).collect();
        let nearest = distances.iter().copied().fold(f64::INFINITY, f64::min);
        // Rounding must not lose a side.
        let limit = (nearest + low.distance(high)) * (1.0 + 1e-9);
        let near = self.edges.iter().zip(distances).filter(|(_, distance)| *distance <= limit);
        let near: Vec<Edge> = near.map(|(edge, _)| *edge).collect();
        for row in rows {
            for column in columns.clone() {
                let p = grid.point(column, row);
                let squares = near.iter().map(|edge| edge.away(p)).map(|away| away.dot(away));
                grid.values[row * grid.n_columns + column] =
                    narrow(squares.fold(f64::INFINITY, f64::min).sqrt());
            }
        }
    }

    /// Makes the distances inside negative; only the sides that a row crosses say what is inside there.
    fn fill_signs(&self, grid: &mut Grid) {
        let mut crossing: Vec<Edge> = Vec::new();
        for row in 0..grid.n_rows {
            let y = grid.point(0, row).y;
            crossing.clear();
            crossing.extend(self.edges.iter().filter(|edge| edge.spans(y)).copied());
            for column in 0..grid.n_columns {
                let p = grid.point(column, row);
                if crossing.iter().filter(|edge| edge.is_crossed(p)).count() % 2 == 1 {
                    let value = &mut grid.values[row * grid.n_columns + column];
                    *value = -*value;
                }
            }
        }
    }

    /// The region lies inside this rectangle.
    pub(super) const fn bounds(&self) -> Rect {
        self.bounds
    }

    /// True when no displacement is forbidden.
    pub(super) const fn is_empty(&self) -> bool {
        self.edges.is_empty()
    }

    /// The signed distance; infinite when nothing is forbidden. Cost: linear in the sides.
    pub(super) fn signed(&self, p: Point) -> f64 {
        let mut square = f64::INFINITY;
        let mut is_inside = false;
        for edge in &self.edges {
            let away = edge.away(p);
            square = square.min(away.dot(away));
            is_inside ^= edge.is_crossed(p);
        }
        if is_inside { -square.sqrt() } else { square.sqrt() }
    }

    /// The signed distance and the direction in which it grows.
    pub(super) fn signed_with_way_out(&self, p: Point) -> (f64, Vec2) {
        let mut best = (f64::INFINITY, Vec2::ZERO, Vec2::ZERO);
        let mut is_inside = false;
        for edge in &self.edges {
            let away = edge.away(p);
            let square = away.dot(away);
            if square < best.0 {
                best = (square, away, edge.along);
            }
            is_inside ^= edge.is_crossed(p);
        }
        let distance = best.0.sqrt();
        let sign = if is_inside { -1.0 } else { 1.0 };
        // Very near the boundary the way out is square to the side, whose surface lies to its left.
        let way = if distance > 1e-9 {
            best.1 * (sign / distance)
        } else {
            -best.2.left() / best.2.length()
        };
        (sign * distance, way)
    }

    /// What the distance lacks to `apart`, within a cell's error; zero outside the grid.
    #[inline]
    pub(super) fn rough_lack(&self, p: Point, apart: f32) -> f32 {
        let grid = &self.grid;
        let (u, v) = ((p.x - grid.origin.x) * grid.per_mm, (p.y - grid.origin.y) * grid.per_mm);
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
        (apart - (low + (high - low) * v)).max(0.0)
    }

    /// What the distance lacks to `apart`.
    pub(super) fn lack(&self, p: Point, apart: f64) -> f64 {
        let (low, high) = (self.bounds.min, self.bounds.max);
        let (dx, dy) = ((low.x - p.x).max(p.x - high.x), (low.y - p.y).max(p.y - high.y));
        if dx >= apart || dy >= apart || self.is_clear(p, apart) {
            return 0.0;
        }
        (apart - self.signed(p)).max(0.0)
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

impl Grid {
    /// A corner of the cells.
    fn point(&self, column: usize, row: usize) -> Point {
        let at = |k: usize, low: f64| low + self.cell * count(k);
        Point::new(at(column, self.origin.x), at(row, self.origin.y))
    }
}

impl Edge {
    fn new(from: Point, to: Point) -> Self {
        let along = to - from;
        let square = along.dot(along);
        Self { from, along, inverse: if square > 0.0 { 1.0 / square } else { 0.0 } }
    }

    /// From the nearest place of the side to `p`.
    #[inline]
    fn away(&self, p: Point) -> Vec2 {
        let to = p - self.from;
        let share = (to.dot(self.along) * self.inverse).clamp(0.0, 1.0);
        to - self.along * share
    }

    /// True when the ray from `p` along x crosses the side.
    #[inline]
    fn is_crossed(&self, p: Point) -> bool {
        let to = p - self.from;
        self.spans(p.y) && ((self.along.cross(to) > 0.0) == (self.along.y > 0.0))
    }

    /// True when a line along x at this height meets the side.
    #[inline]
    fn spans(&self, y: f64) -> bool {
        let to = y - self.from.y;
        (0.0 > to) != (self.along.y > to)
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
            let rough = f64::from(field.rough_lack(p, 5.0));
            assert!((rough - expected).abs() < 0.6, "{p:?}: {rough} for {expected}");
        }
        assert!(field.lack(Point::new(1e9, f64::NAN), 5.0) <= 0.0);
        assert!(field.rough_lack(Point::new(f64::NAN, -1e300), 5.0) <= 0.0);
    }

    /// What is left out in filling the grid changes no bit of it.
    #[test]
    fn the_grid_holds_the_distances_that_all_sides_give() {
        let mut random = crate::search::Random::new(crate::search::Seed(5));
        for n in 3..40 {
            let ring = |middle: f64, random: &mut crate::search::Random| -> Vec<Point> {
                let corner = |_| {
                    Point::new(middle + random.between(-30.0, 30.0), random.between(-30.0, 30.0))
                };
                (0..n).map(corner).collect()
            };
            let outlines = vec![ring(0.0, &mut random), ring(25.0, &mut random)];
            let field = Field::new(&outlines, 12.0);
            let grid = &field.grid;
            for row in 0..grid.n_rows {
                for column in 0..grid.n_columns {
                    let all = narrow(field.signed(grid.point(column, row)));
                    let kept = grid.values[row * grid.n_columns + column];
                    assert_eq!(all.to_bits(), kept.to_bits(), "{n}: {column}, {row}");
                }
            }
        }
    }

    #[test]
    fn nothing_forbidden_is_infinitely_far_away() {
        let nothing = Field::new(&Vec::new(), 5.0);
        assert!(nothing.is_empty());
        assert!(nothing.signed(Point::ORIGIN).is_infinite());
    }
}
