//! Points and displacements in millimetres.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

use crate::units::{Angle, Length};

/// A place, in millimetres from the blank's front left corner (or from a mold's own centre).
///
/// Point minus point is a displacement; two points cannot be added, because the sum means nothing.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Point {
    /// To the right, in millimetres.
    pub x: f64,
    /// Away from the person, in millimetres.
    pub y: f64,
}

/// A displacement in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Vec2 {
    /// To the right, in millimetres.
    pub x: f64,
    /// Away from the person, in millimetres.
    pub y: f64,
}

impl Point {
    /// The front left corner of the blank.
    pub const ORIGIN: Self = Self { x: 0.0, y: 0.0 };

    /// A place from its two coordinates in millimetres.
    #[inline(always)]
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// A place from two lengths.
    #[must_use]
    pub const fn at(x: Length, y: Length) -> Self {
        Self { x: x.to_mm(), y: y.to_mm() }
    }

    /// The displacement from the origin.
    #[inline(always)]
    #[must_use]
    pub const fn to_vec2(self) -> Vec2 {
        Vec2 { x: self.x, y: self.y }
    }

    /// The distance to `other`, in millimetres.
    #[must_use]
    pub fn distance(self, other: Self) -> f64 {
        (other - self).length()
    }

    /// The place halfway to `other`.
    #[must_use]
    pub fn midpoint(self, other: Self) -> Self {
        self + (other - self) * 0.5
    }

    /// True unless a coordinate is infinite or not a number.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

impl Vec2 {
    /// No displacement.
    pub const ZERO: Self = Self { x: 0.0, y: 0.0 };

    /// A displacement from its two parts in millimetres.
    #[inline(always)]
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// One millimetre in the direction of `angle`.
    #[must_use]
    pub fn unit(angle: Angle) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self { x: cos, y: sin }
    }

    /// The scalar product.
    #[inline(always)]
    #[must_use]
    pub const fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// The z part of the cross product: positive when `other` is to the left.
    #[inline(always)]
    #[must_use]
    pub const fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// The length in millimetres; square roots are the same on every target, `hypot` is not.
    #[inline(always)]
    #[must_use]
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The same displacement turned a quarter to the left.
    #[inline(always)]
    #[must_use]
    pub const fn left(self) -> Self {
        Self { x: -self.y, y: self.x }
    }

    /// The direction, as an angle from the x axis.
    #[must_use]
    pub fn direction(self) -> Angle {
        Angle::radians(libm::atan2(self.y, self.x))
    }
}

impl Sub for Point {
    type Output = Vec2;
    #[inline(always)]
    fn sub(self, other: Self) -> Vec2 {
        Vec2 { x: self.x - other.x, y: self.y - other.y }
    }
}

impl Add<Vec2> for Point {
    type Output = Self;
    #[inline(always)]
    fn add(self, by: Vec2) -> Self {
        Self { x: self.x + by.x, y: self.y + by.y }
    }
}

impl AddAssign<Vec2> for Point {
    #[inline(always)]
    fn add_assign(&mut self, by: Vec2) {
        *self = *self + by;
    }
}

impl Sub<Vec2> for Point {
    type Output = Self;
    #[inline(always)]
    fn sub(self, by: Vec2) -> Self {
        Self { x: self.x - by.x, y: self.y - by.y }
    }
}

impl Add for Vec2 {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        Self { x: self.x + other.x, y: self.y + other.y }
    }
}

impl Sub for Vec2 {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        Self { x: self.x - other.x, y: self.y - other.y }
    }
}

impl Neg for Vec2 {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        Self { x: -self.x, y: -self.y }
    }
}

impl Mul<f64> for Vec2 {
    type Output = Self;
    #[inline(always)]
    fn mul(self, factor: f64) -> Self {
        Self { x: self.x * factor, y: self.y * factor }
    }
}

impl Div<f64> for Vec2 {
    type Output = Self;
    #[inline(always)]
    fn div(self, divisor: f64) -> Self {
        Self { x: self.x / divisor, y: self.y / divisor }
    }
}
