//! Length: a distance, held in millimetres.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use super::Area;

/// A distance in millimetres; may be negative where it is a difference.
///
/// ```
/// use engine::units::Length;
/// assert_eq!(Length::inches(2.0), Length::mm(50.8));
/// assert_eq!(Length::inches(1.0) / Length::mm(12.7), 2.0);
/// ```
#[derive(Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Length(f64);

impl Length {
    /// No distance.
    pub const ZERO: Self = Self(0.0);
    /// Millimetres in an inch, exactly (international yard and pound agreement, 1959).
    pub const MM_PER_INCH: f64 = 25.4;

    /// A length of `value` millimetres.
    #[must_use]
    pub const fn mm(value: f64) -> Self {
        Self(value)
    }

    /// A length of `value` inches.
    ///
    /// An inch is 127/5 mm: in this order only the division rounds, so that 12 in are 304.8 mm to the last digit.
    ///
    /// ```
    /// use engine::units::Length;
    /// assert_eq!(Length::inches(12.0), Length::mm(304.8));
    /// ```
    #[must_use]
    pub const fn inches(value: f64) -> Self {
        Self(value * 127.0 / 5.0)
    }

    /// This length in millimetres.
    #[must_use]
    pub const fn to_mm(self) -> f64 {
        self.0
    }

    /// This length in inches.
    #[must_use]
    pub const fn to_inches(self) -> f64 {
        self.0 * 5.0 / 127.0
    }

    /// The larger of the two.
    #[must_use]
    pub const fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }

    /// The smaller of the two.
    #[must_use]
    pub const fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }

    /// The distance without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// True unless the value is infinite or not a number.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.0.is_finite()
    }
}

impl fmt::Debug for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.0)
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for Length {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Div<f64> for Length {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self(self.0 / divisor)
    }
}

impl Div for Length {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area::mm2(self.0 * other.0)
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}
