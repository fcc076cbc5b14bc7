//! Affine maps of the plane: what transforms, view boxes and inserted blocks do to coordinates.

use crate::geometry::{Point, Vec2};
use crate::units::Angle;

/// The map `p -> x p.x + y p.y + at`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Affine {
    /// Where the first unit vector goes.
    pub(super) x: Vec2,
    /// Where the second unit vector goes.
    pub(super) y: Vec2,
    /// Where the origin goes.
    pub(super) at: Vec2,
}

impl Affine {
    pub(super) const IDENTITY: Self = Self::scale(1.0, 1.0);

    pub(super) const fn new(x: Vec2, y: Vec2, at: Vec2) -> Self {
        Self { x, y, at }
    }

    pub(super) const fn scale(x: f64, y: f64) -> Self {
        Self { x: Vec2::new(x, 0.0), y: Vec2::new(0.0, y), at: Vec2::ZERO }
    }

    pub(super) const fn shift(x: f64, y: f64) -> Self {
        Self { at: Vec2::new(x, y), ..Self::scale(1.0, 1.0) }
    }

    pub(super) fn turn(angle: Angle) -> Self {
        let x = Vec2::unit(angle);
        Self { x, y: x.left(), at: Vec2::ZERO }
    }

    /// Where a place goes.
    pub(super) fn place(&self, p: Point) -> Point {
        Point::ORIGIN + self.vector(p.to_vec2()) + self.at
    }

    /// Where a displacement goes.
    pub(super) fn vector(&self, v: Vec2) -> Vec2 {
        self.x * v.x + self.y * v.y
    }

    /// First `inner`, then this.
    pub(super) fn after(&self, inner: &Self) -> Self {
        Self {
            x: self.vector(inner.x),
            y: self.vector(inner.y),
            at: self.vector(inner.at) + self.at,
        }
    }

    /// True unless some coefficient is infinite or not a number.
    pub(super) fn is_finite(&self) -> bool {
        [self.x, self.y, self.at].iter().all(|v| v.x.is_finite() && v.y.is_finite())
    }
}
