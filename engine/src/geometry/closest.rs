//! The closest places of two trees of sides, searched from the outermost boxes down.

use super::tree::{SideBox, SideTree};
use super::{Point, PoseMap};

/// The closest places of two sets of sides, in the first one's coordinates.
#[derive(Clone, Copy, Debug)]
pub(super) struct Closest {
    /// The square of the distance in square millimetres.
    pub(super) square: f64,
    pub(super) here: Point,
    pub(super) there: Point,
}

/// The closest places of two trees nearer than `reach`; a distance of exactly `reach` does not count.
///
/// `map` leads from the other tree's coordinates to the first one's. Cost: about `log n` for shapes apart.
pub(super) fn closest(
    one: &SideTree,
    two: &SideTree,
    map: &PoseMap,
    reach: f64,
) -> Option<Closest> {
    let (root, other) = (one.boxes().first()?, two.boxes().first()?);
    let best = Closest { square: reach * reach, here: Point::ORIGIN, there: Point::ORIGIN };
    let mut search = Search { one, two, map, best, is_found: false };
    search.descend(0, 0, root.square_to(&other.mapped(map)));
    search.is_found.then_some(search.best)
}

/// A search for the closest places of two trees.
struct Search<'a> {
    one: &'a SideTree,
    two: &'a SideTree,
    map: &'a PoseMap,
    best: Closest,
    is_found: bool,
}

impl Search<'_> {
    /// Looks below a pair of boxes whose distance squared is `bound`, the nearer half first.
    fn descend(&mut self, one: usize, two: usize, bound: f64) {
        if bound >= self.best.square {
            return;
        }
        let (a, b) = (self.one.boxes()[one], self.two.boxes()[two]);
        if a.is_leaf() && b.is_leaf() {
            self.compare(&a, &b, bound);
        } else if a.is_split_before(&b) {
            let mapped = b.mapped(self.map);
            let ([low, high], boxes) = (a.children(one), self.one.boxes());
            let (first, second) = (boxes[low].square_to(&mapped), boxes[high].square_to(&mapped));
            if second < first {
                self.descend(high, two, second);
                self.descend(low, two, first);
            } else {
                self.descend(low, two, first);
                self.descend(high, two, second);
            }
        } else {
            let ([low, high], boxes) = (b.children(two), self.two.boxes());
            let first = boxes[low].mapped(self.map).square_to(&a);
            let second = boxes[high].mapped(self.map).square_to(&a);
            if second < first {
                self.descend(one, high, second);
                self.descend(one, low, first);
            } else {
                self.descend(one, low, first);
                self.descend(one, high, second);
            }
        }
    }

    /// Compares all sides of two leaves.
    ///
    /// Each corner is compared as the start of its side only: it is the end of another side, whose pair of
    /// leaves is visited too whenever the corner could be nearer than the best so far.
    fn compare(&mut self, a: &SideBox, b: &SideBox, bound: f64) {
        for two in &self.two.sides()[b.range()] {
            let two = two.mapped(self.map);
            for &one in &self.one.sides()[a.range()] {
                self.offer(one.from, two.nearest(one.from));
                self.offer(one.nearest(two.from), two.from);
                if bound <= 0.0
                    && let Some(p) = one.crossing(two)
                {
                    self.offer(p, p);
                }
            }
        }
    }

    #[inline(always)]
    fn offer(&mut self, here: Point, there: Point) {
        let away = there - here;
        let square = away.dot(away);
        if square < self.best.square {
            self.best = Closest { square, here, there };
            self.is_found = true;
        }
    }
}
