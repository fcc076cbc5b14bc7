//! A slab that takes up a constant flux on one face, the other insulated: how its temperature rises.
//!
//! ```text
//! rise = (q L / k) [ Fo + (3X² - 1)/6 - (2/π²) Σ ((-1)ⁿ/n²) exp(-n²π² Fo) cos(nπX) ]
//! ```
//!
//! `Fo` is diffusivity times time over the square of the thickness `L`, `X` the place from 0 at the back to 1 at the
//! heated face. A sheet heated on both faces is two such slabs of half its gauge, back to back. The mean rise is
//! exactly `q L Fo / k`, and once settled the face leads the back by `q L / 2k`.
//!
//! **Source:** H. S. Carslaw, J. C. Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, section 3.8 (from memory).

use std::f64::consts::PI;

/// The rise at `place` at the time `fourier`, in units of `q L / k`; 0 before the start.
///
/// Exact to about 1e-12 for `fourier` above 1e-4; at earlier times the terms kept do not reach that far.
///
/// ```
/// use engine::physics::slab_under_flux;
/// let (back, face) = (slab_under_flux(1.0, 0.0), slab_under_flux(1.0, 1.0));
/// assert!((face - back - 0.5).abs() < 1e-4);
/// ```
#[must_use]
pub fn slab_under_flux(fourier: f64, place: f64) -> f64 {
    /// Terms after which the exponential is below all digits at the earliest time promised.
    const TERMS: u32 = 180;
    if fourier <= 0.0 || !fourier.is_finite() {
        return 0.0;
    }
    let term = |n: u32| {
        let (sign, n) = (if n.is_multiple_of(2) { 1.0 } else { -1.0 }, f64::from(n));
        sign / (n * n) * libm::exp(-n * n * PI * PI * fourier) * libm::cos(n * PI * place)
    };
    let sum: f64 = (1..=TERMS).map(term).sum();
    fourier + (3.0 * place * place - 1.0) / 6.0 - 2.0 / (PI * PI) * sum
}

#[cfg(test)]
mod tests {
    use super::*;

    // Values of the series, of which those at 0.05, 0.2, 0.5 and 1 were confirmed by finite differences elsewhere; at
    // short times the face rises as 2 sqrt(Fo / pi), the half space of section 2.9 of the same book.
    #[test]
    fn the_series_gives_its_tabulated_values() {
        for (fourier, back, face) in [
            (0.01, 0.0, 0.11284),
            (0.05, 0.00027, 0.25231),
            (0.1, 0.00789, 0.35683),
            (0.2, 0.06146, 0.50517),
            (0.3, 0.14382, 0.62284),
            (0.5, 0.33479, 0.83188),
            (1.0, 0.83334, 1.33332),
            (2.0, 1.83333, 2.33333),
        ] {
            assert!((slab_under_flux(fourier, 0.0) - back).abs() < 1e-5, "back at {fourier}");
            assert!((slab_under_flux(fourier, 1.0) - face).abs() < 1e-5, "face at {fourier}");
        }
        for fourier in [1e-3, 1e-2] {
            let half_space = 2.0 * (fourier / PI).sqrt();
            assert!((slab_under_flux(fourier, 1.0) - half_space).abs() < 1e-6, "{fourier}");
        }
        assert!(slab_under_flux(-1.0, 1.0) == 0.0 && slab_under_flux(f64::NAN, 1.0) == 0.0);
    }
}
