//! Temperature, held in degrees Celsius, and how a difference of two is not one of them.

use std::fmt;
use std::ops::Sub;

/// A temperature in degrees Celsius.
#[derive(Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Temperature(f64);

impl Temperature {
    /// Absolute zero.
    pub const LEAST: Self = Self(-273.15);

    /// A temperature of `value` degrees Celsius.
    #[must_use]
    pub const fn celsius(value: f64) -> Self {
        Self(value)
    }

    /// This temperature in degrees Celsius.
    #[must_use]
    pub const fn to_celsius(self) -> f64 {
        self.0
    }

    /// This temperature above absolute zero, in kelvin.
    #[must_use]
    pub const fn to_kelvin(self) -> f64 {
        self.0 - Self::LEAST.0
    }

    /// This temperature in degrees Fahrenheit.
    #[must_use]
    pub const fn to_fahrenheit(self) -> f64 {
        self.0 * 9.0 / 5.0 + 32.0
    }

    /// `149 °C (300 °F)`.
    #[must_use]
    pub fn show(self) -> String {
        let (celsius, fahrenheit) = (libm::round(self.0), libm::round(self.to_fahrenheit()));
        format!("{celsius} \u{b0}C ({fahrenheit} \u{b0}F)")
    }
}

impl fmt::Debug for Temperature {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} \u{b0}C", self.0)
    }
}

/// The difference in kelvin.
impl Sub for Temperature {
    type Output = f64;
    fn sub(self, other: Self) -> f64 {
        self.0 - other.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // The two scales meet at -40, and water boils at 100 and 212 degrees under standard pressure: by definition.
    #[test]
    fn the_scales_meet_where_they_should() {
        assert!((Temperature::celsius(-40.0).to_fahrenheit() + 40.0).abs() < 1e-12);
        assert!((Temperature::celsius(100.0).to_fahrenheit() - 212.0).abs() < 1e-12);
        assert!((Temperature::celsius(0.0).to_kelvin() - 273.15).abs() < 1e-12);
        assert_eq!(Temperature::celsius(149.0).show(), "149 \u{b0}C (300 \u{b0}F)");
    }
}
