//! What is left of a convex outline inset by a distance.
//!
//! It is what the half-planes inside its sides, each moved inwards, have in common. The sides of a convex outline come in
//! the order of their directions, so each half-plane cuts off corners at the two ends of what is left so far and nowhere
//! else: linear, however many sides vanish on the way.
//!
//! **Source:** plane geometry; M. I. Shamos and D. Hoey, Geometric intersection problems, FOCS 1976, for the sweep by
//! direction (from memory).

use std::collections::VecDeque;

use crate::geometry::{Point, Ring, Vec2};
use crate::units::Length;

/// A line with what is left on its left: a place on it, and its direction of length one.
#[derive(Clone, Copy)]
struct Line {
    at: Point,
    along: Vec2,
}

impl Line {
    /// Whether a place is on the side that is kept.
    fn keeps(self, place: Point) -> bool {
        self.along.cross(place - self.at) > 0.0
    }

    /// Where it meets a line that turns left of it; `None` where that turns by half a turn or more, and the two have
    /// no corner in common.
    fn corner(self, next: Self) -> Option<Point> {
        let sine = self.along.cross(next.along);
        (sine > 0.0).then(|| self.at + self.along * ((next.at - self.at).cross(next.along) / sine))
    }
}

/// A convex outline, counter-clockwise and without corners that repeat, inset by a distance; no corners where nothing is
/// left. Cost: linear.
pub(super) fn convex_inset(outline: &Ring, by: Length) -> Ring {
    inset(outline, by.to_mm()).unwrap_or_default()
}

fn inset(outline: &Ring, by: f64) -> Option<Ring> {
    let lines = outline.sides().filter_map(|(from, to)| {
        let length = from.distance(to);
        let along = (to - from) / length;
        (length > 0.0).then(|| Line { at: from + along.left() * by, along })
    });
    let mut kept: VecDeque<Line> = VecDeque::new();
    for line in lines {
        while kept.len() > 1 && !line.keeps(kept[kept.len() - 2].corner(kept[kept.len() - 1])?) {
            kept.pop_back();
        }
        while kept.len() > 1 && !line.keeps(kept[0].corner(kept[1])?) {
            kept.pop_front();
        }
        kept.push_back(line);
    }
    // The first ones were there before the last ones could cut them off, and the other way round.
    while kept.len() > 2 && !kept[0].keeps(kept[kept.len() - 2].corner(kept[kept.len() - 1])?) {
        kept.pop_back();
    }
    while kept.len() > 2 && !kept[kept.len() - 1].keeps(kept[0].corner(kept[1])?) {
        kept.pop_front();
    }
    let next = kept.iter().cycle().skip(1);
    let corners: Option<Vec<Point>> =
        kept.iter().zip(next).map(|(line, next)| line.corner(*next)).collect();
    corners.filter(|corners| corners.len() > 2).map(Ring::new)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::geometry::{Region, convex_hull, flatten, offset, tolerance};
    use crate::units::Area;

    fn ring(corners: &[(f64, f64)]) -> Ring {
        Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect())
    }

    #[track_caller]
    fn check(got: f64, expected: f64, within: f64) {
        assert!((got - expected).abs() <= within, "{got}, not {expected}");
    }

    #[test]
    fn a_triangle_shrinks_to_its_inscribed_circle_and_no_farther() {
        // 3, 4, 5: the inscribed circle's radius is 1, and what is left is similar to the whole.
        let triangle = ring(&[(0.0, 0.0), (4.0, 0.0), (0.0, 3.0)]);
        for by in [0.0, 0.25, 0.5, 0.999] {
            let left = convex_inset(&triangle, Length::mm(by));
            check(left.signed_area(), 6.0 * (1.0 - by) * (1.0 - by), 1e-12);
            check(left.perimeter().to_mm(), 12.0 * (1.0 - by), 1e-12);
        }
        for by in [1.001, 1.2, 2.0, 5.0, 100.0] {
            assert_eq!(convex_inset(&triangle, Length::mm(by)), Ring::default(), "{by}");
        }
    }

    #[test]
    fn sides_vanish_one_after_another() {
        // A plate of 20 x 10 with a corner cut off by 1 x 1: gone once its sides are inset by 1 / (2 - √2).
        let plate = ring(&[(0.0, 0.0), (20.0, 0.0), (20.0, 9.0), (19.0, 10.0), (0.0, 10.0)]);
        for (by, n, area) in
            [(1.0, 5, None), (2.0, 4, Some(16.0 * 6.0)), (4.9, 4, Some(10.2 * 0.2))]
        {
            let left = convex_inset(&plate, Length::mm(by));
            assert_eq!(left.points().len(), n, "{by}");
            if let Some(area) = area {
                check(left.signed_area(), area, 1e-9);
            }
        }
        assert_eq!(convex_inset(&plate, Length::mm(5.1)), Ring::default());
    }

    #[test]
    fn it_does_not_matter_which_corner_comes_first() {
        let mut corners = [(0.0, 0.0), (30.0, 2.0), (41.0, 19.0), (20.0, 33.0), (3.0, 25.0)];
        let whole = convex_inset(&ring(&corners), Length::mm(9.0)).signed_area();
        assert!(whole > 1.0);
        for _ in 0..corners.len() {
            corners.rotate_left(1);
            check(convex_inset(&ring(&corners), Length::mm(9.0)).signed_area(), whole, 1e-9);
        }
    }

    #[test]
    fn a_circle_keeps_every_corner_until_it_is_gone() {
        let disc = flatten::circle(Length::mm(2820.0), tolerance::MEASURE);
        let left = convex_inset(&disc, Length::mm(1400.0));
        assert_eq!(left.points().len(), disc.points().len());
        check(left.signed_area(), PI * 100.0, 1.0);
    }

    /// Convex outlines drawn by lot: the offset, which sorts out every crossing, is asked for the same.
    #[test]
    fn it_leaves_what_an_offset_leaves() {
        // The steps of a linear congruential generator (Numerical Recipes, 2nd ed., section 7.1; from memory).
        let mut state = 20_261_126_u32;
        let mut chance = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(state >> 8) / f64::from(1 << 24)
        };
        let mut n_left = 0;
        for n in (3..40).chain([60, 90]) {
            let corners: Vec<Point> =
                (0..n).map(|_| Point::new(60.0 * chance(), 40.0 * chance())).collect();
            let outline = convex_hull(corners);
            let by = Length::mm(1.0 + 14.0 * chance());
            let expected = offset(&Region::new(outline.clone(), vec![]), -by, tolerance::MEASURE);
            let left = convex_inset(&outline, by);
            let area: Area = expected.iter().map(Region::area).sum();
            let length: Length = expected.iter().map(Region::perimeter).sum();
            check(left.signed_area(), area.to_mm2(), 1e-4);
            check(left.perimeter().to_mm(), length.to_mm(), 1e-4);
            n_left += usize::from(!expected.is_empty());
        }
        assert!((15..39).contains(&n_left), "{n_left}");
    }
}
