//! Upright rectangles: bounds, the blank, the opening, the platen.

use super::{Point, Vec2};
use crate::units::{Area, Length};

/// A rectangle with upright sides, from its lowest to its highest corner; may have no area.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Rect {
    /// The corner with the smallest coordinates.
    pub min: Point,
    /// The corner with the largest coordinates.
    pub max: Point,
}

impl Rect {
    /// The rectangle between two corners, whichever way round they are given.
    #[must_use]
    pub const fn new(a: Point, b: Point) -> Self {
        Self {
            min: Point::new(a.x.min(b.x), a.y.min(b.y)),
            max: Point::new(a.x.max(b.x), a.y.max(b.y)),
        }
    }

    /// The rectangle with its lowest corner at `min` and the given extent.
    #[must_use]
    pub const fn sized(min: Point, width: Length, depth: Length) -> Self {
        Self { min, max: Point::new(min.x + width.to_mm(), min.y + depth.to_mm()) }
    }

    /// The smallest rectangle round all points; `None` without points.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Option<Self> {
        points.into_iter().fold(None, |so_far: Option<Self>, p| {
            Some(so_far.map_or(Self { min: p, max: p }, |r| r.including(p)))
        })
    }

    /// The smallest rectangle round this one and `p`.
    #[must_use]
    pub const fn including(self, p: Point) -> Self {
        Self {
            min: Point::new(self.min.x.min(p.x), self.min.y.min(p.y)),
            max: Point::new(self.max.x.max(p.x), self.max.y.max(p.y)),
        }
    }

    /// The smallest rectangle round both.
    #[must_use]
    pub const fn union(self, other: Self) -> Self {
        self.including(other.min).including(other.max)
    }

    /// The extent along x.
    #[must_use]
    pub const fn width(self) -> Length {
        Length::mm(self.max.x - self.min.x)
    }

    /// The extent along y.
    #[must_use]
    pub const fn depth(self) -> Length {
        Length::mm(self.max.y - self.min.y)
    }

    /// The middle.
    #[must_use]
    pub fn center(self) -> Point {
        self.min.midpoint(self.max)
    }

    /// The surface.
    #[must_use]
    pub fn area(self) -> Area {
        self.width() * self.depth()
    }

    /// The four corners, counter-clockwise from the lowest.
    #[must_use]
    pub const fn corners(self) -> [Point; 4] {
        [self.min, Point::new(self.max.x, self.min.y), self.max, Point::new(self.min.x, self.max.y)]
    }

    /// The rectangle grown by `by` on each side; shrunk when `by` is negative (not below a point).
    #[must_use]
    pub fn grown(self, by: Length) -> Self {
        let (dx, dy) = (
            by.to_mm().max(-self.width().to_mm() / 2.0),
            by.to_mm().max(-self.depth().to_mm() / 2.0),
        );
        Self { min: self.min - Vec2::new(dx, dy), max: self.max + Vec2::new(dx, dy) }
    }

    /// The same rectangle moved by `by`.
    #[must_use]
    pub fn moved(self, by: Vec2) -> Self {
        Self { min: self.min + by, max: self.max + by }
    }

    /// True when `p` is inside or on the edge.
    #[must_use]
    pub const fn contains(self, p: Point) -> bool {
        self.min.x <= p.x && p.x <= self.max.x && self.min.y <= p.y && p.y <= self.max.y
    }

    /// The part common to both; `None` when they do not meet.
    #[must_use]
    pub fn intersection(self, other: Self) -> Option<Self> {
        let min = Point::new(self.min.x.max(other.min.x), self.min.y.max(other.min.y));
        let max = Point::new(self.max.x.min(other.max.x), self.max.y.min(other.max.y));
        (min.x <= max.x && min.y <= max.y).then_some(Self { min, max })
    }

    /// The free distance between two rectangles in millimetres; zero when they meet.
    #[must_use]
    pub fn distance(self, other: Self) -> f64 {
        let dx = (other.min.x - self.max.x).max(self.min.x - other.max.x).max(0.0);
        let dy = (other.min.y - self.max.y).max(self.min.y - other.max.y).max(0.0);
        Vec2::new(dx, dy).length()
    }

    /// True when the straight line from `a` to `b` touches the rectangle or its inside.
    #[must_use]
    pub fn meets_line(self, a: Point, b: Point) -> bool {
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        let along = b - a;
        let bands =
            [(a.x, along.x, self.min.x, self.max.x), (a.y, along.y, self.min.y, self.max.y)];
        for (start, step, low, high) in bands {
            if step.abs() < f64::MIN_POSITIVE {
                if start < low || start > high {
                    return false;
                }
                continue;
            }
            let (enter, leave) = ((low - start) / step, (high - start) / step);
            from = from.max(enter.min(leave));
            to = to.min(enter.max(leave));
        }
        from <= to
    }
}
