//! The free distance between two placed shapes, with the places where it is measured.

use super::closest::{Closest, closest};
use super::{Point, Pose, PoseMap, Shape, tolerance};
use crate::units::Length;

/// The shortest way between two shapes on the blank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// The free distance; zero when the shapes overlap or touch, infinite when one of them is empty.
    pub distance: Length,
    /// Where it starts, on the first shape.
    pub from: Point,
    /// Where it ends, on the second shape; the same place as `from` when they overlap.
    pub to: Point,
}

/// The free distance between two placed shapes, exact for polygons.
///
/// A shape inside the other overlaps it, a shape in the other's hole does not. Cost: about `log n` for shapes
/// apart, `n` for outlines that run side by side.
#[must_use]
pub fn gap(a: &Shape, pa: Pose, b: &Shape, pb: Pose) -> Gap {
    let (map_a, map_b) = (pa.map(), pb.map());
    nearest(a, map_a, (b, map_b), f64::INFINITY).unwrap_or(Gap {
        distance: Length::mm(f64::INFINITY),
        from: pa.at,
        to: pb.at,
    })
}

/// The gap, unless the shapes are farther apart than `limit`; much cheaper than `gap` when they are.
#[must_use]
pub fn gap_within(a: &Shape, pa: Pose, b: &Shape, pb: Pose, limit: Length) -> Option<Gap> {
    let reach = (limit + tolerance::SAME).to_mm();
    nearest(a, pa.map(), (b, pb.map()), reach).filter(|gap| gap.distance <= limit)
}

/// The gap when it is below `reach`.
fn nearest(a: &Shape, map_a: PoseMap, (b, map_b): (&Shape, PoseMap), reach: f64) -> Option<Gap> {
    let map = map_b.seen_from(map_a);
    let found = common_corner(a, b, map).map_or_else(
        || closest(a.tree(), b.tree(), &map, reach),
        |place| Some(Closest { square: 0.0, here: place, there: place }),
    )?;
    Some(Gap {
        distance: Length::mm(found.square.sqrt()),
        from: map_a.apply(found.here),
        to: map_a.apply(found.there),
    })
}

/// A corner of one shape that the other covers, in the first one's coordinates.
///
/// Outlines that do not cross leave only this way to overlap, and it is the cheaper question.
pub(super) fn common_corner(a: &Shape, b: &Shape, map: PoseMap) -> Option<Point> {
    let of_b = b.any_corner().map(|corner| map.apply(corner)).filter(|&place| a.covers(place));
    of_b.or_else(|| a.any_corner().filter(|&place| b.covers(map.invert(place))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Region, Ring, flatten};
    use crate::units::Angle;

    fn square(side: f64) -> Shape {
        let side = Length::mm(side);
        Shape::new(Region::new(flatten::rectangle(side, side), vec![]))
    }

    fn frame(outer: f64, hole: f64) -> Shape {
        let [outer, hole] = [outer, hole].map(|s| flatten::rectangle(Length::mm(s), Length::mm(s)));
        Shape::new(Region::new(outer, vec![hole]))
    }

    fn at(x: f64, y: f64, degrees: f64) -> Pose {
        Pose::new(Point::new(x, y), Angle::degrees(degrees))
    }

    #[test]
    fn the_gap_between_two_squares_has_its_places_on_the_blank() {
        let measured = gap(&square(10.0), at(0.0, 0.0, 0.0), &square(10.0), at(23.0, 0.0, 45.0));
        let half_diagonal = 50.0_f64.sqrt();
        assert!((measured.distance.to_mm() - (18.0 - half_diagonal)).abs() < 1e-12);
        assert!(measured.from.distance(Point::new(5.0, 0.0)) < 1e-12);
        assert!(measured.to.distance(Point::new(23.0 - half_diagonal, 0.0)) < 1e-12);
    }

    #[test]
    fn overlapping_enclosed_and_touching_shapes_have_no_gap() {
        let cases = [
            (10.0, 10.0, 7.0, 0.0),
            (10.0, 10.0, 7.0, 30.0),
            (10.0, 10.0, 10.0, 0.0),
            (10.0, 10.0, 10.0, 90.0),
            (10.0, 10.0, 0.0, 45.0),
            (10.0, 2.0, 1.0, 20.0),
            (2.0, 10.0, 1.0, 20.0),
            (10.0, 2.0, 6.0, 0.0),
        ];
        for (side, other, apart, degrees) in cases {
            let (a, b) = (square(side), square(other));
            let measured = gap(&a, at(3.0, 4.0, 0.0), &b, at(3.0 + apart, 4.0, degrees));
            assert!(measured.distance.to_mm() < 1e-12, "{side} {other}: {measured:?}");
            assert!(measured.from.distance(measured.to) < 1e-12);
        }
    }

    #[test]
    fn a_shape_in_the_hole_of_another_does_not_overlap_it() {
        let (frame, small) = (frame(30.0, 20.0), square(4.0));
        let inside = gap(&frame, at(50.0, 50.0, 90.0), &small, at(53.0, 50.0, 0.0));
        assert!((inside.distance.to_mm() - 5.0).abs() < 1e-12, "{inside:?}");
        let on_rim = gap(&frame, at(50.0, 50.0, 90.0), &small, at(62.5, 50.0, 0.0));
        assert_eq!(on_rim.distance, Length::ZERO);
        let around = gap(&frame, at(50.0, 50.0, 0.0), &square(18.0), at(50.0, 50.0, 0.0));
        assert!((around.distance.to_mm() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn crossing_bars_without_corners_in_each_other_have_no_gap() {
        let bar = flatten::rectangle(Length::mm(40.0), Length::mm(4.0));
        let bar = Shape::new(Region::new(bar, vec![]));
        let measured = gap(&bar, at(0.0, 0.0, 0.0), &bar, at(1.0, 2.0, 90.0));
        assert_eq!(measured.distance, Length::ZERO);
        assert_eq!(measured.from, measured.to);
    }

    #[test]
    fn a_limit_leaves_out_what_is_farther_and_keeps_what_is_not() {
        let (a, b) = (square(10.0), square(10.0));
        let within = |limit: f64| {
            gap_within(&a, at(0.0, 0.0, 0.0), &b, at(13.0, 0.0, 0.0), Length::mm(limit))
        };
        assert_eq!(within(2.9), None);
        assert_eq!(within(3.0).map(|g| g.distance), Some(Length::mm(3.0)));
        assert_eq!(within(99.0), Some(gap(&a, at(0.0, 0.0, 0.0), &b, at(13.0, 0.0, 0.0))));
        assert_eq!(within(f64::NAN), None);
        let touching = gap_within(&a, at(0.0, 0.0, 0.0), &b, at(10.0, 0.0, 0.0), Length::ZERO);
        assert_eq!(touching.map(|g| g.distance), Some(Length::ZERO));
    }

    #[test]
    fn an_empty_shape_is_infinitely_far_away() {
        let empty = Shape::new(Region::default());
        let measured = gap(&empty, at(1.0, 2.0, 0.0), &square(10.0), at(0.0, 0.0, 0.0));
        assert_eq!(measured.distance, Length::mm(f64::INFINITY));
        assert_eq!(measured.from, Point::new(1.0, 2.0));
        let limit = Length::mm(1e9);
        assert_eq!(gap_within(&empty, at(0.0, 0.0, 0.0), &empty, at(0.0, 0.0, 0.0), limit), None);
    }

    #[test]
    fn the_closest_places_of_two_lone_points_are_the_points() {
        let point = Shape::new(Region::new(Ring::new(vec![Point::new(1.0, 0.0)]), vec![]));
        let measured = gap(&point, at(0.0, 0.0, 90.0), &point, at(5.0, 0.0, 0.0));
        assert_eq!((measured.from, measured.to), (Point::new(0.0, 1.0), Point::new(6.0, 0.0)));
        assert_eq!(measured.distance, Length::mm(37.0_f64.sqrt()));
    }
}
