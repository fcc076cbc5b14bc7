//! Angle: a turn, held in radians, counter-clockwise positive.

use std::f64::consts::{PI, TAU};
use std::fmt;
use std::ops::{Add, Neg, Sub};

/// A turn in radians, counter-clockwise positive.
///
/// The functions are those of `libm`, which give the same bits natively and in the browser.
#[derive(Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Angle(f64);

impl Angle {
    /// No turn.
    pub const ZERO: Self = Self(0.0);

    /// An angle of `value` radians.
    #[must_use]
    pub const fn radians(value: f64) -> Self {
        Self(value)
    }

    /// An angle of `value` degrees.
    #[must_use]
    pub const fn degrees(value: f64) -> Self {
        Self(value * PI / 180.0)
    }

    /// This angle in radians.
    #[must_use]
    pub const fn to_radians(self) -> f64 {
        self.0
    }

    /// This angle in degrees.
    #[must_use]
    pub const fn to_degrees(self) -> f64 {
        self.0 * 180.0 / PI
    }

    /// Sine and cosine; exact at whole quarter turns, so that a quarter turn keeps a rectangle square.
    #[must_use]
    pub fn sin_cos(self) -> (f64, f64) {
        let quarters = self.0 / (PI / 2.0);
        let nearest = libm::round(quarters);
        if (quarters - nearest).abs() < 1e-12 {
            let step = libm::fmod(nearest, 4.0);
            let step = if step < 0.0 { step + 4.0 } else { step };
            return match step {
                s if s < 0.5 => (0.0, 1.0),
                s if s < 1.5 => (1.0, 0.0),
                s if s < 2.5 => (0.0, -1.0),
                _ => (-1.0, 0.0),
            };
        }
        libm::sincos(self.0)
    }

    /// The sine.
    #[must_use]
    pub fn sin(self) -> f64 {
        libm::sin(self.0)
    }

    /// The cosine.
    #[must_use]
    pub fn cos(self) -> f64 {
        libm::cos(self.0)
    }

    /// The tangent.
    #[must_use]
    pub fn tan(self) -> f64 {
        libm::tan(self.0)
    }

    /// The same direction, from 0 (inclusive) to a whole turn (exclusive).
    #[must_use]
    pub fn normalized(self) -> Self {
        let rest = libm::fmod(self.0, TAU);
        let rest = if rest < 0.0 { rest + TAU } else { rest };
        Self(if rest >= TAU { 0.0 } else { rest })
    }

    /// True unless the value is infinite or not a number.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.0.is_finite()
    }
}

impl fmt::Debug for Angle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} deg", self.to_degrees())
    }
}

impl Add for Angle {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Angle {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Angle {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quarter_turns_are_exact_either_way_round() {
        for (degrees, expected) in [
            (0.0, (0.0, 1.0)),
            (90.0, (1.0, 0.0)),
            (180.0, (0.0, -1.0)),
            (270.0, (-1.0, 0.0)),
            (-90.0, (-1.0, 0.0)),
            (450.0, (1.0, 0.0)),
            (-360.0, (0.0, 1.0)),
        ] {
            assert_eq!(Angle::degrees(degrees).sin_cos(), expected, "{degrees} degrees");
        }
    }

    #[test]
    fn normalizing_keeps_the_direction_and_stays_below_a_whole_turn() {
        for (degrees, expected) in
            [(0.0, 0.0), (-90.0, 270.0), (725.0, 5.0), (360.0, 0.0), (-1e-18, 0.0)]
        {
            let got = Angle::degrees(degrees).normalized();
            assert!((got.to_degrees() - expected).abs() < 1e-9, "{degrees}: {got:?}");
            assert!(got.to_radians() < TAU);
        }
    }
}
