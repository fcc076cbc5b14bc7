//! How far a placed shape reaches, and what room that leaves in an upright rectangle.

use super::{Pose, Rect, Shape, Vec2};
use crate::units::Length;

/// The room between a placed shape and the four sides of a rectangle; negative where it reaches outside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InnerGap {
    /// To the side with the smallest x.
    pub left: Length,
    /// To the side with the largest x.
    pub right: Length,
    /// To the side with the smallest y, nearest to the person.
    pub front: Length,
    /// To the side with the largest y.
    pub back: Length,
}

impl InnerGap {
    /// The least of the four; negative when the shape is not wholly inside.
    #[must_use]
    pub const fn least(self) -> Length {
        self.left.min(self.right).min(self.front).min(self.back)
    }
}

/// The smallest upright rectangle round the placed shape; the place itself when the shape is empty.
///
/// Exact, from the corners of the convex hull. Cost: linear in those.
#[must_use]
pub fn extent(shape: &Shape, pose: Pose) -> Rect {
    let map = pose.map();
    let placed = shape.hull().iter().map(|&p| map.apply(p));
    Rect::around(placed).unwrap_or(Rect { min: pose.at, max: pose.at })
}

/// The room between the placed shape and each side of `container`.
#[must_use]
pub fn inner_gap(shape: &Shape, pose: Pose, container: Rect) -> InnerGap {
    let extent = extent(shape, pose);
    let Vec2 { x: left, y: front } = extent.min - container.min;
    let Vec2 { x: right, y: back } = container.max - extent.max;
    InnerGap {
        left: Length::mm(left),
        right: Length::mm(right),
        front: Length::mm(front),
        back: Length::mm(back),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Point, Region, flatten};
    use crate::units::Angle;

    #[test]
    fn the_extent_of_a_turned_rectangle_is_the_closed_form() {
        let (width, depth) = (Length::mm(40.0), Length::mm(10.0));
        let shape = Shape::new(Region::new(flatten::rectangle(width, depth), vec![]));
        for degrees in [0.0, 30.0, 90.0, 137.0, 270.0] {
            let turn = Angle::degrees(degrees);
            let (sin, cos) = (turn.sin().abs(), turn.cos().abs());
            let extent = extent(&shape, Pose::new(Point::new(7.0, 8.0), turn));
            assert!((extent.width() - width * cos - depth * sin).abs() < Length::mm(1e-12));
            assert!((extent.depth() - width * sin - depth * cos).abs() < Length::mm(1e-12));
            assert!(extent.center().distance(Point::new(7.0, 8.0)) < 1e-12);
        }
    }

    #[test]
    fn the_inner_gap_is_negative_on_the_side_that_is_left() {
        let shape =
            Shape::new(Region::new(flatten::rectangle(Length::mm(20.0), Length::mm(10.0)), vec![]));
        let opening = Rect::new(Point::new(5.0, 5.0), Point::new(105.0, 65.0));
        let gaps = inner_gap(&shape, Pose::new(Point::new(12.0, 20.0), Angle::ZERO), opening);
        let expected = [-3.0, 83.0, 10.0, 40.0].map(Length::mm);
        assert_eq!([gaps.left, gaps.right, gaps.front, gaps.back], expected);
        assert_eq!(gaps.least(), Length::mm(-3.0));
    }

    #[test]
    fn an_empty_shape_reaches_no_farther_than_its_place() {
        let at = Point::new(3.0, 4.0);
        let extent = extent(&Shape::new(Region::default()), Pose::new(at, Angle::ZERO));
        assert_eq!((extent.min, extent.max), (at, at));
    }
}
