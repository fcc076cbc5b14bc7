//! One straight side of an outline and what it can be asked.

use super::extremes::{greater, lesser};
use super::{Point, PoseMap};

/// A straight side from corner to next corner; the region lies to its left.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Side {
    pub(crate) from: Point,
    pub(crate) to: Point,
}

impl Side {
    /// The same side in the coordinates that `map` leads to.
    pub(super) const fn mapped(self, map: &PoseMap) -> Self {
        Self { from: map.apply(self.from), to: map.apply(self.to) }
    }

    /// The place of the side nearest to `p`.
    #[inline(always)]
    pub(crate) fn nearest(self, p: Point) -> Point {
        let along = self.to - self.from;
        let square = along.dot(along);
        let share = (p - self.from).dot(along);
        if share <= 0.0 {
            self.from
        } else if share >= square {
            self.to
        } else {
            self.from + along * (share / square)
        }
    }

    /// Where the two sides cross, each passing from one side of the other to the other side.
    ///
    /// Sides that only touch do not cross: the distance of a corner from a side finds those.
    #[inline(always)]
    pub(super) fn crossing(self, other: Self) -> Option<Point> {
        let (along, across) = (self.to - self.from, other.to - other.from);
        let low = along.cross(other.from - self.from);
        let high = along.cross(other.to - self.from);
        let from = across.cross(self.from - other.from);
        let to = across.cross(self.to - other.from);
        let is_crossing = lesser(low, high) < 0.0
            && greater(low, high) > 0.0
            && lesser(from, to) < 0.0
            && greater(from, to) > 0.0;
        is_crossing.then(|| self.from + along * (from / (from - to)))
    }

    /// The distance of `p` from the side.
    pub(super) fn distance(self, p: Point) -> f64 {
        self.nearest(p).distance(p)
    }

    /// A corner of either side that lies on the other one, give or take `within` millimetres.
    pub(super) fn touch(self, other: Self, within: f64) -> Option<Point> {
        let is_on = |side: Self| move |p: &Point| side.distance(*p) <= within;
        let mine = [self.from, self.to].into_iter().find(is_on(other));
        mine.or_else(|| [other.from, other.to].into_iter().find(is_on(self)))
    }

    /// The distance of `p` from the line through the side, positive to the left; zero for a side of no length.
    pub(super) fn height(self, p: Point) -> f64 {
        let along = self.to - self.from;
        let length = along.length();
        if length > 0.0 { along.cross(p - self.from) / length } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn side(from: (f64, f64), to: (f64, f64)) -> Side {
        Side { from: Point::new(from.0, from.1), to: Point::new(to.0, to.1) }
    }

    #[test]
    fn the_nearest_place_is_a_corner_or_the_foot_of_the_perpendicular() {
        let front = side((0.0, 0.0), (10.0, 0.0));
        for (from, to) in
            [((4.0, 3.0), (4.0, 0.0)), ((-1.0, 2.0), (0.0, 0.0)), ((19.0, 0.0), (10.0, 0.0))]
        {
            assert_eq!(front.nearest(Point::new(from.0, from.1)), Point::new(to.0, to.1));
        }
        let point = side((1.0, 1.0), (1.0, 1.0));
        assert_eq!(point.nearest(Point::new(5.0, 5.0)), Point::new(1.0, 1.0));
    }

    #[test]
    fn crossing_sides_meet_and_touching_or_parallel_ones_do_not_cross() {
        let front = side((0.0, 0.0), (10.0, 0.0));
        assert_eq!(front.crossing(side((2.0, -1.0), (4.0, 1.0))), Some(Point::new(3.0, 0.0)));
        assert_eq!(front.crossing(side((2.0, 1.0), (4.0, 2.0))), None);
        assert_eq!(front.crossing(side((12.0, -1.0), (12.0, 1.0))), None);
        assert_eq!(front.crossing(side((3.0, 0.0), (8.0, 0.0))), None);
        assert_eq!(front.crossing(front), None);
    }
}
