//! Where a mold stands: the place of its centre and its turn.

use super::{Point, Vec2};
use crate::units::Angle;

/// A place and a turn on the blank: maps a mold's own coordinates (centre at the origin) to the blank's.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Pose {
    /// Where the mold's centre stands.
    pub at: Point,
    /// How far the mold is turned, counter-clockwise.
    pub turn: Angle,
}

impl Pose {
    /// A pose from its parts.
    #[must_use]
    pub const fn new(at: Point, turn: Angle) -> Self {
        Self { at, turn }
    }

    /// The same turn, moved by `by`.
    #[must_use]
    pub fn moved(self, by: Vec2) -> Self {
        Self { at: self.at + by, ..self }
    }

    /// The map for many points: sine and cosine are taken once.
    #[must_use]
    pub fn map(self) -> PoseMap {
        let (sin, cos) = self.turn.sin_cos();
        PoseMap { at: self.at, sin, cos }
    }

    /// A point of the mold on the blank.
    #[must_use]
    pub fn apply(self, point: Point) -> Point {
        self.map().apply(point)
    }

    /// True unless a part is infinite or not a number.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.at.is_finite() && self.turn.is_finite()
    }
}

/// A pose made ready to map many points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PoseMap {
    at: Point,
    sin: f64,
    cos: f64,
}

impl PoseMap {
    /// A point of the mold on the blank.
    #[must_use]
    pub const fn apply(self, point: Point) -> Point {
        Point {
            x: self.at.x + self.cos * point.x - self.sin * point.y,
            y: self.at.y + self.sin * point.x + self.cos * point.y,
        }
    }

    /// A point of the blank in the mold's own coordinates.
    #[must_use]
    pub const fn invert(self, point: Point) -> Point {
        let (dx, dy) = (point.x - self.at.x, point.y - self.at.y);
        Point { x: self.cos * dx + self.sin * dy, y: self.cos * dy - self.sin * dx }
    }

    /// The map from this mold's coordinates straight to another mold's.
    pub(super) const fn seen_from(self, other: Self) -> Self {
        Self {
            at: other.invert(self.at),
            sin: self.sin * other.cos - self.cos * other.sin,
            cos: self.cos * other.cos + self.sin * other.sin,
        }
    }

    /// A displacement of the mold on the blank.
    #[must_use]
    pub const fn apply_vec(self, by: Vec2) -> Vec2 {
        Vec2 { x: self.cos * by.x - self.sin * by.y, y: self.sin * by.x + self.cos * by.y }
    }

    /// The half sizes of the upright rectangle round a turned rectangle of the given half sizes.
    pub(super) const fn half_extent(self, half: Vec2) -> Vec2 {
        let (sin, cos) = (self.sin.abs(), self.cos.abs());
        Vec2 { x: cos * half.x + sin * half.y, y: sin * half.x + cos * half.y }
    }
}
