//! How long a formed sheet takes to cool: against metal that keeps its temperature, and in moving air.
//!
//! ```text
//! contact on both faces:  t = (s² / π²α) ln( C (Tᵢ - T_w)/(Tₑ - T_w) )     C = 8/π² for the mean, 4/π for the middle
//! contact on one face:    the same with 2s for s; the far face for the middle
//! in air, one face:       t = (ρ c s / h) ln( (Tᵢ - T_a)/(Tₑ - T_a) )
//! ```
//!
//! `s` is the thickness, `α` the diffusivity, `h` the film coefficient. A male mold of wood or plaster warms up, so that
//! the first is a lower bound there and the air does the most.
//!
//! **Source:** first term of the series of a slab with fixed faces, H. S. Carslaw, J. C. Jaeger, Conduction of Heat in
//! Solids, 2nd ed. 1959, section 3.3; the form in use for moulding is from memory. The last is the balance of a lump.

use std::f64::consts::PI;

use crate::units::{Length, Seconds, Temperature};

/// How a sheet lies against metal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Held {
    /// On one face; nothing leaves by the other.
    OneFace,
    /// On both.
    BothFaces,
}

/// Of which temperature a time is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cooled {
    /// That of the mean through the thickness.
    Mean,
    /// That of the place farthest from the metal: the middle, or the far face.
    Farthest,
}

/// The time in which the mean of a sheet falls from `from` to `to`, held on one face by a mold that stays at `mold`.
///
/// `diffusivity` in m²/s. Zero when it is cold already, and not a number when the mold is not colder than `to`.
#[must_use]
pub fn contact_time(
    thickness: Length,
    diffusivity: f64,
    range: (Temperature, Temperature, Temperature),
) -> Seconds {
    contact_time_of((Held::OneFace, Cooled::Mean), thickness, diffusivity, range)
}

/// As [`contact_time`], for either way to lie against metal and either temperature.
#[must_use]
pub fn contact_time_of(
    (held, cooled): (Held, Cooled),
    thickness: Length,
    diffusivity: f64,
    (from, to, mold): (Temperature, Temperature, Temperature),
) -> Seconds {
    let times = match held {
        Held::OneFace => 2.0,
        Held::BothFaces => 1.0,
    };
    let lead = match cooled {
        Cooled::Mean => 8.0 / (PI * PI),
        Cooled::Farthest => 4.0 / PI,
    };
    let across = times * thickness.to_mm() / 1e3;
    let left = (to - mold) / (from - mold);
    if left <= 0.0 || mold >= to {
        return Seconds::new(f64::NAN);
    }
    let time = across * across / (PI * PI * diffusivity) * libm::log(lead / left);
    Seconds::new(time.max(0.0))
}

/// The time in which a sheet that air cools on one face falls from `from` to `to`.
///
/// `capacity` in J/m³K, `film` in W/m²K: about 10 in still air, 30 under a fan. Zero when it is cold already, and not a
/// number when the air is not colder than `to`.
#[must_use]
pub fn lumped_time(
    thickness: Length,
    (capacity, film): (f64, f64),
    (from, to, air): (Temperature, Temperature, Temperature),
) -> Seconds {
    let left = (to - air) / (from - air);
    if left <= 0.0 || air >= to {
        return Seconds::new(f64::NAN);
    }
    let time = -capacity * thickness.to_mm() / 1e3 / film * libm::log(left);
    Seconds::new(time.max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn celsius(value: f64) -> Temperature {
        Temperature::celsius(value)
    }

    // Polystyrene by R. J. Crawford, Plastics Engineering, table 1.8: k 0.15, rho 1050, c 1300, so alpha 1.10e-7.
    // Times computed by hand from the formulas; the row of 1 mm agrees with the full series.
    #[test]
    fn cooling_times_of_polystyrene_are_those_of_the_formulas() {
        let (capacity, alpha) = (1050.0 * 1300.0, 0.15 / (1050.0 * 1300.0));
        let range = (celsius(150.0), celsius(80.0), celsius(40.0));
        let ways = [
            (Held::BothFaces, Cooled::Mean),
            (Held::BothFaces, Cooled::Farthest),
            (Held::OneFace, Cooled::Mean),
            (Held::OneFace, Cooled::Farthest),
        ];
        for (mm, row) in [
            (0.5, [0.18, 0.29, 0.74, 1.16]),
            (1.0, [0.74, 1.16, 2.96, 4.62]),
            (2.0, [2.96, 4.62, 11.8, 18.5]),
            (3.0, [6.65, 10.4, 26.6, 41.6]),
        ] {
            for (way, seconds) in ways.into_iter().zip(row) {
                let time = contact_time_of(way, Length::mm(mm), alpha, range).get();
                // Two digits are printed of the shortest.
                let off = (time - seconds).abs();
                assert!(off < 0.005 * seconds + 0.0051, "{mm} mm, {way:?}: {time} s");
            }
            let mean = contact_time_of(ways[2], Length::mm(mm), alpha, range);
            assert_eq!(contact_time(Length::mm(mm), alpha, range), mean);
        }
        let range = (celsius(150.0), celsius(80.0), celsius(23.0));
        for (mm, film, seconds) in
            [(1.0, 10.0, 109.0), (1.0, 30.0, 36.0), (2.0, 10.0, 219.0), (2.0, 30.0, 73.0)]
        {
            let time = lumped_time(Length::mm(mm), (capacity, film), range).get();
            assert!((time / seconds - 1.0).abs() < 0.02, "{mm} mm: {time} s");
        }
        let warm = (celsius(150.0), celsius(40.0), celsius(40.0));
        assert!(contact_time(Length::mm(1.0), alpha, warm).get().is_nan());
        assert!(lumped_time(Length::mm(1.0), (capacity, 10.0), warm).get().is_nan());
    }
}
