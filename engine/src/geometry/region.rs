//! Closed outlines and the regions they bound.

use super::{Point, Pose, Rect};
use crate::units::{Area, Length};

/// A closed outline: corners in order, the last joined to the first without repeating it.
///
/// May be anything a person can draw, self-crossing or empty included; `rules` says what is wrong with it.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Ring {
    points: Vec<Point>,
}

impl Ring {
    /// A ring through `points`; a last point equal to the first is dropped.
    #[must_use]
    pub fn new(mut points: Vec<Point>) -> Self {
        while points.len() > 1 && points.first() == points.last() {
            points.pop();
        }
        Self { points }
    }

    /// The corners in order.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The sides in order, each from corner to next corner.
    pub fn sides(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        let next = self.points.iter().cycle().skip(1);
        self.points.iter().zip(next).map(|(&a, &b)| (a, b))
    }

    /// The enclosed area by the shoelace formula in square millimetres, positive when counter-clockwise.
    #[must_use]
    pub fn signed_area(&self) -> f64 {
        let Some(&origin) = self.points.first() else { return 0.0 };
        self.sides().map(|(a, b)| (a - origin).cross(b - origin)).sum::<f64>() / 2.0
    }

    /// The length of all sides.
    #[must_use]
    pub fn perimeter(&self) -> Length {
        Length::mm(self.sides().map(|(a, b)| a.distance(b)).sum())
    }

    /// The smallest upright rectangle round it; `None` without points.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        Rect::around(self.points.iter().copied())
    }

    /// The same outline the other way round.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self { points: self.points.iter().rev().copied().collect() }
    }

    /// The same outline on the blank.
    #[must_use]
    pub fn placed(&self, pose: Pose) -> Self {
        let map = pose.map();
        Self { points: self.points.iter().map(|&p| map.apply(p)).collect() }
    }
}

/// A surface: one outer outline (counter-clockwise) less its holes (clockwise).
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Region {
    /// The outer outline, counter-clockwise.
    pub outer: Ring,
    /// The holes, clockwise; may be empty.
    pub holes: Vec<Ring>,
}

impl Region {
    /// A region with each ring turned the right way round.
    #[must_use]
    pub fn new(outer: Ring, holes: Vec<Ring>) -> Self {
        let turned = |ring: Ring, is_right: bool| if is_right { ring } else { ring.reversed() };
        let is_outer_right = outer.signed_area() >= 0.0;
        Self {
            outer: turned(outer, is_outer_right),
            holes: holes
                .into_iter()
                .map(|hole| {
                    let is_right = hole.signed_area() <= 0.0;
                    turned(hole, is_right)
                })
                .collect(),
        }
    }

    /// All outlines, the outer one first.
    pub fn rings(&self) -> impl Iterator<Item = &Ring> {
        std::iter::once(&self.outer).chain(&self.holes)
    }

    /// The surface: the outer outline less its holes.
    #[must_use]
    pub fn area(&self) -> Area {
        Area::mm2(self.rings().map(Ring::signed_area).sum())
    }

    /// The length of all outlines, holes included.
    #[must_use]
    pub fn perimeter(&self) -> Length {
        self.rings().map(Ring::perimeter).sum()
    }

    /// The smallest upright rectangle round it; `None` when it is empty.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        self.outer.bounds()
    }

    /// The same region on the blank.
    #[must_use]
    pub fn placed(&self, pose: Pose) -> Self {
        Self {
            outer: self.outer.placed(pose),
            holes: self.holes.iter().map(|h| h.placed(pose)).collect(),
        }
    }
}
