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
/// Round corners are true to `within` on both sides, straight sides to a millionth of the region's size.
/// Growing may close holes, shrinking may leave several regions or none. Specks are left out. The answer is for
/// regions without `problems`; of others, something near is grown. Cost: about `n log n` for `n` corners,
/// those of the rounded corners included.
///
/// Each outline is offset by itself, side by side and with a step back to the corner where it turns away from
/// the offset. Of the loops that leaves, those wound the outline's own way are kept.
///
/// **Source:** Polygon offsetting by computing winding numbers, ASME IDETC/CIE 2005, paper DETC2005-85513.
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

fn to_geo(ring: &Ring) -> LineString {
    LineString::new(ring.points().iter().map(|p| Coord { x: p.x, y: p.y }).collect())
}

fn from_geo(polygon: &Polygon) -> Region {
    let ring = |line: &LineString| {
        Ring::new(line.coords().map(|c| Point::ORIGIN + Vec2::new(c.x, c.y)).collect())
    };
    Region::new(ring(polygon.exterior()), polygon.interiors().iter().map(ring).collect())
}
