//! A span of time, held in seconds.

use std::fmt;
use std::ops::{Add, Div, Mul, Sub};

/// A span of time in seconds.
#[derive(Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Seconds(f64);

impl Seconds {
    /// No time.
    pub const ZERO: Self = Self(0.0);

    /// A span of `value` seconds.
    #[must_use]
    pub const fn new(value: f64) -> Self {
        Self(value)
    }

    /// This span as a number of seconds.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }

    /// `26 s` below two minutes, `3 min 20 s` above.
    #[must_use]
    pub fn show(self) -> String {
        let seconds = libm::round(self.0);
        if seconds < 120.0 || !seconds.is_finite() {
            return format!("{seconds} s");
        }
        let minutes = libm::floor(seconds / 60.0);
        match seconds - minutes * 60.0 {
            rest if rest < 0.5 => format!("{minutes} min"),
            rest => format!("{minutes} min {rest} s"),
        }
    }
}

impl fmt::Debug for Seconds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} s", self.0)
    }
}

impl Add for Seconds {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Seconds {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Mul<f64> for Seconds {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Div for Seconds {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_said_as_people_say_them() {
        for (seconds, words) in [
            (0.4, "0 s"),
            (26.0, "26 s"),
            (119.4, "119 s"),
            (120.0, "2 min"),
            (200.0, "3 min 20 s"),
        ] {
            assert_eq!(Seconds::new(seconds).show(), words);
        }
    }
}
