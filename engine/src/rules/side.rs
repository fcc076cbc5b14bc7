//! The four sides of the opening, and how far a placed mold is from each.

use crate::geometry::{Point, Pose, Rect, Shape, Vec2};
use crate::units::{Angle, Length};

/// A side of the blank, as a person stands before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// Nearest to the person.
    Front,
    /// The far side.
    Back,
    /// To the left.
    Left,
    /// To the right.
    Right,
}

impl Side {
    /// All four, in the order of the clamp lips.
    pub const ALL: [Self; 4] = [Self::Front, Self::Back, Self::Left, Self::Right];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
            Self::Left => "left",
            Self::Right => "right",
        }
    }

    /// The side across.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Front => Self::Back,
            Self::Back => Self::Front,
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }

    /// The free distance from `inner` to this side of `outer`; negative where it reaches beyond.
    pub(super) const fn room(self, inner: Rect, outer: Rect) -> Length {
        Length::mm(match self {
            Self::Front => inner.min.y - outer.min.y,
            Self::Back => outer.max.y - inner.max.y,
            Self::Left => inner.min.x - outer.min.x,
            Self::Right => outer.max.x - inner.max.x,
        })
    }

    /// The side of `outer` that `inner` is nearest to or farthest beyond, and the room there.
    pub(super) fn tightest(inner: Rect, outer: Rect) -> (Self, Length) {
        let rooms = Self::ALL.map(|side| (side, side.room(inner, outer)));
        rooms.into_iter().fold(rooms[0], |least, next| if next.1 < least.1 { next } else { least })
    }

    /// The corner of a placed shape that reaches farthest towards this side.
    pub(super) fn farthest(self, shape: &Shape, pose: Pose) -> Point {
        let map = pose.map();
        let corners = shape.hull().iter().map(|&corner| map.apply(corner));
        corners.max_by(|a, b| self.reach(*a).total_cmp(&self.reach(*b))).unwrap_or(pose.at)
    }

    fn reach(self, p: Point) -> f64 {
        p.to_vec2().dot(self.outwards())
    }

    /// The point of this side of a rectangle that is straight across from `p`.
    pub(super) const fn across(self, p: Point, rect: Rect) -> Point {
        match self {
            Self::Front => Point::new(p.x, rect.min.y),
            Self::Back => Point::new(p.x, rect.max.y),
            Self::Left => Point::new(rect.min.x, p.y),
            Self::Right => Point::new(rect.max.x, p.y),
        }
    }

    /// One millimetre towards this side.
    fn outwards(self) -> Vec2 {
        Vec2::unit(Angle::degrees(match self {
            Self::Right => 0.0,
            Self::Back => 90.0,
            Self::Left => 180.0,
            Self::Front => 270.0,
        }))
    }
}
