//! Shapes on the blank, in millimetres: x to the right, y away from the person, counter-clockwise positive.
//!
//! Inside this room a coordinate is a documented millimetre `f64`, because cross products of lengths read
//! badly; what leaves it (a distance, an area) is typed again.

pub mod flatten;
mod point;
mod pose;
mod rect;
mod region;
pub mod tolerance;

pub use point::{Point, Vec2};
pub use pose::{Pose, PoseMap};
pub use rect::Rect;
pub use region::{Region, Ring};
