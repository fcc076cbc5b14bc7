//! The sides of a forbidden region, sorted by where they matter, so that a distance asks few of them.
//!
//! Distances change no faster than places. So a side that is farther from the middle of a block of places than the nearest
//! one, by more than the block's diagonal, is the nearest nowhere in the block. And whether a place is inside, which is
//! told by the sides that a ray from it meets, is told for a whole block by those that it lies clear to the left of.

use super::field::{count, floor};
use super::forbidden::Outlines;
use crate::geometry::{Point, Rect, Vec2, greater, lesser};

/// Blocks along the longer edge.
const BLOCKS: f64 = 10.0;
/// What rounding may do, as a share of the size of what is measured.
const ROUNDING: f64 = 1e-9;

/// A side of the boundary, made ready for distances.
#[derive(Clone, Copy, Debug)]
pub(super) struct Side {
    from: Point,
    pub(super) along: Vec2,
    /// One over the square of the length; zero for a side of no length.
    inverse: f64,
}

/// All sides, and for each block of a rectangle those that matter there.
#[derive(Clone, Debug, Default)]
pub(super) struct Sides {
    all: Vec<Side>,
    origin: Point,
    per_mm: f64,
    n_columns: usize,
    n_rows: usize,
    blocks: Vec<Block>,
    near: Vec<Side>,
    crossed: Vec<Side>,
}

/// Which sides matter in a block: ranges of the lists, and whether an odd number of the others is always met.
#[derive(Clone, Copy, Debug)]
struct Block {
    near: (usize, usize),
    crossed: (usize, usize),
    is_odd: bool,
}

/// The sides that matter at a place.
pub(super) struct Here<'a> {
    /// One of them is the nearest.
    pub(super) near: &'a [Side],
    crossed: &'a [Side],
    is_odd: bool,
}

impl Sides {
    /// The sides of outlines, sorted for places within `reach`.
    pub(super) fn new(outlines: &Outlines, reach: Rect) -> Self {
        let sides = outlines.iter().flat_map(|ring| {
            let next = ring.iter().cycle().skip(1);
            ring.iter().zip(next).map(|(&from, &to)| Side::new(from, to))
        });
        let mut sorted = Self { all: sides.collect(), ..Self::default() };
        if !sorted.all.is_empty() {
            sorted.sort(reach);
        }
        sorted
    }

    pub(super) const fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    fn sort(&mut self, reach: Rect) {
        let (width, depth) = (reach.width().to_mm(), reach.depth().to_mm());
        let size = width.max(depth) / BLOCKS;
        self.origin = reach.min;
        self.per_mm = 1.0 / size;
        (self.n_columns, self.n_rows) = (floor(width / size) + 1, floor(depth / size) + 1);
        let mut distances = vec![0.0; self.all.len()];
        for k in 0..self.n_columns * self.n_rows {
            let by = Vec2::new(count(k % self.n_columns), count(k / self.n_columns)) * size;
            let min = self.origin + by;
            // Which block a place is of, rounding decides.
            let slack = size * ROUNDING;
            let block = Rect {
                min: min - Vec2::new(slack, slack),
                max: min + Vec2::new(size + slack, size + slack),
            };
            let block = self.block(block, &mut distances);
            self.blocks.push(block);
        }
    }

    fn block(&mut self, block: Rect, distances: &mut [f64]) -> Block {
        let middle = block.center();
        for (distance, side) in distances.iter_mut().zip(&self.all) {
            *distance = side.away(middle).length();
        }
        let nearest = distances.iter().copied().fold(f64::INFINITY, lesser);
        let limit = (nearest + block.min.distance(block.max)) * (1.0 + ROUNDING);
        let (near, crossed) = (self.near.len(), self.crossed.len());
        let mut is_odd = false;
        for (side, distance) in self.all.iter().zip(distances) {
            if *distance <= limit {
                self.near.push(*side);
            }
            match side.met_from(block) {
                Met::Never => {}
                Met::Always => is_odd = !is_odd,
                Met::Perhaps => self.crossed.push(*side),
            }
        }
        Block { near: (near, self.near.len()), crossed: (crossed, self.crossed.len()), is_odd }
    }

    /// The sides that matter at a place; all of them beyond the rectangle.
    #[inline]
    pub(super) fn at(&self, p: Point) -> Here<'_> {
        let (u, v) = ((p.x - self.origin.x) * self.per_mm, (p.y - self.origin.y) * self.per_mm);
        let (column, row) = (floor(u), floor(v));
        if u >= 0.0 && v >= 0.0 && column < self.n_columns && row < self.n_rows {
            let Block { near, crossed, is_odd } = self.blocks[row * self.n_columns + column];
            let (near, crossed) = (&self.near[near.0..near.1], &self.crossed[crossed.0..crossed.1]);
            Here { near, crossed, is_odd }
        } else {
            Here { near: &self.all, crossed: &self.all, is_odd: false }
        }
    }
}

impl Here<'_> {
    /// Whether the place is inside.
    #[inline]
    pub(super) fn is_inside(&self, p: Point) -> bool {
        self.crossed.iter().fold(self.is_odd, |is_inside, side| is_inside ^ side.is_crossed(p))
    }
}

/// Whether the ray along x meets a side, from everywhere in a block.
enum Met {
    Never,
    Always,
    Perhaps,
}

impl Side {
    fn new(from: Point, to: Point) -> Self {
        let along = to - from;
        let square = along.dot(along);
        Self { from, along, inverse: if square > 0.0 { 1.0 / square } else { 0.0 } }
    }

    /// From the nearest place of the side to `p`.
    #[inline]
    pub(super) fn away(&self, p: Point) -> Vec2 {
        let to = p - self.from;
        let share = (to.dot(self.along) * self.inverse).clamp(0.0, 1.0);
        to - self.along * share
    }

    /// True when the ray from `p` along x crosses the side.
    #[inline]
    fn is_crossed(&self, p: Point) -> bool {
        let to = p - self.from;
        ((0.0 > to.y) != (self.along.y > to.y))
            && ((self.along.cross(to) > 0.0) == (self.along.y > 0.0))
    }

    fn met_from(&self, block: Rect) -> Met {
        let to = self.from + self.along;
        let slack = (block.max.x - block.min.x) * ROUNDING;
        let (left, right) = (lesser(self.from.x, to.x), greater(self.from.x, to.x));
        let (low, high) = (lesser(self.from.y, to.y), greater(self.from.y, to.y));
        if high < block.min.y || low > block.max.y || right < block.min.x - slack {
            Met::Never
        } else if left > block.max.x + slack && low < block.min.y && high > block.max.y {
            Met::Always
        } else {
            Met::Perhaps
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::search::{Random, Seed};

    /// What is left out changes no bit.
    #[test]
    fn sorted_sides_tell_the_distance_and_the_inside_that_all_sides_tell() {
        let mut random = Random::new(Seed(5));
        for n in 3..40 {
            let mut ring = |middle: f64| -> Vec<Point> {
                let mut corner = |_| {
                    Point::new(middle + random.between(-30.0, 30.0), random.between(-30.0, 30.0))
                };
                (0..n).map(&mut corner).collect()
            };
            let outlines = vec![ring(0.0), ring(25.0)];
            let reach = Rect { min: Point::new(-40.0, -35.0), max: Point::new(60.0, 38.0) };
            let sides = Sides::new(&outlines, reach);
            for k in 0..900_u32 {
                // Beyond the rectangle too, and on the lines between blocks.
                let p = Point::new(f64::from(k % 30) * 4.0 - 50.0, f64::from(k / 30) * 3.0 - 45.0);
                let here = sides.at(p);
                let least = |sides: &[Side]| {
                    sides.iter().map(|side| side.away(p).length()).fold(f64::INFINITY, f64::min)
                };
                assert_eq!(least(here.near).to_bits(), least(&sides.all).to_bits(), "{n}: {p:?}");
                let n_met = sides.all.iter().filter(|side| side.is_crossed(p)).count();
                assert_eq!(here.is_inside(p), n_met % 2 == 1, "{n}: {p:?}");
            }
        }
    }
}
