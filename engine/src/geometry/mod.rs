//! Shapes on the blank, in millimetres: x to the right, y away from the person, counter-clockwise positive.
//!
//! Inside this room a coordinate is a documented millimetre `f64`, because cross products of lengths read
//! badly; what leaves it (a distance, an area) is typed again.
//!
//! A `Region` is what a person drew or `flatten` made. A `Shape` is a region made ready for many questions, and
//! the questions are free functions of placed shapes: `gap`, `is_overlapping`, `extent`. `offset` and `simplify`
//! make new regions, `problems` says why a region bounds no surface.

mod extremes;
mod point;
mod pose;
mod rect;
mod region;
pub mod tolerance;

mod ellipse;
pub mod flatten;

mod side;
mod tree;

mod height_field;
mod hull;
mod shape;

mod closest;
mod distance;
mod extent;
mod overlap;

mod combine;
mod offset;
mod simplify;

mod problem;
mod validity;

#[cfg(test)]
mod properties;

pub use combine::{common, without};
pub use distance::{Gap, gap, gap_within};
pub use extent::{InnerGap, extent, inner_gap};
pub(crate) use extremes::{greater, lesser};
pub use height_field::HeightField;
pub use hull::{convex_hull, max_width, min_width};
pub use offset::offset;
pub use overlap::is_overlapping;
pub use point::{Point, Vec2};
pub use pose::{Pose, PoseMap};
pub use problem::{Outline, Problem};
pub use rect::Rect;
pub use region::{Region, Ring};
pub use shape::Shape;
pub(crate) use side::Side;
pub use simplify::simplify;
pub use validity::problems;
