//! Area: a surface, held in square millimetres.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Div, Mul, Sub};

use super::Length;

/// A surface in square millimetres.
#[derive(Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Area(f64);

impl Area {
    /// No surface.
    pub const ZERO: Self = Self(0.0);

    /// An area of `value` square millimetres.
    #[must_use]
    pub const fn mm2(value: f64) -> Self {
        Self(value)
    }

    /// This area in square millimetres.
    #[must_use]
    pub const fn to_mm2(self) -> f64 {
        self.0
    }
}

impl fmt::Debug for Area {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm2", self.0)
    }
}

impl Add for Area {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Area {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Mul<f64> for Area {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Div for Area {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

impl Div<Length> for Area {
    type Output = Length;
    fn div(self, other: Length) -> Length {
        Length::mm(self.0 / other.to_mm())
    }
}

impl Sum for Area {
    fn sum<I: Iterator<Item = Self>>(areas: I) -> Self {
        areas.fold(Self::ZERO, Add::add)
    }
}
