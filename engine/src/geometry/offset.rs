//! Grows and shrinks regions by a distance, with round corners.

use geo::algorithm::bool_ops::{BooleanOps, FillRule};
use geo::{Coord, LineString, MultiPolygon, Polygon};

use super::flatten::tangent_arc;
use super::side::Side;
use super::{Point, Region, Ring, Vec2, tolerance};
use crate::units::Length;

/// The region grown by `by`, or shrunk when `by` is negative: all places nearer to it than `by`, or all places
/// inside it and farther than `-by` from its outlines.
///
/// Round corners are true to `within` on both sides, straight sides to a hundred-millionth of the region's size.
/// Growing may close holes, shrinking may leave several regions or none. Regions no larger than a speck are left
/// out. The answer is for regions without `problems`; of others, something near is grown. Cost: about `n log n`
/// for `n` corners, those of the rounded corners included.
///
/// Each outline is offset by itself, side by side and with a step back to the corner where it turns away from
/// the offset. Of the loops that leaves, those wound the outline's own way are kept.
///
/// **Source:** Polygon offsetting by computing winding numbers, ASME IDETC/CIE 2005, paper DETC2005-85513
/// (cited from memory).
#[must_use]
pub fn offset(region: &Region, by: Length, within: Length) -> Vec<Region> {
    let distance = by.to_mm();
    if !distance.is_finite() {
        return Vec::new();
    }
    let moved = |ring: &Ring| {
        let ring = clean(ring);
        let ring = if distance < 0.0 { ring.reversed() } else { ring };
        filled(&shifted(&ring, distance.abs(), within), ring.signed_area() > 0.0)
    };
    let outer = moved(&region.outer);
    let holes = MultiPolygon::new(region.holes.iter().flat_map(|hole| moved(hole).0).collect());
    let left = if holes.0.is_empty() {
        outer
    } else {
        outer.difference_with_fill_rule(&holes, FillRule::Positive)
    };
    let regions = left.0.iter().map(from_geo);
    regions.filter(|region| region.area() > tolerance::SPECK).collect()
}

/// The outline with each side moved to its right, arcs where it turns left, and steps back to the corner where
/// it turns right; crosses itself as it must.
fn shifted(ring: &Ring, distance: f64, within: Length) -> Ring {
    let sides: Vec<Side> = ring.sides().map(|(from, to)| Side { from, to }).collect();
    let next = sides.iter().cycle().skip(1);
    let corners = sides.iter().zip(next);
    Ring::new(corners.flat_map(|(side, next)| join(*side, *next, distance, within)).collect())
}

/// The corners between the moved side and the next one.
fn join(side: Side, next: Side, distance: f64, within: Length) -> Vec<Point> {
    let corner = side.to;
    let [along, onward] = [side, next].map(|s| (s.to - s.from) / s.from.distance(s.to));
    let (sin, cos) = (along.cross(onward), along.dot(onward));
    let [right, onward_right] = [along, onward].map(|v| -v.left());
    let is_straight_on = sin.abs() <= tolerance::STRAIGHT && cos > 0.0;
    if sin < 0.0 && !is_straight_on {
        return vec![corner + right * distance, corner, corner + onward_right * distance];
    }
    let arc = tangent_arc(distance, libm::atan2(sin.max(0.0), cos), within);
    arc.into_iter().map(|p| corner + right * p.x + along * p.y).collect()
}

/// The outline without corners that repeat the one before, which have no direction.
fn clean(ring: &Ring) -> Ring {
    let mut corners: Vec<Point> = ring.points().iter().copied().filter(|p| p.is_finite()).collect();
    corners.dedup_by(|a, b| a.distance(*b) <= tolerance::SAME.to_mm());
    while let [first, .., last] = corners[..]
        && first.distance(last) <= tolerance::SAME.to_mm()
    {
        corners.pop();
    }
    Ring::new(if corners.len() < 3 { Vec::new() } else { corners })
}

/// The surface that the outline winds round in its own sense.
fn filled(ring: &Ring, is_counter_clockwise: bool) -> MultiPolygon {
    let rule = if is_counter_clockwise { FillRule::Positive } else { FillRule::Negative };
    let nothing = MultiPolygon::new(Vec::new());
    Polygon::new(to_geo(ring), Vec::new()).union_with_fill_rule(&nothing, rule)
}

pub(super) fn to_geo(ring: &Ring) -> LineString {
    LineString::new(ring.points().iter().map(|p| Coord { x: p.x, y: p.y }).collect())
}

pub(super) fn from_geo(polygon: &Polygon) -> Region {
    let ring = |line: &LineString| {
        Ring::new(line.coords().map(|c| Point::ORIGIN + Vec2::new(c.x, c.y)).collect())
    };
    Region::new(ring(polygon.exterior()), polygon.interiors().iter().map(ring).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{flatten, tolerance::MEASURE};
    use crate::units::Area;

    fn square(side: f64) -> Ring {
        flatten::rectangle(Length::mm(side), Length::mm(side))
    }

    fn moved(region: &Region, by: f64) -> Vec<Region> {
        offset(region, Length::mm(by), MEASURE)
    }

    #[test]
    fn a_square_shrinks_to_a_smaller_square_and_then_to_nothing() {
        let region = Region::new(square(20.0), vec![]);
        let shrunk = moved(&region, -4.0);
        assert_eq!(shrunk.len(), 1);
        assert_eq!(shrunk[0].outer.points().len(), 4);
        assert!((shrunk[0].area().to_mm2() - 144.0).abs() < 1e-5, "{:?}", shrunk[0].area());
        for by in [-10.0, -10.5, -30.0, -1000.0] {
            assert_eq!(moved(&region, by), vec![], "{by}");
        }
    }

    #[test]
    fn no_distance_leaves_the_region_as_it_is() {
        let region = Region::new(square(20.0), vec![square(6.0)]);
        let same = moved(&region, 0.0);
        assert_eq!((same.len(), same[0].holes.len()), (1, 1));
        assert!((same[0].area() - region.area()).to_mm2().abs() < 1e-5);
    }

    #[test]
    fn holes_close_as_the_region_grows_and_open_as_it_shrinks() {
        let region = Region::new(square(40.0), vec![square(6.0)]);
        assert_eq!(moved(&region, 2.9)[0].holes.len(), 1);
        assert_eq!(moved(&region, 3.1)[0].holes.len(), 0);
        let opened = moved(&region, -2.0);
        let hole = Area::mm2(36.0 + 4.0 * 6.0 * 2.0 + std::f64::consts::PI * 4.0);
        let expected = Area::mm2(36.0 * 36.0) - hole;
        assert!((opened[0].area() - expected).to_mm2().abs() < MEASURE.to_mm() * 50.0);
    }

    #[test]
    fn holes_that_grow_into_each_other_and_the_outer_outline_leave_what_is_between() {
        let hole = |x: f64| {
            Ring::new(square(6.0).points().iter().map(|&p| p + Vec2::new(x, 0.0)).collect())
        };
        let region = Region::new(square(40.0), vec![hole(-5.0), hole(5.0)]);
        assert_eq!(moved(&region, -1.0)[0].holes.len(), 2);
        assert_eq!(moved(&region, -3.0)[0].holes.len(), 1);
        // Two strips are left, above and below the holes that reach both sides.
        let parts = moved(&region, -7.0);
        assert_eq!(parts.len(), 2);
    }

    #[test]
    fn a_waist_parts_when_it_is_shrunk_by_half_its_width() {
        let corners = [
            (0.0, 0.0),
            (10.0, 0.0),
            (10.0, 4.0),
            (20.0, 4.0),
            (20.0, 0.0),
            (30.0, 0.0),
            (30.0, 10.0),
            (20.0, 10.0),
            (20.0, 6.0),
            (10.0, 6.0),
            (10.0, 10.0),
            (0.0, 10.0),
        ];
        let ring = Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect());
        let region = Region::new(ring, vec![]);
        assert_eq!(moved(&region, -0.9).len(), 1);
        assert_eq!(moved(&region, -1.1).len(), 2);
    }

    #[test]
    fn distances_and_regions_that_are_none_give_nothing() {
        let region = Region::new(square(20.0), vec![]);
        for by in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(moved(&region, by), vec![]);
        }
        let line = Ring::new(vec![Point::ORIGIN, Point::new(9.0, 0.0), Point::new(4.0, 0.0)]);
        for ring in [Ring::default(), Ring::new(vec![Point::ORIGIN; 5]), line] {
            assert_eq!(moved(&Region::new(ring, vec![]), -1.0), vec![]);
        }
    }
}
