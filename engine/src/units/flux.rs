//! Heat flux: power on a surface, held in watts to the square metre.

use std::fmt;
use std::ops::Mul;

/// A heat flux in watts to the square metre.
#[derive(Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Flux(f64);

impl Flux {
    /// Nothing.
    pub const ZERO: Self = Self(0.0);

    /// A flux of `value` watts to the square metre.
    #[must_use]
    pub const fn watts_per_m2(value: f64) -> Self {
        Self(value)
    }

    /// This flux in watts to the square metre.
    #[must_use]
    pub const fn to_watts_per_m2(self) -> f64 {
        self.0
    }

    /// This flux in watts to the square inch, as heaters are rated.
    #[must_use]
    pub const fn to_watts_per_in2(self) -> f64 {
        self.0 * 0.0254 * 0.0254
    }

    /// `5.0 kW/m² (3.2 W/in²)`.
    #[must_use]
    pub fn show(self) -> String {
        format!("{:.1} kW/m\u{b2} ({:.1} W/in\u{b2})", self.0 / 1e3, self.to_watts_per_in2())
    }
}

impl fmt::Debug for Flux {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} W/m2", self.0)
    }
}

impl Mul<f64> for Flux {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // J. L. Throne, Technology of Thermoforming, 1996, sections 3.7 and 3.8: 0.595 W/cm2 is printed as 3.83 W/in2
    // (3.84 by the definition of the inch).
    #[test]
    fn a_published_flux_reads_the_same_in_watts_to_the_square_inch() {
        let flux = Flux::watts_per_m2(5950.0);
        assert!((flux.to_watts_per_in2() - 3.83).abs() < 0.01);
        assert_eq!(Flux::watts_per_m2(5000.0).show(), "5.0 kW/m\u{b2} (3.2 W/in\u{b2})");
    }
}
