//! A slab in an environment of constant temperature, as a sheet in an oven: how much of the difference is left.
//!
//! ```text
//! θ = (T - T∞)/(T₀ - T∞) = Σ Cₙ exp(-ζₙ² Fo) cos(ζₙ X)      ζₙ tan ζₙ = Bi      Cₙ = 4 sin ζₙ / (2ζₙ + sin 2ζₙ)
//! ```
//!
//! `Fo` is diffusivity times time over the square of half the gauge, `Bi` the film coefficient times half the gauge over
//! the conductivity, `X` the place from 0 in the middle to 1 at the face.
//!
//! **Source:** F. P. Incropera, D. P. `DeWitt`, Fundamentals of Heat and Mass Transfer, section 5.5 and table 5.1 (from
//! memory; the roots are computed here).

use std::f64::consts::PI;

/// The root of `ζ tan ζ = Bi` in the `n`th interval from `nπ` to `nπ + π/2`, by halving.
fn root(biot: f64, n: u32) -> f64 {
    /// Halvings down to the last digit.
    const HALVINGS: u32 = 60;
    let (mut low, mut high) = (f64::from(n) * PI, f64::from(n) * PI + PI / 2.0);
    for _ in 0..HALVINGS {
        let middle = low.midpoint(high);
        // Multiplied out, because the tangent has no end at the upper bound.
        let is_below = middle * libm::sin(middle) - biot * libm::cos(middle);
        let is_even = n.is_multiple_of(2);
        if (is_below < 0.0) == is_even {
            low = middle;
        } else {
            high = middle;
        }
    }
    low.midpoint(high)
}

/// The share of the first difference that is left at `place` at the time `fourier`.
///
/// Exact to about 1e-9 for `fourier` above 0.005. Not a number for a `biot` that is not above zero.
///
/// ```
/// use engine::physics::slab_in_environment;
/// assert!((slab_in_environment(1.0, 1.0, 0.0) - 0.5339).abs() < 1e-4);
/// ```
#[must_use]
pub fn slab_in_environment(biot: f64, fourier: f64, place: f64) -> f64 {
    /// Terms after which the exponential is below all digits at the earliest time promised.
    const TERMS: u32 = 24;
    if biot <= 0.0 || !biot.is_finite() {
        return f64::NAN;
    }
    let term = |n: u32| {
        let zeta = root(biot, n);
        let share = 4.0 * libm::sin(zeta) / (2.0 * zeta + libm::sin(2.0 * zeta));
        share * libm::exp(-zeta * zeta * fourier) * libm::cos(zeta * place)
    };
    (0..TERMS).map(term).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    // Incropera & DeWitt, table 5.1, first roots and shares (from memory; C1 at Bi 5 is printed as 1.2403).
    #[test]
    fn the_first_roots_and_shares_are_those_of_the_table() {
        for (biot, zeta, share) in [
            (0.01, 0.0998, 1.0017),
            (0.05, 0.2218, 1.0082),
            (0.1, 0.3111, 1.0161),
            (0.2, 0.4328, 1.0311),
            (0.3, 0.5218, 1.0450),
            (0.5, 0.6533, 1.0701),
            (1.0, 0.8603, 1.1191),
            (2.0, 1.0769, 1.1785),
            (3.0, 1.1925, 1.2102),
            (5.0, 1.3138, 1.2402),
            (10.0, 1.4289, 1.2620),
            (20.0, 1.4961, 1.2699),
            (50.0, 1.5400, 1.2727),
            (100.0, 1.5552, 1.2731),
        ] {
            let found = root(biot, 0);
            assert!((found - zeta).abs() < 6e-5, "{biot}: {found}");
            let c = 4.0 * libm::sin(found) / (2.0 * found + libm::sin(2.0 * found));
            assert!((c - share).abs() < 6e-5, "{biot}: {c}");
        }
        for n in 1..5 {
            let zeta = root(2.0, n);
            assert!((zeta * libm::tan(zeta) - 2.0).abs() < 1e-9, "{n}");
        }
    }

    // The full series, its values checked by finite differences elsewhere.
    #[test]
    fn what_is_left_in_the_middle_and_at_the_face_is_that_of_the_full_series() {
        // By Bi of 0.1, 0.5, 1 and 5: middle and face.
        for (fourier, row) in [
            (0.1, [(0.9992, 0.9653), (0.9963, 0.8439), (0.9931, 0.7236), (0.9773, 0.3088)]),
            (0.2, [(0.9940, 0.9514), (0.9726, 0.7901), (0.9506, 0.6434), (0.8649, 0.2315)]),
            (0.5, [(0.9680, 0.9218), (0.8641, 0.6869), (0.7725, 0.5045), (0.5231, 0.1330)]),
            (1.0, [(0.9224, 0.8781), (0.6984, 0.5546), (0.5339, 0.3482), (0.2207, 0.0561)]),
            (2.0, [(0.8373, 0.7971), (0.4558, 0.3619), (0.2547, 0.1661), (0.0393, 0.0100)]),
        ] {
            for (biot, (middle, face)) in [0.1, 0.5, 1.0, 5.0].into_iter().zip(row) {
                let found = [0.0, 1.0].map(|place| slab_in_environment(biot, fourier, place));
                assert!((found[0] - middle).abs() < 6e-5, "{fourier} {biot}: {found:?}");
                assert!((found[1] - face).abs() < 6e-5, "{fourier} {biot}: {found:?}");
            }
        }
        assert!(slab_in_environment(0.0, 1.0, 0.0).is_nan());
    }

    // The faces held: middle and mean, the mean by Simpson's rule. A Biot number of a million is as good as none to the
    // digits printed.
    #[test]
    fn with_faces_that_are_held_middle_and_mean_are_those_of_the_full_series() {
        const HELD: f64 = 1e6;
        for (fourier, middle, mean) in [
            (0.1, 0.9493, 0.6432),
            (0.2, 0.7723, 0.4959),
            (0.5, 0.3708, 0.2360),
            (1.0, 0.1080, 0.0687),
        ] {
            let at = |place: f64| slab_in_environment(HELD, fourier, place);
            let sum: f64 = (0..50)
                .map(|n| f64::from(n) / 50.0)
                .map(|from| (at(from) + 4.0 * at(from + 0.01) + at(from + 0.02)) / 6.0)
                .sum();
            assert!((at(0.0) - middle).abs() < 6e-5, "{fourier}: {}", at(0.0));
            assert!((sum / 50.0 - mean).abs() < 6e-5, "{fourier}: {}", sum / 50.0);
        }
    }
}
